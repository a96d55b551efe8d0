"""The direction engine: utilisation for every build direction, with an error that is measured.

    starting basis -> enrich where two basis sizes disagree most -> hot points -> map -> exact checks -> measured error

The estimate only chooses where to look. What is stated is the worst difference found against exact solutions, at the
directions that matter (best, runners-up, current, worst), at random ones, and where the estimate was worst.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from printworthy.results import DesignValues, DirectionCheck
from printworthy.strength.elastic import layer_frame
from printworthy.strength.exact import exact_displacements
from printworthy.strength.hot import (
    Shortlist,
    evaluate,
    field_of,
    fields,
    hot_points,
    shortlist,
    strains_of,
    strengths_of,
)
from printworthy.strength.reduced import (
    Basis,
    coefficients,
    extended,
    frames_of,
    raster_free,
    sensed,
    starting_basis,
    stated_rasters,
)
from printworthy.strength.sphere import half_sphere
from printworthy.strength.system import Model

Array = NDArray[np.float64]
Progress = Callable[[str, float], None]
IN_REACH = 0.8  # a case whose utilisation is below this part of the governing one cannot overtake it by an error
ENRICH_RESIDUAL = 1e-3  # enough for a field that only widens the basis
CHECK_RESIDUAL = 3e-4
IN_A_ROW = 6  # enrichments that must all have found the error beforehand below this part of the target:
QUIET = 0.5
JOINS = 0.2  # a check that was off by more than this part of the target joins the basis
TOGETHER = 4  # exact checks solved side by side
SHORTLIST_CHECKED = 50  # directions at which the final shortlist is held against the full field
TRAINING = 200
RASTERS = np.arange(12) * np.pi / 12  # [rad] tried at every direction of an orthotropic print


@dataclass(frozen=True, slots=True)
class Settings:
    """Target error of the governing utilisation [-], directions of the map, exact checks, most enrichments, rounds."""

    target: float = 0.01
    directions: int = 1000
    random_checks: int = 20
    runners_up: int = 4
    worst_estimates: int = 5
    enrichments: int = 40
    rounds: int = 40
    seed: int = 51473


@dataclass(frozen=True, slots=True, eq=False)
class DirectionMap:
    """Utilisation (n, cases, modes) without the factor on load, and point numbers, for directions (n, 3)."""

    basis: Basis
    hot: Shortlist
    strengths: Array
    directions: Array
    utilisation: Array
    points: NDArray[np.int64]
    rasters: Array  # (n,) [rad] the best of `RASTERS` at each direction; 0 where the raster does not matter
    estimate: Array  # (n,) relative: what the last enrichment changed
    checks: tuple[DirectionCheck, ...]
    shortlist_miss: float
    reached: bool
    enrichments: int
    rounds: int

    @property
    def worst(self) -> Array:
        """Governing utilisation (n,)."""
        return self.utilisation.max(axis=(1, 2))

    @property
    def error(self) -> float:
        """Largest relative error of the governing utilisation that the exact checks found."""
        return max(c.error for c in self.checks)

    def at(self, directions: Array, rasters: Array | None = None) -> tuple[Array, NDArray[np.int64]]:
        """Utilisation and points (n, cases, modes) at further directions (n, 3), from the shortlist, and at rasters
        (n,) [rad]: where none are given, as stated, or the best of `RASTERS`."""
        up = sensed(self.basis.model, directions)
        turned = self.rasters_at(up) if rasters is None else rasters
        return evaluate(self.basis, self.hot, self.strengths, frames_of(up, turned))

    def rasters_at(self, directions: Array) -> Array:
        """Rasters (n,) [rad] at directions (n, 3): as stated, or the best of `RASTERS`."""
        return _best_rasters(self.basis, self.hot, self.strengths, directions)


def direction_map(
    m: Model, design: DesignValues, settings: Settings, progress: Progress, current: Array | None = None
) -> DirectionMap:
    """Utilisation over all build directions; `current` (3,) is checked exactly too. Raises NotComputed.

    Where an exact check finds more than the target, what it found joins the basis and the map and all checks are made
    again, the random ones afresh; `reached` says whether the last checks met the target.
    """
    progress("reduced basis", 0.0)
    strengths = strengths_of(design)
    basis, hot, before, steps = _enriched(starting_basis(m), strengths, settings, progress)
    directions = half_sphere(settings.directions)
    progress("hot points", 0.0)
    hot = shortlist(basis, set(hot.points.tolist()) | _sampled_hot(basis, strengths, _drawn(m, settings, 1)))
    for turn in range(settings.rounds):
        progress("map", 0.0)
        found = _mapped(basis, hot, strengths, directions, before)
        checks, fields, peaks = _checks(found, settings, current, turn, progress)
        met = max(c.error for c in checks) <= settings.target
        if len(fields):
            before, basis = basis.size, extended(basis, fields)
            hot = shortlist(basis, set(hot.points.tolist()) | peaks)
            if met:  # what the last checks found joins too: the map is then better than the error they state
                found = _mapped(basis, hot, strengths, directions, before)
        found = replace(found, enrichments=steps, checks=checks, reached=met, rounds=turn + 1)
        if met:
            break
    progress("hot points", 0.5)
    return replace(found, shortlist_miss=_shortfall(found, _drawn(m, settings, 3)))


def _mapped(basis: Basis, hot: Shortlist, strengths: Array, directions: Array, before: int) -> DirectionMap:
    rasters = _best_rasters(basis, hot, strengths, directions)
    frames = frames_of(directions, rasters)
    used, points = evaluate(basis, hot, strengths, frames)
    estimate = _change(basis, hot, strengths, frames, used, before)
    return DirectionMap(basis, hot, strengths, directions, used, points, rasters, estimate, (), 0.0, False, 0, 0)


def _best_rasters(basis: Basis, hot: Shortlist, strengths: Array, directions: Array) -> Array:
    """The raster angle (n,) of least utilisation at each direction (n, 3), unless it is stated or does not matter."""
    if not raster_free(basis.model):
        return stated_rasters(basis.model, directions)
    tried = [evaluate(basis, hot, strengths, frames_of(directions, np.full(len(directions), a)))[0] for a in RASTERS]
    return RASTERS[np.argmin([t.max(axis=(1, 2)) for t in tried], axis=0)]


def _chance_rasters(m: Model, rng: np.random.Generator, directions: Array) -> Array:
    """Random raster angles (n,) [rad] at directions (n, 3), unless they are stated or do not matter."""
    return np.pi * rng.random(len(directions)) if raster_free(m) else stated_rasters(m, directions)


def _enriched(
    basis: Basis, strengths: Array, settings: Settings, progress: Progress
) -> tuple[Basis, Shortlist, int, int]:
    """Exact solutions added in turn where two basis sizes disagree most and at random, until several in a row were
    known well enough beforehand. Returns basis, shortlist, its size before the last addition, number of additions."""
    training = half_sphere(TRAINING)
    frames = frames_of(training, _chance_rasters(basis.model, np.random.default_rng((settings.seed, 4)), training))
    rng = np.random.default_rng(settings.seed)
    hot = shortlist(basis, _sampled_hot(basis, strengths, frames[::10]))
    before, quiet, untried, steps = basis.size, 0, np.ones(len(frames), bool), 0
    # An orthotropic print has the raster as one more thing to be right about.
    wanted = IN_A_ROW * (2 if raster_free(basis.model) else 1)
    picks = [int(np.argmax(np.abs(training @ axis))) for axis in FIRST]
    while True:
        untried[picks] = False
        progress("reduced basis", steps / settings.enrichments)
        seen = _looks(basis, hot, strengths, frames[picks], ENRICH_RESIDUAL)
        steps += len(picks)
        for look in seen:
            quiet = quiet + 1 if look.error < QUIET * settings.target else 0
        before, basis = basis.size, extended(basis, np.concatenate([look.fields for look in seen]))
        hot = shortlist(basis, set(hot.points.tolist()).union(*(look.peaks for look in seen)))
        if quiet >= wanted or steps >= settings.enrichments:
            return basis, hot, before, steps
        used, _ = evaluate(basis, hot, strengths, frames)
        worst = int(np.argmax(_change(basis, hot, strengths, frames, used, before) * untried))
        untried[worst] = False
        picks = [worst, int(rng.choice(np.flatnonzero(untried)))]


@dataclass(frozen=True, slots=True, eq=False)
class _Look:
    """What an exact solution showed at one frame."""

    fields: Array  # (cases solved, unknowns) what the reduced model lacked
    peaks: set[int]
    estimate: float
    exact: float

    @property
    def error(self) -> float:
        return abs(self.estimate - self.exact) / self.exact


def _looks(basis: Basis, hot: Shortlist, strengths: Array, frames: Array, residual: float) -> list[_Look]:
    """Exact solutions of the cases in reach of the governing one, at layer frames (f, 3, 3)."""
    used, _ = evaluate(basis, hot, strengths, frames)
    by_case = used.max(axis=2)
    estimates = by_case.max(axis=1)
    cases = [np.flatnonzero(some >= IN_REACH * top).tolist() for some, top in zip(by_case, estimates, strict=True)]
    start = coefficients(basis, frames) @ basis.vectors
    u = exact_displacements(basis, frames, start, cases, residual)
    seen = []
    for i, frame in enumerate(frames):
        field = field_of(basis, strains_of(basis, u[i]), frame, strengths)
        seen.append(_Look((u[i] - start[i])[cases[i]], hot_points(field), float(estimates[i]), float(field.max())))
    return seen


def _change(basis: Basis, hot: Shortlist, strengths: Array, frames: Array, used: Array, before: int) -> Array:
    """Relative change (n,) of the governing utilisation when only the first `before` rows are used."""
    less, _ = evaluate(basis, hot, strengths, frames, before)
    now = used.max(axis=(1, 2))
    return np.abs(less.max(axis=(1, 2)) - now) / now


def _sampled_hot(basis: Basis, strengths: Array, frames: Array) -> set[int]:
    found: set[int] = set()
    for field in fields(basis, frames, strengths):
        found |= hot_points(field)
    return found


def _drawn(m: Model, settings: Settings, stream: int) -> Array:
    """Layer frames of random build directions (`SHORTLIST_CHECKED`, 3, 3)."""
    rng = np.random.default_rng((settings.seed, stream))
    drawn = sensed(m, rng.normal(size=(SHORTLIST_CHECKED, 3)))
    return frames_of(drawn, _chance_rasters(m, rng, drawn))


def _shortfall(found: DirectionMap, frames: Array) -> float:
    """Largest relative shortfall of the shortlist against the full field at frames it was not made from."""
    miss = 0.0
    used, _ = evaluate(found.basis, found.hot, found.strengths, frames)
    for field, short in zip(fields(found.basis, frames, found.strengths), used.max(axis=(1, 2)), strict=True):
        miss = max(miss, float(1 - short / field.max()))
    return miss


def _checks(
    found: DirectionMap, settings: Settings, current: Array | None, turn: int, progress: Progress
) -> tuple[tuple[DirectionCheck, ...], Array, set[int]]:
    """Exact solutions at the directions that matter, at random ones, and where the estimate is worst; and the fields
    and points of those that were off by more than half the target."""
    asked = _asked(found, settings, current, turn)
    checks, fields, peaks = [], [], set()
    for first in range(0, len(asked), TOGETHER):
        progress("exact checks", first / len(asked))
        some = asked[first : first + TOGETHER]
        frames = np.stack([layer_frame(direction, raster) for _, direction, raster in some])
        seen = _looks(found.basis, found.hot, found.strengths, frames, CHECK_RESIDUAL)
        for (why, direction, raster), look in zip(some, seen, strict=True):
            x, y, z = (float(c) for c in direction)
            checks.append(DirectionCheck(why, (x, y, z), look.estimate, look.exact, look.error, raster))
            if look.error > JOINS * settings.target:
                fields.append(look.fields)
                peaks |= look.peaks
        if turn < settings.rounds - 1 and any(look.error > settings.target for look in seen):
            break  # what they lacked joins the basis, and the checks begin anew
    return tuple(checks), np.concatenate(fields) if fields else np.zeros((0, 0)), peaks


def _asked(found: DirectionMap, settings: Settings, current: Array | None, turn: int) -> list[tuple[str, Array, float]]:
    """Why, build direction (3,) and raster angle [rad] of every exact check."""
    order = np.argsort(found.worst)
    rng = np.random.default_rng((settings.seed, 2, turn))
    chance = sensed(found.basis.model, rng.normal(size=(settings.random_checks, 3)))
    turned = _chance_rasters(found.basis.model, rng, chance)
    asked = [("random", n / np.linalg.norm(n), float(a)) for n, a in zip(chance, turned, strict=True)]

    def mapped(why: str, i: int) -> tuple[str, Array, float]:
        return why, found.directions[i], float(found.rasters[i])

    asked += [mapped("largest estimate", i) for i in np.argsort(-found.estimate)[: settings.worst_estimates]]
    asked.append(mapped("worst", int(order[-1])))
    if current is not None:
        now = sensed(found.basis.model, np.asarray(current, float) / np.linalg.norm(current))
        asked.append(("current", now, float(found.rasters_at(now[None])[0])))
    asked += [mapped("runner-up", i) for i in _apart(found.directions, order, settings.runners_up)]
    return [*asked, mapped("best", int(order[0]))]


def _apart(directions: Array, order: NDArray[np.intp], count: int) -> list[int]:
    """The best directions that are at least 15 degrees from those before them."""
    kept = [int(order[0])]
    for i in order[1:]:
        if len(kept) > count:
            break
        if np.abs(directions[kept] @ directions[i]).max() < np.cos(np.radians(15)):
            kept.append(int(i))
    return kept[1:]


# The six axes of an icosahedron: the most even start.
FIRST = np.array([[0, 1, 1.618], [0, -1, 1.618], [1, 1.618, 0], [-1, 1.618, 0], [1.618, 0, 1], [1.618, 0, -1]]) / 1.902
