"""Length units: what a person may state, what a file declares, and whether the size is that of a vehicle part."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from printworthy.errors import GeometryError, UnitNeeded
from printworthy.inputs import Geometry

# Exact by definition (SI brochure; international inch and foot of 1959).
MILLIMETRES: dict[str, float] = {"um": 1e-3, "mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4, "foot": 304.8}
OTHER_WORDS = {
    "in": "inch",
    "inches": "inch",
    '"': "inch",
    "ft": "foot",
    "feet": "foot",
    "micrometre": "um",
    "micron": "um",
    "millimetre": "mm",
    "millimeter": "mm",
    "centimetre": "cm",
    "centimeter": "cm",
    "metre": "m",
    "meter": "m",
}
OFFERED = ("mm", "inch", "m")

# Largest side [mm] outside which a file is taken for a unit mistake, and the band inside which it is only remarked.
# A small vehicle is under 3 m long; no load-bearing part that is printed is under 1 mm (common practice, no source).
SMALLEST, LARGEST = 1.0, 3000.0
REMARK_SMALL, REMARK_LARGE = 5.0, 1500.0


@dataclass(frozen=True, slots=True)
class Scale:
    """`factor` [mm per file unit] with the unit's name and who said so."""

    factor: float
    unit: str
    source: str


def stated(geometry: Geometry) -> tuple[str, str]:
    """The unit a person stated and, when it overrules the file ("mm, not inch"), the unit it denies.

    Raises GeometryError for a word that is no length unit.
    """
    words = re.fullmatch(r"\s*([^\s,]+)\s*(?:,?\s*not\s+([^\s,]+)\s*)?", geometry.unit or "")
    if not words:
        raise _unknown(geometry)
    unit, denied = (word(w) if w else "" for w in words.groups())
    if not unit or denied is None:
        raise _unknown(geometry)
    return unit, denied


def word(text: str) -> str:
    """The one name of a unit word; empty for a word that is no length unit."""
    low = text.strip().lower()
    low = OTHER_WORDS.get(low, low)
    return low if low in MILLIMETRES else ""


def of_unitless(geometry: Geometry, points: np.ndarray) -> Scale:
    """Scale of a file kind that cannot declare a unit; points (n, 3) in file units.

    Raises UnitNeeded where nobody stated it, GeometryError for an unknown word.
    """
    if geometry.unit is None:
        box = np.ptp(points, axis=0)
        sizes = ", ".join(f"{in_words(box * MILLIMETRES[u])} if {u}" for u in OFFERED)
        kind = geometry.path.suffix.lower().lstrip(".").upper()
        raise UnitNeeded(
            f"{kind} files carry no length unit and none is stated; the part would be {sizes}",
            where=_where(geometry, "unit"),
            do="State unit = " + " or ".join(f'"{u}"' for u in OFFERED),
        )
    unit, denied = stated(geometry)
    if denied:
        raise GeometryError(
            f"unit '{geometry.unit}' denies a unit that this file cannot declare",
            where=_where(geometry, "unit"),
            do=f'State unit = "{unit}"',
        )
    return Scale(MILLIMETRES[unit], unit, "stated")


def of_declared(geometry: Geometry, declared: str) -> Scale:
    """Scale of a file that declares its unit. Raises GeometryError where the stated unit contradicts it.

    A person overrules the file only by naming both: unit = "mm, not inch". `factor` is mm per declared unit.
    """
    if declared and declared != "mixed" and declared not in MILLIMETRES:
        raise GeometryError(
            f"the file declares the length unit '{declared}', which is not known here",
            where=str(geometry.path),
            do="Export it again in mm",
        )
    own = MILLIMETRES.get(declared, 1.0)
    if geometry.unit is None:
        return Scale(
            own, declared or "mm", "declared in the file" if declared else "not declared in the file, read as mm"
        )
    unit, denied = stated(geometry)
    if not denied and unit == declared:
        return Scale(own, unit, "declared in the file and stated")
    if denied and denied == declared:
        return Scale(MILLIMETRES[unit], unit, f"stated against the file, which declares {declared}")
    raise GeometryError(
        f"unit {geometry.unit!r} is stated but the file declares {declared or 'no unit'}",
        where=_where(geometry, "unit"),
        do=f'Leave unit out, or overrule the file with unit = "{unit}, not {declared}"',
    )


def check_size(geometry: Geometry, box: np.ndarray, scale: Scale, what: str = "the part") -> tuple[str, ...]:
    """Remarks on the size of a box (3,) [mm]. Raises GeometryError with the other readings when it cannot be a
    vehicle part."""
    side = float(box.max())
    if SMALLEST <= side <= LARGEST:
        odd = side < REMARK_SMALL or side > REMARK_LARGE
        return (
            (f"{what} is {in_words(box)} in {scale.unit}: unusual for a vehicle part, check the unit",) if odd else ()
        )
    others = "; ".join(f"{in_words(box / scale.factor * MILLIMETRES[u])} if {u}" for u in OFFERED if u != scale.unit)
    wrong = f"under {SMALLEST:g} mm, too small" if side < SMALLEST else f"over {LARGEST / 1000:g} m, too large"
    do = f'State unit = "mm, not {scale.unit}" (or another)' if "declared" in scale.source else "State the right unit"
    raise GeometryError(
        f"{what} is {in_words(box)} in {scale.unit} ({scale.source}): {wrong} for a part of a small vehicle; "
        f"it would be {others}",
        where=_where(geometry, "unit"),
        do=f"{do}, or give the file of the part alone",
    )


def in_words(box: np.ndarray) -> str:
    """A box (3,) [mm] as people write it."""
    unit, size = ("m", box / 1000) if box.max() >= 10000 else ("mm", box)
    return " x ".join(f"{v:.4g}" for v in size) + f" {unit}"


def _where(geometry: Geometry, field: str) -> str:
    return f"{geometry.place or geometry.path} ({field})"


def _unknown(geometry: Geometry) -> GeometryError:
    return GeometryError(
        f"unit '{geometry.unit}' is not a length unit",
        where=_where(geometry, "unit"),
        do="State one of mm, cm, m, um, inch, foot",
    )
