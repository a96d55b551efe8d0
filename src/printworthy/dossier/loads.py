"""The loads of a case as arrows: where each acts, which way, and its words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from printworthy.dossier import words
from printworthy.dossier.paint import Scene
from printworthy.inputs import Load, Part
from printworthy.units import G


@dataclass(frozen=True, slots=True, eq=False)
class Arrow:
    """One load: `point` (3,) [mm], unit `direction` (3,), `pushes` if it presses into the part (the tip is then at the
    point), `style` plain, turn (moment) or body, the `face` it acts on ('' for the whole body) and its words."""

    point: np.ndarray
    direction: np.ndarray
    pushes: bool
    style: str
    face: str
    text: str


def describe(load: Load) -> str:
    """One load in words, with its unit."""
    on = f" on face {load.face}" if load.face else ""
    match load.kind:
        case "pressure":
            return f"pressure {words.number(load.value)} MPa{on}"
        case "moment" | "bearing moment":
            return f"{load.kind} {words.vector(_scaled(load.vector, 1e-3))} N m{on}"
        case "acceleration" | "gravity":
            what = "acceleration of the body" if load.kind == "acceleration" else "gravity"
            return f"{what} {words.vector(_scaled(load.vector, 1e-3))} m/s²" + (
                f" ({words.number(float(np.linalg.norm(load.vector)) / G)} g)"
            )
        case "temperature":
            return f"whole part warmer by {words.number(load.value)} K than when it was put together"
        case "displacement":
            return f"stated movement {words.vector(load.vector)} mm{on}"
        case _:
            return f"{load.kind} {words.vector(load.vector)} N{on}"


def _scaled(v: tuple[float, float, float], factor: float) -> tuple[float, float, float]:
    return (v[0] * factor, v[1] * factor, v[2] * factor)


def arrows(part: Part, case: str, scene: Scene, faces: Mapping[str, np.ndarray]) -> tuple[Arrow, ...]:
    """The arrows of one case (the name of a case of the part; none if it has no such case)."""
    loads = [load for c in part.cases if c.name == case for load in c.loads]
    made = (_arrow(load, scene, faces) for load in loads)
    return tuple(a for a in made if a is not None)


def _arrow(load: Load, scene: Scene, faces: Mapping[str, np.ndarray]) -> Arrow | None:
    corners = scene.points[scene.triangles]
    area = 0.5 * np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    chosen = faces.get(load.face, np.arange(len(area))) if load.face else np.arange(len(area))
    weight = area[chosen]
    point = (corners[chosen].mean(axis=1) * weight[:, None]).sum(axis=0) / max(float(weight.sum()), 1e-12)
    outward = (scene.facet[chosen] * weight[:, None]).sum(axis=0)
    if load.kind == "pressure":
        vector = -load.value * outward  # its resultant; a closed ring has none and gets no arrow
    elif load.kind == "acceleration":
        vector = -np.array(load.vector)  # the inertia force, against the acceleration
    else:
        vector = np.array(load.vector)
    size = float(np.linalg.norm(vector))
    if size == 0 or (load.kind == "pressure" and size < 1e-6 * abs(load.value) * float(weight.sum())):
        return None
    style = "turn" if "moment" in load.kind else "plain" if load.face else "body"
    pushes = bool(load.face) and float(outward @ vector) <= 1e-9 * size * float(weight.sum())
    return Arrow(point, vector / size, pushes, style, load.face, describe(load))
