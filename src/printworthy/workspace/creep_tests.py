"""Creep tests: time and a length that grows with strain, one coupon a file."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from printworthy.errors import CardError, Place
from printworthy.workspace.measured import quantity, read_table

Array = NDArray[np.float64]
LENGTHS = ("strain", "elongation", "displacement", "deflection", "length")


def read_creep(path: Path) -> tuple[Array, Array]:
    """Times (k,) [h] and lengths (k,), whose unit does not matter: only their growth is used.

    Raises UnitNeeded for a time without unit, CardError for other columns or no numbers.
    """
    table = read_table(path, path.parent)
    named = [n for n, name in enumerate(table.names) if name.lower() in LENGTHS]
    clocks = [n for n, name in enumerate(table.names) if name.lower() == "time"]
    if len(named) != 1 or len(clocks) != 1:
        do = f"Write: time [h],elongation [mm]; or one of {', '.join(LENGTHS)}"
        raise CardError("one column of time and one of length are needed", where=Place(path, 1), do=do)
    return quantity(table, clocks[0], "time", {}) / 3600, table.numbers(named[0])
