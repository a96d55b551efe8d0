"""The pictures of a part, as SVG: pixels from `paint`, arrows and marks as lines on top. The only module that draws.

Every text goes in through ElementTree, which escapes it. Marks are short letters; the figure's key says what they mean.
"""

from __future__ import annotations

import numpy as np

from printworthy.dossier import camera, colours, paint, sheet, words
from printworthy.dossier.document import Figure
from printworthy.dossier.loads import arrows
from printworthy.dossier.raster import Pixels, View
from printworthy.inputs import Part, Vector
from printworthy.results import PartAssessment, SurfaceField


def pictures(part: PartAssessment, stated: Part, field: SurfaceField, anchor: str) -> tuple[Figure, ...]:
    """The part under its governing case, and as it stands on the printer; `anchor` keeps names in the SVG apart."""
    scene = paint.scene(field)
    spot = int(np.argmin(np.linalg.norm(scene.points - np.array(part.option.result.governing.point), axis=1)))
    return _loaded(part, stated, field, scene, spot, anchor), _posture(part, scene, spot)


def _loaded(
    part: PartAssessment, stated: Part, field: SurfaceField, scene: paint.Scene, spot: int, anchor: str
) -> Figure:
    """Utilisation in colour, loads of the governing case, supports, governing place, build direction."""
    pushes = arrows(stated, part.option.result.governing.case, scene, field.faces)
    supports = tuple(s for s in stated.supports if s.face in field.faces)
    loaded = [field.faces[p.face] for p in pushes if p.face in field.faces]
    toward = camera.choose(scene.points, scene.triangles, spot, loaded, camera.UP, (25.0, 50.0, -20.0))
    view = camera.fit(scene.points, camera.axes(toward, camera.UP), *sheet.PIXELS)
    pixels = paint.see(scene, view)
    held = _mask([field.faces[s.face] for s in supports], len(scene.triangles))

    svg = sheet.canvas(sheet.HEIGHT + sheet.STRIP + sheet.LEGEND)
    sheet.image(svg, paint.utilisation_image(scene, view, pixels, held, _mask(loaded, len(scene.triangles))))
    at = view.project(scene.points)[:, :2] / sheet.SHARP
    middle = at.mean(axis=0)
    marks = [sheet.mark_out("G", _spot_kind(scene, view, pixels, spot), at[spot], middle)]
    for i, push in enumerate(pushes, 1):
        end = sheet.push(svg, push, view)
        marks.append(sheet.mark_out(f"L{i}", "load", end, sheet.screen(view, push.point), 20))
    for i, support in enumerate(supports, 1):
        seen = np.isin(pixels.triangle, field.faces[support.face])
        hidden = not seen.any()
        vertices = np.unique(scene.triangles[field.faces[support.face]])
        place = at[vertices].mean(axis=0) if hidden else np.median(np.nonzero(seen), axis=1)[::-1] / sheet.SHARP
        marks.append(sheet.mark_out(f"S{i}", "hold hidden" if hidden else "hold", place, middle))
    sheet.build_arrow(svg, np.array(part.option.result.direction), view)
    sheet.axes(svg, view)
    sheet.ruler(svg, view)
    for mark in sheet.apart(marks):
        sheet.mark_shape(svg, mark)
    sheet.legend(svg, f"{anchor}-above")

    top = float(np.max(scene.utilisation))
    key = _key(part, [p.text for p in pushes], [f"{s.kind}: face {s.face}" for s in supports])
    alt = (
        f"{part.title} seen from {words.direction(_vector(toward))}: utilisation on its skin up to "
        f"{words.utilisation(top)}, {'part' if top > colours.LIMIT else 'none'} of it above the limit of 1. "
        + " ".join(f"{letter}: {meaning}." for letter, meaning in key)
    )
    caption = (
        f"Utilisation over all cases, {part.option.result.material}, largest on the skin {words.utilisation(top)}. "
        "Loads of the governing case, without the factor on load. Hatched grey: held; dotted: loaded; hatched orange: "
        "above the limit; broken lines: on the far side."
    )
    return Figure(sheet.to_text(svg), alt, caption, key)


def _key(part: PartAssessment, pushes: list[str], supports: list[str]) -> tuple[tuple[str, str], ...]:
    """Letters of the marks and what they stand for."""
    result = part.option.result
    worst = result.governing
    place = (
        f"Governing place: {words.utilisation(worst.utilisation)}, {worst.mode}, case {worst.case}, at "
        f"{words.vector(worst.point)} mm, nearest named face {worst.near_face or 'none'}"
    )
    return (
        ("G", place),
        *((f"L{i}", text) for i, text in enumerate(pushes, 1)),
        *((f"S{i}", text) for i, text in enumerate(supports, 1)),
        ("B", f"Build direction {words.direction(result.direction)}"),
    )


def _spot_kind(scene: paint.Scene, view: View, pixels: Pixels, spot: int) -> str:
    return "spot" if paint.in_sight(scene, view, pixels, spot) else "spot hidden"


def _vector(v: np.ndarray) -> Vector:
    return (float(v[0]), float(v[1]), float(v[2]))


def _posture(part: PartAssessment, scene: paint.Scene, spot: int) -> Figure:
    """The part as it stands on the printer's bed, layers as stripes."""
    direction = part.option.result.direction
    build = np.array(direction) / np.linalg.norm(direction)
    toward = camera.choose(scene.points, scene.triangles, spot, [], build, (18.0, 30.0))
    frame = camera.axes(toward, build)
    # turned a little about the build direction, so that the bed reads as a floor and not as a wall
    bed = sheet.bed_corners(scene.points, build, np.cos(0.45) * frame[0] + np.sin(0.45) * np.cross(build, frame[0]))
    view = camera.fit(np.vstack([scene.points, bed]), frame, *sheet.CLOSE)
    tall = float(np.ptp(scene.points @ build))
    pixels = paint.see(scene, view)
    image = paint.layer_image(scene, view, pixels, build, tall / 36)
    svg = sheet.canvas(sheet.HEIGHT + sheet.STRIP)
    sheet.bed(svg, bed, view)
    sheet.image(svg, image)
    at = view.project(scene.points)[:, :2] / sheet.SHARP
    sheet.build_arrow(svg, build, view)
    sheet.mark_shape(svg, sheet.mark_out("G", _spot_kind(scene, view, pixels, spot), at[spot], at.mean(axis=0)))
    text = f"{words.direction(direction)}, {words.vector(direction)}"
    caption = (
        f"As printed: build direction {text}, {words.number(tall)} mm tall on the bed. Stripes show how the layers "
        "lie, not how thick they are. A broken ring marks a place on the far side. Turned upside down the computed "
        "strength is the same."
    )
    alt = (
        f"{part.title} standing on the bed with its build direction upwards, {text}; layers as stripes; G marks the "
        "governing place."
    )
    return Figure(sheet.to_text(svg), alt, caption)


def _mask(groups: list[np.ndarray], size: int) -> np.ndarray:
    mask = np.zeros(size, dtype=bool)
    for group in groups:
        mask[group] = True
    return mask
