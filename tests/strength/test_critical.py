"""Critical-distance value: against Kirsch's field, facets of a hole, and a re-entrant corner under refinement.

G. Kirsch, Zeitschrift des VDI 42 (1898) 797-807: on the line out of the side of a hole of radius a in a wide plate the
stress along the pull is sigma (1 + (a/r)^2 / 2 + 3 (a/r)^4 / 2). Its mean over a length is integrated by hand below.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from notches import CARD, HUGE, UNIT, first_rung, holed, ready, shoulder, tough
from scipy.integrate import quad

from printworthy.inputs import MaterialCard, Part, Quantity
from printworthy.results import CriticalDistance, DesignValues, MeshBracket
from printworthy.strength import utilisation
from printworthy.strength.criteria import Strengths
from printworthy.strength.critical import critical_length, critical_value, decisive, lengths
from printworthy.strength.places import governing_distance
from printworthy.strength.refine import Rung, marked, refined, refined_near, rung
from printworthy.strength.system import model, prepared
from specimens import Specimen, design_values

UP = (0, 0, 1)
LENGTH = 0.25  # L over the radius of the hole, which is 1
WIDE = 1.004  # peak of a strip of d/W = 0.05 against the wide plate: Howland 1930, 3.01, from memory


def kirsch_mean(length: float) -> float:
    """Mean of Kirsch's stress over the first `length` radii. Own integration."""
    end = 1 + length
    return ((end - 1) + 0.5 * (1 - 1 / end) + 0.5 * (1 - 1 / end**3)) / length


def at(found: Rung, point: tuple[float, ...], card: MaterialCard, design: DesignValues = UNIT) -> CriticalDistance:
    return critical_value(found.model, found.solution, 0, point, design, 1.0, card)


def finer(found: Rung) -> Rung:
    solid, faces = refined(found.model.space.solid, found.model.space.faces, marked(found, Strengths.of(UNIT)))
    return rung(model(prepared(solid, faces), found.model.part, CARD, UP), Strengths.of(UNIT), UP, 1.0)


def test_kirsch_mean_by_quadrature() -> None:
    for length in (0.1, 0.5, 3.0):
        expected = quad(lambda r: 1 + 0.5 / r**2 + 1.5 / r**4, 1, 1 + length)[0] / length
        assert kirsch_mean(length) == pytest.approx(expected, rel=1e-12)
    assert kirsch_mean(1e-6) == pytest.approx(3, abs=1e-4)


def test_length_of_a_known_pair() -> None:
    # A crack of half length c in a wide plate breaks at K = sigma sqrt(pi c); at sigma = strength, c is L itself.
    strength, length = 50.0, 0.4
    toughness = strength * np.sqrt(np.pi * length / 1000)
    assert critical_length(toughness, strength) == pytest.approx(length, rel=1e-12)


def test_lengths_come_from_the_low_end_and_the_strength_before_knock_down() -> None:
    wide = Quantity(2.0, "MPa m^0.5", "test", "invented", low=1.0, high=4.0)
    card = replace(CARD, values={**CARD.values, "toughness_in_layer": wide})
    design = design_values(40, 20, 20, 20, 80, 80)
    knocked = replace(design, in_layer=replace(design.in_layer, value=25.0))
    assert lengths(card, knocked).in_layer == pytest.approx(critical_length(1.0, 40.0), rel=1e-12)
    assert lengths(card, knocked).between is None


def test_smooth_hole_gives_the_mean_of_kirsch() -> None:
    plate = holed(20.0, 20.0, 0.4, 4.0)
    near = refined_near(ready(plate), [(0, 1, 0.2)], 2.5 * LENGTH, 0.25 * LENGTH)
    found = at(first_rung(plate, near), (0, 1, 0.2), tough(LENGTH))
    assert found.valid
    assert found.value == pytest.approx(WIDE * kirsch_mean(2 * LENGTH), rel=0.015)
    r = 1 + LENGTH / 2
    assert found.at_half == pytest.approx(WIDE * (1 + 0.5 / r**2 + 1.5 / r**4), rel=0.02)
    assert found.raw == pytest.approx(3 * WIDE, rel=0.02)
    assert found.length == pytest.approx(LENGTH, rel=1e-9)


def test_facets_raise_the_peak_without_limit_but_not_the_mean() -> None:
    plate = holed(20.0, 20.0, 0.4, 4.0, 16)
    rungs = [first_rung(plate)]
    for _ in range(3):
        rungs.append(finer(rungs[-1]))
    raw = [r.value for r in rungs]
    assert all(b > 1.1 * a for a, b in pairwise(raw))  # grows at every halving
    assert raw[-1] > 1.4 * 3 * WIDE  # far above the smooth hole, and still growing
    values = [at(r, tuple(r.point), tough(LENGTH)) for r in rungs[2:]]
    assert all(v.valid for v in values)
    assert [v.value for v in values] == pytest.approx([WIDE * kirsch_mean(2 * LENGTH)] * 2, rel=0.04)


def test_corner_is_stable_under_refinement_while_its_peak_is_not() -> None:
    bar, card, corner = shoulder(0.2, 1.0), tough(LENGTH), (5, 2, 0.1)
    coarse = refined_near(ready(bar), [corner], 2.1 * LENGTH, LENGTH / 2)
    fine = refined_near(coarse, [corner], 2.1 * LENGTH, LENGTH / 4)
    one, two = (at(first_rung(bar, mesh), corner, card) for mesh in (coarse, fine))
    assert one.valid
    assert two.valid
    assert two.raw > 1.3 * one.raw
    assert two.value == pytest.approx(one.value, rel=0.03)
    assert 1 < two.value < two.raw  # above the mean stress of the ligament, which is the pull of 1 MPa


def test_whole_part_follows_the_corner() -> None:
    bar, card, corner = shoulder(0.2, 1.0), tough(LENGTH), (5, 2, 0.1)
    result = utilisation(bar.model, UP, UNIT, 1.5)
    found = governing_distance(bar.model, result, UNIT, card)
    alone = at(first_rung(bar, refined_near(ready(bar), [corner], 2.1 * LENGTH, LENGTH / 2)), corner, card)
    assert found.valid
    assert found.value == pytest.approx(1.5 * alone.value, rel=0.03)
    assert found.point[:2] == pytest.approx((5, 2), abs=1e-9)
    without = governing_distance(bar.model, result, UNIT, CARD)
    assert without.value is None
    assert "no toughness" in without.words


def test_reasons_for_not_being_valid() -> None:
    bar, corner = shoulder(0.2, 1.0), (5, 2, 0.1)
    coarse = first_rung(bar)
    assert "do not resolve" in at(coarse, corner, tough(0.05)).words
    assert "quarter of the wall" in at(coarse, corner, tough(2.0)).words


def test_compression_is_not_averaged() -> None:
    bar, corner = shoulder(0.2, 1.0), (5, 2, 0.1)
    mesh = refined_near(ready(bar), [corner], 2.1 * LENGTH, LENGTH / 2)
    crushable = design_values(1.0, HUGE, HUGE, HUGE, 1e-3, HUGE)  # any pressure at all across the layer governs
    design = replace(UNIT, compression_in_layer=crushable.compression_in_layer)
    pushed = rung(model(mesh, pushed_part(bar), CARD, UP), Strengths.of(design), UP, 1.0)
    found = at(pushed, corner, tough(LENGTH), design)
    assert not found.valid
    assert found.mode == "in the layer, compression"
    assert "say nothing" in found.words
    assert found.value == found.raw


def pushed_part(bar: Specimen) -> Part:
    case = bar.model.part.cases[0]
    load = replace(case.loads[0], value=1.0)
    return replace(bar.model.part, cases=(replace(case, loads=(load,)),))


def bracket_record(converging: bool, facet: float | None = None) -> MeshBracket:
    return MeshBracket(
        "case", (0.0, 0.0, 1.0), "largest principal stress", (1.0, 1.4), (0.9, 1.3), (1.0, 0.5),
        ((0.0, 0.0, 0.0),) * 2, (1, 2), (3, 4), 1.3, 1.5 if converging else None, None, converging, not converging,
        facet, 5.0, 3.0, "said",
    )  # fmt: skip


def distance_record(valid: bool) -> CriticalDistance:
    return CriticalDistance(
        "case", "largest principal stress", (0.0, 0.0, 0.0), "line", 0.8, 0.9, 1.4, 0.3, 5.0, 4, valid, "said"
    )


def test_what_decides() -> None:
    good, bad = distance_record(True), distance_record(False)
    assert decisive(1.4, bracket_record(True), good, curved=True)[0] == 1.4
    assert decisive(1.4, bracket_record(True), good, curved=False)[0] == 1.4
    value, words = decisive(1.4, bracket_record(False), good, curved=True)
    assert value == 0.8
    assert "raw peak 1.40 beside, as it has no limit" in words
    value, words = decisive(1.4, bracket_record(False, 0.5), good, curved=False)
    assert value == 0.8
    assert "facets" in words
    assert decisive(1.4, bracket_record(False), bad, curved=True)[0] == 1.4
    assert decisive(1.4, bracket_record(False), None, curved=True)[0] == 1.4
