"""NIST/SEMATECH e-Handbook of Statistical Methods: tolerance factor (7.2.6.3), Grubbs test (1.3.5.17.1)."""

from __future__ import annotations

from compare import Source, compare

from printworthy.evidence import tolerance_factor
from printworthy.evidence.outliers import critical_residual, largest_residual

TOLERANCE = Source("NIST/SEMATECH e-Handbook, tolerance intervals", "7.2.6.3", "found")
EXACT = Source("Owen 1968, exact tolerance factors", "non-central t, evaluated outside this package", "derived")
GRUBBS = Source("NIST/SEMATECH e-Handbook, Grubbs test", "1.3.5.17.1", "from memory")


def test_tolerance_factor() -> None:
    why = "the handbook gives an approximate factor; exact is 1.8740"
    k = tolerance_factor(43, 0.90, 0.99)
    compare(k, 1.8752, abs=0.002, source=TOLERANCE, quantity="k, n = 43, p = 0.90, confidence 0.99", why=why)
    compare(k, 1.8740, abs=1e-4, source=EXACT, quantity="k, n = 43, p = 0.90, confidence 0.99")


def test_grubbs() -> None:
    found = largest_residual([199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57])
    assert found is not None
    compare(found.statistic, 2.4688, abs=1e-4, source=GRUBBS, quantity="G of eight mass-spectrometer readings")
    # one-sided at 5 % is two-sided at 10 %
    compare(critical_residual(8, 0.10), 2.0317, abs=1e-4, source=GRUBBS, quantity="critical value, one-sided, n = 8")
    assert found.outlier
