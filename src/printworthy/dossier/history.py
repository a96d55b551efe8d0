"""What was recorded of a part: every entry in its order, and a code that a phone can read."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from typing import Any

from printworthy.dossier import words
from printworthy.dossier.document import Block, Cell, Column, Figure, Row, Section, Table, Text
from printworthy.records.entries import Entry

UNSAID = ("key", "title", "computed", "version", "role", "mode", "case", "direction", "invented")


def sections(entries: Sequence[Entry], newest: str) -> tuple[Section, ...]:
    """The records of a part; `newest`: id of the assessment this dossier shows, "" where it was not recorded."""
    if not entries:
        return (Section("records", "Records", (Text("Nothing was recorded of this part."),)),)
    rows = tuple(
        Row((Cell(e.id), Cell(words.moment(e.at)), Cell(f"{e.kind}{f', piece {e.piece}' if e.piece else ''}"),
             Cell(e.who), Cell(said(e.body) or "nothing further")), chosen=e.id == newest)
        for e in entries
    )  # fmt: skip
    columns = (Column("record"), Column("when"), Column("what"), Column("by"), Column("said"))
    note = "The marked row is the assessment shown here. Rows are only ever added; a signature certifies nothing."
    blocks: list[Block] = [Table("What was recorded of this part", columns, rows, note=note, stacked=True)]
    found = next((e for e in entries if e.id == newest), None)
    if found is not None:
        hashes = tuple(Row((Cell(i.name), Cell(i.content), Cell(i.file or "no file of its own"))) for i in found.inputs)
        heads = (Column("input"), Column("SHA-256 of what was read"), Column("SHA-256 of the file"))
        blocks += [code(newest), Table("Inputs of this assessment", heads, hashes, stacked=True)]
    return (Section("records", "Records", tuple(blocks)),)


def said(body: Mapping[str, Any]) -> str:
    """The words and figures of an entry, without what only a program needs."""
    shown = {k: v for k, v in body.items() if k not in UNSAID and v not in ("", None)}
    told = (_read(k, v) if isinstance(v, float) else (k, str(v)) for k, v in shown.items())
    return "; ".join(f"{name} {text}" for name, text in told)


# Stored units as people read them: in the key, the factor from one to the other.
_TOLD = {"distance [mm]": ("distance [km]", 1e-6), "mass_kg": ("mass [g]", 1000.0)}
_READ = {"[s]": ("[h]", 1 / 3600), "[kg]": ("[g]", 1000.0), "[-]": ("", 1.0)}


def _read(key: str, value: float) -> tuple[str, str]:
    """A stored figure with the unit people write: ride in hours and kilometres, masses in grams."""
    name, _, unit = key.rpartition(" ")
    if key in _TOLD:
        return _TOLD[key][0], words.number(value * _TOLD[key][1])
    shown, factor = _READ.get(unit, (unit, 1.0)) if name != "hold" else (unit, 1.0)
    return f"{name} {shown}".strip(), words.number(value * factor)


def code(name: str) -> Figure:
    """The id of a record as a QR code (ISO/IEC 18004)."""
    import segno  # here: only a dossier with records needs it

    text = f"printworthy record {name}"
    stream = io.BytesIO()
    segno.make(text, error="m", micro=False).save(
        stream, kind="svg", xmldecl=False, svgclass="picture", lineclass=None, omitsize=True, light="#fff"
    )
    alt = f"Square code that reads: {text}"
    return Figure(stream.getvalue().decode(), alt, f"Record {name}. Stick it on the printed piece.", narrow=True)
