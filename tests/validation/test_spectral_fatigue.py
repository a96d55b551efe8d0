"""Cycles from statistics of Gaussian shaking against counted time histories.

J. W. Miles 1954 and J. S. Bendat 1964 (narrow band, closed form, from memory); T. Dirlik, Application of computers in
fatigue analysis, thesis, University of Warwick 1985 (constants from memory). The reference is counted: Gaussian signals
of the same density, drawn with random phases, 200 blocks of 5 s, rainflow cycles by the public library `rainflow`.
Dirlik's own fit deviates by some percent to a tenth in damage at exponents of 3 to 10 (Benasciutti and Tovo 2006, from
memory); 15 % is allowed at the exponent 5.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import rainflow
from compare import Source, compare

from printworthy.ride.spectra import Spectrum, classes, dirlik, rayleigh

DIRLIK = Source("Dirlik 1985", "rainflow ranges from a spectral density; counted signals", "another program")
NARROW = Source("Miles 1954, Bendat 1964", "narrow-band damage, closed form", "derived")
FREQUENCIES = np.arange(0.2, 80.0, 0.2)
DENSITIES = {
    "one broad band, 2 to 40 Hz": np.where((FREQUENCIES > 2) & (FREQUENCIES < 40), 1.0, 0.0),
    "two peaks, 4 and 25 Hz": 1 / ((1 - (FREQUENCIES / 4) ** 2) ** 2 + (0.3 * FREQUENCIES / 4) ** 2)
    + 0.15 / ((1 - (FREQUENCIES / 25) ** 2) ** 2 + (0.1 * FREQUENCIES / 25) ** 2),
}


def counted(density: np.ndarray, power: float) -> float:
    """Damage rate, sum of amplitude^power per second, of drawn Gaussian signals."""
    draw = np.random.default_rng(7)
    step, length, total, seconds = 1 / 1024, 5120, 0.0, 0.0
    amplitude = np.sqrt(2 * density * (FREQUENCIES[1] - FREQUENCIES[0]))
    for _ in range(200):
        bins = np.zeros(length // 2 + 1, dtype=complex)
        # random amplitudes too, so that each block is Gaussian and not only its sum
        bins[1 : len(amplitude) + 1] = amplitude * (
            draw.normal(size=len(amplitude)) + 1j * draw.normal(size=len(amplitude))
        )
        signal = np.fft.irfft(bins, length) * length / 2 / math.sqrt(2)
        total += sum(n * (r / 2) ** power for r, _, n, _, _ in rainflow.extract_cycles(signal))
        seconds += length * step
    return total / seconds


@pytest.mark.parametrize("name", DENSITIES)
def test_dirlik_against_counted_signals(name: str) -> None:
    found = dirlik(FREQUENCIES, DENSITIES[name])
    amplitudes, counts = classes(found, 3600.0)
    rate = float((counts * amplitudes**5).sum() / 3600)
    compare(rate / counted(DENSITIES[name], 5.0), 1.0, rel=0.15, source=DIRLIK, why="spread of the fit, see the test",
            quantity=f"damage rate over the counted one, exponent 5, {name}")  # fmt: skip


def test_a_narrow_band_has_its_closed_form() -> None:
    amplitudes, counts = classes(Spectrum(3.0, 5.0, rayleigh), 3600.0)
    closed = 5.0 * (math.sqrt(2) * 3.0) ** 5 * math.gamma(3.5)
    compare(float((counts * amplitudes**5).sum() / 3600), closed, rel=5e-3, source=NARROW,
            quantity="damage rate of rms 3 at 5 cycles a second, exponent 5")  # fmt: skip
