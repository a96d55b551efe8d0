"""Knock-downs as curves: lasting load, Findley, WLF, size. Closed forms; WLF constants from Williams, Landel, Ferry."""

from __future__ import annotations

import pytest

from printworthy.errors import CardError
from printworthy.evidence.service import findley_factor, lasting_factor, shift_factor, size_factor


def test_lasting_loads_lose_a_share_a_decade() -> None:
    assert lasting_factor(0.0, 0.08, 0.01) == lasting_factor(0.01, 0.08, 0.01) == 1.0
    assert lasting_factor(100.0, 0.08, 0.01) == pytest.approx(1 - 4 * 0.08)
    assert lasting_factor(1e5, 0.08, 0.01) == pytest.approx(0.44)


@pytest.mark.parametrize(("hours", "loss"), [(-1.0, 0.08), (2e5, 0.08), (1e5, 0.12)])
def test_lasting_loads_out_of_range_are_refused(hours: float, loss: float) -> None:
    with pytest.raises(CardError, match="a load that lasts"):
        lasting_factor(hours, loss, 0.01)


def test_findley() -> None:
    assert findley_factor(0.0, 0.1, 0.2) == 1.0
    assert findley_factor(1.0, 0.25, 0.2) == pytest.approx(0.8)
    with pytest.raises(CardError, match="creep needs"):
        findley_factor(1.0, 0.1, 1.5)


def test_wlf() -> None:
    # log10 aT = -17.44 x 20 / (51.6 + 20) = -4.8715
    assert shift_factor(120, 100) == pytest.approx(-4.8715, abs=5e-5)
    with pytest.raises(CardError, match="WLF holds only there"):
        shift_factor(90, 100)


def test_size() -> None:
    # eight times the volume at shape 10: 8^-0.1
    assert size_factor(10, 100, 800) == pytest.approx(0.8123, abs=5e-5)
