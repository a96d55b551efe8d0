"""Fixtures of the workspace tests."""

from __future__ import annotations

from pathlib import Path

import pytest
from sound import Sound


@pytest.fixture
def sound(tmp_path: Path) -> Sound:
    return Sound(tmp_path / "trailer")
