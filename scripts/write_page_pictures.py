"""Write pictures of the page into docs/pictures: `python scripts/write_page_pictures.py WORKSPACE PART`.

Needs an assessed workspace, Chromium (Debian: apt-get install chromium) and the libraries of requirements/dev.txt.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

OUT = Path(__file__).parents[1] / "docs" / "pictures"
FLAGS = ["--no-sandbox", "--disable-gpu", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-quic"]
WIDTH, HEIGHT, NARROW = 1280, 860, 390


def shot(page: Page, address: str, name: str) -> None:
    """One picture of one page, as soon as it is drawn."""
    page.goto(address)
    page.wait_for_selector("html[data-state=known]")
    if "/part/" in address:
        page.wait_for_selector("#work[data-turned]")
        page.locator("#r-exact", has_text=" of 1").wait_for(timeout=120_000)
        page.wait_for_timeout(1500)  # drawn by software, the picture is whole when it rests
    page.screenshot(path=OUT / f"{name}.png")


def main(workspace: str, part: str) -> None:
    """Serve the workspace, picture its pages, stop."""
    OUT.mkdir(exist_ok=True)
    command = [sys.executable, "-m", "printworthy", "serve", workspace, "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server, sync_playwright() as playwright:
        assert server.stdout is not None
        found = re.search(r"(http://127\.0\.0\.1:\d+)/\?token=\S+", server.stdout.readline())
        assert found is not None
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        for theme, width in (("light", WIDTH), ("dark", WIDTH), ("light", NARROW)):
            context = browser.new_context(viewport={"width": width, "height": HEIGHT}, color_scheme=theme)
            page = context.new_page()
            page.goto(found[0])
            page.locator("#table .word").first.wait_for(timeout=120_000)  # what is kept is gathered at the start
            kind = theme if width == WIDTH else "narrow"
            shot(page, f"{found[1]}/", f"parts-{kind}")
            shot(page, f"{found[1]}/part/{part}", f"part-{kind}")
            if kind == "light":
                page.locator("[name=cutaxis]").select_option("2")
                page.wait_for_timeout(1000)
                page.locator("#stage").screenshot(path=OUT / "cut-light.png")
                page.locator("[name=cutaxis]").select_option("")
                page.locator("[name=paint]").select_option("layers")
                page.locator("[name=columns]").check()
                page.locator("#over-turn").click()
                page.locator("#r-height", has_text="mm").wait_for()
                page.wait_for_timeout(1500)
                page.locator("#stage").screenshot(path=OUT / "layers-light.png")
                page.locator("#pareto summary").click()
                page.locator("#weighed tr").first.wait_for(timeout=120_000)
                page.locator("#pareto").screenshot(path=OUT / "unbeaten-light.png")
            context.close()
        browser.close()
        server.terminate()


if __name__ == "__main__":
    main(*sys.argv[1:])
