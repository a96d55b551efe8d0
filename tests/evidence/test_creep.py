"""What creep leaves of a set force. References: the Mittag-Leffler function at n = 1/2 is exp(x^2) erfc(x) (closed
form); a Volterra equation stepped in the test; the exponential of one dashpot as n nears 1."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special

from printworthy.errors import CardError
from printworthy.evidence.creep import kept_share, mittag_leffler, relaxed_share
from printworthy.evidence.service import findley_factor
from printworthy.inputs import MaterialCard, Quantity
from printworthy.workspace.cards import read_cards

BARE = read_cards()["petg-cf"]


def card(low: float = 0.1, high: float = 0.2, tested: float = 40.0, hours: float | None = 100.0) -> MaterialCard:
    """The shipped card with creep figures made up for the test, tested for `hours`."""
    creep = {
        "creep_amplitude": Quantity((low + high) / 2, "", "a test", "measured", low, high),
        "creep_exponent": Quantity(0.2, "", "a test", "measured"),
        "creep_temperature": Quantity(tested, "degC", "a test", "measured"),
    }
    if hours is not None:
        creep["creep_duration"] = Quantity(3600 * hours, "s", "a test", "measured")
    return replace(BARE, values={**BARE.values, **creep})


def stepped(hours: float, m: float, n: float, steps: int = 4000) -> float:
    """Stress at steady strain from 1 = s(t) + int J'(t - u) s(u) du, J = 1 + m t^n, stepped on a grid."""
    t = np.linspace(0.0, 1.0, steps + 1) ** 2 * hours
    s = np.ones(steps + 1)
    for k in range(1, steps + 1):
        gained = m * ((t[k] - t[:k]) ** n - (t[k] - t[1 : k + 1]) ** n)  # creep gained over each earlier span
        past = float((gained[:-1] * (s[: k - 1] + s[1:k]) / 2).sum())
        s[k] = (1 - past - gained[-1] * s[k - 1] / 2) / (1 + gained[-1] / 2)
    return float(s[-1])


@pytest.mark.parametrize("x", [1e-6, 0.01, 0.3, 1.0, 3.0, 20.0])
def test_a_half_is_a_closed_form(x: float) -> None:
    assert mittag_leffler(0.5, x) == pytest.approx(float(special.erfcx(x)), rel=1e-9)


def test_an_exponent_near_one_is_a_dashpot() -> None:
    assert mittag_leffler(0.9999, 1.0) == pytest.approx(math.exp(-1), rel=1e-3)


@pytest.mark.parametrize(("hours", "m", "n"), [(1000.0, 0.15, 0.2), (10.0, 0.5, 0.4), (1e4, 0.02, 0.3)])
def test_against_the_stepped_equation(hours: float, m: float, n: float) -> None:
    assert relaxed_share(hours, m, n) == pytest.approx(stepped(hours, m, n), rel=2e-3)


@given(st.floats(0, 1e5), st.floats(0, 1.0), st.floats(0.05, 0.6))
def test_it_falls_and_stays_below_the_inverse_of_creep(hours: float, m: float, n: float) -> None:
    share = relaxed_share(hours, m, n)
    assert 0 <= share <= findley_factor(hours, m, n) + 1e-9
    assert relaxed_share(2 * hours + 1, m, n) <= share + 1e-9


@pytest.mark.parametrize(("hours", "m", "n"), [(-1, 0.1, 0.2), (1, -0.1, 0.2), (1, 0.1, 1.0)])
def test_impossible_creep_is_refused(hours: float, m: float, n: float) -> None:
    with pytest.raises(CardError, match="creep needs"):
        relaxed_share(hours, m, n)


def test_the_range_of_the_card_is_the_range_of_the_force() -> None:
    kept = kept_share(card(), 1000.0, 40.0)
    assert kept.decided
    assert (kept.low, kept.high) == (relaxed_share(1000, 0.2, 0.2), relaxed_share(1000, 0.1, 0.2))
    assert "left after 1000 h" in kept.words


def test_what_is_not_known_is_told() -> None:
    for kept, words in (
        (kept_share(BARE, 1000.0, 40.0), "no creep figures"),
        (kept_share(card(), None, 40.0), "state lasting_load"),
        (kept_share(card(), 1e6, 40.0), "longer than"),
        (kept_share(card(tested=23.0), 1000.0, 60.0), "metal sleeve"),
    ):
        assert not kept.decided
        assert (kept.low, kept.high) == (0.0, 1.0)
        assert words in kept.words


def test_ten_times_the_test_is_as_far_as_it_reaches() -> None:
    assert kept_share(card(hours=100.0), 1000.0, 40.0).decided
    beyond = kept_share(card(hours=100.0), 1001.0, 40.0)
    assert (beyond.decided, beyond.low, beyond.high) == (False, 0.0, 1.0)
    for words in ("tested for 100 h", "1000 h", "1001 h are asked", "creep three coupons for 100 h or more"):
        assert words in beyond.words
    unsaid = kept_share(card(hours=None), 1.0, 40.0)
    assert not unsaid.decided
    assert "does not say how long its creep tests lasted (creep_duration)" in unsaid.words


@pytest.mark.parametrize(
    ("name", "modulus", "points"),
    [("pc", 2400.0, {1.0: 2200.0, 1000.0: 1900.0}), ("asa", 2500.0, {1000.0: 1250.0})],
)
def test_shipped_figures_are_those_of_the_data_sheets(name: str, modulus: float, points: dict[float, float]) -> None:
    """Creep moduli of moulded grades, ISO 899-1: modulus / (1 + m t^n) with the card's middle m and n."""
    values = read_cards()[name].values
    m, n = values["creep_amplitude"].value, values["creep_exponent"].value
    for hours, left in points.items():
        assert modulus / (1 + m * hours**n) == pytest.approx(left, rel=0.01)
        ends = [modulus / (1 + a * hours**b) for a, b in (
            (values["creep_amplitude"].high, values["creep_exponent"].high),
            (values["creep_amplitude"].low, values["creep_exponent"].low),
        )]  # fmt: skip
        assert ends[0] < left < ends[1]
    assert "MOULDED" in values["creep_amplitude"].source


def test_moulded_figures_decide_nothing_in_summer() -> None:
    pc = read_cards()["pc"]
    assert kept_share(pc, 5000.0, 25.0).decided
    assert not kept_share(pc, 5000.0, 40.0).decided
    assert not kept_share(pc, 20000.0, 25.0).decided
