"""What a click on the sphere of directions is answered with: a field to paint at once, figures of the bed, a picture of
the whole sphere, and what nothing beats."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from printworthy import making
from printworthy.dossier import charts, colours, paint, words
from printworthy.dossier import making as shown
from printworthy.dossier.plot import Axis, plot
from printworthy.dossier.raster import png
from printworthy.errors import InputError
from printworthy.inputs import Part, Printer, Vector
from printworthy.making.figures import DirectionFigures
from printworthy.page import skins
from printworthy.page.desk import Desk, Looked
from printworthy.results import DirectionSearch, PartAssessment, SurfaceField
from printworthy.shape import Surface
from printworthy.strength import Turned, Turning
from printworthy.strength.criteria import MODES
from printworthy.strength.lay import stated_angle

DISC = 512  # pixels of the sphere's picture


def scene(part: Part, found: PartAssessment | None, looked: Looked, printer: Printer) -> bytes:
    """Everything the viewer needs of a part before a direction is asked for."""
    s, field = looked.skin, looked.field
    drawn = field if field is not None else _plain(looked)
    head: dict[str, Any] = {
        "loads": skins.loads_of(part, drawn, s.faces),
        "supports": skins.supports_of(part, s),
        "faces": list(s.faces),
        "levels": list(colours.LEVELS),
        "bands": [[int(c) for c in band] for band in colours.bands()],
        "warm": [[int(c) for c in band] for band in colours.steps(8)],
        "overhang": printer.overhang_angle,
        "layer": printer.layer_height,
        "turns": looked.turning is not None,
        "spot": None,
    }
    arrays = {
        "points": s.points,
        "normals": s.normals,
        "triangles": s.triangles,
        "patches": s.patches,
        "edges": s.edges,
    }
    if found is not None and field is not None:
        worst = found.option.result.governing
        head |= {
            "spot": list(worst.point), "spot_words": f"{worst.mode}; {worst.case}",
            "direction": list(found.option.result.direction), "notable": skins.notable(found),
            "material": found.option.result.material,
            "map_material": found.search.material if found.search else found.option.result.material,
            "error": found.search.error if found.search else None,
            "heated": bool(found.option.heat),
        }  # fmt: skip
        arrays["utilisation"] = field.utilisation[s.origin]
        if field.temperature is not None:
            arrays["temperature"] = field.temperature[s.origin]
    for number, name in enumerate(s.faces):
        arrays[f"face{number}"] = s.faces[name].astype(np.uint32)
    return skins.pack(head, **arrays)


def _plain(looked: Looked) -> SurfaceField:
    points = looked.source.points
    return SurfaceField(points, looked.source.triangles, np.zeros(len(points)), {})


def turned(
    desk: Desk, part: Part, looked: Looked, n: np.ndarray, case: int | None, mode: int | None, *, moved: bool
) -> bytes:
    """The field over the skin for a build direction, and what governs; with the movement of the skin where asked."""
    model = _model(looked)
    if (case is not None and not 0 <= case < len(part.cases)) or (mode is not None and not 0 <= mode < len(MODES)):
        raise InputError("no such case or mode", where="case, mode")

    def work() -> bytes:
        at = model.at(n)
        worst, how = at.governing
        shown = worst if case is None else case
        kind = int(np.argmax(at.used[shown])) if mode is None else mode
        head = {
            "utilisation": float(at.used.max()), "case": part.cases[worst].name, "mode": MODES[how],
            "spot": at.spot(shown, kind).tolist(), "shown": float(at.used[shown, kind]),
            "direction": n.tolist(), "words": words.direction(_vector(n)) + _beads(at),
            "by_case": [float(v) for v in at.used.max(axis=1)], "deformed": shown,
        }  # fmt: skip
        arrays = {"field": skins.halved(at.field(case, mode))[looked.skin.origin]}
        if moved:
            arrays["moved"] = at.movement(shown)[looked.skin.origin]
        return skins.pack(head, **arrays)

    return desk.calculated(work)


def _beads(at: Turned) -> str:
    """The raster the answer holds for, where the material tells along the beads from across them."""
    along = at.beads
    return "" if along is None else f", beads at {words.number(stated_angle(at.frame[2], along))}°"


def standing(desk: Desk, looked: Looked, n: np.ndarray, printer: Printer) -> bytes:
    """How the part stands on the bed built along a direction, and the columns below its overhangs."""

    def work() -> bytes:
        body = looked.source
        found = _laid(body, n[None], printer)
        lines = making.standing(body, _vector(n), printer.overhang_angle, printer.layer_height)
        over = max(float(found.over_bed[0]), float(found.over_height[0]))
        head = {
            "height": words.number(float(found.height[0])) + " mm",
            "layers": str(int(np.ceil(found.height[0] / printer.layer_height))),
            "support": f"{words.number(float(found.support_volume[0]) / 1000)} cm³",
            "overhang": f"{words.number(float(found.overhang_area[0]) / 100)} cm²",
            "foot": f"{words.number(float(found.contact_area[0]) / 100)} cm²",
            "room": "fits the build space" if over <= 0 else f"{words.number(over)} mm too large for the build space",
            "stands": "stands by itself" if found.tip_slope[0] > 0 else "does not stand without supports",
        }
        return skins.pack(head, columns=lines)

    return desk.calculated(work)


def disc(search: DirectionSearch) -> bytes:
    """Utilisation over all directions as a picture, seen from +z; outside the disc it is clear."""
    values, here = charts.disc_values(np.array(search.directions), np.array(search.utilisation), DISC)
    return png(paint.flat_image(values, here))


def noted(found: PartAssessment) -> list[Vector]:
    """The direction that answers for the part, then those of note that nothing beats."""
    return [found.option.result.direction, *(d for d, _ in skins.unbeaten(found))]


def unbeaten(
    desk: Desk, found: PartAssessment, looked: Looked, printer: Printer, pieces: Sequence[Mapping[str, Any]]
) -> Mapping[str, Any]:
    """The answer and the directions of note that nothing beats, with their figures; and utilisation over support and
    over printing time as SVG. Rings: all that nothing beats, from the map; discs: those of note, with their numbers."""
    model, search = _model(looked), found.search
    assert search is not None
    every, own = np.array(search.pareto or (search.chosen,)), np.array(noted(found))

    def work() -> Mapping[str, Any]:
        used = np.array([model.at(n).used.max() for n in own])
        about = skins.near_on_map(search, every)
        figures = _laid(looked.source, own, printer)
        support, all_support = figures.support_volume / 1000, _laid(looked.source, every, printer).support_volume / 1000
        hours = np.array([p.get("seconds", np.nan) / 3600 for p in pieces])
        high = 1.1 * float(max(1.05, used.max(), about.max()))
        rows = [
            {"direction": n.tolist(), "words": words.direction(_vector(n)), "used": words.utilisation(float(u)),
             "support": words.number(float(s)), "height": words.number(float(h)), **making_words(p)}
            for n, u, s, h, p in zip(own, used, support, figures.height, pieces, strict=True)
        ]  # fmt: skip
        drawn = [_over("support, cm³", high, support, used, (all_support, about))]
        if np.isfinite(hours).any():
            drawn.append(_over("printing time of one piece, h", high, hours, used))
        return {"rows": rows, "pictures": drawn}

    return desk.calculated(work)


def _over(
    title: str, high: float, x: np.ndarray, used: np.ndarray, rings: tuple[np.ndarray, np.ndarray] | None = None
) -> str:
    """Utilisation over a figure of printing; discs with numbers, the first of them "answer"."""
    most = max(float(np.nanmax(x)), float(rings[0].max()) if rings else 0.0, 0.1)
    drawn = plot(Axis(title, 0.0, 1.12 * most), Axis("utilisation", 0.0, high), height=260.0)
    drawn.level(1.0, "limit")
    if rings:
        drawn.points(*rings, "ring")
    known = np.isfinite(x)
    drawn.points(x[1:][known[1:]], used[1:][known[1:]])
    drawn.points(x[:1][known[:1]], used[:1][known[:1]], "square")
    for number, (a, b) in enumerate(zip(x, used, strict=True)):
        if np.isfinite(a):
            drawn.say(float(a), float(b), str(number) if number else "A", "start", dx=7, dy=-7)
    return drawn.text()


def making_words(piece: Mapping[str, Any]) -> dict[str, str]:
    """Printing time and cost of a piece in words."""
    if not piece:
        return {"time": "no printer is stated", "cost": ""}
    if "euros" not in piece:
        return {"time": shown.duration(piece["seconds"]), "cost": "; ".join(piece["lacks"])}
    value, low, high = piece["euros"]
    return {
        "time": shown.duration(piece["seconds"]),
        "cost": f"{shown.money(value)} ({words.number(low)} to {words.number(high)})",
    }


def _laid(body: Surface, directions: np.ndarray, printer: Printer) -> DirectionFigures:
    return making.lay_figures(
        body, directions, overhang_angle=printer.overhang_angle, layer_height=printer.layer_height,
        bed=printer.build_space,
    )  # fmt: skip


def _model(looked: Looked) -> Turning:
    if looked.turning is None:
        raise InputError("the part was not assessed, so that nothing is known about turning it", do="Assess it first")
    return looked.turning


def _vector(n: np.ndarray) -> tuple[float, float, float]:
    return float(n[0]), float(n[1]), float(n[2])
