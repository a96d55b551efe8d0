"""Which way up: the directions nothing beats, a stated rule that picks one, and what another pick costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from printworthy.errors import InputError
from printworthy.making.figures import DirectionFigures


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule of choice as numbers: utilisation raised by its relative error must stay below `limit`; the part with its
    supports must stand on a bed tilted by `least_slope` [-]."""

    utilisation_error: float
    limit: float = 1.0
    least_slope: float = 0.0

    def __post_init__(self) -> None:
        if not (self.utilisation_error >= 0 and self.limit > 0 and self.least_slope >= 0):
            raise InputError("a rule of choice with a negative error, limit or slope", do="State 0 or more")

    @property
    def words(self) -> str:
        """The rule in words."""
        return (
            f"Of the directions whose utilisation, raised by its error of {100 * self.utilisation_error:.3g} %, is "
            f"below {self.limit:g}, which fit the build space and which stand with their supports on a bed tilted by "
            f"{self.least_slope:g}: the one with the least support; where support is the same within its resolution, "
            "the lowest; where that is the same, the least utilised. If no direction is below the limit: the least "
            "utilised of those that fit and stand."
        )


@dataclass(frozen=True, slots=True)
class Choice:
    """What a rule picked from N directions: `index`; how many are strong enough, fit and stand, and do both; whether
    the picked one does both; the rule and the finding in words."""

    index: int
    strong: int
    buildable: int
    both: int
    met: bool
    rule: str
    words: str


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure of two directions, and what going from the one to the other changes."""

    name: str
    unit: str
    chosen: float
    other: float

    @property
    def change(self) -> float:
        """other - chosen."""
        return self.other - self.chosen


def pareto(columns: np.ndarray, minimise: Sequence[bool]) -> np.ndarray:
    """Rows of columns (N, k) that no other row beats, ascending (q,). Equal rows do not beat each other.

    minimise (k,): True where less is better, False where more is. A row is beaten by one that is nowhere worse and
    somewhere better. Raises InputError for numbers that are not finite: they cannot be compared.
    """
    table = np.array(columns, dtype=float)
    if table.ndim != 2 or len(minimise) != table.shape[1]:
        raise InputError(f"{len(minimise)} senses for a table of shape {table.shape}", do="Give one for each column")
    if not np.isfinite(table).all():
        raise InputError("figures that are not finite cannot be compared")
    table *= np.where(minimise, 1.0, -1.0)
    order = np.lexsort(table.T[::-1])  # nothing beats a row that comes before it
    kept = np.zeros((0, table.shape[1]))
    found = []
    for i in order:
        row = table[i]
        if not ((kept <= row).all(axis=1) & (kept < row).any(axis=1)).any():
            found.append(i)
            kept = np.vstack([kept, row])
    return np.sort(np.array(found, dtype=np.int64))


def choose(figures: DirectionFigures, utilisation: np.ndarray, rule: Rule) -> Choice:
    """The direction the rule picks, given the utilisation (N,) of each. Raises InputError for one that is missing."""
    used = np.asarray(utilisation, dtype=float)
    if used.shape != (len(figures),) or not np.isfinite(used).all():
        raise InputError(
            f"{len(figures)} build directions need as many utilisations", do="Compute those that are missing"
        )
    strong = used * (1 + rule.utilisation_error) < rule.limit
    buildable = figures.fits & (figures.tip_slope_supported >= rule.least_slope)
    both = strong & buildable
    total, fit = len(used), int(buildable.sum())
    if both.any():
        index, why = _least_support(figures, used, np.flatnonzero(both))
    elif buildable.any():
        index = _first(np.flatnonzero(buildable), used)
        why = f"no direction that fits and stands is below {rule.limit:g}: the least utilised of {fit} that do"
    else:
        index = _first(np.arange(len(used)), used)
        why = "no direction fits the build space and stands: the least utilised of all, to show what would be gained"
    counts = f"{strong.sum()} of {total} directions are strong enough, {fit} fit and stand, {both.sum()} do both"
    words = f"{counts}; {why}."
    return Choice(index, int(strong.sum()), fit, int(both.sum()), bool(both[index]), rule.words, words)


def _least_support(figures: DirectionFigures, used: np.ndarray, among: np.ndarray) -> tuple[int, str]:
    """The least support; within its resolution the lowest; then the least utilised."""
    volume, error = figures.support_volume[among], figures.support_error[among]
    least = int(np.argmin(volume))
    same = volume <= volume[least] + error + error[least]
    index = _first(among[same], figures.height, used)
    why = f"the least support is {volume[least]:.4g} mm3"
    if same.sum() > 1:
        why += f", {same.sum()} directions are as good within the resolution"
        why += f", the lowest of them has {figures.height[index]:.4g} mm"
    return index, why


def _first(among: np.ndarray, *keys: np.ndarray) -> int:
    """The number of `among` whose keys are least, the first key first."""
    return int(among[np.lexsort([key[among] for key in reversed(keys)])[0]])


def differences(figures: DirectionFigures, utilisation: np.ndarray, chosen: int, other: int) -> tuple[Difference, ...]:
    """What a person's own pick costs against the chosen direction, figure by figure."""
    rows = [
        ("utilisation", "-", utilisation),
        ("printed height", "mm", figures.height),
        ("support volume", "mm3", figures.support_volume),
        ("support on the part", "mm2", figures.support_on_part),
        ("overhang", "mm2", figures.overhang_area),
        ("contact with the bed", "mm2", figures.contact_area),
        ("tip slope with supports", "-", figures.tip_slope_supported),
        ("over the bed", "mm", figures.over_bed),
        ("over the height", "mm", figures.over_height),
        *((f"overhang on {name}", "mm2", figures.overhang_on[:, i]) for i, name in enumerate(figures.faces)),
        *((f"angle of {name}", "deg", figures.round_angle[:, i]) for i, name in enumerate(figures.rounds)),
    ]
    return tuple(Difference(name, unit, float(v[chosen]), float(v[other])) for name, unit, v in rows)
