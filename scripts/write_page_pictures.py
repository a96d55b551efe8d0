"""Write pictures of the page into docs/pictures: `python scripts/write_page_pictures.py WORKSPACE PART`.

It brings a broken file into the workspace, so give it a copy. Needs an assessed workspace, Chromium (Debian: apt-get
install chromium) and the libraries of requirements/dev.txt.
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


def broken() -> bytes:
    """A block with a square hole through it and one side of it left out, beside a sound one, as an OBJ file [mm]."""
    lines, count = [], 0
    ring = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    for shift in (0, 60):
        lines += [f"v {s * x + shift} {s * y} {z}" for z in (0, 12) for s in (24, 10) for x, y in ring]
        sides = [(k, (k + 1) % 4) for k in range(4)]
        quads = [(a, b, b + 8, a + 8) for a, b in sides] + [(b + 4, a + 4, a + 12, b + 12) for a, b in sides]
        quads += [(b, a, a + 4, b + 4) for a, b in sides] + [(a + 8, b + 8, b + 12, a + 12) for a, b in sides]
        lines += ["f " + " ".join(str(c + 1 + count) for c in q) for q in quads[: 16 if shift else 15]]
        count += 16
    return "\n".join(lines).encode()


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
                page.goto(f"{found[1]}/bring")
                page.locator("#file").set_input_files({"name": "b.obj", "mimeType": "model/obj", "buffer": broken()})
                page.get_by_text("if the numbers are mm").click()
                page.get_by_role("button", name="Look again").click()
                page.wait_for_selector("#canvas[data-shown]")
                page.wait_for_timeout(1500)
                page.locator(".brought").screenshot(path=OUT / "broken-light.png")
            context.close()
        browser.close()
        server.terminate()


if __name__ == "__main__":
    main(*sys.argv[1:])
