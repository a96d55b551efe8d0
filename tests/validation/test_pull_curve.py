"""A measured pull curve: an unnamed polymer, 13 mm x 5 mm.

SoftwareDevEngResearch/PyFAT, example/monotonic (MIT, (c) 2020 Software Development for Engineering Research); peak and
modulus as stated with the data, "E about 1.97 GPa", "peak 48.5 MPa". The curve is thinned in tests/validation/data.
"""

from __future__ import annotations

from pathlib import Path

from compare import Source, compare

from printworthy.workspace.curves import read_curve

SOURCE = Source("Open pull curve of a polymer (PyFAT data, MIT)", "example/monotonic", "found")
CURVE = Path(__file__).parent / "data" / "pull-curve.csv"


def test_strength_and_modulus() -> None:
    curve = read_curve(CURVE, None, area=13 * 5, gauge=None)
    compare(curve.strength, 48.5, abs=0.06, source=SOURCE, quantity="peak stress [MPa]", why="1 decimal")
    assert curve.modulus is not None
    why = "stated as about 1.97, over an unstated part of the curve"
    compare(curve.modulus, 1970, rel=0.05, source=SOURCE, quantity="chord modulus [MPa]", why=why)
