"""The temperature picture of a part and the table of its hot states."""

from __future__ import annotations

import numpy as np

from printworthy.dossier import camera, paint, sheet, words
from printworthy.dossier.document import Cell, Facts, Figure
from printworthy.evidence.values import low_end
from printworthy.inputs import MaterialCard
from printworthy.results import PartAssessment, SurfaceField

STEPS = (1, 2, 5, 10, 20, 50, 100)  # [K] from one band of colour to the next


def picture(part: PartAssessment, field: SurfaceField, card: MaterialCard, anchor: str) -> Figure | None:
    """Temperature on the skin, hot end of all that is stated, hatched where the card does not bear it; None where no
    hot state was computed."""
    if field.temperature is None:
        return None
    scene = paint.scene(field)
    warm = np.asarray(field.temperature, dtype=float)
    spot = int(np.argmax(warm))
    bears = low_end(card.values["service_high"]) if "service_high" in card.values else None
    levels = bands(float(warm.min()), float(warm.max()))
    build = np.array(part.option.result.direction)
    toward = camera.choose(scene.points, scene.triangles, spot, [], camera.UP, (25.0, 50.0, -20.0))
    view = camera.fit(scene.points, camera.axes(toward, camera.UP), *sheet.CLOSE)
    pixels = paint.see(scene, view)
    svg = sheet.canvas(sheet.HEIGHT + sheet.STRIP + sheet.LEGEND)
    sheet.image(svg, paint.step_image(scene, view, pixels, warm, levels, np.inf if bears is None else bears))
    sheet.build_arrow(svg, build, view)
    sheet.axes(svg, view)
    sheet.ruler(svg, view)
    at = view.project(scene.points)[:, :2] / sheet.SHARP
    kind = "spot" if paint.in_sight(scene, view, pixels, spot) else "spot hidden"
    sheet.mark_shape(svg, sheet.mark_out("H", kind, at[spot], at.mean(axis=0)))
    sheet.steps(svg, levels, "degC")
    limit = "" if bears is None else f" Hatched: above {bears:g} degC, the hot end that {card.name} is known to bear."
    caption = (
        f"Temperature, hottest of all hot states, {card.name}: {warm.min():.0f} to {warm.max():.0f} degC on the skin, "
        f"with everything at the end that makes it hot. H: the hottest place.{limit}"
    )
    alt = f"{part.title} seen from outside, coloured by temperature. {caption}"
    return Figure(sheet.to_text(svg), alt, caption, (("H", "Hottest place"), ("B", "Build direction")))


def bands(low: float, high: float) -> np.ndarray:
    """Round temperatures (n,) [degC], at most nine, from one below `low` to one above `high`."""
    step = next((s for s in STEPS if (high - low) / s <= 7), STEPS[-1])
    first = step * np.floor(low / step)
    return np.arange(first, high + step, step)


def states(part: PartAssessment) -> tuple[Facts, ...]:
    """One block for each hot state: sources, temperatures at both ends, where, how."""
    found = []
    for h in part.option.heat:
        pairs = [
            (f"{s.name} ({s.kind})", Cell(f"peak {s.low:.0f} to {s.high:.0f} °C", s.high, "degC", s.words))
            for s in h.sources
        ]
        pairs += [
            ("air", Cell(f"{words.number(h.air)} °C", h.air, "degC", h.source)),
            ("hottest place", Cell(f"{h.coolest:.0f} to {h.hottest:.0f} °C", h.hottest, "degC", "cool to hot end")),
            ("where", Cell(f"{words.vector(h.point)} mm" + (f", near {h.near_face}" if h.near_face else ""))),
            ("mean of the part", Cell(f"{h.mean:.0f} °C", h.mean, "degC", "hot end")),
            ("until", Cell("steady" if h.duration is None else f"{words.number(h.duration)} s", h.duration)),
            ("heat that does not add up", Cell(f"{h.balance:.0e} of what passes", h.balance)),
            ("unknowns", Cell(words.number(h.unknowns), h.unknowns)),
        ]
        found.append(Facts(f"Hot state: {h.state}", tuple(pairs)))
    return tuple(found)
