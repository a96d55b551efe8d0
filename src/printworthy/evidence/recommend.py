"""The one A- and B-basis the handbook's flow leads to, with the path taken in words.

Flow: CMH-17-1G Vol. 1, 8.3.1 and figure 8.3.1.1 (order of the distributions and the sample sizes from memory; its
worked cases 8.3.11.2.1 and 8.3.11.2.2 are compared in tests/validation/test_cmh17_flow.py). Decisions keep their own
limit (`limits.joined`), which adds the least scatter believed and stays positive.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import fdtrc

from printworthy.evidence import basis
from printworthy.evidence.batches import LEVEL, k_sample
from printworthy.evidence.coupons import SMALLEST, alike, between_batch_limit, spread
from printworthy.evidence.fits import FEWEST, REJECTED, Family, fits

ORDER: tuple[Family, ...] = ("normal", "Weibull", "lognormal")  # the handbook asks for them in this order
LIMITS: dict[Family, Callable[[Sequence[float], float], float]] = {
    "normal": basis.normal_limit,
    "Weibull": basis.weibull_limit,
    "lognormal": basis.lognormal_limit,
}
B, A = 0.90, 0.99
EQUAL = 0.05  # level of the test of equal variances
FEWEST_BATCHES = 5  # below, the handbook warns that the limit across batches is very low
REDUCED = 18  # values in three batches for a B-basis by reduced sampling
FULL_A = 55  # values in five batches for an A-basis


@dataclass(frozen=True, slots=True)
class Recommended:
    """`method` in a few words, B- and A-basis [MPa], the questions asked with their answers, and what speaks against
    relying on it. `b`, `a` None: the flow recommends none. A value that is not positive says only: too few coupons."""

    method: str
    b: float | None
    a: float | None
    path: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Levene:
    """Test of equal variances: `statistic` F [-] and its `significance` [-]."""

    statistic: float
    significance: float

    @property
    def differ(self) -> bool:
        """Whether the variances are told apart at 5 %."""
        return self.significance <= EQUAL


def levene(samples: Sequence[Sequence[float]]) -> Levene | None:
    """Levene's test of samples (k, n_i) about their medians (M. B. Brown and A. B. Forsythe, J. Amer. Statist. Assoc.
    69 (1974) 364), the form of CMH-17-1G 8.3.5.2. None where fewer than two samples hold three values, or all of them
    lie equally far from their medians."""
    groups = [np.asarray(s, dtype=float) for s in samples if len(s) >= SMALLEST]
    away = [np.abs(g - np.median(g)) for g in groups]
    if len(groups) < 2 or all(np.ptp(w) == 0 for w in away):
        return None
    found = spread(away)
    statistic = found.between / found.within
    return Levene(statistic, float(fdtrc(len(away) - 1, sum(map(len, away)) - len(away), statistic)))


def recommended(batches: Sequence[Sequence[float]]) -> Recommended | None:
    """Basis values of batches (k, n_i) [MPa] by the handbook's flow; None below three values or for equal ones."""
    values = [x for b in batches for x in b]
    if len(values) < SMALLEST or min(values) <= 0 or alike(values):
        return None
    apart, asked = _batches(batches)
    found = _across(batches) if apart else _pooled(values)
    small = list(found.cautions)
    if found.b is not None and (len(values) < REDUCED or len(batches) < 3):
        made = f"{len(values)} values of {len(batches)} batch{'es' if len(batches) > 1 else ''}"
        small.append(f"{made}: an estimate; the handbook publishes a B-basis from {REDUCED} values in three batches")
    if found.a is not None and len(values) < FULL_A:
        small.append(f"an A-basis is published from {FULL_A} values in five batches: an estimate too")
    return Recommended(found.method, found.b, found.a, (asked, *found.path), tuple(small))


def _batches(batches: Sequence[Sequence[float]]) -> tuple[bool, str]:
    several = [b for b in batches if len(b) > 1]
    if len(batches) == 1:
        return False, "one batch: nothing to pool, and nothing known about the next batch"
    if len(several) < 2:
        return False, f"{len(batches)} batches, too small to be compared: pooled untested"
    test = k_sample(several, midranks=True)  # the handbook's form
    share = f"{100 * LEVEL:g} %"
    figures = f"k-sample Anderson-Darling {test.standard:.2f}, limit {test.critical:.2f} at {share}, "
    figures += f"significance {test.significance:.2g}"
    if test.differ:
        return True, f"batches are not one population ({figures})"
    return False, f"batches may be pooled ({figures})"


def _pooled(values: Sequence[float]) -> Recommended:
    shapes = {fit.family: fit for fit in fits(values)}
    if not shapes:
        untested = f"fewer than {FEWEST} values: no distribution can be tested, normal is taken"
        return _by_family("normal", values, (untested,))
    path: tuple[str, ...] = ()
    for family in ORDER:
        level = shapes[family].significance
        if level >= REJECTED:
            return _by_family(family, values, (*path, f"{family} not rejected (significance {level:.3g})"))
        path += (f"{family} rejected (significance {level:.2g} below {REJECTED:g})",)
    return _free(values, path)


def _by_family(family: Family, values: Sequence[float], path: tuple[str, ...]) -> Recommended:
    limit = LIMITS[family]
    return Recommended(family, limit(values, B), limit(values, A), path, ())


def _free(values: Sequence[float], path: tuple[str, ...]) -> Recommended:
    """No distribution: an order statistic where the sample is large enough, else Hanson-Koopmans."""
    names, limits = [], []
    for p in (B, A):
        rank = basis.order_statistic(len(values), p)
        names.append("Hanson-Koopmans" if rank is None else f"value number {rank} from below")
        limits.append(basis.hanson_koopmans_limit(values, p) if rank is None else sorted(values)[rank - 1])
    method = f"no distribution, {names[0]}" + (f" (A: {names[1]})" if names[1] != names[0] else "")
    return Recommended(method, limits[0], limits[1], (*path, f"no distribution left: {names[0]}"), ())


def _across(batches: Sequence[Sequence[float]]) -> Recommended:
    if len(batches) < 3:
        why = "two batches that differ: scatter between batches is not known from two of them"
        return Recommended("none", None, None, (why,), ("make a third batch; until then use the weaker one alone",))
    if sum(len(b) for b in batches) <= len(batches) + 1:
        return Recommended("none", None, None, ("batches of one coupon each",), ("break several of each batch",))
    test = levene(batches)
    cautions: list[str] = []
    if test is None:
        asked = "batches too small to compare their variances: taken as equal"
        cautions.append("equal variances were assumed, not tested")
    else:
        figures = f"Levene about medians, F = {test.statistic:.3g}, significance {test.significance:.2g}"
        asked = f"variances {'differ' if test.differ else 'may be equal'} ({figures})"
        if test.differ:
            cautions.append("the analysis of variance rests on equal variances: find out why one batch scatters more "
                            "before using this")  # fmt: skip
    if len(batches) < FEWEST_BATCHES:
        cautions.append(f"{len(batches)} batches: with fewer than {FEWEST_BATCHES} this limit is very low, since it "
                        "also speaks for batches not yet made")  # fmt: skip
    b, a = (between_batch_limit(batches, p=p, confidence=basis.CONFIDENCE) for p in (B, A))
    path = (asked, "one-way analysis of variance with batches as random effect")
    return Recommended("analysis of variance", b, a, path, tuple(cautions))
