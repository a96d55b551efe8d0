"""Maximum likelihood line through values of which many are only known to be exceeded.

J. Schmee and G. J. Hahn, A simple method for regression analysis with censored data, Technometrics 21 (1979) 417-432,
doi:10.1080/00401706.1979.10489811: hours to failure of 40 motor insulations at four temperatures, 23 of them taken off
unfailed; log10 hours on 1000/kelvin, lognormal. Data as in the `motors` set of the R package MASS; estimates from
memory. The same likelihood serves run-outs of fatigue tests.
"""

from __future__ import annotations

import numpy as np
from compare import Source, compare

from printworthy.evidence.regression import censored_line

SOURCE = Source("Schmee and Hahn 1979", "motor insulation data, maximum likelihood estimates", "from memory")
# temperature [degC]: hours at failure, hours at which the rest were taken off, how many
DATA = {
    150: ((), 8064, 10),
    170: ((1764, 2772, 3444, 3542, 3780, 4860, 5196), 5448, 3),
    190: ((408, 408, 1344, 1344, 1440), 1680, 5),
    220: ((408, 408, 504, 504, 504), 528, 5),
}


def test_line_through_censored_lives() -> None:
    rows = [
        (1000 / (273.2 + celsius), np.log10(hours), off)
        for celsius, (failed, end, left) in DATA.items()
        for hours, off in [*((h, False) for h in failed), *([(end, True)] * left)]
    ]
    x, y, censored = zip(*rows, strict=True)
    line = censored_line(x, y, censored)
    assert (len(x), line.failures) == (40, 17)
    compare(line.intercept, -6.019, abs=6e-4, source=SOURCE, quantity="intercept")
    compare(line.slope, 4.311, abs=6e-4, source=SOURCE, quantity="slope")
    compare(line.deviation, 0.2592, abs=6e-5, source=SOURCE, quantity="scatter of log10 hours")
