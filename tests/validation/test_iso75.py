"""ISO 75-1/-2, temperature of deflection under load: what the reading says about the modulus.

The strain grows by 0.2 % over that of loading (scope of EN ISO 75-2:2013; 0.2 % from memory), so the modulus there is
sigma / (0.002 + sigma / E0); closed form, evaluated outside this package.
"""

from __future__ import annotations

from compare import Source, compare

from printworthy.evidence import modulus_at_hdt
from printworthy.evidence.service import shift_factor
from printworthy.evidence.warm_bar import WarmBar

SOURCE = Source("ISO 75-2:2013, modulus at the deflection temperature", "closed form", "derived")
BAR = Source("ISO 75-2:2013, bar on two supports", "beam theory; 64 mm span, 10 mm wide, flatwise", "derived")
TABLE = Source("ISO 75-2:2013, standard deflection", "table, rounded to 0.01 mm", "from memory")
D648 = Source("ASTM D648, strain of the reading", "0.25 mm on 101.6 mm, bar 12.7 mm high", "from memory")
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


def test_standard_bars() -> None:
    for depth, sinks in ((3.8, 0.3593), (3.9, 0.3501), (4.0, 0.3413), (4.1, 0.3330), (4.2, 0.3251)):
        found = WarmBar(64.0, depth, 10.0).deflection(0.002)
        compare(found, sinks, abs=6e-5, source=BAR, quantity=f"deflection for 0.2 %, {depth:g} mm high [mm]")
    compare(WarmBar(64.0, 4.0, 10.0).deflection(0.002), 0.34, abs=0.005, source=TABLE, quantity="4.0 mm high [mm]")
    for stress, force in ((1.80, 3.000), (0.45, 0.750)):
        found = WarmBar(64.0, 4.0, 10.0).load(stress)
        compare(found, force, rel=1e-9, source=BAR, quantity=f"load for {stress:.2f} MPa, 4 mm high [N]")


def test_another_standard_reads_at_another_strain() -> None:
    for span, depth, strain in ((101.6, 12.7, 0.1845), (100.0, 13.0, 0.195)):
        found = 100 * WarmBar(span, depth, 3.2).strain(0.25)
        compare(found, strain, abs=6e-5, source=D648, quantity=f"strain at 0.25 mm, {depth:g} mm on {span:g} mm [%]")
