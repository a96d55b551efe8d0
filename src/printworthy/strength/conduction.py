"""Temperature in a printed part: second-order elements on the part's own mesh, conductivity in layer axes.

    c dT/dt = div (k grad T),   k = k1 I + (k3 - k1) n n^T for build direction n

The operators are those of the elastic model: strains of a displacement along x, y and z hold the gradients of a scalar.
Inside: mW, mm, s, degC; W/(m K) = mW/(mm K). Moduli and conductivity do not change with temperature here.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import ngsolve as ng
import numpy as np
import scipy.sparse as sparse
from ngsolve.comp import IntegrationRuleSpace, IntegrationRuleSpaceSurface
from numpy.typing import ArrayLike, NDArray
from scipy.sparse.linalg import LinearOperator, cg

from printworthy.errors import NotComputed
from printworthy.inputs import Fill
from printworthy.shape.source import normals
from printworthy.strength.exchange import Exchange
from printworthy.strength.space import csr, from_csr
from printworthy.strength.system import Prepared, by_element
from printworthy.strength.zones import wall_share, zoned

Array = NDArray[np.float64]
PER_MM2 = 1e-3  # W/m2 -> mW/mm2
PER_FACET = 6  # points of the second-order rule on a triangle: exact to degree 4
SETTLED = 1e-3  # [K] Newton stops when a step changes nothing by more
NEWTON_STEPS = 40
EULER = 4  # first stages that stand alone, as implicit Euler steps: a sudden start would make two stages overshoot
CG_STEPS = 300
CG_ACCURACY = 1e-3  # of a Newton step; the next step corrects what is left
GAMMA = 1 - np.sqrt(0.5)  # two-stage diagonally implicit Runge-Kutta of second order, L-stable (Alexander 1977)


@dataclass(frozen=True, slots=True, eq=False)
class Conductor:
    """A meshed solid as a conductor: gradients at the quadrature points (three (q, n)), values at the surface points
    (s, n) with `area` (s,) [mm2] and outward `normals` (s, 3), mass matrix per unit heat capacity (n, n), values at the
    points where stress is judged (p, n): quadrature points, then the skin's vertices.

    Only the first unknowns, those of the vertices, are temperatures; those of the edges are what is added to the mean
    of their ends.
    """

    ready: Prepared
    gradient: tuple[Any, Any, Any]
    weights: Array
    wall: Array  # (q,) share of solid print
    surface: Any
    area: Array
    normals: Array
    mass: Any
    judged: Any

    @property
    def unknowns(self) -> int:
        """Number of temperatures."""
        return int(self.mass.shape[0])

    def even(self, temperature: float) -> Array:
        """Unknowns (n,) of one temperature [degC] everywhere."""
        t = np.zeros(self.unknowns)
        t[: len(self.ready.solid.points)] = temperature
        return t

    def points_of(self, facets: NDArray[np.intp]) -> NDArray[np.intp]:
        """Surface points of these facets."""
        return (np.asarray(facets)[:, None] * PER_FACET + np.arange(PER_FACET)).ravel()


def conductor(ready: Prepared, fill: Fill | None = None) -> Conductor:
    """The operators of a solid, or of one printed with walls and infill, for every material and direction."""
    sp, sam = ready.space, zoned(ready.space, ready.sampler, fill)
    rule = IntegrationRuleSpaceSurface(sp.mesh, order=2)
    if rule.ndof != PER_FACET * len(sp.solid.facets):
        msg = f"expected {PER_FACET} points on each of {len(sp.solid.facets)} facets, found {rule.ndof}"
        raise AssertionError(msg)
    at = ng.ds(intrules=rule.GetIntegrationRules())
    weigh = ng.LinearForm(rule)
    weigh += rule.TestFunction() * at
    weigh.Assemble()
    area = np.array(weigh.vec.FV().NumPy())
    u = sp.scalar.TrialFunction()
    trace = ng.BilinearForm(trialspace=sp.scalar, testspace=rule)
    trace += u * rule.TestFunction() * at
    inner_rule = IntegrationRuleSpace(sp.mesh, order=1)
    inner = ng.BilinearForm(trialspace=sp.scalar, testspace=inner_rule)
    inner += u * inner_rule.TestFunction() * ng.dx(intrules=inner_rule.GetIntegrationRules())
    mass = ng.BilinearForm(sp.scalar)
    mass += by_element(sp, sam.weights, sam.filled) * u * sp.scalar.TestFunction() * ng.dx
    with ng.TaskManager():
        trace.Assemble()
        inner.Assemble()
        mass.Assemble()
    surface = sparse.diags_array(1 / area) @ csr(trace.mat)
    within = sparse.diags_array(1 / sam.weights) @ csr(inner.mat)
    on_skin = sparse.eye_array(sp.count, format="csr")[sam.skin]
    outward = np.repeat(normals(sp.solid.corners), PER_FACET, axis=0)
    judged = sparse.vstack([within, on_skin]).tocsr()
    wall = wall_share(sam, fill)
    return Conductor(ready, sam.gradients(), sam.weights, wall, surface.tocsr(), area, outward, csr(mass.mat), judged)


@dataclass(frozen=True, slots=True)
class Conductivity:
    """`in_layer`, `through` [W/(m K)], `capacity` [J/(cm3 K)] = density times specific heat, 0 where steady; `infill`
    [-] share of both conductivities that infill has."""

    in_layer: float
    through: float
    capacity: float = 0.0
    infill: float = 1.0

    def weights(self, c: Conductor) -> Array:
        """Weights (q,) [mm3] of a conductor's quadrature points, less what infill conducts less."""
        return c.weights * (c.wall + (1 - c.wall) * self.infill)


class Flow:
    """Heat flow: `exchanges` over the skin, `sun` (s,) [W/m2], first guess [degC]; factored once for all directions."""

    def __init__(self, c: Conductor, exchanges: Sequence[Exchange], sun: Array, guess: float) -> None:
        self.c, self.exchanges, self.sun = c, exchanges, sun
        self.last = c.even(guess)
        self.factor: Any = None
        self.factored: Any = None

    def steady(self, k: Conductivity, direction: ArrayLike) -> Array:
        """Unknowns (n,) of temperatures [degC] at rest; starts from the last answer. Raises NotComputed."""
        self.last = self._newton(k, np.asarray(direction, float), self.last, np.zeros_like(self.last), 0.0, 0.0)
        return self.last

    def transient(
        self, k: Conductivity, direction: ArrayLike, start: float, duration: float, steps: int,
        seen: Callable[[float, Array], None] | None = None,
    ) -> Array:  # fmt: skip
        """Hottest temperature (p,) [degC] at every judged point over `duration` [s] from `start` [degC] everywhere;
        `seen` is shown the unknowns after each step. Stages: (T_i - known) c M / (gamma dt) = flow at T_i."""
        n = np.asarray(direction, float)
        t, now = self.c.even(start), 0.0
        hottest, dt = self.c.judged @ t, duration / (steps + EULER * GAMMA)
        rate = k.capacity / (GAMMA * dt)
        for step in range(EULER + steps):
            first = self._newton(k, n, t, rate * t, rate, now + GAMMA * dt)
            if step < EULER:
                t, now = first, now + GAMMA * dt
            else:
                between = t + (1 - GAMMA) / GAMMA * (first - t)
                t = self._newton(k, n, first, rate * between, rate, now + dt)
                now += dt
            hottest = np.maximum(hottest, self.c.judged @ t)
            if seen is not None:
                seen(now, t)
        return hottest

    def balance(self, t: Array) -> float:
        """Net heat through the whole skin over half of all the heat that passes it; 0 when steady."""
        q = self._flux(t, 0.0)[0] * self.c.area
        return abs(float(q.sum())) / max(0.5 * float(np.abs(q).sum()), 1e-12)

    def _flux(self, t: Array, time: float) -> tuple[Array, Array]:
        """Flux into the part and minus its slope (s,) [mW/mm2, mW/(mm2 K)] at the surface points."""
        skin = self.c.surface @ t
        q, slope = PER_MM2 * self.sun, np.zeros(len(skin))
        for e in self.exchanges:
            flux, down = e.flux(skin[e.where], time)
            q[e.where] += PER_MM2 * flux
            slope[e.where] += PER_MM2 * down
        return q, slope

    def conducted(self, k: Conductivity, n: Array, t: Array) -> Array:
        """K t (n,) [mW]."""
        g = [d @ t for d in self.c.gradient]
        along = (k.through - k.in_layer) * (n[0] * g[0] + n[1] * g[1] + n[2] * g[2])
        weights = k.weights(self.c)
        flow = [weights * (k.in_layer * g[i] + along * n[i]) for i in range(3)]
        return np.asarray(sum(d.T @ f for d, f in zip(self.c.gradient, flow, strict=True)))

    def _newton(self, k: Conductivity, n: Array, t: Array, known: Array, rate: float, time: float) -> Array:
        """T with rate M T + K T = rate M known + flux(T), `known` already multiplied by `rate`."""
        n = n / np.linalg.norm(n)
        stored = self.c.mass @ known
        for _ in range(NEWTON_STEPS):
            q, slope = self._flux(t, time)
            left = self.c.surface.T @ (self.c.area * q) + stored - self.conducted(k, n, t) - rate * (self.c.mass @ t)
            step = self._step(k, n, slope * self.c.area, rate, left)
            t = t + step
            if float(np.abs(step).max()) < SETTLED:
                return t
        raise NotComputed(f"the temperature did not settle in {NEWTON_STEPS} steps", do="Check the heat sources")

    def _step(self, k: Conductivity, n: Array, slope: Array, rate: float, left: Array) -> Array:
        """The Newton step by conjugate gradients, preconditioned by the factor of the isotropic mean."""
        if self.factor is None or self.factored != rate:
            self._factor(k, slope, rate)

        def apply(x: Array) -> Array:
            skin = self.c.surface.T @ (slope * (self.c.surface @ x))
            stored = rate * (self.c.mass @ x) if rate else 0.0
            return np.asarray(self.conducted(k, n, x) + skin + stored)

        shape = (len(left), len(left))
        found, failed = cg(
            LinearOperator(shape, matvec=apply, dtype=float), left, rtol=CG_ACCURACY, maxiter=CG_STEPS,
            M=LinearOperator(shape, matvec=self._solve, dtype=float),
        )  # fmt: skip
        if failed:
            raise NotComputed(f"the heat flow did not settle in {CG_STEPS} iterations", do="Check the conductivities")
        return np.asarray(found)

    def _factor(self, k: Conductivity, slope: Array, rate: float) -> None:
        mean = (2 * k.in_layer + k.through) / 3
        weigh = sparse.diags_array(k.weights(self.c))
        matrix = sum(mean * (d.T @ weigh @ d) for d in self.c.gradient) + rate * self.c.mass
        made = from_csr(matrix + self.c.surface.T @ sparse.diags_array(slope) @ self.c.surface)
        with ng.TaskManager():
            self.factor = made.Inverse(inverse="sparsecholesky")
        self.factored = rate

    def _solve(self, b: Array) -> Array:
        x, y = self.factor.CreateColVector(), self.factor.CreateRowVector()
        x.FV().NumPy()[:] = b
        y.data = self.factor * x
        return np.array(y.FV().NumPy())
