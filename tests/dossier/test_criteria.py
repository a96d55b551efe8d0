"""Other criteria beside the deciding one. Stress by hand: 30 MPa opening with 15 MPa shear and 60 MPa in the layer."""

from __future__ import annotations

from dataclasses import replace

import pytest
from synthetic import design_values, direction_result

from printworthy.dossier import criteria
from printworthy.results import DesignValues, DirectionResult


def of(x: float, z: float, s: float) -> tuple[DesignValues, DirectionResult]:
    """Strengths the same in tension and compression; the governing case carries the stress above, factor 1."""
    made, solved = design_values("stuff"), direction_result("stuff", (0.0, 0.0, 1.0), 0.5)
    numbers = {"in_layer": x, "compression_in_layer": x, "between": z, "compression_between": z, "shear_between": s,
               "shear_in_layer": 1e3}  # fmt: skip
    values = replace(made, **{n: replace(getattr(made, n), value=v) for n, v in numbers.items()})  # type: ignore[arg-type]
    case = replace(solved.governing, stress=(60.0, 0.0, 30.0, 0.0, 15.0, 0.0))
    return values, replace(solved, factor=1.0, cases=(case,))


def told(x: float, z: float, s: float) -> dict[str, object]:
    return {row.cells[0].text: row.cells[1].value for row in criteria.table(*of(x, z, s)).rows}


def test_criteria_agree_with_their_closed_forms() -> None:
    found = told(120.0, 70.0, 55.0)
    # (60, 30, 15): largest principal 45 + 15 sqrt(2), more than the 0.508 of opening with shear
    assert found["by mode (decides)"] == pytest.approx((45 + 15 * 2**0.5) / 120)
    assert found["largest principal stress against X"] == found["by mode (decides)"]
    assert found["largest stress"] == pytest.approx(60 / 120)
    lamina = (60 / 120) ** 2 + (30 / 70) ** 2 - 60 * 30 / 120**2 + (15 / 55) ** 2
    assert found["Tsai-Hill, lamina form"] == pytest.approx(lamina**0.5)
    assert found["Tsai-Wu, F13 = 0"] == pytest.approx((lamina + 60 * 30 / 120**2) ** 0.5)


def test_an_open_surface_is_named_and_gives_no_figure() -> None:
    values, result = of(150.0, 70.0, 55.0)  # Hill's index would be 0.0507, utilisation 0.23, at a point worked to 0.5
    rows = {row.cells[0].text: row.cells for row in criteria.table(values, result).rows}
    for name in ("Hill, build axis special", "Hoffman, build axis special"):
        assert rows[name][1].value is None
        assert "its surface is open" in rows[name][2].text
    assert told(120.0, 70.0, 55.0)["Hill, build axis special"] is not None
