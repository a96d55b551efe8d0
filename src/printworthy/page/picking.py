"""From a click on the part to a stable selector, and from a selector to lines of the part's text."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
import tomlkit
from tomlkit.items import InlineTable

from printworthy.errors import PrintworthyError, TextError
from printworthy.inputs import CylinderSelector, Face, PatchSelector, PlaneSelector, Selector, Vector
from printworthy.shape import Solid, select
from printworthy.strength.rounds import Plane, Turned
from printworthy.strength.skin import of_skin

AXIS = 1 - 1e-9  # cosine beyond which a direction is written as an axis
NAME = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,39}")
WITH_FACE = ("force", "bearing", "moment", "bearing_moment", "pressure", "displacement")
SUPPORTS = ("fixed", "sliding", "foundation", "bolt hole")


def proposals(solid: Solid, point: Sequence[float]) -> list[dict[str, Any]]:
    """Selectors that choose the patch of the skin nearest to `point` (3,) [mm]: what each is in words and in the text,
    how many smooth patches and which facets (of the meshed skin) it chooses. Each has been tried on the part."""
    facet = _nearest(solid, np.asarray(point, float))
    found = []
    for words, selector, text in _candidates(solid, facet):
        try:
            chosen = select(solid, Face("proposed", selector))
        except PrintworthyError:
            continue
        if facet in chosen:
            patches = len(np.unique(solid.patches[chosen]))
            found.append({"words": words, "text": text, "patches": patches, "facets": chosen.tolist()})
    # A selector that takes exactly what was clicked comes first; the order of `_candidates` decides the rest.
    return sorted(found, key=lambda p: p["patches"] != 1)


def _nearest(solid: Solid, point: np.ndarray) -> int:
    return int(np.argmin(np.linalg.norm(solid.corners.mean(axis=1) - point, axis=1)))


def _candidates(solid: Solid, facet: int) -> Iterator[tuple[str, Selector, str]]:
    cad = bool((solid.origin < 0).all())
    number = int(solid.mesh.ngmesh.Elements2D().NumPy()["index"][facet]) if cad else int(solid.patches[facet]) + 1
    surface = of_skin(solid)[0].get(number)
    corners = solid.corners[solid.patches == solid.patches[facet]]
    middle = solid.corners[facet].mean(axis=0)
    if isinstance(surface, Plane):
        yield _plane(surface, corners, middle)
    if isinstance(surface, Turned) and surface.radius == 0 and abs(surface.along[0]) < 1e-6:
        yield from _cylinders(surface, corners, solid)
    p = _rounded(middle)
    yield "the smooth patch that holds this point", PatchSelector(p), f'patch = {{ point = "{_mm(p)}" }}'


def _plane(s: Plane, corners: np.ndarray, middle: np.ndarray) -> tuple[str, Selector, str]:
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]).sum(axis=0)
    n = s.normal * np.sign(s.normal @ normal)
    p, direction, word = _rounded(s.project(middle[None])[0]), *_direction(n)
    text = f'plane = {{ point = "{_mm(p)}", normal = "{word}" }}'
    return f"the flat facing {word}", PlaneSelector(p, direction), text


def _cylinders(s: Turned, corners: np.ndarray, solid: Solid) -> Iterator[tuple[str, Selector, str]]:
    """The whole cylinder; and the piece of it that was clicked, where it has more."""
    radius = round(float(s.at[0]), 4)
    axis, word = _direction(s.axis)
    along = (corners - s.point) @ np.array(axis)
    # The point on the axis nearest to the middle of the box reads best, and does not hang on the fit.
    centre = 0.5 * (solid.points.min(axis=0) + solid.points.max(axis=0))
    at = s.point + ((centre - s.point) @ s.axis) * s.axis
    p = _rounded(at)
    hole = _is_hole(s, corners)
    what = f"{'hole' if hole else 'round'} of diameter {2 * radius:g} mm along {word}"
    text = f'cylinder = {{ point = "{_mm(p)}", axis = "{word}", radius = "{radius:g} mm" }}'
    yield f"the {what}, all of it", CylinderSelector(p, axis, radius), text
    shift = float((s.point - at) @ np.array(axis))
    low, high = (round(float(v + shift), 3) for v in (along.min() - 0.01, along.max() + 0.01))
    cut = f'low = "{low:g} mm", high = "{high:g} mm"'
    text = f'cylinder = {{ point = "{_mm(p)}", axis = "{word}", radius = "{radius:g} mm", {cut} }}'
    yield f"the {what}, this length of it", CylinderSelector(p, axis, radius, low, high), text


def _is_hole(s: Turned, corners: np.ndarray) -> bool:
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return float(np.einsum("ij,ij->", s.across(corners.mean(axis=1)), normal)) < 0


def _direction(n: np.ndarray) -> tuple[Vector, str]:
    axis = int(np.argmax(np.abs(n)))
    if abs(n[axis]) > AXIS:
        unit = [0.0, 0.0, 0.0]
        unit[axis] = float(np.sign(n[axis]))
        return (unit[0], unit[1], unit[2]), ("+" if n[axis] > 0 else "-") + "xyz"[axis]
    v = _rounded(n, 6)
    return v, ", ".join(f"{c:g}" for c in v)


def _rounded(p: np.ndarray, digits: int = 4) -> Vector:
    x, y, z = (round(float(c), digits) + 0.0 for c in p)
    return x, y, z


def _mm(p: Vector) -> str:
    return ", ".join(f"{c:g}" for c in p) + " mm"


# ---- into the text ---------------------------------------------------------------------------------------------------


def with_face(text: str, name: str, selector: str, use: Mapping[str, str]) -> str:
    """The text of a part with a face added, and the support or load put on it; comments and order stay.

    `selector` is a line as `proposals` makes them. `use`: `as` is "face", "support" or "load"; a support has `kind` and
    perhaps `stiffness`; a load has `load` (its kind), `value`, `case`, and for a new case `case_kind` and `source`.
    Raises TextError for a name that is taken or not a name, an unknown use, or a text that is not sound.
    """
    if not NAME.fullmatch(name):
        raise TextError(f"'{name[:40]}' is no name for a face", where="name", do="Letters, digits, - and _")
    try:
        document = tomlkit.parse(text)
        line = tomlkit.parse(selector)
    except tomlkit.exceptions.ParseError as error:
        raise TextError(f"the text is not sound TOML: {error}", do="Mend it in the text first") from error
    faces = document.setdefault("faces", tomlkit.table(is_super_table=True))
    if name in faces:
        raise TextError(f"there is a face '{name}' already", where="name", do="Take another name")
    table = tomlkit.table()
    for key, value in line.items():
        assert isinstance(value, InlineTable)
        table.add(key, value)
    faces.append(name, table)
    if use["as"] == "support":
        _add_support(document, name, use)
    elif use["as"] == "load":
        _add_load(document, name, use)
    new = tomlkit.dumps(document)
    tomllib.loads(new)
    if not _keeps(text, new):
        raise TextError("the text could not be added to without changing other lines", do="Write it by hand")
    return new


def _add_support(document: tomlkit.TOMLDocument, name: str, use: Mapping[str, str]) -> None:
    if use.get("kind") not in SUPPORTS:
        raise TextError("no such kind of support", where="kind", do=f"One of {', '.join(SUPPORTS)}")
    support = tomlkit.table()
    support.add("face", name)
    support.add("kind", use["kind"])
    if use.get("stiffness", "").strip():
        support.add("stiffness", use["stiffness"].strip())
    _append(document, "support", support)


def _add_load(document: tomlkit.TOMLDocument, name: str, use: Mapping[str, str]) -> None:
    if use.get("load") not in WITH_FACE or not use.get("value", "").strip() or not use.get("case", "").strip():
        raise TextError("a load needs its kind, its value and its case", where="load", do="Fill them in")
    load = tomlkit.table()
    load.add("face", name)
    load.add(use["load"], use["value"].strip())
    for case in document.get("case", []):
        if case.get("name") == use["case"].strip():
            _append(case, "load", load)
            return
    case = tomlkit.table()
    case.add("name", use["case"].strip())
    case.add("kind", use.get("case_kind", "steady"))
    case.add("source", use.get("source", "").strip())
    loads = tomlkit.aot()
    loads.append(load)
    case.add("load", loads)
    _append(document, "case", case)


def _append(table: Any, name: str, row: tomlkit.items.Table) -> None:
    if name not in table:
        table.add(name, tomlkit.aot())
    table[name].append(row)


def _keeps(old: str, new: str) -> bool:
    """Whether every line of the old text stands in the new one, in order."""
    lines = iter(line.rstrip() for line in new.splitlines())
    return all(any(line.rstrip() == other for other in lines) for line in old.splitlines() if line.strip())
