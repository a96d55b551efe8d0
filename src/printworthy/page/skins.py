"""A part's skin as the viewer draws it, and what is said of one build direction, as arrays in one binary answer."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from printworthy.dossier.loads import arrows
from printworthy.dossier.paint import scene
from printworthy.inputs import Part, Vector
from printworthy.results import DirectionSearch, Option, PartAssessment, SurfaceField

SPECK = 4  # triangles
APART = np.cos(np.radians(15.0))  # between directions of note
SAME = 1 - 1e-6  # cosine above which two directions are one, either way round
MOST_HALF = float(np.nextafter(np.finfo(np.float16).max, np.float16(0.0)))
MOST = 8  # of them that nothing beats


@dataclass(frozen=True, slots=True, eq=False)
class Skin:
    """Vertices doubled where smooth patches meet, so that each patch is shaded by itself: points (n, 3) [mm], normals
    (n, 3), `origin` (n,) vertex of the field, triangles (m, 3), patches (m,), edges (e, 2) between patches, faces by
    name as triangle numbers."""

    points: np.ndarray
    normals: np.ndarray
    origin: np.ndarray
    triangles: np.ndarray
    patches: np.ndarray
    edges: np.ndarray
    faces: Mapping[str, np.ndarray]


def skin(
    points: np.ndarray, triangles: np.ndarray, patches: np.ndarray, faces: Mapping[str, np.ndarray], speck: int = SPECK
) -> Skin:
    """The skin of points (v, 3), triangles (m, 3), patches (m,); none of fewer triangles than `speck` has an edge."""
    keys = triangles.astype(np.int64).ravel() * (int(patches.max()) + 1) + np.repeat(patches, 3)
    unique, number = np.unique(keys, return_inverse=True)
    origin = unique // (int(patches.max()) + 1)
    doubled = number.reshape(-1, 3)
    corners = points[triangles]
    facet = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal = np.zeros((len(unique), 3))
    for i in range(3):
        np.add.at(normal, doubled[:, i], facet)
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-300)
    return Skin(points[origin], normal, origin, doubled, patches, _edges(triangles, doubled, patches, speck), faces)


def _edges(triangles: np.ndarray, doubled: np.ndarray, patches: np.ndarray, least: int) -> np.ndarray:
    ends = np.concatenate([triangles[:, [i, (i + 1) % 3]] for i in range(3)])
    drawn = np.concatenate([doubled[:, [i, (i + 1) % 3]] for i in range(3)])
    patch = np.tile(patches, 3)
    low, high = ends.min(axis=1).astype(np.int64), ends.max(axis=1)
    order = np.argsort(low * (int(triangles.max()) + 1) + high, kind="stable")
    a, b = order[:-1], order[1:]
    between = (low[a] == low[b]) & (high[a] == high[b]) & (patch[a] != patch[b])
    # where a mesh strays from the triangles it came from, single facets fall to a neighbour's patch: no edge to draw
    speck = np.bincount(patches)[patch] < least
    between &= ~speck[a] & ~speck[b]
    return np.asarray(drawn[a[between]])


def pack(head: Mapping[str, Any], **arrays: np.ndarray) -> bytes:
    """One binary answer: length of the head (uint32), the head as JSON (it lists the arrays), then the arrays.

    Each begins at a multiple of four bytes: whole numbers as uint32, half precision as it is, all others as float32,
    little-endian.
    """
    listed, bodies = [], []
    for name, array in arrays.items():
        kind = "u4" if np.issubdtype(array.dtype, np.integer) else "f2" if array.dtype == np.float16 else "f4"
        body = np.ascontiguousarray(array, f"<{kind}").tobytes()
        bodies.append(body + b"\0" * (-len(body) % 4))
        listed.append({"name": name, "kind": kind, "count": int(array.size)})
    text = json.dumps({**head, "arrays": listed}).encode()
    text += b" " * (-len(text) % 4)
    return b"".join([np.uint32(len(text)).astype("<u4").tobytes(), text, *bodies])


def halved(values: np.ndarray) -> np.ndarray:
    """Values in half precision, rounded up, so that none above a limit reads as one below it: off by at most one part
    in a thousand, half the bytes."""
    half = np.minimum(values, MOST_HALF).astype(np.float16)
    return np.where(half < values, np.nextafter(half, np.float16(np.inf)), half)


def loads_of(part: Part, field: SurfaceField, faces: Mapping[str, np.ndarray]) -> dict[str, list[dict[str, Any]]]:
    """The arrows of every case of a part, as plain data."""
    seen = scene(field)
    return {
        case.name: [
            {"point": a.point.tolist(), "direction": a.direction.tolist(), "pushes": a.pushes, "style": a.style,
             "face": a.face, "text": a.text}
            for a in arrows(part, case.name, seen, faces)
        ]
        for case in part.cases
    }  # fmt: skip


def supports_of(part: Part, skin: Skin) -> list[dict[str, Any]]:
    """Where a part is held: a place on each supported face, and words."""
    found = []
    for support in part.supports:
        if support.face in skin.faces and len(skin.faces[support.face]):
            corners = skin.points[skin.triangles[skin.faces[support.face]]].mean(axis=1)
            near = corners[np.argmin(np.linalg.norm(corners - corners.mean(axis=0), axis=1))]
            found.append({"point": near.tolist(), "text": f"{support.kind}: face {support.face}", "face": support.face})
    return found


def notable(found: PartAssessment) -> list[dict[str, Any]]:
    """Directions worth a click: what answers, the search's choice, other solved ones, what nothing beats."""
    listed: list[dict[str, Any]] = []

    def add(option: Option, kind: str, words: str) -> None:
        n, worst = option.result.direction, option.result.governing
        if any(abs(float(np.dot(n, d["direction"]))) > SAME for d in listed):
            return
        exact = {"utilisation": option.result.utilisation, "mode": worst.mode, "case": worst.case}
        exact |= {"word": option.verdict.word, "material": option.result.material}
        listed.append({"direction": [float(c) for c in n], "kind": kind, "words": words, "exact": exact})

    own = found.search.material if found.search else found.option.result.material
    add(found.option, "answer", "answers for the part")
    for option in found.options:
        if option.result.material == own:
            words = f"solved: {option.result.utilisation:.2f}, {option.verdict.word}"
            if found.search and abs(float(np.dot(option.result.direction, found.search.chosen))) > SAME:
                add(option, "chosen", f"chosen by the search; {words}")
            else:
                add(option, "solved", words)
    for number, (direction, used) in enumerate(unbeaten(found), 1):
        words = f"{number}: about {used:.2f}; nothing beats it in strength, height and support together"
        listed.append({"direction": list(direction), "kind": "unbeaten", "words": words})
    return listed


def unbeaten(found: PartAssessment) -> list[tuple[Vector, float]]:
    """Directions that nothing beats, apart from each other and from the answer, the strongest first, with the
    map's utilisation nearby."""
    search = found.search
    if search is None or not search.pareto:
        return []
    directions = np.array(search.pareto)
    used, own = near_on_map(search, directions), np.array(found.option.result.direction)
    kept: list[int] = []
    for i in np.argsort(used).tolist():
        if (
            len(kept) < MOST
            and directions[i] @ own < SAME
            and all(abs(directions[i] @ directions[k]) < APART for k in kept)
        ):
            kept.append(i)
    return [(search.pareto[i], float(used[i])) for i in kept]


def near_on_map(search: DirectionSearch, directions: np.ndarray) -> np.ndarray:
    """Utilisation (n,) of the mapped directions nearest to `directions` (n, 3)."""
    nearest = np.argmax(np.abs(directions @ np.array(search.directions).T), axis=1)
    return np.array(search.utilisation)[nearest]
