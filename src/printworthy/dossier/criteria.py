"""What other criteria say of the stress at the governing place: a comparison, no decision."""

from __future__ import annotations

from math import isfinite, sqrt

import numpy as np

from printworthy.dossier.document import Cell, Column, Row, Table
from printworthy.dossier.tables import use
from printworthy.results import DesignValues, DirectionResult
from printworthy.strength.criteria import Strengths, by_mode
from printworthy.strength.quadratic import (
    Quadratic,
    hill,
    hoffman,
    largest_principal_alone,
    largest_stress,
    tsai_hill,
    tsai_wu,
)

OPEN = "not given: with these strengths its surface is open, some stresses would never fail it"
NOTE = (
    "Factor on load inside. Only the first line decides; here it is judged with the strengths of the hottest place. "
    "The others stand at its governing place; each may have its own elsewhere. That they agree is no evidence: all "
    "rest on the same strengths."
)


def table(design: DesignValues, result: DirectionResult) -> Table:
    """Utilisation by every criterion at the governing place of the governing case."""
    case, f = result.governing, Strengths.of(design)
    stress = np.array(case.stress)
    edge = -0.5 / sqrt(float(f.X * f.Xc * f.Z * f.Zc))
    rows = [Row((Cell("by mode (decides)"), use(result.factor * float(by_mode(stress, f).max())),
                 Cell("opening and shear between layers together; every other mode alone")), chosen=True)]  # fmt: skip
    rows += [
        _row(name, factor, words, result.factor)
        for name, factor, words in (
            ("largest stress", float(largest_stress(stress, f)), "every component in layer axes alone"),
            ("Tsai-Hill, lamina form", _of(tsai_hill(f, stress), stress), "cross term over X²; tension or compression "
             "by sign"),
            ("Tsai-Wu, F13 = 0", _of(tsai_wu(f), stress), "coupling of in-layer and opening stress left out"),
            ("Tsai-Wu, F13 = −½ √(F11 F33)", _of(tsai_wu(f, edge), stress), "the largest coupling that is not open; "
             "not measured"),
            ("Hill, build axis special", _of(hill(f), stress), "tensile strengths; needs X < 2 Z"),
            ("Hoffman, build axis special", _of(hoffman(f), stress), "needs X Xc < 4 Z Zc"),
            ("largest principal stress against X", float(largest_principal_alone(stress, f)), "layers left out: what a "
             "solid of the in-layer strength all round would promise"),
        )
    ]  # fmt: skip
    columns = (Column("criterion"), Column("utilisation", "", "bar"), Column("what it takes"))
    return Table(f"Other criteria at the governing place, case {case.case}", columns, tuple(rows), note=NOTE)


def _of(surface: Quadratic, stress: np.ndarray) -> float | None:
    return None if surface.open else float(surface.load_factor(stress))


def _row(name: str, load_factor: float | None, words: str, factor: float) -> Row:
    if load_factor is None:
        return Row((Cell(name), Cell("open"), Cell(f"{OPEN} ({words})")))
    used = factor / load_factor if isfinite(load_factor) else 0.0
    return Row((Cell(name), use(used), Cell(words)))
