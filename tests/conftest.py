"""Makes `specimens` importable everywhere, keeps each test process on one thread, and lets property tests draw the
same examples on every machine.

Threads of NGSolve and of the linear algebra wait by spinning: two test processes on two cores would fight for them.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from printworthy.inputs import Job

for threads in ("NGS_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ.setdefault(threads, "1")
settings.register_profile("even", deadline=None, derandomize=True)
settings.load_profile("even")


@pytest.fixture(scope="session")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo workspace, drawn once: to read, or to write in and put back as it was."""
    from printworthy import demo

    place = tmp_path_factory.mktemp("shipped") / "carrier"
    demo.build(place)
    return place


@pytest.fixture(scope="session")
def shipped_job(shipped: Path) -> Job:
    """The demo workspace as it is read, once for all who only look at it."""
    from printworthy import flow

    return flow.read(shipped)
