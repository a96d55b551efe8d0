"""The drop limit: the height at which each part, or the metal beside it, is used up in a landing.

A part's stresses grow in proportion to its load, so one solved case of the same pattern serves for every height; only
the motion of the vehicle is computed anew. Heights are found by root finding (Chandrupatla 1997, as in scipy).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import elementwise

from printworthy.errors import InputError, NotComputed
from printworthy.inputs import LoadCase, Machine, Part, RideEvent, Vehicle
from printworthy.results import DropLimit, PartDrop
from printworthy.ride.events import Happening, happenings
from printworthy.ride.kinds import number, word
from printworthy.ride.loads import cases
from printworthy.ride.roles import ROLES
from printworthy.ride.transient import channel_forces, landing_run

Array = NDArray[np.float64]
LOWEST, HIGHEST = 1.0, 2000.0  # [mm] between which the height is sought
SLIGHT = 0.05  # of a part's largest load: a landing that brings less does not count on it
ALIKE = 0.999  # cosine between two load patterns that are taken for one
CLOSE = 3e-3  # relative precision of a height
BRACKETS = 24
DRAWN = 14  # heights in the chart
WORDS = (
    "Not a safe height for the rider: it is the height at which a part reaches its limit in the computation. "
    "Utilisation with design values (lower tolerance limits of the coupons), the factor on load and the mesh error; "
    "coupons are broken slowly, and a landing is quick. What bears no rider, wheel or bar (trays, covers, mudguards, "
    "holders) is not in it: name a landing among the events of such a part."
)


@dataclass(frozen=True, slots=True)
class Usage:
    """What is known of one part: its word, its utilisation [-] by solved case, mesh error included, what it is `made`
    of; `metal`: that is a metal instead of a print."""

    word: str
    by_case: Mapping[str, float]
    made: str = ""
    metal: bool = False


@dataclass(frozen=True, slots=True)
class Demand:
    """How something is used by a landing: utilisation = `share` times the peak [N] of a `channel`."""

    name: str
    metal: bool
    channel: str
    share: float
    cause: str


def drop_limit(vehicle: Vehicle, parts: tuple[Part, ...], usage: Mapping[str, Usage]) -> DropLimit | None:
    """The drop limit of a vehicle, for its first landing event; None where it has none, or no machine.

    Shown only if every part in the load path is decided and every metal limit on it is stated; else it says why not.
    """
    m, landings = vehicle.machine, [e for e in vehicle.events if e.kind == "landing"]
    if m is None or not landings:
        return None
    event = landings[0]
    height = number(event, "height")
    demands: list[Demand] = []
    refused: list[str] = []
    try:
        peaks = _peaks(m, event, np.array([height]))
        landing_instants = happenings(m, event)
        for part in parts:
            _part_demand(part, vehicle, m, event, landing_instants, peaks, usage, demands, refused)
        refused += list(_unstated(vehicle, event))
        demands += list(_metal_demands(vehicle, event))
        heights = () if refused else _heights(m, event, demands, peaks)
    except (InputError, NotComputed) as missing:
        refused, heights = [str(missing)], ()
    return DropLimit(event.name, height, heights, tuple(refused), WORDS)


def _peaks(m: Machine, event: RideEvent, heights: Array) -> Mapping[str, Array]:
    """Largest force (n,) [N] of every channel for heights (n,)."""
    history = landing_run(m, word(event, "posture"), heights, event)
    return {name: size.max(axis=1) for name, size in channel_forces(history).items()}


def _part_demand(
    part: Part, vehicle: Vehicle, m: Machine, event: RideEvent, instants: tuple[Happening, ...],
    peaks: Mapping[str, Array], usage: Mapping[str, Usage], demands: list[Demand], refused: list[str],
) -> None:  # fmt: skip
    role = ROLES.get(part.role)
    if part.mounting is None or role is None or not role.joints or "landing" not in role.kinds:
        return
    landing = cases(part, vehicle, m, lambda _: instants, (event,))
    force = faces_pattern(landing[0]) if landing else {}
    if not force:
        return  # not in the load path: a seat while the rider stands
    most = max((_size(faces_pattern(c)) for c in part.cases), default=0.0)
    if _size(force) < SLIGHT * most:
        return  # a rider's hands on the bar: next to nothing beside what it is made for
    known = usage.get(part.name)
    if known is None or known.word == "not decided":
        lacks = "was not assessed" if known is None else "is not decided"
        refused.append(f"{part.title} lies in the load path and {lacks}")
        return
    alike = [(c, ratio) for c in part.cases if (ratio := proportion(force, faces_pattern(c))) is not None]
    used = [(ratio * known.by_case[c.name], c.name) for c, ratio in alike if c.name in known.by_case]
    if not used:
        refused.append(f"{part.title}: none of its solved cases loads it as a landing does; add such an event to it")
        return
    at_reference, case = min(used)
    share = at_reference / float(peaks[role.channel][0])
    demands.append(
        Demand(part.title, known.metal, role.channel, share, f"{known.made}, in proportion to its case {case}")
    )


def _size(pattern: Mapping[tuple[str, str], Array]) -> float:
    return max((float(np.linalg.norm(v)) for (kind, _), v in pattern.items() if "moment" not in kind), default=0.0)


def faces_pattern(case: LoadCase) -> dict[tuple[str, str], Array]:
    """Loads on faces [N, N mm] by kind and face; what acts on the part's own mass is left out."""
    made: dict[tuple[str, str], Array] = {}
    for load in case.loads:
        if load.face:
            key = (load.kind, load.face)
            made[key] = made.get(key, np.zeros(3)) + np.array(load.vector)
    return made


def proportion(wanted: Mapping[tuple[str, str], Array], solved: Mapping[tuple[str, str], Array]) -> float | None:
    """How many times `solved` is `wanted`, where both have one pattern; else None."""
    keys = sorted({*wanted, *solved})
    a = np.concatenate([wanted.get(k, np.zeros(3)) for k in keys]) if keys else np.zeros(3)
    b = np.concatenate([solved.get(k, np.zeros(3)) for k in keys]) if keys else np.zeros(3)
    sizes = float(np.linalg.norm(a)), float(np.linalg.norm(b))
    if min(sizes) == 0.0 or float(a @ b) < ALIKE * sizes[0] * sizes[1]:
        return None
    return sizes[0] / sizes[1]


def _stations(event: RideEvent) -> Mapping[str, str]:
    """Where metal limits are wanted for a landing, and the channel that loads them."""
    rider = {"pegs": "rider"} if word(event, "posture") == "standing" else {"seat": "rider"}
    return {"front wheel": "front tyre", "rear wheel": "rear tyre", **rider}


def _unstated(vehicle: Vehicle, event: RideEvent) -> Iterator[str]:
    for station in _stations(event):
        if not any(limit.at == station for limit in vehicle.metal):
            yield f"no limit is stated for the metal at the {station} (hub, axle, bolts): add [[metal]]"


def _metal_demands(vehicle: Vehicle, event: RideEvent) -> Iterator[Demand]:
    for limit in vehicle.metal:
        channel = _stations(event).get(limit.at)
        if channel:
            yield Demand(limit.name, True, channel, event.factor / limit.limit, f"stated limit: {limit.source}")


def _heights(m: Machine, event: RideEvent, demands: list[Demand], stated: Mapping[str, Array]) -> tuple[PartDrop, ...]:
    """Every demand with the height at which it reaches 1, lowest first, and its curve; `stated`: peaks (1,) at the
    event's own height."""
    channels = sorted({d.channel for d in demands})
    share = np.array([d.share for d in demands])
    which = np.array([channels.index(d.channel) for d in demands])

    def excess(log_height: Array, s: Array, c: Array) -> Array:
        peaks = _peaks(m, event, np.exp(log_height).ravel())
        every = np.stack([peaks[name] for name in channels])
        used = every[c.ravel().astype(int), np.arange(log_height.size)].reshape(log_height.shape)
        return np.asarray(s * used - 1)

    # One coarse run over all heights brackets every root closely; the search then needs few more.
    coarse = np.geomspace(LOWEST, HIGHEST, BRACKETS)
    first = _peaks(m, event, coarse)
    over = np.array([d.share * first[d.channel] >= 1 for d in demands])
    inside = over.any(axis=1) & ~over[:, 0]
    height = np.where(over[:, 0], LOWEST, np.inf)
    if inside.any():
        at = np.argmax(over[inside], axis=1)
        ends = np.log(coarse[at - 1]), np.log(coarse[at])
        found = elementwise.find_root(
            excess, ends, args=(share[inside], which[inside]), tolerances={"xatol": CLOSE, "fatol": CLOSE}
        )
        if not np.all(found.success):
            raise NotComputed("the drop height of a part was not found")
        height[inside] = np.exp(found.x)
    top = 1.6 * float(np.max(height[np.isfinite(height)], initial=100.0))
    grid = np.linspace(LOWEST, min(top, HIGHEST), DRAWN)
    peaks = _peaks(m, event, grid)
    made = [
        PartDrop(
            d.name, d.metal, float(h) if np.isfinite(h) else None, d.cause,
            tuple(map(float, grid)), tuple(map(float, d.share * peaks[d.channel])),
            d.share * float(stated[d.channel][0]),
        )
        for d, h in zip(demands, height, strict=True)
    ]  # fmt: skip
    return tuple(sorted(made, key=lambda p: HIGHEST * 2 if p.height is None else p.height))
