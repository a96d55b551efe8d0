"""Ratios of measured to predicted against published figures and closed forms. All data are made up, or NIST's."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from printworthy.evidence.agreement import agreement, differ


def test_interval_of_the_mean_as_nist_gives_it() -> None:
    """NIST/SEMATECH e-Handbook 1.3.5.2, heat flow meter (ZARR13.DAT): N 195, mean 9.261460, standard deviation
    0.022789, t(0.975, 194) = 1.9723, 95 % limits 9.258242 and 9.264679 (from memory). Here these are made the
    logarithms of ratios: 195 values with exactly that mean and deviation."""
    n, mean, s = 195, 9.261460, 0.022789
    steps = np.arange(n) - (n - 1) / 2
    logs = mean + s * steps / steps.std(ddof=1)
    found = agreement(list(np.exp(logs)))
    assert math.log(found.mean) == pytest.approx(mean, abs=1e-9)
    assert found.scatter == pytest.approx(s, rel=1e-9)
    assert found.low is not None
    assert found.high is not None
    assert math.log(found.low) == pytest.approx(9.258242, abs=2e-6)
    assert math.log(found.high) == pytest.approx(9.264679, abs=2e-6)


@pytest.mark.parametrize(("n", "t"), [(2, 12.706), (3, 4.303), (5, 2.776), (11, 2.228), (31, 2.042)])
def test_half_width_is_the_published_t_value(n: int, t: float) -> None:
    """Upper critical values of Student's t, 0.975: NIST/SEMATECH e-Handbook 1.3.6.7.2."""
    logs = np.linspace(-0.05, 0.03, n)
    found = agreement(list(np.exp(logs)))
    assert found.high is not None
    half = math.log(found.high / found.mean)
    assert half == pytest.approx(t * logs.std(ddof=1) / math.sqrt(n), rel=5e-4)


def test_one_piece_has_a_ratio_and_no_interval() -> None:
    found = agreement([1.08])
    assert (found.n, found.mean, found.low, found.high, found.off) == (1, pytest.approx(1.08), None, None, False)


def test_off_is_said_only_where_the_interval_leaves_one_out() -> None:
    assert agreement([1.02, 1.03, 1.025]).off
    assert not agreement([0.98, 1.03, 1.025]).off
    assert agreement([0.8, 0.82, 0.81, 0.79]).off


def test_pieces_that_go_on_lift_the_mean_and_leave_ends_open() -> None:
    ended = agreement([0.7, 0.9, 1.1, 1.3])
    mixed = agreement([0.7, 0.9, 1.1, 1.3, 1.3, 1.3], [False] * 4 + [True] * 2)
    assert mixed.mean > ended.mean
    assert (mixed.n, mixed.open_) == (6, 2)
    alone = agreement([0.9, 1.1, 1.3], [False, True, True])
    assert (alone.low, alone.high) == (None, None)


def test_likelihood_interval_tends_to_its_closed_form_without_censoring() -> None:
    """With nothing censored the profile likelihood of a normal mean has the closed form
    mean +- s sqrt(exp(chi2 / n) - 1), s by maximum likelihood. One value exceeded at a place far below all others says
    nothing, so that the numbers must be those of the rest."""
    logs = np.array([-0.2, -0.05, 0.02, 0.11, 0.3])
    found = agreement(list(np.exp([*logs, -4.0])), [False] * 5 + [True])
    half = logs.std() * math.sqrt(math.exp(3.841459 / len(logs)) - 1)  # chi-square 0.95, 1 df: NIST 1.3.6.7.4
    assert math.log(found.mean) == pytest.approx(logs.mean(), abs=1e-4)
    assert found.low is not None
    assert found.high is not None
    assert math.log(found.low) == pytest.approx(logs.mean() - half, abs=1e-4)
    assert math.log(found.high) == pytest.approx(logs.mean() + half, abs=1e-4)


def test_interval_holds_the_true_mean_as_often_as_it_says() -> None:
    """4000 sets of four, log-normal about 1.1: between 94 and 96 of a hundred intervals hold 1.1 (the standard error of
    the share is 0.34 %)."""
    draw = np.random.default_rng(5)
    held = 0
    for row in np.exp(math.log(1.1) + 0.07 * draw.standard_normal((4000, 4))):
        found = agreement(list(row))
        assert found.low is not None
        assert found.high is not None
        held += found.low < 1.1 < found.high
    assert 0.94 < held / 4000 < 0.96


def test_analysis_of_variance_as_nist_gives_it() -> None:
    """NIST/SEMATECH e-Handbook 7.4.3.3 and 7.4.3.4, resistances of three levels: F = 9.59, F(0.05; 2, 12) = 3.89
    (from memory). As logarithms of ratios, scaled; the probability is that of F = 9.59 with 2 and 12 degrees of
    freedom, for which (1 + 2 F / 12)^-6 is a closed form."""
    levels = ([6.9, 5.4, 5.8, 4.6, 4.0], [8.3, 6.8, 7.8, 9.2, 6.5], [8.0, 10.5, 8.1, 6.9, 9.3])
    found = differ([list(np.exp(np.array(g) / 10)) for g in levels])
    assert found == pytest.approx((1 + 2 * 9.59 / 12) ** -6, rel=5e-3)


def test_groups_that_cannot_tell() -> None:
    assert differ([[1.0, 1.1]]) == 1.0
    assert differ([[1.0], [1.3]]) == 1.0


@pytest.mark.parametrize("wrong", [[], [1.0, 0.0], [float("nan")], [-1.0, 1.0]])
def test_what_is_no_ratio_is_refused(wrong: list[float]) -> None:
    with pytest.raises(ValueError, match="above 0"):
        agreement(wrong)


@given(st.lists(st.floats(0.2, 5.0), min_size=2, max_size=8), st.floats(0.1, 10.0))
@settings(deadline=None)
def test_a_prediction_scaled_scales_mean_and_ends(ratios: list[float], k: float) -> None:
    plain, scaled = agreement(ratios), agreement([k * r for r in ratios])
    assert plain.low is not None
    assert scaled.low is not None
    assert scaled.mean == pytest.approx(k * plain.mean, rel=1e-9)
    assert scaled.low == pytest.approx(k * plain.low, rel=1e-6)
