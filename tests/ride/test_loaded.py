"""From the workspace's text to load cases: the demo's loads come from its ride; what is wrong is said in one line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from printworthy import flow, ride, workspace
from printworthy.errors import InputError
from printworthy.inputs import Job, LoadCase, Machine
from printworthy.ride import halfcar, mechanism, transient
from printworthy.workspace import WorkspaceProblems


@pytest.fixture(scope="session")
def job(shipped_job: Job) -> Job:
    return shipped_job


STILL = mechanism.Instant("", "", np.zeros(3), np.zeros(3))


def broken(shipped: Path, tmp_path: Path, old: str, new: str, file: str = "vehicle.toml") -> list[str]:
    """What is said of the demo with one text exchanged."""
    for path in shipped.rglob("*"):
        if path.is_file():
            target = tmp_path / path.relative_to(shipped)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(path.read_bytes())
    text = (tmp_path / file).read_text(encoding="utf-8")
    assert old in text
    (tmp_path / file).write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(WorkspaceProblems) as caught:
        flow.read(tmp_path)
    return [str(p) for p in caught.value.problems]


def test_no_part_of_the_vehicle_has_a_typed_force(shipped: Path, job: Job) -> None:
    typed = {p.name for p in workspace.read(shipped).parts if p.cases}
    assert typed == {"clamp-grip"}  # it belongs to a test rig
    assert {p.name for p in job.parts if not p.cases} == {"pinch-bolt"}  # metal whatever is asked of it


def test_every_part_of_the_vehicle_is_in_balance(job: Job) -> None:
    for part in job.parts:
        for case in part.cases if part.mounting else ():
            body = ride.free_body(part, case, 0.2, (0.0, 0.0, 0.0))
            assert body is not None
            assert body.residual < 1e-9, (part.name, case.name)


def test_a_stated_case_stands_in_place_of_the_computed_one(shipped: Path) -> None:
    bare = workspace.read(shipped)
    peg = next(p for p in bare.parts if p.name == "foot-peg")
    computed = next(p for p in ride.loaded(bare)[0].parts if p.name == "foot-peg")
    given = LoadCase("whole weight on one peg", computed.cases[0].loads[:1], "steady", "measured on a scale")
    changed = replace(bare, parts=(replace(peg, cases=(given,)),))
    (found,) = ride.loaded(changed)[0].parts
    assert [c.name for c in found.cases] == ["whole weight on one peg", "pushing off with one foot"]
    assert found.cases[0] == given


def test_a_steeper_rake_shifts_the_loads_of_the_yoke_and_leaves_the_peg(job: Job) -> None:
    machine = job.vehicle.machine
    assert machine is not None
    bare = replace(job, parts=tuple(replace(p, cases=()) for p in job.parts if p.name in ("fork-yoke", "foot-peg")))
    other = replace(bare, vehicle=replace(bare.vehicle, machine=replace(machine, rake=30.0)))
    before, after = ({p.name: p.cases for p in ride.loaded(j)[0].parts} for j in (bare, other))
    assert before["fork-yoke"] != after["fork-yoke"]
    for old, new in zip(before["foot-peg"], after["foot-peg"], strict=True):
        assert old.loads[0].vector == pytest.approx(new.loads[0].vector, rel=1e-3, abs=1.0)


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ('per = "h"\ncycles = 12', 'per = "km"\ncycles = 12', "count by h and by km"),
        ('column = "frame up"', 'column = "frame down"', 'has no column "frame down"'),
        ('covers = "0.02 h"', 'covers = "0.002 h"', "lasts 0.00666 h and is said to cover 0.002 h"),
        ('gravity = "in it"', 'gravity = "none"', 'gravity is said to be "none", and its mean is 1 g'),
        ('full = "sprung"', 'full = "height"', 'full = "height" is no number of the event'),
        ('log = { file = "logs/rough-track.csv"', 'log = { file = "logs/smooth.csv"', "smooth.csv: is not there"),
        ("cycles = 6\ncomputed = true", "cycles = 6\nratio = 0\ncomputed = true", "needs cycles and has no ratio"),
        ('cycles = 2\nlevels', 'cycles = 2\ncomputed = true\nlevels', "no course of the load is computed"),
        ('wheelbase = "1150 mm"', 'wheelbase = "0 mm"', "is not above zero"),
        ('wheelbase = "1150 mm"', 'wheelbase = "500 mm"', "not between the wheels"),
        ('deceleration = "0.7 g"', 'deceleration = "0.95 g"', "more than this vehicle can do"),
        ('wheelbase = "1150 mm"', 'wheelbase = "1150 m"', "cannot be meant here (taken are 200 to 4000 mm)"),
        ('wheelbase = "1150 mm"', 'wheelbase = "nan mm"', "nan mm"),
        ('wheelbase = "1150 mm"', 'wheelbase = "1150 kg"', '"kg" is not a unit of length'),
        ('offset = "40 mm"', 'offset = "40 cm"', "cannot be meant here (taken are -300 to 300 mm)"),
        ('rake = "25 deg"', 'rake = "95 deg"', "is not between -60 and 60 deg"),
        ('mass = "7 kg"', 'mass = "7 g"', "cannot be meant here (taken are 0.1 to 150 kg)"),
        ('tyre_rate = "120 N/mm"', 'tyre_rate = "120 N/m"', "cannot be meant here (taken are 1 to 5000 N/mm)"),
        ('travel = "80 mm"', 'travel = "15 mm"', "the bump stop is as long as the travel"),
        ('mass = "75 kg"', 'mass = "7500 kg"', "cannot be meant here (taken are 10 to 250 kg)"),
        ('pegs = "480, 166, 312 mm"', 'pegs = "480, 166, 312 m"', "further than 6 m from the rear wheel"),
        ('pegs = "480, 166, 312 mm"', 'pegs = "480, 166, 1312 mm"', "does not lie below the centre of the standing"),
        ('damper_low = "141, 0, 216 mm"', 'damper_low = "141, 0, 616 mm"', "does not lie below its high end"),
        ('damper_low = "141, 0, 216 mm"\ndamper_high = "190,', 'damper_low = "351, 0, 165 mm"\ndamper_high = "351,',
         "the damper acts 0 mm from the swing arm's pivot"),
        ('grips = "780, 300', 'grips = "-780, 300', "grips lies -780 mm ahead of the rear axle, beside the vehicle"),
        ('risers = "800, 60, 930 mm"', 'risers = "0, 60, 930 mm"', "the risers lie 749 mm from the steering axis"),
        ('lower_bearing = "490 mm"', 'lower_bearing = "49 mm"', "the front axle (165 mm high) does not lie below"),
        ('limit = "12 kN"', 'limit = "12 N"', "cannot be meant here (taken are 50 N to 1000 kN)"),
        ('lower_bearing = "490 mm"', 'lower_bearing = "700 mm"', "does not lie below the upper bearing (671 mm)"),
        ('force = "220 N"', 'force = "120 N"', "less than the 200 N that a hand brake must bear (service test)"),
        ('test = "service"\nforce = "220 N"', 'force = "220 N"', "less than the 450 N that a hand brake must bear"),
        ('length = "500 mm"', 'slope = "3 deg"', 'knows no "slope"'),
        ('multiple = 1.5', 'multiple = 50', "outside what this event is computed for"),
        ('[front.suspension]', '[front.suspensions]', "not known here"),
        ('pegs = "480, 166, 312 mm"', '', '[joints] lacks "pegs"'),
    ],
)  # fmt: skip
def test_bad_vehicles_are_told_in_one_line(shipped: Path, tmp_path: Path, old: str, new: str, line: str) -> None:
    lines = broken(shipped, tmp_path, old, new)
    assert any(line in said and "\n" not in said for said in lines), lines


def test_a_part_far_from_its_joint_is_told(shipped: Path, tmp_path: Path) -> None:
    (line,) = broken(shipped, tmp_path, 'origin = "480, ', 'origin = "-480, ', "parts/foot-peg.toml")
    assert "foot-peg.toml:" in line
    assert 'face "tread" of part foot-peg lies 960 mm from the left peg that loads it' in line


def test_a_negative_trail_is_legal_and_warned_of(job: Job) -> None:
    machine = job.vehicle.machine
    assert machine is not None
    figures = {h.name: h for h in ride.handling(replace(machine, offset=120.0))}
    assert figures["trail"].value < 0
    assert "does not steer itself straight" in figures["trail"].warning
    (line, *_) = ride.remarks(replace(machine, offset=120.0))
    assert "vehicle.toml:" in line
    assert "does not steer itself straight" in line


def test_what_an_event_lacks_is_told_at_the_event(shipped: Path, tmp_path: Path) -> None:
    lines = broken(shipped, tmp_path, 'tyre_rate = "120 N/mm"', "")
    assert any('(event[8]): event "wheels over a step": the front tyre\'s rate is not stated' in x for x in lines), (
        lines
    )


def test_the_drop_limit_is_shown_only_where_all_is_known(job: Job) -> None:
    known = {p.name: ride.Usage("print", {c.name: 0.5 for c in p.cases}) for p in job.parts}
    shown = ride.drop_limit(job.vehicle, job.parts, known)
    assert shown is not None
    heights = [p.height for p in shown.parts if p.height is not None]
    assert heights == sorted(heights)
    for p in shown.parts:  # used above 1 at the height stated where that is above the height at which it goes
        assert (p.stated >= 1) == (p.height is not None and p.height <= shown.height)
        assert np.interp(shown.height, p.heights, p.used) == pytest.approx(p.stated, rel=0.05)
    assert "Not a safe height" in shown.words
    undecided = ride.drop_limit(job.vehicle, job.parts, {**known, "foot-peg": ride.Usage("not decided", {})})
    assert undecided is not None
    assert undecided.parts == ()
    assert "Foot peg lies in the load path and is not decided" in undecided.refused
    bare = ride.drop_limit(replace(job.vehicle, metal=()), job.parts, known)
    assert bare is not None
    assert any("no limit is stated for the metal at the front wheel" in line for line in bare.refused)


def test_a_part_at_its_limit_goes_at_the_height_whose_force_it_bears(job: Job) -> None:
    # a peg used to 0.5 by its own case bears twice that force; a landing with twice the force is where it goes
    known = {p.name: ride.Usage("print", {c.name: 0.5 for c in p.cases}) for p in job.parts}
    weaker = {name: replace(u, by_case={k: 2 * v for k, v in u.by_case.items()}) for name, u in known.items()}
    strong, weak = (ride.drop_limit(job.vehicle, job.parts, u) for u in (known, weaker))
    assert strong is not None
    assert weak is not None
    first, second = ({p.name: p for p in d.parts} for d in (strong, weak))
    peg, poor = first["Foot peg"].height, second["Foot peg"].height
    assert peg is not None
    assert poor is not None
    assert poor < peg


def test_a_part_without_a_machine_is_told_so(job: Job) -> None:
    _, wrong = ride.loaded(replace(job, vehicle=replace(job.vehicle, machine=None)))
    assert wrong
    assert all(isinstance(w, InputError) and "mechanism is not stated" in str(w) for w in wrong)


def test_a_what_if_stands_beside_the_cases(job: Job) -> None:
    lever = next(p for p in job.parts if p.name == "hand-lever")
    fall = "falls over onto its lever"
    assert fall not in {c.name for c in lever.cases}
    assert {c.name for c in lever.yardsticks} == {fall, "brake lever"}
    (case,) = (c for c in lever.yardsticks if c.name == fall)
    assert case.loads[0].vector[0] < 0  # it points out along x, to the right: the ground pushes it in


def test_a_record_of_the_frame_says_nothing_of_a_part_on_the_wheel(job: Job) -> None:
    cases = {p.name: {c.name: c for c in p.cases} for p in job.parts}
    lamp, guard = cases["headlamp-surround"]["rough track"], cases["mudguard"]["rough track"]
    assert lamp.duty is not None
    assert lamp.duty.passes == pytest.approx(50)  # once in 0.02 h
    assert 0.8 < max(lamp.duty.history) < 0.9  # 2.55 g of the 3 g at which the case acts in full
    assert guard.duty is None


def test_a_motion_that_cannot_be_computed_is_a_line_at_its_event(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(halfcar, "MOST", 10)
    for run in ("_landing_run", "_bump_run"):  # nothing from memory
        monkeypatch.setattr(transient, run, getattr(transient, run).__wrapped__)
    lines = [str(p) for p in ride.loaded(job)[1]]
    assert any('event "wheels over a step": the motion is too quick' in x and "vehicle.toml:" in x for x in lines), (
        lines
    )
    known = {p.name: ride.Usage("print", {c.name: 0.5 for c in p.cases}) for p in job.parts}
    limit = ride.drop_limit(job.vehicle, job.parts, known)
    assert limit is not None
    assert not limit.parts
    assert "too quick" in limit.refused[0]


def test_a_body_that_nothing_holds_is_named_with_the_part_that_asks(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    without = [j for j in mechanism.rear_joints(machine_of(job), STILL) if j.name != "damper"]
    monkeypatch.setattr(mechanism, "rear_joints", lambda *_: iter(without))
    bare = replace(job, parts=tuple(replace(p, cases=()) for p in job.parts if p.name == "swing-arm"))
    (line,) = (str(p) for p in ride.loaded(bare)[1])
    assert "swing-arm.toml:" in line
    assert "part swing-arm: the free bodies do not balance: " in line
    assert line.endswith("one is missing that would hold it, or stands where it cannot")


def machine_of(job: Job) -> Machine:
    assert job.vehicle.machine is not None
    return job.vehicle.machine
