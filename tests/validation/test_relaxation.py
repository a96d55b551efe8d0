"""What creep leaves of a force that was set once.

With creep 1 + m sqrt(t) the stress under a steady strain falls as exp(x^2) erfc(x), x = m sqrt(pi t) / 2: the closed
form of linear viscoelasticity (Laplace transforms of creep and relaxation multiply to 1/s^2; Findley, Lai and Onaran,
Creep and Relaxation of Nonlinear Viscoelastic Materials, 1976, from memory), by the error function of scipy.
"""

from __future__ import annotations

import math

from compare import Source, compare
from scipy import special

from printworthy.evidence.creep import relaxed_share

CLOSED = Source("Relaxation of a solid that creeps by Findley's law", "closed form at n = 1/2", "derived")


def test_square_root_of_time() -> None:
    for m, hours in ((0.02, 10.0), (0.02, 1000.0), (0.1, 100.0), (0.1, 1e4), (0.5, 100.0)):
        exact = float(special.erfcx(m * math.sqrt(math.pi * hours) / 2))
        found = relaxed_share(hours, m, 0.5)
        compare(found, exact, rel=1e-6, source=CLOSED, quantity=f"share left, m = {m:g}, {hours:g} h")
