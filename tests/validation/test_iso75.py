"""ISO 75-1/-2, temperature of deflection under load: what the reading says about the modulus.

The strain grows by 0.2 % over that of loading (scope of EN ISO 75-2:2013; 0.2 % from memory), so the modulus there is
sigma / (0.002 + sigma / E0); closed form, evaluated outside this package.
"""

from __future__ import annotations

from compare import Source, compare

from printworthy.evidence import modulus_at_hdt
from printworthy.evidence.service import shift_factor

SOURCE = Source("ISO 75-2:2013, modulus at the deflection temperature", "closed form", "derived")
WLF = Source("Williams, Landel and Ferry 1955", "universal constants, 20 K above the glass transition", "derived")


def test_modulus_at_the_reading() -> None:
    for stress, start, modulus in ((1.80, 2500, 661.8), (0.45, 2500, 206.4), (1.80, 8000, 809.0), (0.45, 8000, 218.8)):
        name = f"E at the reading, {stress:g} MPa, E0 = {start} MPa"
        compare(modulus_at_hdt(stress, start), modulus, abs=0.06, source=SOURCE, quantity=name, why="1 decimal")


def test_the_upper_bound_of_a_stiff_start() -> None:
    # sigma / 0.002: what the reading would say if the bar did not bend at all while it was loaded
    for stress, modulus in ((1.80, 900.0), (0.45, 225.0), (8.00, 4000.0)):
        name = f"E at the reading, {stress:g} MPa, no strain of loading"
        compare(modulus_at_hdt(stress, float("inf")), modulus, rel=1e-9, source=SOURCE, quantity=name)


def test_shift() -> None:
    compare(shift_factor(120, 100), -4.8715, abs=6e-5, source=WLF, quantity="log10 aT")
