"""The whole job in a browser, against the page in a process of its own."""

from __future__ import annotations

import importlib.util
import json
import signal
import struct
import tomllib
from pathlib import Path

import pytest

from conftest import SLOW, Server, wait_for, workers_of

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


def brick(unit: float = 1.0) -> bytes:
    """A box of 20 x 10 x 5, as an ASCII-free STL: twelve triangles written here."""
    x, y, z = 20 * unit, 10 * unit, 5 * unit
    p = [(0, 0, 0), (x, 0, 0), (x, y, 0), (0, y, 0), (0, 0, z), (x, 0, z), (x, y, z), (0, y, z)]
    quads = [(0, 3, 2, 1), (4, 5, 6, 7), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7)]
    triangles = [t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))]
    rows = b"".join(struct.pack("<12fH", 0, 0, 0, *p[a], *p[b], *p[c], 0) for a, b, c in triangles)
    return b"brick".ljust(80) + struct.pack("<I", len(triangles)) + rows


def test_a_model_is_brought_in_its_faces_named_by_clicks_and_undone(tab, server) -> None:
    server.start()
    enter(tab, server, "/bring")
    file = {"name": "../Brick (1).stl", "mimeType": "model/stl", "buffer": brick()}
    tab.locator("#file").set_input_files(file)
    tab.get_by_text("20 × 10 × 5 mm if the numbers are mm").click()
    tab.get_by_text("508 × 254 × 127 mm if the numbers are inch").wait_for()
    tab.get_by_role("button", name="Look again").click()
    tab.get_by_text("1 cm³").wait_for()
    assert tab.locator("#make [name=name]").input_value() == "brick-1"
    tab.locator("#make [name=role]").select_option("cover")
    tab.locator("#make [name=material]").select_option("petg")
    tab.get_by_role("button", name="Make it a part").click()
    tab.wait_for_selector("#work[data-ready]")
    tab.get_by_label("names a face").check()
    tab.get_by_role("button", name="Look from +z").click()
    box = tab.locator("#canvas").bounding_box()
    tab.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    tab.get_by_text("the flat facing +z").wait_for()
    tab.locator("#faceform [name=name]").fill("top")
    tab.locator("#faceform [name=as]").select_option("load")
    tab.locator("#faceform [name=value]").fill("0, 0, -5 N")
    tab.locator("#faceform [name=case]").fill("pressed")
    tab.locator("#faceform [name=source]").fill("assumed")
    tab.get_by_role("button", name="Write it").click()
    tab.get_by_text("Written into parts/brick-1.toml").wait_for()
    text = (server.folder / "parts" / "brick-1.toml").read_text()
    assert tomllib.loads(text)["faces"]["top"]["plane"]["normal"] == "+z"
    assert tomllib.loads(text)["case"][0]["load"] == [{"face": "top", "force": "0, 0, -5 N"}]
    assert text.startswith("# Brought in by the page")
    tab.get_by_role("button", name="Undo").click()
    tab.get_by_text("as it was before").wait_for()
    assert "[faces.top]" not in (server.folder / "parts" / "brick-1.toml").read_text()
    assert [p.name for p in server.folder.parent.rglob("*.stl")] == ["brick-1.stl"]
