"""What another geometry of the vehicle does to the load cases of a part: how much larger each grows, and what turns."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from printworthy.inputs import Load, LoadCase
from printworthy.results import CaseChange
from printworthy.ride.vehicle import N_PER

Array = NDArray[np.float64]
ARM = 50.0  # [mm] by which a moment is set beside a force
Key = tuple[str, str]


def changes(before: tuple[LoadCase, ...], after: tuple[LoadCase, ...], mass: float) -> tuple[CaseChange, ...]:
    """Case by case, by name; `mass` [kg] of the part, by which its weight and inertia count beside its other loads."""
    old, new = ({c.name: c for c in cases} for cases in (before, after))
    return tuple(_change(name, old.get(name), new.get(name), mass) for name in dict.fromkeys((*old, *new)))


def _change(name: str, before: LoadCase | None, after: LoadCase | None, mass: float) -> CaseChange:
    a, b = (_pattern(c, mass) if c is not None else {} for c in (before, after))
    keys = sorted({*a, *b})
    old, new = (np.concatenate([p.get(k, np.zeros(3)) for k in keys] or [np.zeros(3)]) for p in (a, b))
    scale = float(new @ old) / float(old @ old) if old.any() else 0.0
    left = float(np.linalg.norm(new - scale * old))
    size = float(np.linalg.norm(new))
    rest = 1.0 if before is None or after is None else left / size if size > 0 else 0.0
    return CaseChange(name, _largest(a), _largest(b), scale, rest)


def _pattern(case: LoadCase, mass: float) -> dict[Key, Array]:
    """Loads [N] by kind and face; moments over `ARM`, what acts on the part's own mass as its force."""
    made: dict[Key, Array] = {}
    for load in case.loads:
        key, vector = _force(load, mass)
        made[key] = made.get(key, np.zeros(3)) + vector
    return made


def _force(load: Load, mass: float) -> tuple[Key, Array]:
    vector = np.array(load.vector, dtype=float)
    if load.kind in ("gravity", "acceleration"):
        return ("own mass", ""), (1 if load.kind == "gravity" else -1) * mass * N_PER * vector
    if load.kind in ("pressure", "temperature"):
        return (load.kind, load.face), np.array([load.value, 0.0, 0.0])
    return (load.kind, load.face), vector / ARM if "moment" in load.kind else vector


def largest_force(case: LoadCase) -> float:
    """Largest force of a case on a face [N]."""
    return _largest(_pattern(case, 0.0))


def _largest(pattern: dict[Key, Array]) -> float:
    """Largest force on a face, else of its own mass [N]."""
    found = [float(np.linalg.norm(v)) for (kind, face), v in pattern.items() if face and "moment" not in kind]
    return max(found, default=max((float(np.linalg.norm(v)) for v in pattern.values()), default=0.0))
