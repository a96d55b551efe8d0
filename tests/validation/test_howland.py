"""Strip with a central hole under tension.

R. C. J. Howland, On the stresses in the neighbourhood of a circular hole in a strip under tension, Philosophical
Transactions of the Royal Society A 229 (1930) 49-86 (table from memory). W. D. Pilkey and D. F. Pilkey, Peterson's
Stress Concentration Factors, chart 4.1, gives a fit on the net section (from memory).
"""

from __future__ import annotations

import pytest
from compare import Source, compare
from plates import plate

HOWLAND = Source("Howland 1930, hole in a strip", "stress at the hole over gross stress", "from memory")
PETERSON = Source("Pilkey, Peterson's Stress Concentration Factors", "chart 4.1, on the net section", "from memory")
GROSS = {0.1: 3.03, 0.2: 3.14, 0.3: 3.36, 0.4: 3.74, 0.5: 4.32}


def net_factor(q: float) -> float:
    return 2 + 0.284 * q - 0.600 * q**2 + 1.32 * q**3


@pytest.mark.parametrize("ratio", GROSS)
def test_strip(ratio: float) -> None:
    half = 1 / ratio
    strip = plate(3 * half, half)
    peak = strip.at((0, 1, 0), strip.solve())[0]
    compare(peak, GROSS[ratio], rel=0.01, source=HOWLAND, quantity=f"d/W {ratio} [-]")
    compare(peak * (1 - ratio), net_factor(1 - ratio), rel=0.01, source=PETERSON, quantity=f"d/W {ratio} [-]")
