"""Writes the validation report when VALIDATION_REPORT names a file; runs the check of the report last."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from compare import report

FOLDER = Path(__file__).parent
DATA = FOLDER.parents[2] / "shared" / "data"
WHOLE = pytest.StashKey[bool]()


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    ours = {item.path for item in items if item.path.parent == FOLDER}
    config.stash[WHOLE] = ours == set(FOLDER.glob("test_*.py")) and not config.option.keyword
    items.sort(key=lambda item: item.path == FOLDER / "test_report.py")


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    wanted = os.environ.get("VALIDATION_REPORT")
    if wanted and exitstatus == 0 and DATA.is_dir() and session.config.stash.get(WHOLE, False):
        Path(wanted).write_text(report(), encoding="utf-8")


@pytest.fixture
def whole(request: pytest.FixtureRequest) -> bool:
    """True if every file of this folder was run in this process, with the data that some of them need."""
    apart = hasattr(request.config, "workerinput")  # rows are spread over several processes
    return DATA.is_dir() and request.config.stash[WHOLE] and not apart and request.session.testsfailed == 0
