"""A workspace whose one part stays metal, so that it is answered without solving; makes `beam` importable."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent.parent / "flow"))
sys.path.insert(0, str(Path(__file__).parent))

import beam


@pytest.fixture
def metal(tmp_path: Path) -> Path:
    return beam.write(tmp_path / "cart", role="axle")
