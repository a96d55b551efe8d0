"""An invented hand lever with fillets and two holes, loaded four ways."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from netgen import occ

from printworthy import shape
from printworthy.inputs import (
    CylinderSelector,
    Face,
    Geometry,
    Load,
    LoadCase,
    MaterialCard,
    Part,
    PlaneSelector,
    Quantity,
    Support,
)
from printworthy.results import DesignValue, DesignValues
from printworthy.strength import Model, model, prepared


def lever(folder: Path, element_size: float) -> tuple[Any, dict[str, Any], Part]:
    """Solid, facet numbers by face, part."""
    body = occ.Cylinder(occ.Pnt(0, 0, 0), occ.Z, 16, 14) + occ.Box((0, -9, 2), (150, 9, 12))
    body = body.MakeFillet([e for e in body.edges if abs(e.center.x - 13) < 2 and abs(e.center.z - 7) < 1], 6)
    body = body + occ.Cylinder(occ.Pnt(150, 0, 2), occ.Z, 9, 10)
    body = body - occ.Cylinder(occ.Pnt(0, 0, -1), occ.Z, 6, 16) - occ.Cylinder(occ.Pnt(40, 0, -1), occ.Z, 3, 16)
    path = folder / "lever.step"
    body.WriteStep(str(path))
    solid = shape.mesh(shape.read(Geometry(path)), element_size=element_size)
    named = {
        "pivot": Face("pivot", CylinderSelector((0, 0, 0), (0, 0, 1), 6)),
        "end": Face("end", CylinderSelector((150, 0, 0), (0, 0, 1), 9)),
        "cable": Face("cable", CylinderSelector((40, 0, 0), (0, 0, 1), 3)),
        "side": Face("side", PlaneSelector((0, 0, 0), (0, 0, -1))),
    }
    cases = tuple(
        LoadCase(name, (Load("force", "end", vector),), "steady", "invented")
        for name, vector in (("pull", (0, -60, 0)), ("push down", (0, 0, -40)), ("twist up", (0, 40, 30)))
    )
    cable = LoadCase("cable", (Load("bearing", "cable", (0, 500, 0)),), "steady", "invented")
    part = Part(
        "lever", "lever", Geometry(path), "hand lever", "bench", named,
        (Support("pivot", "bolt hole"), Support("side", "foundation", stiffness=200.0)), (*cases, cable),
    )  # fmt: skip
    return solid, {name: shape.select(solid, face) for name, face in named.items()}, part


CARD_RATIO = 1.5


def card(ratio: float) -> MaterialCard:
    """Moduli 3000 * ratio in the layer and 3000 MPa through."""
    values = {
        "modulus_in_layer": 3000.0 * ratio, "modulus_through": 3000.0, "poisson_in_layer": 0.35,
        "poisson_through": 0.38, "shear_modulus_through": 1000.0, "density": 1.2,
    }  # fmt: skip
    quantities = {name: Quantity(value, "", "invented", "invented") for name, value in values.items()}
    return MaterialCard("bench", "bench", "printed polymer", quantities)


def model_of(solid: Any, faces: dict[str, Any], part: Part, ratio: float) -> Model:
    """The model with `card(ratio)`."""
    return model(prepared(solid, faces), part, card(ratio))


def design() -> DesignValues:
    """Invented strengths: in the layer twice those between."""

    def value(mpa: float) -> DesignValue:
        return DesignValue("invented", mpa, mpa, (), "invented", "invented", "invented", 0)

    return DesignValues("bench", value(60), value(30), value(20), value(35), value(60), value(60))
