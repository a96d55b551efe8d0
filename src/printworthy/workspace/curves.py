"""Pull curves: force against displacement, strain or time, one coupon a file -> strength, modulus, strain at break.

Heading: `force [N]` (or `stress [MPa]`) and one of `displacement [mm]`, `strain [%]`, `time [s]`, each with its unit.
Modulus: chord between 0.05 % and 0.25 % strain, ISO 527-1; strain at break: the last reading before the stress has
fallen to a tenth of the strength (ISO 527-1, from memory). Displacement of the crosshead holds the give of the machine,
so a modulus taken from it is a low one.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from printworthy import units
from printworthy.errors import CardError, InputError, Place
from printworthy.workspace.files import read_text

CHORD = (0.0005, 0.0025)  # [-] strains of the chord modulus, ISO 527-1
FEWEST = 10  # readings that make a curve
IN_CHORD = 4  # readings that must lie on the chord
SLIP = 0.05  # share of the peak force; a fall and a new rise of that size before the peak is a slip
BROKEN = 0.10  # share of the strength at which a coupon counts as broken, ISO 527-1 from memory
PRELOADED = 0.20  # share of the peak force at the first reading, beyond which the start of the curve is missing
LARGEST_STRAIN = 10.0  # [-] no printed polymer is pulled to eleven times its length
BACKWARDS = 0.02  # share of the whole travel by which it may run back (noise)
KEPT = 60  # points kept for drawing
COLUMNS = {
    "force": "force",
    "stress": "stress",
    "displacement": "length",
    "strain": "ratio",
    "time": "time",
}
_HEADING = re.compile(r"\s*([a-z]+)\s*\[([^\]]+)\]\s*")


@dataclass(frozen=True, slots=True)
class Curve:
    """What one curve gives: `strength`, `modulus` [MPa], `strain` at break [-], or None with the remark that says why;
    `points` (m <= 60) of strain [-] and stress [MPa] for drawing; `remarks` with file and line."""

    strength: float
    modulus: float | None
    strain: float | None
    points: tuple[tuple[float, float], ...]
    remarks: tuple[str, ...]


def read_curve(path: Path, root: Path | None, *, area: float, gauge: float | None) -> Curve:
    """One coupon's curve; `area` [mm^2], `gauge` length [mm] (needed where displacement is given).

    Raises:
        InputError: no sound curve: columns, numbers, too few readings, travel that runs back, figures no coupon has.
    """
    kinds, lines, table = _table(path, root)
    stress = table[kinds.index("force")] / area if "force" in kinds else table[kinds.index("stress")]
    along = next(k for k in kinds if k not in ("force", "stress"))
    travel = table[kinds.index(along)]
    back = np.maximum.accumulate(travel) - travel
    if back.max() > BACKWARDS * np.ptp(travel):
        where = Place(path, lines[int(np.argmax(back))], along)
        raise CardError(f"{along} runs backwards", where=where, do="One coupon a file; check that columns fit the head")
    if along == "displacement" and gauge is None:
        where = Place(path, lines[0], along)
        raise CardError("displacement without a gauge length", where=where, do="Fill in gauge length in its row")
    if stress[0] > PRELOADED * stress.max():
        where = Place(path, lines[0])
        what = f"begins at {100 * stress[0] / stress.max():.0f} % of its peak"
        raise CardError(what, where=where, do="Record from zero force; columns may be exchanged")
    strength = float(stress.max())
    if along == "time":
        remark = f"{Place(path, lines[0], 'time')}: time is not displacement: no modulus, no strain"
        return Curve(strength, None, None, (), (remark,))
    strain = (travel - travel[0]) / (gauge or 1.0) if along == "displacement" else travel - travel[0]
    if strain.max() > LARGEST_STRAIN:
        what = f"amounts to a strain of {100 * strain.max():.0f} %"
        do = "Check the unit and the gauge length; columns may be exchanged"
        raise CardError(what, where=Place(path, lines[int(strain.argmax())], along), do=do)
    return _reduced(path, lines, strain, stress)


def _reduced(path: Path, lines: Sequence[int], strain: np.ndarray, stress: np.ndarray) -> Curve:
    """Strength, modulus and strain at break of a curve that is sound in form."""
    peak = int(stress.argmax())
    end = peak + int(np.argmax(np.append(stress[peak:], 0.0) <= BROKEN * stress[peak]))
    slipped = _slip(stress[: peak + 1])
    if slipped is not None:
        fall = 100 * (stress[:slipped].max() - stress[slipped]) / stress[peak]
        remark = (
            f"{Place(path, lines[slipped])}: the force falls by {fall:.0f} % of its peak and rises again: the grip "
            "slipped or a bead broke. No modulus and no strain are taken; the strength stands"
        )
        return Curve(float(stress[peak]), None, None, _thin(strain[:end], stress[:end]), (remark,))
    slack = toe(strain[: peak + 1], stress[: peak + 1])
    remarks = []
    if slack > CHORD[0]:
        remarks.append(
            f"{Place(path, lines[0])}: begins with slack, {100 * slack:.2f} % strain before it takes load: strain is "
            "counted from where the steepest tangent meets zero"
        )
        strain = strain - slack
    modulus = chord_modulus(strain[: peak + 1], stress[: peak + 1])
    if modulus is None:
        remarks.append(
            f"{Place(path, lines[0])}: fewer than {IN_CHORD} readings between {100 * CHORD[0]:g} and "
            f"{100 * CHORD[1]:g} % strain: no modulus"
        )
    broken = float(strain[max(end - 1, 0)])
    return Curve(float(stress[peak]), modulus, broken, _thin(strain[:end], stress[:end]), tuple(remarks))


def chord_modulus(strain: np.ndarray, stress: np.ndarray) -> float | None:
    """Slope [MPa] of the chord from 0.05 to 0.25 % strain, ISO 527-1; strain (n,) [-] rising, stress (n,) [MPa].

    None where fewer than four readings lie on the chord or the curve ends before it.
    """
    inside = (strain >= CHORD[0]) & (strain <= CHORD[1])
    if strain[-1] < CHORD[1] or np.count_nonzero(inside) < IN_CHORD:
        return None
    low, high = np.interp(CHORD, np.maximum.accumulate(strain), stress)
    return float((high - low) / (CHORD[1] - CHORD[0]))


def toe(strain: np.ndarray, stress: np.ndarray) -> float:
    """Strain [-] at which the steepest tangent meets zero stress: slack taken up before the coupon bears load.

    strain (n,) [-], stress (n,) [MPa] up to the peak. ASTM D638 annex A1 (toe compensation), from memory; the tangent
    is a least-squares line over a tenth of the strain up to the peak, at least five readings.
    """
    width = max(0.1 * float(strain[-1] - strain[0]), 1e-9)
    best, at = 0.0, 0.0
    for first in range(len(strain) - FEWEST // 2 + 1):
        last = max(int(np.searchsorted(strain, strain[first] + width, side="right")), first + FEWEST // 2)
        if last > len(strain):
            break
        x, y = strain[first:last], stress[first:last]
        spread = float(((x - x.mean()) ** 2).sum())
        slope = float(((x - x.mean()) * (y - y.mean())).sum()) / spread if spread > 0 else 0.0
        if slope > best:
            best, at = slope, float(x.mean()) - float(y.mean()) / slope
    return max(at, 0.0)


def _slip(stress: np.ndarray) -> int | None:
    """Number of the reading at the bottom of a fall before the peak, None without one."""
    fall = np.maximum.accumulate(stress) - stress
    deepest = int(fall.argmax())
    return deepest if fall[deepest] > SLIP * stress[-1] else None


def _thin(strain: np.ndarray, stress: np.ndarray) -> tuple[tuple[float, float], ...]:
    if not len(strain):
        return ()
    chosen = np.unique(np.linspace(0, len(strain) - 1, KEPT).round().astype(int))
    return tuple((float(f"{strain[i]:.6g}"), float(f"{stress[i]:.6g}")) for i in chosen)


def _table(path: Path, root: Path | None) -> tuple[list[str], list[int], np.ndarray]:
    """Kinds of the columns, line of each reading, and the readings (columns, n) in inside units."""
    text = read_text(path, root).split("\n")
    rows = [(n, line) for n, line in enumerate(text, 1) if line.strip() and not line.startswith("#")]
    head = Place(path, rows[0][0]) if rows else Place(path)
    kinds, scales = _heading(head, rows[0][1] if rows else "")
    lines, values = [], []
    for number, line in rows[1:]:
        values.append(list(_numbers(Place(path, number), line, kinds)))
        lines.append(number)
    if len(values) < FEWEST:
        raise CardError(f"holds {len(values)} readings", where=head, do=f"A curve needs {FEWEST} or more")
    table = np.array(values).T * np.array(scales)[:, None]
    load = table[next(i for i, kind in enumerate(kinds) if kind in ("force", "stress"))]
    if load.max() <= 0.0:
        raise CardError(
            "never rises above zero", where=Place(path, lines[0], "force"), do="Change the sign of the force"
        )
    return kinds, lines, table


def _heading(place: Place, line: str) -> tuple[list[str], list[float]]:
    do = "Write: force [N],displacement [mm] (or stress [MPa]; strain [%]; time [s])"
    kinds, scales = [], []
    for cell in line.split(","):
        found = _HEADING.fullmatch(cell)
        if found is None or found[1] not in COLUMNS:
            raise CardError(f'column "{cell.strip()}" is not a quantity with its unit', where=place, do=do)
        kinds.append(found[1])
        try:
            unit = "" if found[1] == "strain" and found[2] in ("-", "mm/mm", "in/in") else found[2]
            scales.append(units.quantity(f"1 {unit}", COLUMNS[found[1]]))
        except InputError as error:
            raise CardError(error.what, where=Place(place.file, place.line, found[1]), do=error.do) from error
    if sorted(k in ("force", "stress") for k in kinds) != [False, True]:
        raise CardError("one column of load and one of travel are needed", where=place, do=do)
    return kinds, scales


def _numbers(place: Place, line: str, kinds: Sequence[str]) -> Iterator[float]:
    cells = next(csv.reader([line]))
    if len(cells) != len(kinds):
        raise CardError(f"has {len(cells)} cells under {len(kinds)} columns", where=place, do="Decimals with a point")
    for kind, cell in zip(kinds, cells, strict=True):
        try:
            value = float(cell)
        except ValueError:
            value = float("nan")
        if not np.isfinite(value):
            what = f'"{cell.strip()}" is not a finite number'
            raise CardError(what, where=Place(place.file, place.line, kind), do="Correct it, or leave the line out")
        yield value
