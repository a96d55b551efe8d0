"""The conditions as figures: proof test, inspection, retirement, temperatures, torques, distances, stages."""

from __future__ import annotations

from printworthy.dossier import words
from printworthy.dossier.document import Block, Cell, Column, Facts, Row, Table, Text
from printworthy.dossier.loads import describe
from printworthy.inputs import Load, Part
from printworthy.results import Care, ProofTest


def blocks(care: Care | None, stated: Part) -> tuple[Block, ...]:
    """What a person does with a piece, in the order in which it comes."""
    if care is None:
        return (Text("No conditions were computed for this part."),)
    found: list[Block] = [_life(care)]
    proofs = [p for p in care.proofs if p.level is not None]
    if proofs:
        found.append(_proofs(proofs, stated))
    found += [Text(f"Proof test of case '{p.case}': {p.words}.") for p in care.proofs if p.level is None]
    if care.torques:
        found.append(_torques(care))
    found += [_stages(care), _distances(care)]
    return tuple(found)


def _life(care: Care) -> Facts:
    low, high = care.temperature
    ends = tuple("not stated" if e is None else f"{words.number(e)} °C" for e in care.card)
    per = care.per or ""

    def span(value: float | None) -> str:
        return "" if value is None else f"{words.number(value)} {per}: "

    return Facts(
        "Service",
        (
            ("keep it between", Cell(f"{words.number(low)} and {words.number(high)} °C")),
            ("the card speaks from and to", Cell(f"{ends[0]}, {ends[1]}")),
            ("look it over", Cell(f"{span(care.interval)}{care.interval_words}", care.interval, per)),
            ("retire it", Cell(f"{span(care.retire)}{care.retire_words}", care.retire, per)),
        ),
    )


def _proofs(proofs: list[ProofTest], stated: Part) -> Table:
    by_name = {c.name: c for c in stated.cases}
    rows = []
    for p in proofs:
        assert p.level is not None
        loads = "; ".join(describe(_times(load, p.level)) for load in by_name[p.case].loads)
        moved = "not followed" if p.movement is None else (
            f"{p.face}: {words.number(p.movement)} mm ({words.number(p.stiff or 0)} to {words.number(p.soft or 0)})"
        )  # fmt: skip
        rows.append(
            Row(
                (
                    Cell(p.case), Cell(words.number(p.level), p.level, "", "own derivation"),
                    Cell(f"{words.number(p.lowest)} to {words.number(p.highest)}"), Cell(loads),
                    Cell(words.number(p.hold), p.hold, "s"), Cell(moved, p.movement, "mm", "finite elements"),
                    Cell("not judged" if p.lasting is None else words.number(p.lasting), p.lasting, "mm"),
                    Cell(f"{words.number(100 * (p.finds or 0))} %", p.finds),
                    Cell("no coupons" if p.good_lost is None else _chance(p.good_lost), p.good_lost),
                )
            )
        )  # fmt: skip
    columns = (
        Column("case"), Column("level", "× stated", "number"), Column("level may be"), Column("loads put on"),
        Column("hold", "s", "number"), Column("face moves (stiff to soft card)"), Column("may stay", "mm", "number"),
        Column("finds pieces below", "of the mean coupon"), Column("sound pieces broken"),
    )  # fmt: skip
    note = f"{words.sentence(proofs[0].words)} A piece that cracks, sounds or keeps a larger set is rejected."
    return Table("Proof test on a bench", columns, tuple(rows), note=note, stacked=True)


def _chance(share: float) -> str:
    return "fewer than 1 in 100 000" if share < 1e-5 else f"{words.number(100 * share, 2)} %"


def _times(load: Load, level: float) -> Load:
    x, y, z = (level * c for c in load.vector)
    return Load(load.kind, load.face, (x, y, z), level * load.value)


def _torques(care: Care) -> Table:
    rows = tuple(
        Row((Cell(t.joint), Cell(words.number(t.torque / 1000), t.torque / 1000, "N m"),
             Cell(f"{words.number(t.low / 1000)} to {words.number(t.high / 1000)}"), Cell(t.words)))
        for t in care.torques
    )  # fmt: skip
    columns = (Column("bolt"), Column("torque", "N m", "number"), Column("by friction", "N m"), Column("sleeve"))
    return Table("Bolts", columns, rows, note="Torque = K × preload × diameter, K 0.15 to 0.25 (from memory).")


def _stages(care: Care) -> Table:
    rows = []
    for number, s in enumerate(care.stages, 1):
        places = "; ".join(
            f"{words.vector(point)}" + (f" near {face}" if face else "") for face, point in dict.fromkeys(s.look)
        )
        rows.append(
            Row((Cell(f"stage {number}"), Cell("; ".join(s.cases)), Cell(f"{words.number(100 * s.share)} %", s.share),
                 Cell(words.number(s.time / 3600), s.time / 3600, "h"), Cell(places)))
        )  # fmt: skip
    columns = (Column("stage"), Column("cases added"), Column("of the largest utilisation", "", "number"),
               Column("ride", "h", "number"), Column("then look at", "mm"))  # fmt: skip
    note = f"Between stages: {care.stages[0].words}." if care.stages else ""
    return Table("First rides, from gentle to full", columns, tuple(rows), note=note, stacked=True)


def _distances(care: Care) -> Table:
    rows = tuple(
        Row((Cell(k.source), Cell(words.number(k.distance), k.distance, "mm"), Cell(k.words))) for k in care.keep_out
    )
    return Table("Keep away from heat", (Column("source"), Column("at least", "mm", "number"), Column("why")), rows)
