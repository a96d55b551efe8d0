"""From an empty folder to a signed verdict in a browser, and files that are not sound."""

from __future__ import annotations

import math
import tomllib

import pytest
from served import Server, workers_of
from steps import brick, bring_broken, enter

from printworthy import flow
from printworthy.errors import TextError
from printworthy.page.runs import KEPT
from printworthy.records import signing, store


def test_a_broken_file_is_shown_with_its_faults_and_a_sound_body_of_it_is_chosen(tab, running) -> None:
    """Two boxes, one without one of its sides of 10 x 5 mm: a ring of four open edges, 11.2 mm across."""
    enter(tab, running, "/bring")
    bring_broken(tab)
    assert "not closed: 4 open edges in 2 pieces" in tab.locator("#said").inner_text()
    faults = tab.locator("#faults").inner_text()
    assert "O1" in faults
    assert f"4 open edges, {math.hypot(10, 5):.3g} mm across" in faults
    assert tab.locator("#over text", has_text="O1").count() == 1
    tab.get_by_role("button", name="Show O1 near").click()
    listed = tab.locator("#bodies label").all_inner_texts()
    torn = next(i for i, words in enumerate(listed, 1) if "not closed, 4 open edges" in words)
    tab.get_by_role("button", name="Look from −x").click()  # the torn box is the one further along -y
    box = tab.locator("#canvas").bounding_box()
    tab.mouse.click(box["x"] + box["width"] * 0.15, box["y"] + box["height"] / 2)
    tab.get_by_text("is chosen: look again").wait_for()
    chosen = int(tab.locator("#bodies input:checked").input_value())
    assert chosen != torn
    tab.get_by_role("button", name="Look again").click()
    tab.locator("#facts", has_text="20 × 10 × 5 mm").wait_for()
    assert f"{chosen} of 2" in tab.locator("#facts").inner_text()


def face_on(tab, side: str, words: str, name: str, **filled: str) -> None:
    """Look from a side, click the middle, name the face that is found, fill in its use, write it."""
    tab.get_by_label("names a face").check()
    tab.get_by_role("button", name=f"Look from {side}").click()
    tab.wait_for_timeout(400)
    box = tab.locator("#canvas").bounding_box()
    tab.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    tab.get_by_text(words).wait_for()
    tab.locator("#faceform [name=name]").fill(name)
    for field, value in filled.items():
        box = tab.locator(f"#faceform [name={field}]")
        box.select_option(value) if field in ("as", "kind") else box.fill(value)
    tab.get_by_role("button", name="Write it").click()
    tab.get_by_text("Written into parts/brick-1.toml").wait_for()


def sign(tab, who: str, words: str, button: str = "Sign the verdict") -> None:
    form = tab.locator("#sign")
    form.get_by_label("Name").fill(who)
    form.get_by_label("Words").fill(words)
    form.get_by_role("button", name=button).click()


def signed_stale_and_revoked(tab, server) -> None:
    """Sign the brick by keys, change its load, see the signature go stale by name of the text, take it back."""
    script = "<script>alert(1)</script>"
    tab.goto(f"{server.base}/part/brick-1")
    sign(tab, "Ann", "")
    tab.get_by_text("Recorded as").wait_for()
    tab.reload()
    assert tab.locator("#signstate").inner_text().startswith("signed by Ann on ")
    tab.locator("#sign").get_by_label("Name").fill(script)
    tab.keyboard.press("Tab")
    tab.keyboard.type("for shows alone")
    tab.keyboard.press("Enter")
    tab.get_by_text("Recorded as").wait_for()
    state = tab.locator("#signstate").inner_text()
    assert state.startswith(f"signed by {script} on ")
    with store.opened(server.folder) as records:
        assert [e.kind for e in records.entries(part="brick-1")] == ["assessment", "signature", "signature"]
        assert records.entries("signature")[-1].who == script
    tab.reload()
    assert tab.locator("#signstate").inner_text() == f"{state.partition(':')[0]}: “for shows alone”"
    tab.goto(f"{server.base}/text/parts/brick-1.toml")
    tab.locator("#text").fill(tab.locator("#text").input_value().replace("10, 0, 0 N", "20, 0, 0 N"))
    tab.get_by_role("button", name="Save").click()
    tab.get_by_text("Saved.").wait_for()
    tab.goto(server.base)
    told = tab.locator("#table tr", has_text="brick-1").locator(".signature").inner_text()
    assert told.startswith(f"stale by {script} on ")
    assert told.endswith("; changed since: load cases (vehicle, part, logs)")
    tab.goto(f"{server.base}/part/brick-1")
    sign(tab, "Ann", "")
    tab.get_by_text("its inputs have changed since it was assessed: load cases").wait_for()
    sign(tab, "Ann", "", "Revoke")
    tab.get_by_text("a revocation needs its reason").wait_for()
    sign(tab, "Ann", "another load", "Revoke")
    tab.locator("#signstate", has_text="revoked by Ann").wait_for()


def test_what_the_command_refuses_to_sign_the_page_refuses_too(tab, shown) -> None:
    job = flow.read(shown.folder)
    enter(tab, shown, "/part/bar")
    read = tab.locator("#signing").get_attribute("data-read")
    for part, who, asked, refused in (
        ("bar", " \t", read, "a signature needs the name of a person"),
        ("nobody", "Ann", read, "no part named nobody"),
        ("bar", "Ann", "0" * 12, "was assessed anew meanwhile"),
        ("bar", "A" * 401, read, "401 characters are too many"),
    ):
        order = {"part": part, "who": who, "read": asked, "words": ""}
        answer = tab.request.post(f"{shown.base}/do/sign", data=order)
        assert answer.status == 400
        assert refused in answer.json()["error"]
        if len(who) < 400:
            with pytest.raises(TextError, match=refused):
                signing.sign(job, part, who, "", asked)
    assert signing.standings(job)["bar"].state == "not signed"


def test_from_an_empty_folder_to_a_signed_verdict_by_clicks_and_keys(tab, tmp_path) -> None:
    """A brick of 20 x 10 x 5 mm, held at one end and pulled by 10 N at the other."""
    server = Server(tmp_path / "new")
    server.folder.mkdir()
    server.start()
    try:
        enter(tab, server)
        assert tab.locator(".problems").count() == 0  # what a new workspace lacks is asked for, not complained of
        for field, text in (("Vehicle", "Test cart"), ("Coldest", "0 degC"), ("Hottest", "30 degC")):
            tab.get_by_label(field).fill(text)
        tab.keyboard.press("Enter")
        tab.get_by_text("No part yet.").get_by_role("link").click()
        file = {"name": "../Brick (1).stl", "mimeType": "model/stl", "buffer": brick()}
        tab.locator("#file").set_input_files(file)
        tab.get_by_text("20 × 10 × 5 mm if the numbers are mm").click()
        tab.get_by_text("508 × 254 × 127 mm if the numbers are inch").wait_for()
        tab.get_by_role("button", name="Look again").click()
        tab.get_by_text("1 cm³").wait_for()
        assert tab.locator("#make [name=name]").input_value() == "brick-1"
        for field, value in (("role", "cover"), ("material", "petg"), ("cool", "1")):
            tab.locator(f"#make [name={field}]").select_option(value)
        tab.get_by_role("button", name="Make it a part").click()
        tab.wait_for_selector("#work[data-ready]")
        face_on(tab, "−x", "the flat facing -x", "root", **{"as": "support", "kind": "fixed"})
        pull = {"as": "load", "value": "10, 0, 0 N", "case": "pulled", "source": "assumed"}
        face_on(tab, "+x", "the flat facing +x", "end", **pull)
        path = server.folder / "parts" / "brick-1.toml"
        written = tomllib.loads(path.read_text())
        assert written["faces"]["end"]["plane"]["normal"] == "+x"
        assert written["case"][0]["load"] == [{"face": "end", "force": "10, 0, 0 N"}]
        assert path.read_text().startswith("# Brought in by the page")
        face_on(tab, "+z", "the flat facing +z", "top")
        tab.get_by_role("button", name="Undo").click()
        tab.get_by_text("as it was before").wait_for()
        assert tomllib.loads(path.read_text()) == written
        assert [p.name for p in tmp_path.rglob("*.stl")] == ["brick-1.stl"]
        tab.get_by_role("button", name="Assess this part").click()
        tab.get_by_role("button", name="Show them").click(timeout=120_000)
        tab.wait_for_selector("#work[data-turned]")
        kept = KEPT.validate_json((server.folder / ".cache" / "page" / "run.json").read_bytes())[1].parts[0]
        assert tab.locator(".headed .word").inner_text() == kept.verdict.word
        shown = float(tab.locator("#r-exact strong").inner_text().split(" of 1")[0])
        assert 0 <= shown - kept.option.result.utilisation < 0.01  # rounded up, never down
        assert kept.option.result.cases[0].applied == pytest.approx((10.0, 0.0, 0.0), abs=1e-6)
        tab.goto(f"{server.base}/dossier")
        assert "brick-1" in tab.content()
        signed_stale_and_revoked(tab, server)
    finally:
        server.stop()
    assert workers_of(server.folder) == []
