"""Who may speak to the page. The rules are those of OWASP's cheat sheets on DNS rebinding and CSRF (from memory)."""

from __future__ import annotations

import contextlib
import http.client
import json
import stat

import pytest

from printworthy.page.runs import folder_of

LARGE = 61_000_000


def asked(server, path="/", method="GET", body=None, **headers) -> tuple[int, dict[str, str], bytes]:
    """One request with the key, and whatever headers are stated instead."""
    sent = {"Cookie": f"printworthy-{server.port}={server.token}"} | {
        k.replace("_", "-"): v for k, v in headers.items()
    }
    line = http.client.HTTPConnection("127.0.0.1", server.port, timeout=30)
    line.request(method, path, body, {k: v for k, v in sent.items() if v is not None})
    answer = line.getresponse()
    found = answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read()
    line.close()
    return found


def order(server, verb, data, **headers):
    status, _, body = asked(server, f"/do/{verb}", "POST", json.dumps(data), **headers)
    return status, json.loads(body)


def test_the_key_lets_in_and_nothing_else_does(shown) -> None:
    assert asked(shown)[0] == 200
    assert asked(shown, Cookie=None)[0] == 403
    assert asked(shown, Cookie=f"printworthy-{shown.port}=guess")[0] == 403
    assert asked(shown, "/?token=guess", Cookie=None)[0] == 403
    status, headers, _ = asked(shown, f"/?token={shown.token}", Cookie=None)
    assert (status, headers["location"]) == (303, "/")
    assert "HttpOnly" in headers["set-cookie"]
    assert "SameSite=Strict" in headers["set-cookie"]
    assert stat.S_IMODE((folder_of(shown.folder) / "key").stat().st_mode) == 0o600


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "printworthy.example"},
        {"Host": "127.0.0.1.example:80"},
        {"Origin": "http://evil.example"},
        {"Origin": "http://127.0.0.1:1"},
        {"Origin": "null"},
        {"Sec_Fetch_Site": "cross-site"},
        {"Sec_Fetch_Site": "same-site", "Sec_Fetch_Mode": "no-cors"},
    ],
)
def test_requests_by_way_of_another_site_are_refused(shown, headers) -> None:
    assert asked(shown, **headers)[0] == 403
    assert asked(shown, "/do/stop", "POST", '{"id": 1}', **headers)[0] == 403


def test_a_link_from_elsewhere_may_open_a_page_but_changes_nothing(shown) -> None:
    followed = {"Sec_Fetch_Site": "cross-site", "Sec_Fetch_Mode": "navigate"}
    assert asked(shown, **followed)[0] == 200
    assert asked(shown, "/do/assess", "POST", '{"parts": []}', **followed)[0] == 403
    assert asked(shown, "/do/assess")[0] == 405


def test_too_large_a_body_is_refused_whether_its_length_is_stated_or_not(shown) -> None:
    assert asked(shown, "/do/bring?name=a.stl", "POST", b"", Content_Length=str(LARGE))[0] == 413

    def pieces():
        for _ in range(LARGE // 1_000_000 + 1):
            yield b"x" * 1_000_000

    line = http.client.HTTPConnection("127.0.0.1", shown.port, timeout=60)
    cookie = {"Cookie": f"printworthy-{shown.port}={shown.token}"}
    with contextlib.suppress(BrokenPipeError, ConnectionResetError):  # answered before all was sent
        line.request("POST", "/do/bring?name=a.stl", pieces(), cookie, encode_chunked=True)
    answer = line.getresponse()
    assert (answer.status, answer.read()[:9]) == (413, b"Too large")
    line.close()
    assert not (shown.folder / "parts" / "a.stl").exists()


@pytest.mark.parametrize(
    "name",
    [
        "../vehicle.toml",
        "parts/../../x.toml",
        "/etc/hosts.txt",
        ".cache/page/key",
        "parts/.hidden.toml",
        "a.py",
        "x\0.toml",
    ],
)
def test_names_that_lead_elsewhere_are_refused(shown, name) -> None:
    status, said = order(shown, "save", {"name": name, "content": "x", "digest": ""})
    assert status == 400
    assert "name" in said["error"]


def test_a_link_out_of_the_workspace_is_refused(workspace, shown) -> None:
    outside = shown.folder.parent / "outside.toml"
    outside.write_text("secret")
    link = shown.folder / "parts" / "link.toml"
    link.symlink_to(outside)
    try:
        assert order(shown, "save", {"name": "parts/link.toml", "content": "x", "digest": ""})[0] == 400
        assert outside.read_text() == "secret"
    finally:
        link.unlink()


def test_orders_that_make_no_sense_get_one_line(shown) -> None:
    assert order(shown, "save", {})[0] == 400
    assert order(shown, "no-such-verb", {})[0] == 404
    assert order(shown, "exact", {"part": "bar", "x": "nan", "y": 0, "z": 0})[0] == 400
    assert order(shown, "assess", {"parts": ["<script>"]})[0] == 400
    assert asked(shown, "/do/save", "POST", b"\xff\xfe")[0] == 404
    assert asked(shown, "/part/bar/turned?x=0&y=0&z=0")[0] == 400
    assert asked(shown, "/part/nobody/scene")[0] == 404


def test_every_answer_carries_the_policy(shown) -> None:
    for path in ("/", "/part/bar", "/static/view.js", "/part/bar/scene", "/nowhere"):
        headers = asked(shown, path)[1]
        assert "script-src 'self'" in headers["content-security-policy"], path
        assert "unsafe" not in headers["content-security-policy"], path
        assert headers["x-content-type-options"] == "nosniff"
    assert "script-src" not in asked(shown, "/dossier")[1]["content-security-policy"]
