"""Everything the statistics say about the coupons of one material, pulled one way in one state."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from printworthy.evidence import basis
from printworthy.evidence.batches import apart
from printworthy.evidence.coupons import SMALLEST, alike
from printworthy.evidence.equivalence import acceptance
from printworthy.evidence.fits import FEWEST, Fit, fits
from printworthy.evidence.limits import joined
from printworthy.evidence.need import MOST as MOST_COUPONS
from printworthy.evidence.need import SCATTER, coupons_for, limit_share
from printworthy.evidence.outliers import largest_residual
from printworthy.evidence.recommend import Recommended, recommended
from printworthy.evidence.values import rule
from printworthy.inputs import CouponDirection, CouponSet, Rules

MOST = 28  # values up to which the optimum-order Hanson-Koopmans limit is listed


@dataclass(frozen=True, slots=True)
class Study:
    """Figures of one group of coupons: `limits` (name, B [MPa], A [MPa]); `recommended` the basis of the handbook's
    flow, `used` the limit that decisions take [MPa], both None below three coupons; `remarks` in words; `moduli`
    [MPa] of pull curves; `impact`: notched and fast."""

    title: str
    material: str
    direction: CouponDirection
    values: tuple[float, ...]
    batches: int
    mean: float
    deviation: float
    cv: float
    fits: tuple[Fit, ...]
    limits: tuple[tuple[str, float, float], ...]
    recommended: Recommended | None
    used: float | None
    remarks: tuple[str, ...]
    moduli: tuple[float, ...] = ()
    impact: bool = False


def studies(sets: Sequence[CouponSet], rules: Rules) -> tuple[Study, ...]:
    """One study for each material, direction, temperature, moisture, bead direction and kind of test."""
    groups: dict[tuple[object, ...], list[CouponSet]] = defaultdict(list)
    for s in sets:
        groups[(s.material, s.direction, s.temperature, s.moisture, s.beads, s.impact)].append(s)
    return tuple(_study(group, rules) for group in groups.values())


def untested(found: Sequence[Study]) -> tuple[str, ...]:
    """A line for each material that lacks coupons in the layer or between layers: each may govern a part."""
    lines = []
    for material in dict.fromkeys(s.material for s in found):
        have = {s.direction for s in found if s.material == material and not s.impact}
        for direction in ("in layer", "between layers"):
            if direction not in have:
                lines.append(f"{material}: no coupon '{direction}'. Decisions take the low end of a card there, and a "
                             "part that may injure stays not decided where it governs")  # fmt: skip
    return tuple(lines)


def for_share(study: Study, share: float, rules: Rules) -> str:
    """How many coupons let `share` [-] of the mean be used, in words; of one population, at the scatter at hand or the
    least believed."""
    minimum = rule(rules, SCATTER.get(study.direction, "minimum_cv_between"))
    cv, n = max(study.cv, minimum), len(study.values)
    wanted, at = coupons_for(share, cv, rules), f"at a scatter of {100 * cv:.1f} %"
    if wanted is None:
        most = limit_share(MOST_COUPONS, cv, rules)
        return f"no number of coupons up to {MOST_COUPONS} lets {100 * share:.4g} % of the mean be used {at}: " \
               f"{MOST_COUPONS} let {100 * most:.0f} %"  # fmt: skip
    more = "enough are at hand" if wanted <= n else f"{wanted - n} more"
    return f"{100 * share:.4g} % of the mean needs {wanted} coupons {at}: {more}"


def _study(sets: Sequence[CouponSet], rules: Rules) -> Study:
    values = tuple(x for s in sets for x in s.strengths)
    x, n, first = np.array(values), len(values), sets[0]
    deviation = 0.0 if alike(values) else float(x.std(ddof=1))
    minimum = rule(rules, SCATTER.get(first.direction, "minimum_cv_between"))
    remarks = [r for s in sets for r in s.remarks]
    used = None
    if n >= SMALLEST:
        found = joined([s.strengths for s in sets], rule(rules, "tolerance_part"), rule(rules, "tolerance_confidence"),
                       minimum)  # fmt: skip
        used = found.value
        remarks.append(f"used in decisions: {found.words}")
    else:
        gives = "1 coupon gives no lower limit" if n == 1 else f"{n} coupons give no lower limit"
        remarks.append(f"{gives}: break at least {SMALLEST}, better 5")
    remarks += _remarks(sets, values, deviation)
    for more in (5, 18):
        if n < more:
            cv = deviation / float(x.mean())
            share = limit_share(more, max(cv, minimum), rules)
            scatter = "scatter" if cv >= minimum else f"the least scatter believed, {100 * minimum:g} %,"
            remarks.append(
                f"{more} coupons with this mean and {scatter} would let {100 * share:.0f} % of the mean be used"
            )
    title = f"{first.material}, {first.direction}, {first.temperature:g} degC, "
    title += "moisture not stated" if first.moisture in ("", "not stated") else first.moisture
    title += (", notched impact" if first.impact else "") + (f", beads {first.beads}" if first.beads else "")
    flow = recommended([s.strengths for s in sets])
    return Study(title, first.material, first.direction, values, len(sets), float(x.mean()), deviation,
                 deviation / float(x.mean()), fits(values),
                 tuple(_limits(values, deviation)), flow, used, tuple(remarks),
                 tuple(m for s in sets for m in s.moduli), first.impact)  # fmt: skip


def _remarks(sets: Sequence[CouponSet], values: tuple[float, ...], deviation: float) -> list[str]:
    found = []
    if len(values) > 1 and deviation == 0:
        found.append("all values are the same: give each coupon's own, not their mean")
    odd = largest_residual(values)
    if odd is not None and odd.outlier:
        found.append(f"coupon {odd.number + 1}, {odd.value:.4g} MPa, is an outlier: residual {odd.statistic:.2f} above "
                     f"{odd.critical:.2f}; find its cause before leaving it out")  # fmt: skip
    why = apart([s.strengths for s in sets]) if len(sets) > 1 else ""
    if len(sets) > 1:
        found.append(f"batches differ: {why}" if why else "batches agree")
    for new in sets[1:]:
        old = np.array(sets[0].strengths)
        if len(old) >= SMALLEST and len(new.strengths) >= 2 and not alike(sets[0].strengths):
            test = acceptance(float(old.mean()), float(old.std(ddof=1)), new.strengths, modified=True)
            word = "accepted" if test.accepted else "not accepted"
            figures = (
                f"lowest {test.lowest:.3g} against {test.lowest_allowed:.3g}, "
                f"mean {test.mean:.3g} against {test.mean_allowed:.3g} MPa"
            )
            found.append(f"{new.title} against {sets[0].title}: {word} ({figures})")
    return found


def _limits(values: tuple[float, ...], deviation: float) -> list[tuple[str, float, float]]:
    n = len(values)
    if n < SMALLEST or deviation == 0:
        return []
    rows = [("normal", basis.normal_limit(values, 0.90), basis.normal_limit(values, 0.99)),
            ("lognormal", basis.lognormal_limit(values, 0.90), basis.lognormal_limit(values, 0.99))]  # fmt: skip
    if n >= FEWEST:
        rows.append(("Weibull", basis.weibull_limit(values, 0.90), basis.weibull_limit(values, 0.99)))
    if n <= MOST:
        free = (basis.hanson_koopmans_limit(values, p) for p in (0.90, 0.99))
        rows.append(("Hanson-Koopmans", *free))  # type: ignore[arg-type]
    return rows
