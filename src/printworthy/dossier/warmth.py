"""The temperature picture of a part and the table of its hot states."""

from __future__ import annotations

import numpy as np

from printworthy.dossier import camera, paint, sheet, words
from printworthy.dossier.document import Cell, Facts, Figure
from printworthy.evidence.values import low_end
from printworthy.inputs import HeatState, MaterialCard, Part
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
    limit = "" if bears is None else f" Hatched: above {bears:g} degC, up to which {card.name} is known to bear it"
    if bears is not None:
        high = card.values["service_high"].high
        limit += f"; at best it bears {high:g} degC." if high is not None and high > bears else "."
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


def states(part: PartAssessment, stated: Part) -> tuple[Facts, ...]:
    """One block for each hot state: what heats the part and how, temperatures at both ends, where."""
    found = []
    asked = {s.name: s for s in stated.heat}
    for h in part.option.heat:
        pairs = [("hot state", Cell(h.state, source=h.source))]
        pairs += [
            (f"{s.name} ({s.kind})", Cell(f"peak {_span(s.low, s.high)}", s.high, "degC", s.words)) for s in h.sources
        ]
        if h.state in asked:
            pairs += _ways(asked[h.state])
        pairs += [
            ("air", Cell(f"{words.number(h.air)} °C", h.air, "degC", h.source)),
            ("hottest place", Cell(_span(h.coolest, h.hottest), h.hottest, "degC", "cool to hot end")),
            ("where", Cell(f"{words.vector(h.point)} mm" + (f", near {h.near_face}" if h.near_face else ""))),
            ("mean of the part", Cell(f"{h.mean:.0f} °C", h.mean, "degC", "hot end")),
            ("until", Cell("steady" if h.duration is None else f"{words.number(h.duration)} s", h.duration)),
            ("heat that does not add up", Cell(f"{h.balance:.0e} of what passes", h.balance)),
            ("unknowns", Cell(words.number(h.unknowns), h.unknowns)),
        ]
        found.append(Facts(f"Hot state: {h.state}", tuple(pairs)))
    return tuple(found)


def _span(low: float, high: float) -> str:
    """Two temperatures, or one where they read the same."""
    ends = tuple(dict.fromkeys((f"{low:.0f}", f"{high:.0f}")))
    return f"{' to '.join(ends)} °C"


def _ways(state: HeatState) -> list[tuple[str, Cell]]:
    """How heat reaches the part: sun, and each path from a body with its gap, joint or view and its shields."""
    found = []
    if state.sun:
        told = f"{words.number(state.sun)} W/m², {state.absorptance:.0%} of it taken up"
        found.append(("sun", Cell(told, state.sun, "W/m2", f"from {words.vector(state.sun_from)}")))
    for path in (p for p in state.paths if p.source):
        if path.gap is not None:
            told = f"{words.number(path.gap)} mm of still air"
        elif path.contact is not None:
            told = f"joint of {words.number(path.contact[0])} to {words.number(path.contact[1])} W/(m² K)"
        else:
            told = f"{path.view or 0:.0%} of what the face sees"
        shields = f", {words.count(path.shields, 'shield', 'shields')} between" if path.shields else ""
        found.append((f"{path.source} to {path.face}", Cell(told + shields)))
    return found
