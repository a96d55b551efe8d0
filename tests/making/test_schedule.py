"""Beds and schedules: nothing overlaps, nobody is asked to work at night, what runs is left alone."""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import pytest
from shapely.geometry import Polygon, box

from printworthy.errors import InputError
from printworthy.making.nesting import CLEARANCE, Piece, area_bound, density, nested, too_large
from printworthy.making.schedule import Presence, Task, replan, schedule
from printworthy.results import Schedule

HOUR = 3600.0
ELL = ((0.0, 0.0), (90.0, 0.0), (90.0, 20.0), (20.0, 20.0), (20.0, 90.0), (0.0, 90.0))
DISC = tuple((15 * float(np.cos(t)), 15 * float(np.sin(t))) for t in np.linspace(0, 2 * np.pi, 24, endpoint=False))


def test_pieces_lie_apart_and_inside_the_bed() -> None:
    bed = (250.0, 210.0)
    pieces = [Piece("ell", ELL)] * 12 + [Piece("disc", DISC)] * 20
    beds = nested(pieces, bed)
    assert sum(len(b) for b in beds) == 32
    assert len(beds) >= area_bound(pieces, bed)
    for placed in beds:
        shapes = [Polygon(p.outline) for p in placed]
        assert all(box(0, 0, *bed).buffer(-CLEARANCE / 2 + 1e-6).contains(s) for s in shapes)
        assert all(a.distance(b) >= CLEARANCE - 0.01 for a, b in combinations(shapes, 2))
        areas = sorted(Polygon(p.outline).area for p in placed)
        assert areas[0] == pytest.approx(Polygon(DISC).area, rel=1e-3) or areas[0] == pytest.approx(3200, rel=1e-3)
        assert density(placed, bed) == pytest.approx(sum(areas) / (250 * 210))


def test_real_outlines_nest_closer_than_their_boxes() -> None:
    # Two angles interlock; their boxes of 90 mm would need 93 + 93 beside each other.
    assert len(nested([Piece("ell", ELL)] * 2, (160.0, 120.0))) == 1


def test_a_piece_that_fits_only_across_the_corners() -> None:
    bar = ((0.0, 0.0), (300.0, 0.0), (300.0, 8.0), (0.0, 8.0))
    assert len(nested([Piece("bar", bar)], (250.0, 210.0))) == 1
    with pytest.raises(InputError, match="fits no bed"):
        nested([Piece("bar", bar)], (200.0, 200.0))


def test_how_much_a_body_is_too_large() -> None:
    corners = np.array([[x, y, z] for x in (0, 300) for y in (0, 10) for z in (0, 50)], dtype=float)
    over_bed, over_height = too_large(corners, (250.0, 250.0, 40.0))
    # 300 x 10 turned by 45 deg: 310 / sqrt(2) a side
    assert over_bed == pytest.approx(310 / np.sqrt(2) - 250, abs=1e-6)
    assert over_height == pytest.approx(10)
    assert too_large(corners, (200.0, 200.0, 60.0))[0] == pytest.approx(310 / np.sqrt(2) - 200, abs=1e-6)


def apart(found: Schedule) -> None:
    for machine in found.use:
        slots = [s for s in found.slots if s.machine == machine]
        assert all(a.end <= b.start + 60 for a, b in pairwise(slots))


def test_nights_pass_without_an_operator() -> None:
    tasks = [Task(f"bed {k}", 6 * HOUR, ("p1",), attended=True) for k in range(4)]
    found = schedule(tasks, presence=Presence(8 * 60, 17 * 60, 5))
    apart(found)
    assert [s.start / HOUR for s in found.slots] == [8, 14, 32, 38]
    assert found.optimal


def test_weekends_too() -> None:
    tasks = [Task(f"bed {k}", 20 * HOUR, ("p1",), attended=True) for k in range(7)]
    found = schedule(tasks, presence=Presence(8 * 60, 17 * 60, 5))
    days = [int(s.start // (24 * HOUR)) for s in found.slots]
    assert all(d % 7 < 5 for d in days)


def test_changing_material_takes_time_and_is_avoided() -> None:
    groups = ("a", "b", "a", "b")
    tasks = [Task(f"bed {k}", HOUR, ("p1",), group=g) for k, g in enumerate(groups)]
    found = schedule(tasks, change=HOUR)
    assert found.finish == pytest.approx(5 * HOUR)  # one change, not three
    assert schedule(tasks).finish == pytest.approx(4 * HOUR)


def test_filament_dries_first() -> None:
    dry = Task("dry", 4 * HOUR, ("dryer",))
    found = schedule([Task("bed", HOUR, ("p1", "p2"), after=("dry",)), dry])
    assert found.finish == pytest.approx(5 * HOUR)


def test_a_due_date_that_cannot_be_kept_names_the_bottleneck() -> None:
    tasks = [Task(f"bed {k}", 10 * HOUR, ("p1",), due=15 * HOUR) for k in range(2)]
    tasks.append(Task("bench", HOUR, ("bench",), due=2 * HOUR))
    found = schedule(tasks)
    assert found.late == pytest.approx(5 * HOUR)
    assert "1 due date is not kept" in found.words
    assert "5.0 h late" in found.words
    assert "bottleneck is p1" in found.words
    assert schedule(tasks[1:]).words == "every due date is kept"


def test_due_dates_come_before_the_finish() -> None:
    tasks = [Task("long", 9 * HOUR, ("p1",)), Task("urgent", HOUR, ("p1",), due=HOUR)]
    assert next(s for s in schedule(tasks).slots if s.task == "urgent").start == 0


def test_after_a_failed_print_what_runs_is_not_moved() -> None:
    tasks = [Task(f"bed {k}", 4 * HOUR, ("p1", "p2")) for k in range(5)]
    tasks.append(Task("fit", HOUR, ("bench",), after=("bed 0",)))
    plan = schedule(tasks)
    at = {s.task: s for s in plan.slots}
    now = 2 * HOUR
    failed = next(s.task for s in plan.slots if s.start <= now <= s.end)
    running = [s for s in plan.slots if s.start < now and s.task != failed]
    new, made = replan(tasks, plan, now, failed)
    apart(new)
    there = {s.task: s for s in new.slots}
    for slot in running:
        assert (there[slot.task].start, there[slot.task].machine) == (slot.start, slot.machine)
    assert there[failed].end == now
    assert there[f"{failed} again"].start >= now
    assert all(s.start >= now for s in new.slots if not s.fixed)
    assert there["fit"].start >= there.get("bed 0 again", there["bed 0"]).end
    assert new.finish >= plan.finish
    assert len(made) == 7
    late = next(s.task for s in plan.slots if at[s.task].start > now)
    with pytest.raises(InputError, match="does not run"):
        replan(tasks, plan, now, late)


def test_tasks_that_cannot_be_meant() -> None:
    with pytest.raises(InputError, match="no machine"):
        schedule([Task("a", 1.0, ())])
    with pytest.raises(InputError, match="which is no task"):
        schedule([Task("a", 1.0, ("p",), after=("b",))])
    with pytest.raises(InputError, match="circle"):
        schedule([Task("a", 1.0, ("p",), after=("b",)), Task("b", 1.0, ("p",), after=("a",))])
    with pytest.raises(InputError, match="one name"):
        schedule([Task("a", 1.0, ("p",)), Task("a", 1.0, ("p",))])
    assert schedule([]).words == "nothing to do"
