"""From raw pull curves at 0, 45 and 90 degrees to the stiffness of a part at any angle.

INVENTED curves: straight bars of a print of 8000/3000/0.35/0.40/1100 MPa, drawn with 1 % scatter between pieces, whose
moduli follow S. G. Lekhnitskii's 1/E = c^4/E1 + s^4/E3 + (1/G13 - 2 nu13/E1) s^2 c^2 (1963) and whose strengths the
quadratic law of Hashin's kind with Z 70 and S 55 MPa. They go through the command line into a card; the card then
predicts angles that were not pulled. Published values: the closed forms, evaluated outside this package.
"""

from __future__ import annotations

import tomllib
from math import cos, radians, sin
from pathlib import Path

import numpy as np
import pytest
from compare import Source, compare
from typer.testing import CliRunner

from printworthy import workspace
from printworthy.cli import app
from printworthy.evidence import design_values
from printworthy.inputs import Quantity
from printworthy.strength.elastic import card_stiffness
from printworthy.workspace.card_text import card_path, restated
from printworthy.workspace.cards import read_cards
from specimens import part_stiffness

SOURCE = Source(
    "Lekhnitskii 1963, card made of pull curves", "0, 45 and 90 degrees pulled, invented, 1 % scatter", "derived"
)
MODULI = {15: 6215.89, 30: 4117.76, 45: 3156.01, 60: 2881.70, 75: 2929.97}
PULLS = {"in layer": (0, 150.0), "45 degrees": (45, 86.495), "between layers": (90, 70.0)}
PIECES = 6
WIDTH, THICKNESS = 10.0, 4.0
DOCS = Path(__file__).parents[2] / "docs" / "method" / "evidence.md"


def modulus(angle: float) -> float:
    c, s = cos(radians(angle)), sin(radians(angle))
    return 1 / (c**4 / 8000 + s**4 / 3000 + (1 / 1100 - 2 * 0.40 / 8000) * s * s * c * c)


def pulled(folder: Path) -> Path:
    """Curves of force over strain, one coupon a file, and the table that names them."""
    rng = np.random.default_rng(41153)
    lines = ["set,material,direction,curve,width,thickness,source,invented,moisture"]
    for direction, (angle, strength) in PULLS.items():
        for n in range(PIECES):
            stiff = modulus(angle) * (1 + 0.01 * rng.standard_normal())
            strong = strength * (1 + 0.01 * rng.standard_normal())
            strain = np.linspace(0, strong / stiff, 200)
            force = stiff * strain * WIDTH * THICKNESS * (1 + 0.001 * rng.standard_normal(200))
            name = f"{angle}-{n}.csv"
            rows = "\n".join(f"{f:.3f},{100 * e:.6f}" for f, e in zip(force, strain, strict=True))
            (folder / name).write_text(f"force [N],strain [%]\n{rows}\n", encoding="utf-8")
            lines.append(f"pulled {angle},pa-cf,{direction},{name},{WIDTH},{THICKNESS},drawn here,yes,moist")
    table = folder / "own.csv"
    table.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return table


def test_from_curves_to_a_card_to_another_angle(tmp_path: Path) -> None:
    workspace.new(tmp_path / "own")
    (tmp_path / "own" / "evidence").mkdir(exist_ok=True)
    table = pulled(tmp_path / "own" / "evidence")
    said = CliRunner().invoke(app, ["coupons", str(table), "--card"], catch_exceptions=False).output
    shear = next(line.strip() for line in said.splitlines() if line.strip().startswith("S, shear strength"))
    twist = next(line.strip() for line in said.splitlines() if line.strip().startswith("G13"))
    assert "ASSUMED" not in shear + twist
    for line in (shear, twist):  # the figures that the documentation shows are of this run
        name, found = line.split(": ")[0], float(line.split(": ")[1].split()[0])
        written = next(w for w in DOCS.read_text(encoding="utf-8").splitlines() if w.strip().startswith(name))
        assert float(written.split(": ")[1].split()[0]) == pytest.approx(found, rel=0.01)

    stated = tomllib.loads(said[said.index("[values.") :])["values"]
    assert {v["confidence"] for v in stated.values()} == {"invented"}
    true = {"modulus_in_layer": 8000.0, "modulus_through": 3000.0, "shear_modulus_through": 1100.0}
    values = {}
    for name, expected in true.items():
        value, low, high = (float(stated[name][field].split()[0]) for field in ("value", "low", "high"))
        assert low < expected < high or abs(value / expected - 1) < 0.01  # one in ten 90 % intervals misses
        compare(value, expected, rel=0.03, source=SOURCE, quantity=f"{name} [MPa]", why="six coupons a direction")
        values[name] = Quantity(value, "MPa", "drawn here", "invented", low, high)
    values |= {n: Quantity(v, "", "drawn here", "invented") for n, v in
               (("poisson_in_layer", 0.35), ("poisson_through", 0.40))}  # fmt: skip
    root = tmp_path / "own"
    (root / "cards").mkdir(exist_ok=True)
    (root / "cards" / "pa-cf.toml").write_text(restated(card_path("pa-cf", root), "pa-cf", values), encoding="utf-8")

    card = read_cards(root)["pa-cf"]
    stiffness = card_stiffness(card)
    for angle, expected in MODULI.items():
        turned = part_stiffness(stiffness, (sin(radians(angle)), 0, cos(radians(angle))))
        found = 1 / np.linalg.inv(turned)[0, 0]
        pulled_too = "pulled" if angle == 45 else "not pulled"
        compare(found, expected, rel=0.02, source=SOURCE, quantity=f"E at {angle} deg [MPa]", why=pulled_too)

    sets, problems = workspace.read_coupons(table, None)
    assert not problems
    design = design_values(card, sets, workspace.read_rules(), low=23.0, high=23.0)
    assert design.shear_between.n == PIECES  # S of decisions: half the 45 degree pull, a low bound of 55
    # least scatter 12 %, k(6) = 3.006: about 43.2 exp(-3.006 x 0.1196)
    assert design.shear_between.value == pytest.approx(43.2 * np.exp(-3.006 * 0.1196), rel=0.02)
