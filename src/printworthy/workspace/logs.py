"""What duties name by file, read: measured courses of load, statistics of rides, spectral densities."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from printworthy import units
from printworthy.errors import CardError, InputError, Place
from printworthy.inputs import Density, Duty, Job, Log, Shaking, Trials
from printworthy.units import G
from printworthy.workspace.measured import Table, asked, in_unit, quantity, read_table

Array = NDArray[np.float64]
FEWEST = 20  # readings that make a course
NEAR = 0.3  # share of gravity by which the mean of a course may lie off what is said of gravity
JUMP = 10.0  # usual steps of time that may pass between two readings
SLOWEST = 0.1  # [s] between two readings of shaking (common practice: ten readings a period of some hertz)
TIMES = ("time", "times", "t")
_File = TypeVar("_File", Log, Trials, Density)


def with_logs(job: Job) -> tuple[Job, list[InputError]]:
    """The job with every file read that a duty names, and all that is wrong with those files."""
    wrong: list[InputError] = []

    def filled(duty: Duty | None) -> Duty | None:
        if duty is None or (duty.log is None and duty.shaking is None):
            return duty
        try:
            return replace(
                duty,
                log=_course(duty.log, job.root) if duty.log else None,
                shaking=_statistics(duty.shaking, job.root) if duty.shaking else None,
            )
        except InputError as error:
            wrong.append(error)
            return duty

    events = tuple(replace(e, duty=filled(e.duty)) for e in job.vehicle.events)
    parts = tuple(replace(p, cases=tuple(replace(c, duty=filled(c.duty)) for c in p.cases)) for p in job.parts)
    return replace(job, vehicle=replace(job.vehicle, events=events), parts=parts), wrong


def turning_points(values: Array) -> Array:
    """First, last and every place (m,) at which a course (n,) turns."""
    moved = values[np.concatenate([[True], np.diff(values) != 0])]
    step = np.diff(moved)
    turns = np.concatenate([[True], np.sign(step[1:]) != np.sign(step[:-1]), [True]]) if len(step) else [True]
    return np.asarray(moved[turns])


def _course(log: Log, root: Path) -> Log:
    log = _placed(log, root)
    table = read_table(log.file, root)
    at = table.column(log.column)
    values, unit = table.numbers(at), table.unit(at, {})
    if not unit:
        raise asked(table, at, "load", values)
    if len(values) < FEWEST:
        what = f"holds {len(values)} readings, {FEWEST} are the fewest that make a course of load"
        raise CardError(what, where=Place(table.path, 1), do="Name a longer record")
    is_force = _is_force(unit)
    course = in_unit(table, at, unit, "force" if is_force else "acceleration", values)
    if not is_force:
        course = _weighed(course, log, table.path)
    kind = "force" if is_force else "acceleration"
    turning = tuple(float(v) for v in turning_points(course))
    return replace(log, turning=turning, quantity=kind, seconds=_seconds(table, shakes=not is_force))  # type: ignore[arg-type]


def _placed(named: _File, root: Path) -> _File:
    """A record that names a file of the workspace, with the file where it lies: to be hashed from any folder."""
    return replace(named, file=root / named.file)


def _is_force(unit: str) -> bool:
    try:
        units.quantity(f"1 {unit}", "force")
    except InputError:
        return False
    return True


def _weighed(course: Array, log: Log, path: Path) -> Array:
    """The course with the gravity that loads the part; its mean must be what is said of the sensor."""
    mean, where = float(course.mean()) / G, Place(path, 1, log.column)
    words = f"its mean is {mean:.2g} g"
    if log.gravity is None:
        do = (
            'Write gravity = "in it" (the sensor at rest shows 1 g), "to add" (it shows 0, the weight acts) or "none" '
            "(a level direction)"
        )
        raise CardError(f"whether gravity is in the record is not stated; {words}", where=where, do=do)
    wanted = {"in it": 1.0, "to add": 0.0, "none": 0.0}[log.gravity]
    if abs(mean - wanted) > NEAR:
        what = f'gravity is said to be "{log.gravity}", and {words}, not about {wanted:g}'
        raise CardError(what, where=where, do="Check direction, sign and unit of the column, or correct gravity")
    return course + G if log.gravity == "to add" else course


def _seconds(table: Table, *, shakes: bool) -> float:
    """How long a record lasts [s]; `shakes`: it holds accelerations."""
    clocks = [n for n, name in enumerate(table.names) if name.lower() in TIMES]
    if not clocks:
        do = 'Add "time [s]" as the first column'
        raise CardError("has no column time", where=Place(table.path, 1), do=do)
    times = quantity(table, clocks[0], "time", {})
    back = np.flatnonzero(np.diff(times) < 0)
    if len(back):
        where = Place(table.path, table.lines[int(back[0]) + 1], table.names[clocks[0]])
        raise CardError("time runs back", where=where, do="Put one record into one file, in the order it was taken")
    if not times[-1] > times[0]:
        raise CardError("lasts no time", where=Place(table.path, 1), do="Check the column time")
    steps = np.diff(times)
    usual = float(np.median(steps[steps > 0]))
    jumps = np.flatnonzero(steps > JUMP * usual)
    if len(jumps):
        where = Place(table.path, table.lines[int(jumps[0]) + 1], table.names[clocks[0]])
        what = (
            f"time jumps by {steps[jumps[0]]:.3g} s among steps of {usual:.3g} s: what happened in between is missing"
        )
        raise CardError(what, where=where, do="Fill it in, or make each stretch a record of its own")
    if shakes and usual > SLOWEST * 1.001:
        what = f"one reading every {usual:.3g} s misses what shakes"
        do = f"Log {1 / SLOWEST:g} readings a second or more, some hundred beside a wheel; check the unit of time"
        raise CardError(what, where=Place(table.path, 1, table.names[clocks[0]]), do=do)
    return float(times[-1] - times[0])


def _statistics(shaking: Shaking, root: Path) -> Shaking:
    if shaking.trials is not None:
        return _of_trials(shaking, _placed(shaking.trials, root), root)
    return _of_density(shaking, _placed(shaking.density, root), root) if shaking.density is not None else shaking


def _of_trials(shaking: Shaking, trials: Trials, root: Path) -> Shaking:
    """The lowest and the highest of the chosen rides, each figure by itself."""
    table = read_table(trials.file, root)
    chosen = list(_chosen(table, trials))

    def column(key: str, dimension: str) -> Array:
        return quantity(table, table.column(trials.columns[key]), dimension, trials.units, chosen)

    rms, crossings = column("rms", "acceleration"), column("crossings", "frequency")
    for name, values in (("rms", rms), ("crossings", crossings)):
        if not values.min() > 0:
            where = Place(table.path, table.lines[chosen[int(np.argmin(values))]], trials.columns[name])
            raise CardError("is not above zero", where=where, do="Take the row out, or name another column")
    found = replace(shaking, trials=trials, rms=_ends(rms), crossings=_ends(crossings))
    if "peak" not in trials.columns:
        return found
    peak = column("peak", "acceleration")
    if shaking.model == "Rayleigh and peaks":  # the peaks themselves count, not their share of each ride's rms
        crest = (float(peak.min() / rms.min()), float(peak.max() / rms.max()))
    else:
        crest = _ends(peak / rms)
    return replace(found, crest=crest, over=float(np.median(column("duration", "time"))))


def _ends(values: Array) -> tuple[float, float]:
    return float(values.min()), float(values.max())


def _chosen(table: Table, trials: Trials) -> Iterator[int]:
    wanted = {table.column(name): word for name, word in trials.only.items()}
    rows = [i for i, row in enumerate(table.rows) if all(row[at] == word for at, word in wanted.items())]
    if not rows:
        at = next(iter(wanted))
        known = sorted({row[at] for row in table.rows})
        what = f"no row holds {' and '.join(wanted.values())}"
        do = f'"{table.names[at]}" holds: {", ".join(known[:12])}'
        raise CardError(what, where=Place(table.path, 1), do=do)
    yield from rows


def _of_density(shaking: Shaking, density: Density, root: Path) -> Shaking:
    table = read_table(density.file, root)
    at = table.column(density.column)
    frequencies = quantity(table, 0, "frequency", density.units)
    values = quantity(table, at, "acceleration density", density.units)
    if np.any(np.diff(frequencies) <= 0) or frequencies[0] < 0:
        raise CardError(
            f'"{table.names[0]}" does not rise', where=Place(table.path, 1), do="Put frequencies first, in order"
        )
    if values.min() < 0 or not values.max() > 0 or len(values) < FEWEST:
        what = f"is no spectral density: {len(values)} values from {values.min():.3g}"
        raise CardError(what, where=Place(table.path, 1, table.names[at]), do=f"Give {FEWEST} or more, none below 0")
    return replace(
        shaking, density=density, frequencies=tuple(map(float, frequencies)), densities=tuple(map(float, values))
    )
