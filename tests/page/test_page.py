"""What the page shows, looked at in a browser, against the page in a process of its own."""

from __future__ import annotations

import http.client
import importlib.util
import json
import math
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from served import SLOW, Server
from steps import bring_broken, enter

# Its package reads the script in the machine's own encoding, and so cannot be imported everywhere.
AXE = Path(importlib.util.find_spec("axe_playwright_python").submodule_search_locations[0]) / "axe.min.js"


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


def breaks_no_rule(page, where: str) -> None:
    """Nothing that axe-core (Deque, its own rule set for WCAG) complains of."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("axe.run({resultTypes: ['violations']})")["violations"]
    assert found == [], f"{where}: {json.dumps(found, indent=1)}"


@pytest.fixture(scope="session")
def bare(tmp_path_factory):
    """The page of an empty folder, which no test changes."""
    server = Server(tmp_path_factory.mktemp("bare")).start()
    yield server
    server.stop()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_no_page_breaks_a_rule_of_accessibility(browser, shown, theme) -> None:
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
        if path == "/part/bar":
            page.locator("#sign").wait_for()
        breaks_no_rule(page, f"{path} {theme}")
    bring_broken(page)
    breaks_no_rule(page, f"broken file {theme}")
    context.close()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_first_page_of_an_empty_folder_breaks_no_rule_of_accessibility(browser, bare, theme) -> None:
    context = browser.new_context(color_scheme=theme, bypass_csp=True)
    page = context.new_page()
    page.goto(bare.address)
    page.locator("#start").wait_for()
    breaks_no_rule(page, f"empty folder {theme}")
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
