"""What changes while the page is open: jobs, other tabs, files written elsewhere, a killed page."""

from __future__ import annotations

import json
import signal
from pathlib import Path

from served import wait_for, workers_of
from steps import enter


def jobs_of(folder: Path) -> list[dict]:
    return json.loads((folder / ".cache" / "page" / "jobs.json").read_text())


def begin(server) -> None:
    """Start the page and wait until it has gathered what was computed before."""
    server.start()
    wait_for((server.folder / ".cache" / "page" / "run.json").exists)


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


def test_a_file_changed_elsewhere_is_told_and_nothing_is_lost(tab, edited) -> None:
    server = edited
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


def test_what_is_wrong_in_a_text_is_shown_at_its_line_and_as_text(tab, edited) -> None:
    server = edited
    path = server.folder / "parts" / "bar.toml"
    path.write_text(path.read_text().replace('role = "cover"', 'role = "<img src=x onerror=alert(1)>"'))
    enter(tab, server)
    told = tab.locator(".problems li").first
    assert "<img src=x onerror=alert(1)>" in told.inner_text()
    told.get_by_role("link").click()
    tab.wait_for_url("**/text/parts/bar.toml#L*")
    tab.locator("#found li", has_text="parts/bar.toml:").first.wait_for()
    assert tab.locator("img").count() == 0
