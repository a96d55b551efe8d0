"""Hole in a wide plate of a print whose layers lie at an angle to the pull, by the map of build directions.

S. G. Lekhnitskii, Anisotropic Plates, Gordon and Breach 1968, chapter 6 (formula from memory; its values for pulls
along the axes are in test_lekhnitskii.py). With axis 1 in the layers, the pull p at phi and the place on the edge at
theta from it, k = sqrt(E1/E3), n = sqrt(2 (k - nu13) + E1/G13):

    s/p = E(theta)/E1 ([-cos^2 phi + (k + n) sin^2 phi] k cos^2 theta + [(1 + n) cos^2 phi - k sin^2 phi] sin^2 theta
                       - n (1 + k + n) sin phi cos phi sin theta cos theta)

E(theta) is the modulus along the edge there. The map's reduced model is asked, not a solution per direction.
"""

from __future__ import annotations

from functools import cache
from math import cos, pi, radians, sin, sqrt
from pathlib import Path
from tempfile import TemporaryDirectory

import netgen.occ as occ
import numpy as np
import pytest
from compare import Source, compare

from printworthy.inputs import Load, Support
from printworthy.strength import DirectionMap, Prepared, Settings, direction_map, model
from printworthy.strength.elastic import layer_frame, strain_rotation
from printworthy.strength.hot import full_strains
from printworthy.strength.reduced import coefficients, frames_of
from printworthy.strength.refine import refined_near
from specimens import card, design_values, plane, solid, specimen

SOURCE = Source(
    "Lekhnitskii 1968, hole in an orthotropic plate, by the map of directions", "plate 60 radii wide", "from memory"
)
E1, E3, NU12, NU13, G13 = 8000.0, 2500.0, 0.36, 0.38, 1000.0
HALF, THICK, ARCS, SOFT, NEAR, FINE = 30.0, 0.1, 96, 1e-6, 0.2, 0.06
PULLED = (0, 30, 45, 60, 90)  # [deg] from the layers
EDGE = (0, 45, 90, 120, 150)  # [deg] from the layers


def published(phi: float, theta: float) -> float:
    """Edge stress over far stress."""
    k = sqrt(E1 / E3)
    n = sqrt(2 * (k - NU13) + E1 / G13)
    c, s, cp, sp = cos(theta), sin(theta), cos(phi), sin(phi)
    along = 1 / (s**4 / E1 + c**4 / E3 + (1 / G13 - 2 * NU13 / E1) * s**2 * c**2)  # the edge is square to theta
    return (
        along
        / E1
        * (
            (-(cp**2) + (k + n) * sp**2) * k * c**2
            + ((1 + n) * cp**2 - k * sp**2) * s**2
            - n * (1 + k + n) * sp * cp * s * c
        )
    )


@cache
def plate() -> DirectionMap:
    """The whole plate, half its thickness modelled, pulled along x by 1 MPa, floating in its plane."""
    turns = [2 * pi * i / ARCS for i in range(ARCS + 1)]
    at = [occ.Pnt(cos(a), sin(a), 0) for a in turns]
    middle = [occ.Pnt(cos(a + pi / ARCS), sin(a + pi / ARCS), 0) for a in turns]
    hole = occ.Face(occ.Wire([occ.ArcOfCircle(at[i], middle[i], at[(i + 1) % ARCS]) for i in range(ARCS)]))
    sheet = occ.WorkPlane().RectangleC(2 * HALF, 2 * HALF).Face() - hole
    with TemporaryDirectory() as folder:
        body = solid(sheet.Extrude(THICK * occ.Z), Path(folder), HALF / 6)
    faces = {
        "z0": plane((0, 0, 0), (0, 0, -1)),
        "left": plane((-HALF, 0, 0), (-1, 0, 0)),
        "right": plane((HALF, 0, 0), (1, 0, 0)),
    }
    supports = [Support("z0", "sliding"), Support("left", "foundation", SOFT, SOFT)]
    pull = [Load("pressure", n, value=-1.0) for n in ("left", "right")]
    material = card(E1, E3, NU12, NU13, G13)
    rough = specimen(body, material, faces, supports, pull).model
    edge = np.array([(cos(a), sin(a), THICK) for a in turns])
    fine = model(refined_near(Prepared(rough.space, rough.sampler), edge, NEAR, FINE), rough.part, material)
    design = design_values(X=150.0, Z=70.0, S=55.0, S12=1e3, Xc=150.0, Zc=150.0)
    return direction_map(fine, design, Settings(directions=200, random_checks=4), lambda stage, share: None)


def stress_at(found: DirectionMap, n: np.ndarray, point: tuple[float, float]) -> np.ndarray:
    """Stress (6,) [MPa] in part axes at the skin's vertex nearest to a point of the plane z = THICK."""
    m = found.basis.model
    q = coefficients(found.basis, frames_of(n[None]))[0]
    strain = full_strains(found.basis, q)[0].T
    inner = len(m.sampler.weights)
    away = np.linalg.norm(m.sampler.points[inner:] - np.array([*point, THICK]), axis=1)
    turn = strain_rotation(layer_frame(n))
    return turn.T @ (m.stiffness @ (turn @ strain[inner + int(np.argmin(away))]))


@pytest.mark.parametrize("pulled", PULLED)
def test_edge_of_the_hole(pulled: int) -> None:
    phi = radians(pulled)
    build = np.array([sin(phi), cos(phi), 0.0])  # layers at -phi from x, so that x lies at phi from them
    most = max(abs(published(phi, radians(edge))) for edge in EDGE)
    for edge in EDGE:
        a = radians(edge) - phi  # of the place, from x
        s = stress_at(plate(), build, (cos(a), sin(a)))
        along = s[0] * sin(a) ** 2 + s[1] * cos(a) ** 2 - 2 * s[5] * sin(a) * cos(a)
        words = f"pulled at {pulled} deg, edge at {edge} deg [-]"
        compare(along, published(phi, radians(edge)), abs=0.07 * most, source=SOURCE, quantity=words)
