"""The whole job in a browser, against the page in a process of its own."""

from __future__ import annotations

import http.client
import importlib.util
import json
import math
import signal
import struct
import tomllib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from conftest import SLOW, Server, wait_for, workers_of
from printworthy import flow
from printworthy.errors import TextError
from printworthy.page.runs import KEPT
from printworthy.records import signing, store

# Its package reads the script in the machine's own encoding, and so cannot be imported everywhere.
AXE = Path(importlib.util.find_spec("axe_playwright_python").submodule_search_locations[0]) / "axe.min.js"


def jobs_of(folder: Path) -> list[dict]:
    return json.loads((folder / ".cache" / "page" / "jobs.json").read_text())


@pytest.fixture
def server(workspace):
    made = Server(workspace)
    yield made
    if made.process and made.process.poll() is None:
        made.stop()
    assert workers_of(workspace) == []


def begin(server) -> None:
    """Start the page and wait until it has gathered what was computed before."""
    server.start()
    wait_for((server.folder / ".cache" / "page" / "run.json").exists)


def enter(tab, server, path: str = "/") -> None:
    tab.goto(server.address)
    tab.goto(server.base + path)
    tab.wait_for_selector("html[data-state=known]")


def test_what_another_command_computed_is_gathered_and_shown(tab, shown) -> None:
    enter(tab, shown)
    row = tab.locator("#table tr", has_text="bar").first
    row.get_by_text("print with conditions").wait_for()
    assert "pull" in row.inner_text()
    bolt = tab.locator("#table tr", has_text="bolt")
    assert "do not print" in bolt.inner_text()
    tab.get_by_label("Find").fill("bolt")
    assert tab.locator("#table tbody tr:visible").count() == 1
    tab.reload()
    assert tab.locator("#table tbody tr:visible").count() == 1  # the filter is in the address


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_no_page_breaks_a_rule_of_accessibility(browser, shown, theme) -> None:
    script = AXE.read_text(encoding="utf-8")
    context = browser.new_context(color_scheme=theme, bypass_csp=True)
    page = context.new_page()
    page.set_default_timeout(SLOW)
    page.goto(shown.address)
    page.locator("#table tr", has_text="print with conditions").first.wait_for()
    for path in ("/", "/part/bar", "/part/bolt", "/ride", "/evidence", "/making", "/text/vehicle.toml", "/bring"):
        page.goto(shown.base + path)
        page.wait_for_selector("html[data-state=known]")
        if path == "/part/bar":
            page.wait_for_selector("#work[data-turned]")
        page.evaluate(script)
        found = page.evaluate("axe.run({resultTypes: ['violations']})")["violations"]
        assert found == [], f"{path} {theme}: {json.dumps(found, indent=1)}"
    context.close()


def test_a_direction_is_picked_and_the_exact_value_follows(tab, shown) -> None:
    """The bar is pulled along x by 500 N over 12 x 8 mm: 5.2 MPa, between layers once it is built along x."""
    enter(tab, shown, "/part/bar")
    tab.wait_for_selector("#work[data-turned]")
    tab.locator("#disc").focus()
    before = tab.locator("#r-words").inner_text()
    tab.keyboard.press("PageUp")
    tab.wait_for_selector("#work[data-turned='2']")
    assert tab.locator("#r-words").inner_text() != before
    tab.locator("#tilt").fill("90")
    tab.locator("#azimuth").fill("0")
    tab.locator("#azimuth").press("Enter")
    tab.locator("#r-words", has_text="along +x").wait_for()
    assert "between layers" in tab.locator("#r-mode").inner_text()
    tab.locator("#r-exact", has_text=" of 1").wait_for()
    value = [float(tab.locator(i).inner_text().split(" of 1")[0]) for i in ("#r-map", "#r-exact")]
    assert value[0] == pytest.approx(value[1], abs=0.021)
    tab.get_by_text("80 mm").first.wait_for()  # how tall it stands
    tab.locator("[name=cutaxis]").select_option("2")
    tab.get_by_role("button", name="Look from +z").click()
    box = tab.locator("#canvas").bounding_box()
    tab.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    tab.locator("#told", has_text="on the cut").wait_for()
    x, y, z = (float(c) for c in tab.locator("#told").inner_text().split("(")[1].split(")")[0].split(","))
    assert (x, y, z) == pytest.approx((40.0, 6.0, 4.0), abs=0.11)  # the middle of the bar


def test_what_nothing_beats_has_time_and_puts_a_direction_on_the_bed(tab, shown) -> None:
    enter(tab, shown, "/part/bar")
    tab.wait_for_selector("#work[data-turned]")
    tab.locator("#pareto summary").click()
    tab.locator("#weighed tr").first.wait_for()
    assert tab.locator("#unbeaten svg").count() == 2  # over support and over time
    rows = [row.inner_text().split("\t") for row in tab.locator("#weighed tr").all()]
    assert rows[0][0] == "A"
    heights = {float(row[4]) for row in rows}  # [mm]; how many more are unbeaten hangs on the mesh
    assert min(heights) == 8.0  # the thickness of the bar
    assert max(heights) <= math.hypot(80.0, 12.0, 8.0) + 0.5  # its diagonal
    assert all(" min" in row[5] and "EUR" in row[6] for row in rows)
    row = tab.locator("#weighed tr").last
    before = tab.locator("#work").get_attribute("data-turned")
    row.get_by_role("button").click()
    tab.wait_for_selector(f"#work[data-turned='{int(before) + 1}']")
    assert tab.locator("#r-words").inner_text() == row.get_by_role("button").inner_text()


def test_overtaken_questions_give_up_at_once_and_hold_no_line(shown) -> None:
    """A browser keeps six lines to one address: eight questions at once must not keep a ninth from its answer."""
    ways = [(math.cos(a), math.sin(a), 0.3) for a in range(8)]
    cookie = {"Cookie": f"printworthy-{shown.port}={shown.token}"}

    def asked(n) -> bool:
        line = http.client.HTTPConnection("127.0.0.1", shown.port, timeout=60)
        line.request("POST", "/do/exact", json.dumps({"part": "bar", **dict(zip("xyz", n, strict=True))}), cookie)
        said = json.loads(line.getresponse().read())
        line.close()
        return "superseded" in said

    with ThreadPoolExecutor(8) as pool:
        overtaken = list(pool.map(asked, ways))
    assert 1 <= overtaken.count(False) <= 2  # the first, which was begun, and the newest


def test_a_job_is_seen_in_every_tab_survives_a_killed_page_and_loses_nothing(tab, server) -> None:
    begin(server)
    enter(tab, server, "/text/parts/bar.toml")
    tab.locator("#text").fill(tab.locator("#text").input_value().replace("500, 0, 0", "600, 0, 0"))
    tab.get_by_role("button", name="Save").click()
    tab.get_by_text("Saved.").wait_for()
    enter(tab, server)
    tab.get_by_text("inputs changed since").first.wait_for()
    tab.get_by_role("button", name="Assess what changed").click()
    tab.locator("#jobs").get_by_text("running").wait_for()
    second = tab.context.new_page()
    second.goto(server.base)
    second.locator("#jobs").get_by_text("running").wait_for()
    wait_for(lambda: workers_of(server.folder))
    server.stop(signal.SIGKILL)
    wait_for(lambda: not workers_of(server.folder), 10)  # nothing goes on computing for a page that is gone
    assert "600, 0, 0" in (server.folder / "parts" / "bar.toml").read_text()
    assert [j["state"] for j in jobs_of(server.folder)][-1] == "running"
    server.start()
    tab.reload()
    tab.locator("#jobs").get_by_text("taken up again").wait_for()
    wait_for(lambda: jobs_of(server.folder)[-1]["state"] == "done", 240)
    for page in (tab, second):
        page.goto(server.base)
        change = page.locator(".changes li", has_text="bar")
        change.wait_for()
        assert "became" in change.inner_text()


def test_a_job_is_stopped_and_the_page_ends_cleanly(tab, server) -> None:
    begin(server)
    text = server.folder / "parts" / "bar.toml"
    text.write_text(text.read_text().replace("500, 0, 0", "700, 0, 0"))
    enter(tab, server)
    tab.get_by_role("button", name="Assess what changed").click()
    wait_for(lambda: workers_of(server.folder))
    tab.locator("#jobs").get_by_role("button", name="Stop").last.click()
    tab.locator("#jobs").get_by_text("stopped").first.wait_for()
    wait_for(lambda: jobs_of(server.folder)[-1]["state"] == "stopped")
    tab.get_by_role("button", name="Assess what changed").click()
    wait_for(lambda: jobs_of(server.folder)[-1]["state"] == "running")
    assert server.stop(signal.SIGINT) == 0
    assert workers_of(server.folder) == []
    assert jobs_of(server.folder)[-1]["state"] == "stopped"


def test_a_file_changed_elsewhere_is_told_and_nothing_is_lost(tab, server) -> None:
    server.start()
    path = server.folder / "vehicle.toml"
    enter(tab, server, "/text/vehicle.toml")
    tab.locator("#text").fill(path.read_text() + "# mine\n")
    path.write_text(path.read_text() + "# theirs\n")
    tab.get_by_text("was just changed elsewhere").wait_for()
    tab.get_by_role("button", name="Save").click()
    tab.get_by_text("# theirs").wait_for()
    assert path.read_text().endswith("# theirs\n")
    assert tab.locator("#text").input_value().endswith("# mine\n")
    tab.get_by_role("button", name="Keep mine").click()
    tab.get_by_text("Saved.").wait_for()
    assert path.read_text().endswith("# mine\n")
    tab.get_by_role("button", name="Undo").click()
    tab.get_by_text("The version before is back").wait_for()
    assert path.read_text().endswith("# theirs\n")


def test_what_is_wrong_in_a_text_is_shown_at_its_line_and_as_text(tab, server) -> None:
    path = server.folder / "parts" / "bar.toml"
    path.write_text(path.read_text().replace('role = "cover"', 'role = "<img src=x onerror=alert(1)>"'))
    server.start()
    enter(tab, server)
    told = tab.locator(".problems li").first
    assert "<img src=x onerror=alert(1)>" in told.inner_text()
    told.get_by_role("link").click()
    tab.wait_for_url("**/text/parts/bar.toml#L*")
    tab.locator("#found li", has_text="parts/bar.toml:").first.wait_for()
    assert tab.locator("img").count() == 0


def brick(left_out: int = 0, boxes: int = 1) -> bytes:
    """Boxes of 20 x 10 x 5 mm, 30 mm apart along y, as a binary STL; the last triangles of the first left out."""
    rows = b""
    for shift in range(0, 30 * boxes, 30):
        p = [(x, y + shift, z) for z in (0, 5) for x, y in ((0, 0), (20, 0), (20, 10), (0, 10))]
        quads = [(0, 3, 2, 1), (4, 5, 6, 7), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7)]
        triangles = [t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))][: 12 if shift else 12 - left_out]
        rows += b"".join(struct.pack("<12fH", 0, 0, 0, *p[a], *p[b], *p[c], 0) for a, b, c in triangles)
    return b"brick".ljust(80) + struct.pack("<I", len(rows) // 50) + rows


def test_a_broken_file_is_shown_with_its_faults_and_a_sound_body_of_it_is_chosen(tab, server) -> None:
    """Two boxes, one without one of its sides of 10 x 5 mm: a ring of four open edges, 11.2 mm across."""
    server.start()
    enter(tab, server, "/bring")
    content = brick(left_out=2, boxes=2)
    tab.locator("#file").set_input_files({"name": "two.stl", "mimeType": "model/stl", "buffer": content})
    tab.get_by_text("if the numbers are mm").click()
    tab.get_by_role("button", name="Look again").click()
    tab.wait_for_selector("#canvas[data-shown='1']")
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
    tab.locator("#sign").get_by_label("Name").fill(script)
    tab.keyboard.press("Tab")
    tab.keyboard.type("for shows alone")
    tab.keyboard.press("Enter")
    tab.get_by_text("Recorded as").wait_for()
    state = tab.locator("#signstate").inner_text()
    assert state.startswith(f"signed by {script} on ")
    with store.opened(server.folder) as records:
        assert [e.kind for e in records.entries(part="brick-1")] == ["assessment", "signature"]
        assert records.entries("signature")[0].who == script
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
