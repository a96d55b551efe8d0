"""Weighed pieces by hand: 20 cm3 of a polymer of 1.24 g/cm3 weigh 24.8 g."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.errors import CardError, Place
from printworthy.evidence.bead import bead_area, bonded_fraction, closing_pitch, rigid_void_fraction, void_fraction
from printworthy.evidence.capability import capability
from printworthy.evidence.weighing import weight
from printworthy.inputs import MaterialCard, Quantity, Weighing
from printworthy.workspace.rules import read_rules

RULES = read_rules()
VOLUME = 20000.0
BEAD = (0.5, 0.25, 0.475, 1.0)  # 6.03 % voids


def card(low: float = 1.24, high: float = 1.24) -> MaterialCard:
    return MaterialCard("pla", "", "printed polymer", {"density": Quantity(1.24, "g/cm3", "t", "published", low, high)})


def weighing(grams: float, **changed: object) -> Weighing:
    stated = {
        "piece": "one", "part": "peg", "material": "pla", "mass": grams / 1000, "density": None, "bead": None,
        "source": "scale", "invented": False, "place": Place(Path("w.csv"), 2),
    } | changed  # fmt: skip
    return Weighing(**stated)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("grams", "bead", "finding"),
    [
        (24.8, None, "as planned"),
        (24.1, None, "as planned"),  # 0.972
        (24.0, None, "under-extruded"),  # 0.968
        (25.6, None, "over-extruded"),  # 1.032
        (23.3, BEAD, "as planned"),  # planned 0.9397 x 24.8 = 23.30
        (22.5, BEAD, "under-extruded"),  # 0.9655 of that
        (24.8, BEAD, "over-extruded"),
        (22.5, (0.5, 0.25, 0.475, 0.96), "as planned"),  # set to 96 %: planned 0.9021 x 24.8 = 22.37
    ],
)
def test_a_piece_against_its_plan(grams: float, bead: tuple[float, float, float, float] | None, finding: str) -> None:
    made = weight(card(), VOLUME, [weighing(grams, bead=bead)], RULES)
    assert made is not None
    (piece,) = made.pieces
    assert piece.finding == finding
    assert piece.low == piece.high == pytest.approx(grams / 24.8)
    assert 1000 * made.low == 1000 * made.high == pytest.approx(24.8)


def test_a_card_that_knows_its_density_by_five_percent_decides_nothing_near_the_limit() -> None:
    loose = weight(card(1.20, 1.28), VOLUME, [weighing(24.0)], RULES)
    measured = weight(card(1.20, 1.28), VOLUME, [weighing(24.0, density=1.24)], RULES)
    assert loose is not None
    assert measured is not None
    assert (loose.pieces[0].finding, measured.pieces[0].finding) == ("not decided", "under-extruded")
    assert (1000 * loose.low, 1000 * loose.high) == pytest.approx((24.0, 25.6))


def test_what_is_left_of_the_strength_is_a_range_by_hand() -> None:
    """A tenth of the polymer missing: 0.81 to 0.9 in the layer; between layers the cusps of 0.25 mm layers open."""
    made = weight(card(), VOLUME, [weighing(0.9 * 23.3045, bead=BEAD)], RULES)
    assert made is not None
    (piece,) = made.pieces
    assert piece.in_layer == pytest.approx((0.81, 0.9), rel=1e-3)
    # voids 6.03 % planned, 1 - 0.9 x 0.9397 = 15.43 %: gaps 0.1827 and 0.2922 mm of 0.475
    assert piece.between == pytest.approx(((0.475 - 0.2922) / (0.475 - 0.1827), 0.9), rel=2e-3)


@pytest.mark.parametrize("grams", [28.0, 4.0, 24800.0])
def test_a_mass_no_print_of_the_part_has_is_one_line(grams: float) -> None:
    with pytest.raises(CardError) as stop:
        weight(card(), VOLUME, [weighing(grams)], RULES)
    assert str(stop.value).startswith("w.csv:2: ")
    assert "cannot be peg: a solid one of pla weighs 24.8 g" in str(stop.value)


def test_other_polymers_pieces_are_not_taken_and_no_density_gives_nothing() -> None:
    made = weight(card(), VOLUME, [weighing(20.0, material="petg")], RULES)
    assert made is not None
    assert made.pieces == ()
    assert weight(MaterialCard("pla", "", "printed polymer", {}), VOLUME, [weighing(24.0)], RULES) is None


SIZE = st.floats(0.1, 0.6).flatmap(lambda h: st.tuples(st.floats(1.05 * h, 4 * h), st.just(h)))


@given(SIZE, st.floats(0.0, 1.0))
def test_rigid_outlines_leave_at_least_as_much_void_as_melt_that_flows(size: tuple[float, float], share: float) -> None:
    width, height = size
    pitch = width - share * (width - closing_pitch(width, height))
    flowing, rigid = void_fraction(width, height, pitch), rigid_void_fraction(width, height, pitch)
    assert -1e-12 <= flowing <= rigid + 1e-12
    assert 0 <= bonded_fraction(height, pitch, flowing) <= 1
    assert bonded_fraction(height, pitch, rigid) <= bonded_fraction(height, pitch, flowing) + 1e-12


@given(SIZE, st.floats(0.7, 1.0))
def test_less_flow_is_more_void_and_less_bond(size: tuple[float, float], flow: float) -> None:
    width, height = size
    pitch = closing_pitch(width, height)
    void = void_fraction(width, height, pitch, flow)
    assert void == pytest.approx(1 - flow, abs=1e-12)
    assert bonded_fraction(height, pitch, void) <= bonded_fraction(height, pitch, void / 2) + 1e-12


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: bead_area(0.2, 0.3), lambda: bead_area(0.2, 0.0), lambda: void_fraction(0.5, 0.25, 0.0),
        lambda: void_fraction(0.5, 0.25, 0.45, 0.0), lambda: rigid_void_fraction(0.5, 0.25, 0.2),
        lambda: capability([1.0], 0.0, 2.0), lambda: capability([1.0, 1.0], 0.0, 2.0),
        lambda: capability([1.0, 1.1], 2.0, 0.0),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(wrong: object) -> None:
    with pytest.raises(CardError):
        wrong()  # type: ignore[operator]


@given(st.lists(st.floats(9.9, 10.1), min_size=3, max_size=20), st.floats(0.05, 1.0))
def test_capability_is_never_promised_above_what_was_measured(values: list[float], tolerance: float) -> None:
    if len(set(values)) > 1 and max(values) - min(values) > 1e-6:
        found = capability(values, 10 - tolerance, 10 + tolerance)
        assert found.cpk <= found.cp + 1e-9
        assert found.cp_low <= found.cp
        assert found.cpk_low <= found.cpk
