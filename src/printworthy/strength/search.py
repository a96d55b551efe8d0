"""Which way up: the direction map and what printing costs, put together into one choice with its reasons."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from printworthy.inputs import Part, Printer, Vector
from printworthy.making import Rule, choose, lay_figures, pareto, resting, round_faces, skin
from printworthy.making.figures import DirectionFigures
from printworthy.results import DesignValues, DirectionSearch, LayFigures
from printworthy.strength.directions import DirectionMap, Settings, direction_map
from printworthy.strength.lay import raster_of, upward, vector
from printworthy.strength.raster import raster_curve
from printworthy.strength.reduced import raster_free
from printworthy.strength.sensitivity import critical_layer_strength, influences
from printworthy.strength.system import Model, Prepared
from printworthy.strength.turning import Turning, turning

Array = NDArray[np.float64]
LEAST_SLOPE = 0.05  # a part with its supports must stand on a bed tilted this much (assumed)
CONFIDENCE = 0.95


def search(
    m: Model, ready: Prepared, design: DesignValues, factor: float, printer: Printer, settings: Settings,
    progress: Callable[[str, float], None],
) -> tuple[DirectionSearch, Turning]:  # fmt: skip
    """All build directions of a part in one material, the one the rule picks, and the model that answers for any other.
    Raises NotComputed, GeometryError.

    Strength is the same for a direction and its opposite; supports and the foot on the bed are not: both are judged.
    """
    stated = None if m.part.build_direction is None else np.array(m.part.build_direction)
    found = direction_map(m, design, settings, progress, stated)
    progress("supports", 0.0)
    # A flat of the hull on the bed needs no support where an even spread only comes near it.
    flats = resting(skin(ready.solid))
    both = np.concatenate([found.directions, -found.directions, flats])
    used = factor * np.concatenate([np.tile(found.worst, 2), found.at(flats)[0].max(axis=(1, 2))])
    figures = laid(ready, m.part, printer, both)
    choice = choose(figures, used, Rule(found.error, least_slope=LEAST_SLOPE))
    progress("influences", 0.0)
    best = both[choice.index]
    over = raster_curve(found, best, factor)
    raster = None if over is None else raster_of(upward(best), over.along)
    searched = DirectionSearch(
        material=design.material,
        directions=tuple(vector(n) for n in found.directions),
        utilisation=tuple(float(u) for u in factor * found.worst),
        checks=found.checks,
        target=settings.target,
        error=found.error,
        reached=found.reached,
        coverage=coverage_words(found),
        fields=found.basis.size,
        hot_points=len(found.hot.points),
        shortlist_miss=found.shortlist_miss,
        rule=choice.rule,
        choice=choice.words,
        chosen=vector(best),
        pareto=tuple(vector(both[i]) for i in _unbeaten(figures, used)),
        influences=influences(found, best, factor, raster),
        layer_strength=critical_layer_strength(found, best, factor, raster),
        raster=over,
    )
    return searched, turning(found, factor)


def laid(ready: Prepared, part: Part, printer: Printer, directions: Array) -> DirectionFigures:
    """What printing costs in the given directions (n, 3)."""
    facets = dict(ready.faces)
    return lay_figures(
        ready.solid,
        directions,
        overhang_angle=printer.overhang_angle,
        layer_height=printer.layer_height,
        bed=printer.build_space,
        faces=facets,
        round_faces=round_faces(ready.solid, part.faces, facets),
    )


def lay_of(ready: Prepared, part: Part, printer: Printer, direction: Vector) -> LayFigures:
    """What printing one way up costs."""
    return laid(ready, part, printer, np.array([direction])).at(0)


def _unbeaten(figures: DirectionFigures, used: Array) -> NDArray[np.int64]:
    """Directions that fit the build space and that no other beats in utilisation, height, support and overhang."""
    fit = np.flatnonzero(figures.fits)
    columns = np.column_stack(
        [used, figures.height, figures.support_volume, figures.support_on_part, figures.overhang_on.sum(axis=1)]
    )
    return fit[pareto(columns[fit], [True] * columns.shape[1])]


def coverage_words(found: DirectionMap) -> str:
    """What the exact checks cover. Own derivation: n random checks all inside an error leave, at confidence c, at most
    1 - (1 - c)^(1/n) of the directions outside it; r rounds of checks share the 1 - c between them (Bonferroni)."""
    n = sum(c.why == "random" for c in found.checks)
    inside = ((1 - CONFIDENCE) / found.rounds) ** (1 / n)
    return (
        f"{len(found.checks)} exact solutions, {n} of them at random: the largest difference is "
        f"{100 * found.error:.2g} %, so at {100 * CONFIDENCE:.0f} % confidence at least {100 * inside:.0f} % of all "
        f"{'directions with any raster' if raster_free(found.basis.model) else 'directions'} differ by no more"
    )
