"""From the document model to PDF: tagged, PDF/A-3a and PDF/UA-1, fonts of the typesetter alone, the record attached."""

from __future__ import annotations

import json
import shutil
import tempfile
from dataclasses import fields
from datetime import UTC, datetime
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any, Literal

from printworthy.dossier.document import Block, Document, Figure, Section
from printworthy.dossier.page import style
from printworthy.dossier.pdf_ends import unmistakable
from printworthy.errors import NotComputed

Standard = Literal["a-3a", "ua-1"]
# ISO 19005-3 level A and ISO 14289-1: for the archive, and for those who have it read to them.
STANDARDS: tuple[Standard, ...] = ("a-3a", "ua-1")
_FONT = '.picture text { font-family: "Libertinus Serif"; }'  # the typesetter has no sans-serif of its own


def pdf(document: Document, record: str, when: str) -> bytes:
    """A document as PDF. `record`: its JSON twin, which is attached; `when`: ISO 8601 time written into the file, so
    that the same document gives the same bytes. Raises NotComputed where the typesetter refuses it."""
    import typst  # here: 34 MB that only this function needs

    with tempfile.TemporaryDirectory(prefix="printworthy-") as name:
        folder = Path(name)
        _spread(document, folder, record)
        try:
            made = typst.compile(
                str(folder / "dossier.typ"), root=str(folder), ignore_system_fonts=True, pdf_standards=list(STANDARDS),
                timestamp=datetime.fromisoformat(when).astimezone(UTC),
            )  # fmt: skip
        except typst.TypstError as error:
            raise NotComputed(f"the PDF could not be set: {error}", do="The HTML dossier holds the same") from error
    assert isinstance(made, bytes)
    return unmistakable(made)


def _spread(document: Document, folder: Path, record: str) -> None:
    """The files the template reads."""
    with as_file(files("printworthy.dossier") / "templates" / "dossier.typ") as template:
        shutil.copyfile(template, folder / "dossier.typ")
    drawings: list[str] = []
    plain = _plain(document, drawings)
    for number, svg in enumerate(drawings):
        (folder / f"figure-{number}.svg").write_text(svg, encoding="utf-8")
    (folder / "document.json").write_text(json.dumps(plain, ensure_ascii=False), encoding="utf-8")
    (folder / "record.json").write_text(record, encoding="utf-8")


def _plain(thing: Any, drawings: list[str]) -> Any:
    """Records as mappings; blocks carry their kind, figures the name of their file."""
    if isinstance(thing, tuple):
        return [_plain(item, drawings) for item in thing]
    if not isinstance(thing, Document | Section | Block) and not hasattr(thing, "__dataclass_fields__"):
        return None if isinstance(thing, float) and thing != thing else thing
    found = {f.name: _plain(getattr(thing, f.name), drawings) for f in fields(thing) if f.name not in ("svg", "value")}
    if isinstance(thing, Block):
        found["kind"] = thing.kind
    if isinstance(thing, Figure):
        found["file"] = f"figure-{len(drawings)}.svg"
        drawings.append(_standing_alone(thing.svg))
    return found


def _standing_alone(svg: str) -> str:
    """A drawing with the rules of the style sheet that it needs."""
    rules = "\n".join(line for line in style().splitlines() if line.startswith(".picture"))
    head, close, rest = svg.partition(">")
    return f"{head}{close}<style>{rules}\n{_FONT}</style>{rest}"
