"""What the ride adds to a dossier: the vehicle to scale with its handling figures, free bodies, the drop limit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np

from printworthy.dossier import happened, sheet, words
from printworthy.dossier.document import Block, Cell, Column, Facts, Figure, Items, Row, Section, Table, Text
from printworthy.dossier.plot import Axis, Plot, plot
from printworthy.inputs import Job, Machine, Part, Vector
from printworthy.results import DropLimit, FreeBody, Handling, PartDrop, Push, Ride

FRAME = 620.0  # units of the drawing across a frame, about
LONGEST, SHORTEST = 100.0, 12.0  # units of the longest arrow, and of the shortest that is drawn
SHOWN = 6  # curves in the drop chart
HIGHEST = 1.3  # utilisation up to which curves are drawn
STYLES: tuple[tuple[str, str], ...] = (("solid", "disc"), ("dashed", "square"), ("dotted", "triangle"))


def vehicle_section(ride: Ride, job: Job, invented: bool) -> Section:
    """The vehicle from the side, its figures, its drop limit."""
    blocks: list[Block] = []
    if job.vehicle.machine is not None:
        blocks.append(side_view(job.vehicle.machine))
    blocks.append(handling(ride.handling))
    warnings = tuple(f"{h.name}: {h.warning}" for h in ride.handling if h.warning)
    if warnings:
        blocks.append(Items("Worth a second look", warnings))
    blocks += happened.blocks(ride.events)
    if ride.drop is not None:
        blocks += drop_blocks(ride.drop)
    return Section("ride", "The vehicle and its ride", tuple(blocks), invented=invented, new_page=True)


def handling(figures: tuple[Handling, ...]) -> Table:
    """Handling figures with their formulas."""
    rows = tuple(
        Row((Cell(h.name, mark="look" if h.warning else ""), Cell(words.number(h.value), h.value, h.unit, h.source),
             Cell(h.unit), Cell(h.source)))
        for h in figures
    )  # fmt: skip
    columns = (Column("figure"), Column("value", "", "number"), Column("unit"), Column("from"))
    return Table("Geometry and handling", columns, rows, stacked=True)


def _scaled_frame(x: tuple[float, float], y: tuple[float, float], names: tuple[str, str]) -> Plot:
    """A frame in which a millimetre is as long across as upwards."""
    across = x[1] - x[0]
    return plot(Axis(f"{names[0]} [mm]", *x), Axis(f"{names[1]} [mm]", *y), FRAME * (y[1] - y[0]) / across)


def side_view(m: Machine) -> Figure:
    """The vehicle from its left side."""
    p, key = side_plot(m)
    return Figure(
        p.text(), "Side view of the vehicle to scale, with wheels, steering axis, joints and centres of mass",
        "The vehicle from its left side, to scale as stated; its front is to the right.", key,
    )  # fmt: skip


def side_plot(m: Machine) -> tuple[Plot, tuple[tuple[str, str], ...]]:
    """Wheels, steering axis with its trail, what is joined where, the masses: to scale; and the key to the marks."""
    r = max(m.front.radius, m.rear.radius)
    j = m.joints
    points = [("peg", j.pegs), ("seat", j.seat), ("grip", j.grips), ("pivot", j.pivot)]
    rider = m.rider
    top = max(2.6 * r, rider.standing[2] if rider else 0.0, *(p[2] for _, p in points if p)) * 1.08
    p = _scaled_frame((-1.3 * r, m.wheelbase + 1.5 * r), (0.0, top), ("forward", "up"))
    turn = np.linspace(0, 2 * np.pi, 49)
    for wheel, x in ((m.rear, 0.0), (m.front, m.wheelbase)):
        p.line(x + wheel.radius * np.cos(turn), wheel.radius * (1 + np.sin(turn)))
    angle = math.radians(m.rake)
    foot = m.wheelbase + m.front.radius * math.tan(angle) - m.offset / math.cos(angle)
    head = (j.upper_bearing or top / 2) * 1.05
    p.line([foot, foot - head * math.tan(angle)], [0.0, head], "dashed")
    p.say(foot - head * math.tan(angle), head, "steering axis", "mid", dy=-8)
    p.say(foot, 0.0, "trail", "start", dx=6, dy=-8)
    if j.pivot and not m.rear.rigid:
        p.line([0.0, j.pivot[0]], [m.rear.radius, j.pivot[2]])
        if j.damper_low and j.damper_high:
            p.line([j.damper_low[0], j.damper_high[0]], [j.damper_low[2], j.damper_high[2]], "dotted")
    for share in np.linspace(0.0, 1.0, 40):  # names keep off the steering axis
        p.keep(*p.at(foot - share * head * math.tan(angle), share * head), half=4.0)
    marks = [(name, point, "square") for name, point in points if point]
    masses = [(x.name, x.centre) for x in m.masses]
    masses += [("rider seated", rider.seated), ("rider standing", rider.standing)] if rider else []
    marks += [(name, centre, "disc") for name, centre in masses]
    for _, (x, _, z), shape in marks:
        p.points([x], [z], shape)  # type: ignore[arg-type]
        p.keep(*p.at(x, z), half=6.0)
    for name, (x, _, z), _ in marks:
        p.name(x, z, name)
    return p, (("disc", "centre of a mass"), ("square", "where hands, feet, seat and swing arm are joined"))


LOOSE = (
    "No part of the vehicle: no place in it is stated, so no ride loads it. Its loads are the plain forces stated for "
    "it, each with its source."
)


def loose(job: Job, titles: Mapping[str, str]) -> Text | None:
    """Which parts (`titles` by name) have no place in a vehicle whose mechanism is stated; None where all have one."""
    metal = job.rules.metal_roles
    names = [titles[p.name] for p in job.parts if p.mounting is None and p.role not in metal and p.name in titles]
    if job.vehicle.machine is None or not names:
        return None
    return Text(f"No part of the vehicle, judged under plain stated forces: {', '.join(names)}.")


def part_blocks(bodies: tuple[FreeBody, ...], governing: str, part: Part) -> tuple[Block, ...]:
    """The free body of the governing case, drawn and in figures, and the event behind it."""
    if part.mounting is None:
        return (Text(LOOSE),)
    body = next((b for b in bodies if b.case == governing), None)
    if body is None:
        return (
            Text("The governing case does not come from a ride event of the vehicle, or has no resultant to draw."),
        )
    found: list[Block] = [
        Facts(
            "The event behind the governing case",
            (("case", Cell(body.case)), ("where it comes from", Cell(body.event))),
        ),
        free_body(body),
        pushes(body),
    ]
    return tuple(found)


def free_body(body: FreeBody) -> Figure:
    """The forces on a part, what acts at one place taken together, seen along the axis that hides least of forces and
    places; lengths of arrows in proportion."""
    joined = together(body.pushes)
    forces = np.array([p.force for p in joined])
    points = np.array([p.point for p in joined])
    spread = np.ptp(points, axis=0)
    hidden = int(np.argmin(np.abs(forces).sum(axis=0) / max(float(np.abs(forces).sum()), 1e-9)
                           + spread / max(float(spread.max()), 1e-9)))  # fmt: skip
    u, v = (i for i in range(3) if i != hidden)
    middle = (points.max(axis=0) + points.min(axis=0)) / 2
    half = max(0.76 * float(spread[u]), 1.9 * float(spread[v]), 20.0)  # room for the longest arrow at each edge
    frame = _scaled_frame(
        (middle[u] - half, middle[u] + half), (middle[v] - 0.6 * half, middle[v] + 0.6 * half),
        (words.AXES[u], words.AXES[v]),
    )  # fmt: skip
    largest = max(float(np.linalg.norm(forces[:, [u, v]], axis=1).max()), 1e-9)
    key, ends = [], []
    for number, push in enumerate(joined):
        tip = np.array(frame.at(push.point[u], push.point[v]))
        flat = np.array([push.force[u], -push.force[v]]) / largest * LONGEST
        frame.points([push.point[u]], [push.point[v]], "ring" if push.kind == "support" else "disc")
        long = float(np.linalg.norm(flat))
        if long > SHORTEST:
            css = {"load": "load", "inertia": "load body", "support": "build"}[push.kind]
            sheet.arrow_line(frame.svg, css, tip - flat, tip)
        for share in np.linspace(0.0, 1.0, max(2, int(long / 12))):
            frame.keep(*(tip - share * flat))
        ends.append(tip - flat if long > SHORTEST else tip)
        key.append((chr(ord("a") + number % 26), f"{push.name}: {_size(push)} ({push.kind})"))
    for (letter, _), (x, y) in zip(key, ends, strict=True):
        frame.name(0, 0, letter, at=(float(x), float(y)))
    return Figure(
        frame.text(), f"Free body in case {body.case}: " + "; ".join(text for _, text in key),
        f"The part cut free in case {body.case}, seen along {words.AXES[hidden]}; arrows end where they push, dashed: "
        "weight and inertia, coloured: supports. What is too small to draw, or acts along the sight, is a point.",
        tuple(key),
    )  # fmt: skip


def together(pushes: tuple[Push, ...]) -> tuple[Push, ...]:
    """Pushes of one kind at one place as one, in the order in which they come; weight and inertia are such a pair."""
    found: dict[tuple[str, Vector], Push] = {}
    for p in pushes:
        key = (p.kind, p.point)
        old = found.get(key)
        if old is None:
            found[key] = p
            continue
        name = old.name if p.name in old.name or old.name in p.name else f"{old.name} and {p.name}"
        found[key] = replace(old, name=name, force=_sum(old.force, p.force), moment=_sum(old.moment, p.moment))
    return tuple(found.values())


def _sum(a: Vector, b: Vector) -> Vector:
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def _size(push: Push) -> str:
    """Force, and the moment where it is more than the force 1 mm aside."""
    force, moment = float(np.linalg.norm(push.force)), float(np.linalg.norm(push.moment))
    told = [f"{words.number(force)} N"] if force or not moment else []
    return " and ".join(told + ([f"{words.number(moment / 1000)} N m"] if moment > force else []))


def pushes(body: FreeBody) -> Table:
    """All that pushes on a part, and what stays over."""
    rows = tuple(Row(tuple(_cells(p))) for p in body.pushes)
    columns = (Column("push"), Column("kind"), Column("at", "mm"), Column("force", "N"), Column("moment", "N m"))
    note = f"Left over: {words.number(100 * body.residual, 2)} % of what acts. {words.sentence(body.words)}"
    return Table("Free body of the governing case", columns, rows, note=note, stacked=True)


def _cells(p: Push) -> Iterator[Cell]:
    yield Cell(p.name)
    yield Cell(p.kind)
    yield Cell(words.vector(p.point))
    yield Cell(words.vector(p.force), unit="N")
    moment: Vector = (p.moment[0] / 1000, p.moment[1] / 1000, p.moment[2] / 1000)
    yield Cell(words.vector(moment) if any(moment) else "0", unit="N m")


def drop_blocks(drop: DropLimit) -> tuple[Block, ...]:
    """The chart and the order in which parts go; or why there is none."""
    if drop.refused:
        return (Items("No drop limit is shown, because", tuple(words.sentence(r) for r in drop.refused)),)
    first = drop.parts[0]
    return (
        Text(f"{_first_words(first)} {drop.words}"),
        drop_chart(drop.parts),
        drop_table(drop),
    )


def _first_words(first: PartDrop) -> str:
    if first.height is None:
        return "No part reaches its limit at any height that was looked at."
    what = "A metal part goes first: " if first.metal else "First to go: "
    return f"{what}{first.name}, at {words.number(first.height)} mm (lower-confidence height; {first.cause})."


def drop_chart(parts: tuple[PartDrop, ...]) -> Figure:
    """Utilisation over drop height of the parts that go first."""
    shown = parts[:SHOWN]
    frame = plot(Axis("drop height [mm]", 0.0, shown[0].heights[-1]), Axis("utilisation", 0.0, HIGHEST))
    frame.level(1.0, "limit")
    key = []
    for number, p in enumerate(shown):
        style, shape = STYLES[number % len(STYLES)]
        inside = [i for i, u in enumerate(p.used) if u <= HIGHEST]
        heights, used = [p.heights[i] for i in inside], [p.used[i] for i in inside]
        frame.line(heights, used, style)  # type: ignore[arg-type]
        letter = chr(ord("A") + number)
        if heights:
            frame.say(heights[-1], used[-1], letter, "start", dx=5)
        if p.height is not None:
            frame.points([p.height], [1.0], shape)  # type: ignore[arg-type]
        kind = "metal" if p.metal else "printed"
        where = f"{words.number(p.height)} mm" if p.height is not None else "not reached"
        key.append((letter, f"{p.name} ({kind}): {where}"))
    alt = "Utilisation over drop height; at the limit: " + "; ".join(text for _, text in key)
    return Figure(frame.text(), alt, "The parts that go first in a landing, by drop height.", tuple(key))


def drop_table(drop: DropLimit) -> Table:
    """Every part in the load path and every stated metal limit, in the order in which they go."""
    rows = tuple(
        Row((
            Cell(p.name), Cell("metal" if p.metal else "printed"),
            Cell(words.number(p.height), p.height, "mm") if p.height is not None else Cell("not reached"),
            Cell(words.utilisation(p.stated), p.stated), Cell(p.cause),
        ))
        for p in drop.parts
    )  # fmt: skip
    columns = (
        Column("part"),
        Column("made as"),
        Column("height", "mm", "number"),
        Column(f"used at the {words.number(drop.height)} mm stated", "", "number"),
        Column("cause"),
    )
    return Table(f"What goes first, and what next: {drop.event}", columns, rows, stacked=True)
