"""How sure the number is: the mesh refined where it peaks, and the stress averaged inwards from the peak."""

from __future__ import annotations

from printworthy.dossier import charts, tables, words
from printworthy.dossier.document import Block, Cell, Column, Facts, Row, Table
from printworthy.results import CriticalDistance, MeshBracket


def blocks(bracket: MeshBracket | None, distance: CriticalDistance | None) -> tuple[Block, ...]:
    """What is known about the mesh error of the governing case; empty where nothing was made."""
    made: list[Block] = []
    if bracket is not None:
        made += [charts.refinement(bracket), refined(bracket)]
    if distance is not None:
        made.append(averaged(distance))
    return tuple(made)


def refined(bracket: MeshBracket) -> Table:
    """One row per mesh, coarse to fine."""
    rows = tuple(
        Row((Cell(str(number)), tables.figure(size, "mm"), tables.figure(elements), tables.figure(unknowns),
             tables.use(value), Cell(words.vector(point))))
        for number, (size, elements, unknowns, value, point) in enumerate(
            zip(bracket.sizes, bracket.elements, bracket.unknowns, bracket.values, bracket.points, strict=True), 1
        )
    )  # fmt: skip
    columns = (
        Column("mesh"), Column("element size at the peak", "mm", "number"), Column("elements", "", "number"),
        Column("unknowns", "", "number"), Column("utilisation", "", "bar"), Column("place of the peak", "mm"),
    )  # fmt: skip
    upper = words.utilisation(bracket.high) if bracket.high is not None else "no known upper end"
    said = (
        f"{words.sentence(bracket.mode)} The converged value lies between {words.number(bracket.low)} and {upper}. "
        f"{words.sentence(bracket.words)}"
    )
    if bracket.facet_length is not None:
        said += f" Facets of the file at the peak are {words.number(bracket.facet_length)} mm apart."
    return Table(f"Mesh refined at the peak of case {bracket.case}", columns, rows, note=said, stacked=True)


def averaged(distance: CriticalDistance) -> Facts:
    """The critical-distance value beside the raw peak."""
    missing = Cell("not available")
    half = missing if distance.at_half is None else tables.use(distance.at_half)
    length = missing if distance.length is None else tables.figure(distance.length, "mm")
    return Facts(
        "Critical distance",
        (
            ("averaged utilisation", missing if distance.value is None else tables.use(distance.value)),
            ("raw peak", tables.use(distance.raw)),
            ("point method, at half the length", half),
            ("method", Cell(distance.method)),
            ("case and mode", Cell(f"{distance.case}: {distance.mode}")),
            ("length of the material, mm", length),
            ("wall along the line, mm", tables.figure(distance.wall, "mm")),
            ("elements crossed", Cell(str(distance.elements), float(distance.elements))),
            ("standing", Cell("valid" if distance.valid else "not valid here")),
            ("in words", Cell(distance.words)),
        ),
    )
