"""What making the vehicle set takes, as blocks: Gantt, beds, filament, spares, parts made as one."""

from __future__ import annotations

from itertools import pairwise

from printworthy.dossier import words
from printworthy.dossier.document import Block, Cell, Column, Figure, Items, Row, Section, Table, Text
from printworthy.dossier.making import UNKNOWN, duration, money, sure
from printworthy.dossier.plot import Axis, plot
from printworthy.results import Making, Merged, Schedule, Spares


def vehicle_section(making: Making | None, invented: bool) -> Section | None:
    """Beds, Gantt, filament, spares and consolidations of the set."""
    if making is None:
        return None
    blocks: list[Block] = []
    if making.refusals:
        blocks.append(Items("What cannot be planned", making.refusals))
    if making.schedule is not None:
        blocks += [gantt(making.schedule), _beds(making)]
    kg = sum(making.filament.values())
    blocks.append(
        Text(
            f"{words.count(making.vehicles, 'vehicle set', 'vehicle sets')}: filament "
            f"{words.mass(kg) if kg else 'none'}, by whole spools {money(making.filament_cost)}. A trade figure to "
            "set beside it (common practice, no source): a vehicle set in a week for about 500 EUR of filament."
        )
    )
    if making.spares is not None:
        blocks += spare_blocks(making.spares)
    else:
        blocks.append(Text("No fleet is stated under [demand], or it is 0: no spares are planned."))
    for m in making.merged:
        blocks += [merged(m), Items("What goes", m.gains), Items("New risks", m.risks)]
    return Section("making", "Making the set", tuple(blocks), invented=invented)


def merged(m: Merged) -> Table:
    """Several pieces against one print."""

    def mass(kg: float | None) -> Cell:
        return Cell(UNKNOWN if kg is None else words.mass(kg), kg, "kg")

    rows = (
        Row((Cell("pieces"), *(Cell(str(n), float(n)) for n in m.pieces))),
        Row((Cell("mass"), *(mass(kg) for kg in m.mass))),
        Row((Cell("cost with assembly"), *(Cell(money(c), c, "EUR") for c in m.cost))),
        Row((Cell("assembly"), Cell(duration(m.assembly), m.assembly, "s"), Cell("none"))),
    )
    note = f"Not known: {', '.join(m.missing)}." if m.missing else ""
    columns = (Column(""), Column("as several"), Column(f"as one print ({m.into})"))
    return Table(f"Made as one: {m.name}", columns, rows, note)


def gantt(plan: Schedule) -> Figure:
    """Who does what when."""
    machines = sorted(plan.use, reverse=True)
    ticks = tuple((float(k), m) for k, m in enumerate(machines))
    made = plot(
        Axis("days from the start", 0, max(plan.finish / 86400, 0.1) * 1.02),
        Axis("", -0.6, len(machines) - 0.4, ticks=ticks),
        height=56.0 * max(2, len(machines)),
    )  # fmt: skip
    css = {"bench": "block pale", "dryer": "block pale"}
    made.bars([(s.start / 86400, s.end / 86400, float(machines.index(s.machine)), s.task,
                css.get(s.machine, "block deep")) for s in plan.slots], 0.3)  # fmt: skip
    use = ", ".join(f"{m} {u:.0%}" for m, u in sorted(plan.use.items()))
    proof = "proven least" if plan.optimal else f"not proven least; no plan ends before {duration(plan.bound)}"
    caption = (
        f"Schedule: done after {duration(plan.finish)} ({proof}); {plan.words}. In use: {use}. Beds start only while "
        "somebody is there and run through the night. Dark: printing; pale: drying of filament and work at the bench."
    )
    return Figure(made.text(), caption, caption)


def _beds(making: Making) -> Table:
    rows = tuple(
        Row(
            (
                Cell(b.name), Cell(b.printer), Cell(b.material),
                Cell(", ".join(f"{n} x {name}" for name, n in _counts([p.part for p in b.pieces]))),
                Cell(f"{b.density:.0%}", b.density), Cell(duration(b.seconds), b.seconds, "s"),
            )
        )
        for b in making.beds
    )  # fmt: skip
    heads = ("bed", "printer", "material", "pieces", "bed covered", "time")
    return Table("Beds", tuple(Column(h) for h in heads), rows, "Covered: outlines over the bed's area.", stacked=True)


def _counts(names: list[str]) -> list[tuple[str, int]]:
    return [(name, names.count(name)) for name in dict.fromkeys(names)]


def spare_blocks(spares: Spares) -> list[Block]:
    """The spares plan and the kits."""
    blocks: list[Block] = []
    if spares.plans:
        rows = tuple(
            Row(
                (
                    Cell(p.part), Cell(words.number(p.rate), p.rate, "1/year"), Cell(words.number(p.mean), p.mean),
                    Cell(money(p.on_demand)), Cell(f"{money(p.stock)}, {p.base_stock} held"),
                    Cell(f"{money(p.last_time_buy)}, {p.final_order} by {p.process}" if p.final_order else "no gain"),
                    Cell(p.words),
                )
            )
            for p in spares.plans
        )  # fmt: skip
        heads = ("part", "asked for a year", "over the years", "print on demand", "printed stock", "one last order", "")
        blocks.append(
            Table("Spares plan", tuple(Column(h) for h in heads), rows, "Costs are discounted.", stacked=True)
        )
    if spares.parts_only:
        blocks.append(kit_curve(spares))
    if spares.words:
        blocks.append(Items("What the spares rest on", spares.words))
    return blocks


def kit_curve(spares: Spares) -> Figure:
    """Chance that nothing lacks against the kit's mass."""
    every = [*spares.parts_only, *spares.with_printer]
    heaviest = max([p.mass for p in every] + ([spares.limit] if spares.limit is not None else []))
    made = plot(Axis("mass of the kit, kg", 0, 1.05 * heaviest or 1.0), Axis("nothing lacks", 0, 1.15))
    for points, style, name in ((spares.parts_only, "solid", "parts"), (spares.with_printer, "dashed", "with printer")):
        if len(points) > 1:
            xs = [v for a, b in pairwise(points) for v in (a.mass, b.mass)]
            ys = [v for a, _ in pairwise(points) for v in (a.availability, a.availability)]
            made.line(xs, ys, style, name)  # type: ignore[arg-type]
    chosen = spares.chosen
    said = "No limit of mass is stated."
    if chosen is not None and spares.limit is not None:
        made.level(spares.limit, "limit", across=False)
        parts = ", ".join(f"{n} x {name}" for name, n in chosen.pieces) or "no finished parts"
        printer = f", a printer and {words.number(chosen.filament)} kg of filament" if chosen.printer else ""
        said = f"Within {words.number(spares.limit)} kg: {parts}{printer}; nothing lacks: {sure(chosen.availability)}."
    caption = f"Kit for an absence of {duration(spares.absence)}: chance that nothing lacks against mass. {said}"
    return Figure(made.text(), caption, caption)
