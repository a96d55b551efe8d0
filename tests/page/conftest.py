"""A small workspace, the page of it in a process of its own, and the browser that is installed."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent.parent / "flow"))

import beam
from served import SLOW, Server, wait_for, workers_of

FLAGS = [
    "--no-sandbox", "--disable-gpu", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-quic",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run",
]  # fmt: skip
MEANT = (
    "/events",
    "ERR_CONNECTION_REFUSED",
    "ERR_INCOMPLETE_CHUNKED_ENCODING",
    "(Bad Request)",
    "(Conflict)",
)  # what tests ask for on purpose
BOLT = """
role = "threaded fastener"
material = "petg"
[geometry]
file = "bar.step"
"""


@pytest.fixture(scope="session")
def assessed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workspace with a bar that was assessed by another command, and a bolt that is never printed."""
    root = beam.write(tmp_path_factory.mktemp("page") / "cart")
    (root / "parts" / "bolt.toml").write_text(BOLT)
    run = [sys.executable, "-m", "printworthy", "assess", str(root)]
    subprocess.run(run, check=False, capture_output=True, env={**os.environ, "NGS_NUM_THREADS": "1"}, timeout=300)
    return root


@pytest.fixture
def workspace(assessed: Path, tmp_path: Path) -> Path:
    """A copy of the assessed workspace to change at will."""
    return Path(shutil.copytree(assessed, tmp_path / "cart"))


@pytest.fixture(scope="session")
def shown(assessed: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The page of a copy that no test changes."""
    server = Server(Path(shutil.copytree(assessed, tmp_path_factory.mktemp("shown") / "cart"))).start()
    wait_for((server.folder / ".cache" / "page" / "run.json").exists)
    yield server
    server.stop()


@pytest.fixture
def server(workspace):
    made = Server(workspace)
    yield made
    if made.process and made.process.poll() is None:
        made.stop()
    assert workers_of(workspace) == []


@pytest.fixture(scope="session")
def running(assessed: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The page of a copy whose texts and files tests change."""
    server = Server(Path(shutil.copytree(assessed, tmp_path_factory.mktemp("running") / "cart"))).start()
    yield server
    server.stop()


@pytest.fixture
def edited(running: Server) -> Iterator[Server]:
    """The same for one test, its texts brought back afterwards."""
    texts = {
        path: path.read_bytes() for path in (running.folder / "vehicle.toml", running.folder / "parts" / "bar.toml")
    }
    yield running
    for path, content in texts.items():
        path.write_bytes(content)


@pytest.fixture(scope="session")
def browser() -> Iterator[object]:
    """The installed Chromium."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.skip("NO BROWSER: the page was not tested. On Debian: apt-get install chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=found, args=FLAGS)
        yield opened
        opened.close()


@pytest.fixture
def tab(browser) -> Iterator[object]:
    """A page in a browser of its own cookies; every request it makes is noted in `asked`, every complaint fails."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.asked, wrong = [], []
    page.on("request", lambda r: page.asked.append(r.url))
    page.on("pageerror", lambda e: wrong.append(str(e)))
    page.on("console", lambda m: wrong.append(m.text) if m.type == "error" else None)
    page.set_default_timeout(SLOW)
    yield page
    context.close()
    assert [w for w in wrong if not any(m in w for m in MEANT)] == []
    assert [u for u in page.asked if not u.startswith(("http://127.0.0.1:", "data:", "blob:"))] == []
