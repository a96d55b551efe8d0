"""What is kept of a part's reduced model: enough to answer for any build direction without mesh, factor or solver.

Governing values come from the hot points, as on the map. Fields over the skin are for pictures: of the basis only the
combinations are kept that the map's own solutions use (singular values down to `TAIL`), in half precision.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.strength.criteria import Strengths, by_mode
from printworthy.strength.directions import RASTERS, DirectionMap
from printworthy.strength.elastic import strain_rotation
from printworthy.strength.hot import strains_at
from printworthy.strength.kernel import judged_field, judged_modes
from printworthy.strength.lay import bead_line, raster_of, upward
from printworthy.strength.reduced import Reduced, frames_of, raster_free, reduced
from printworthy.strength.system import Model

Array = NDArray[np.float64]
Half = NDArray[np.float16] | NDArray[np.float32]
TAIL = 3e-3  # share of the solutions, by the strains and movement of the skin, that a picture may lack


@dataclass(frozen=True, slots=True, eq=False)
class Turning(Reduced):
    """The reduced model of one part in one material; r fields, h hot points, s combinations, k vertices of the skin.

    Beside `Reduced`: `strengths` (6,) X Z S S12 Xc Zc [MPa], (8,) with X1 Xc1; `factor` on load; `shares` (l, 6, 6) of
    the layers of a lay-up; `raster` [deg] as stated, NaN: the best of all, infinite: it does not matter;
    `hot` (r, 6, h) strains at `spots` (h, 3) [mm]; `worked` (h,) and `worked_skin` (k,) as `Sampler.worked`; `mix`
    (r, s); `skin` (s, 6, k) and `moved` (s, 3, k) in units of `size` (s,).
    """

    strengths: Array
    factor: Array  # ()
    shares: Array
    raster: Array  # ()
    hot: Array
    spots: Array
    worked: Array
    worked_skin: Array
    mix: Array
    size: Array
    skin: Half
    moved: Half

    def arrays(self) -> dict[str, Array]:
        """The record as named arrays, as it is kept."""
        return {f.name: getattr(self, f.name) for f in fields(self)}

    @classmethod
    def of(cls, arrays: Mapping[str, NDArray[np.generic]]) -> Turning:
        """The record of named arrays."""
        return cls(**{f.name: arrays[f.name] for f in fields(cls)})  # type: ignore[arg-type]

    def ready(self) -> Turning:
        """The same in single precision: twice the memory, and no conversion at every question."""
        return replace(self, skin=self.skin.astype(np.float32), moved=self.moved.astype(np.float32))

    def at(self, direction: ArrayLike) -> Turned:
        """The part built along `direction` (3,), at the stated raster or that of least utilisation."""
        up = np.asarray(direction, float) if np.isinf(self.raster) else upward(direction)
        solved, used, where, tried = self._judged(up, self._rasters(up))
        best = int(np.argmin(used.max(axis=(1, 2))))
        return Turned(self, tried[best], solved[best], float(self.factor) * used[best], where[best])

    def over(self, direction: ArrayLike, angles: Array) -> Array:
        """Utilisation (k,) with the factor on load, at raster angles (k,) [deg] as parts state them."""
        up = upward(direction)
        rasters = np.array([raster_of(up, bead_line(up, a)) for a in angles])
        return float(self.factor) * self._judged(up, rasters)[1].max(axis=(1, 2))

    def _rasters(self, direction: ArrayLike) -> Array:
        if np.isinf(self.raster):
            return np.zeros(1)
        if np.isnan(self.raster):
            return RASTERS
        return np.array([raster_of(direction, bead_line(direction, float(self.raster)))])

    def _judged(self, direction: ArrayLike, rasters: Array) -> tuple[Array, Array, NDArray[np.int64], Array]:
        """Solutions (k, cases, r), utilisation and hot points (k, cases, modes), layer frames (k, 3, 3) at rasters
        (k,) [rad] of `layer_frame`."""
        tried = frames_of(np.repeat(np.asarray(direction, float)[None], len(rasters), axis=0), rasters)
        solved = self.solutions(tried)
        flat = self.hot.reshape(len(self.hot), -1)
        strain = (solved.reshape(-1, len(flat)) @ flat).reshape(*solved.shape[:2], 6, -1)
        turned = self.stiffness @ strain_rotation(tried)
        used, where = judged_modes(strain, self.worked, turned, self.free_stress, self.strengths, self.shares)
        return solved, used, where, tried


@dataclass(frozen=True, slots=True, eq=False)
class Turned:
    """One direction: layer `frame` (3, 3), reduced `solved` (cases, r), `used` (cases, modes) with the factor on load
    from the hot points, `where` (cases, modes) their numbers."""

    model: Turning
    frame: Array
    solved: Array
    used: Array
    where: NDArray[np.int64]

    @property
    def governing(self) -> tuple[int, int]:
        """Numbers of the case and mode of the highest utilisation."""
        case, mode = np.unravel_index(int(np.argmax(self.used)), self.used.shape)
        return int(case), int(mode)

    @property
    def beads(self) -> Array | None:
        """Unit vector (3,) along the beads; None in a material that is alike all round in its layers."""
        return None if np.isinf(self.model.raster) else self.frame[0]

    def spot(self, case: int, mode: int) -> Array:
        """Where a mode of a case is highest (3,) [mm]."""
        return np.asarray(self.model.spots[self.where[case, mode]])

    def field(self, case: int | None = None, mode: int | None = None) -> Array:
        """Utilisation (k,) over the skin with the factor on load: of one case or the worst of all, of one mode or the
        worst."""
        m = self.model
        chosen = np.arange(len(self.solved)) if case is None else np.array([case])
        strain = np.tensordot(self._weights(chosen), m.skin.astype(np.float32, copy=False), axes=1).astype(np.float64)
        to_stress, free = m.stiffness @ strain_rotation(self.frame[None])[0], m.free_stress[chosen]
        if mode is None:
            field = judged_field(strain, m.worked_skin, to_stress, free, m.strengths, m.shares)
            return np.asarray(float(m.factor) * field)
        values = np.zeros(strain.shape[2])
        strengths = replace(Strengths(*m.strengths), shares=m.shares if len(m.shares) else None)
        for one, off in zip(strain, free, strict=True):
            stress = (to_stress @ one).T - off
            values = np.maximum(values, m.worked_skin * by_mode(stress, strengths)[:, mode])
        return float(m.factor) * values

    def movement(self, case: int) -> Array:
        """Displacement (k, 3) [mm] of the skin in a case, without the factor on load."""
        weights = self._weights(np.array([case]))
        return np.asarray(np.tensordot(weights, self.model.moved.astype(np.float32, copy=False), axes=1)[0].T)

    def _weights(self, cases: NDArray[np.int_]) -> NDArray[np.float32]:
        return (self.solved[cases] @ self.model.mix * self.model.size).astype(np.float32)


def turning(found: DirectionMap, factor: float) -> Turning:
    """What is kept of a map of directions; `factor` on every load."""
    b, m, alone = found.basis, found.basis.model, reduced(found.basis)
    solved = alone.solutions(frames_of(found.directions, found.rasters))
    outside = np.arange(len(m.sampler.skin)) + len(m.sampler.weights)
    strains = strains_at(b, outside)
    moved = b.vectors.reshape(b.size, 3, m.space.count)[:, :, m.sampler.skin]
    # A part on soft beds moves almost without strain: such fields count by how far they move the skin.
    weight = np.linalg.norm(strains.reshape(b.size, -1), axis=1)
    weight = np.hypot(weight, np.linalg.norm(moved.reshape(b.size, -1), axis=1) / m.space.size)
    mix, rows = _used(solved.reshape(-1, b.size), weight)
    skin, shift = np.tensordot(rows, strains, axes=1), np.tensordot(rows, moved, axes=1)
    size = np.maximum(np.abs(skin).max(axis=(1, 2)), np.abs(shift).max(axis=(1, 2)) / m.space.size)
    return Turning(
        **{f.name: getattr(alone, f.name) for f in fields(Reduced)},
        strengths=found.strengths,
        factor=np.array(factor),
        shares=m.shares,
        raster=np.array(_stated(m)),
        hot=found.hot.strains,
        spots=m.sampler.points[found.hot.points],
        worked=found.hot.worked,
        worked_skin=m.sampler.worked[outside],
        mix=mix,
        size=size,
        skin=(skin / size[:, None, None]).astype(np.float16),
        moved=(shift / size[:, None, None]).astype(np.float16),
    )


def _stated(m: Model) -> float:
    """`Turning.raster` of a model."""
    if raster_free(m):
        return float("nan")
    return float("inf") if m.part.raster is None or m.part.raster.angle is None else m.part.raster.angle


def _used(solved: Array, weight: Array) -> tuple[Array, Array]:
    """Mix (r, s) and rows (s, r): solved @ mix @ rows is `solved` (n, r) but for `TAIL`, in the norm of `weight` (r,).
    Every solution counts alike, however small its load."""
    scaled = solved * weight
    length = np.linalg.norm(scaled, axis=1, keepdims=True)
    scaled = scaled / np.maximum(length, 1e-300)
    _, values, turn = np.linalg.svd(scaled, full_matrices=False)
    tail = np.sqrt(np.cumsum(values[::-1] ** 2)[::-1])
    kept = turn[: max(1, int((tail > TAIL * tail[0]).sum()))]
    safe = np.maximum(weight, 1e-300)
    return np.asarray(weight[:, None] * kept.T), np.asarray(kept / safe)
