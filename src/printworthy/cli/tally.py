"""`printworthy tally DIR`."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from printworthy import flow
from printworthy.cli.show import console
from printworthy.errors import Place, TextError

if TYPE_CHECKING:
    from printworthy.inputs import Job
    from printworthy.records.store import Records
    from printworthy.records.tally import Tally

NAME = "tally"


def run(
    folder: Annotated[Path, typer.Argument(help="Workspace folder.")],
    accept: Annotated[str, typer.Option(help="Id of a proposed card to write into cards/.")] = "",
    refuse: Annotated[str, typer.Option(help="Id of a proposed card that is not to be proposed again.")] = "",
    who: Annotated[str, typer.Option("--as", help="Name of the person who decides.")] = "",
    note: Annotated[str, typer.Option(help="Why; a refusal needs it.")] = "",
    name: Annotated[str, typer.Option(help="Name of the card to write; else that of its material, if free.")] = "",
    chart: Annotated[Path | None, typer.Option(help="Write the charts here, one page of HTML.")] = None,
) -> None:
    """Hold what was weighed, proof-tested and ridden against what was predicted; propose cards where that is off.

    A prediction is off where the 95 % interval of the mean ratio leaves 1 out. Nothing changes by itself: a proposed
    card is accepted or refused by a person, once; the records keep the decision. No file is ever written over.
    Example: printworthy tally my-vehicle --accept 1f0c --as "A. Builder"
    """
    from printworthy.records import store, tally

    if accept and refuse:
        raise TextError("accept and refuse are both stated", do="Keep one of them")
    if (accept or refuse) and not who.strip():
        raise TextError("nobody is named who decides", do='Write --as "A. Builder"')
    job = flow.read(folder)
    with store.opened(folder, write=bool(accept or refuse)) as records:
        found = tally.tally(records, job)
        if accept or refuse:
            _say(_decide(records, job, found, (accept, refuse), (who.strip(), note, name)))
            return
    _say(_lines(found))
    if chart is not None:
        _chart(chart, found, job)


def _decide(
    records: Records, job: Job, found: Tally, ids: tuple[str, str], words: tuple[str, str, str]
) -> Iterator[str]:
    from printworthy.records import decisions

    accepted, refused = ids
    who, note, name = words
    proposal = decisions.chosen(found, accepted or refused)
    if refused:
        entry = decisions.refuse(records, job, proposal, who, note)
        yield f"Recorded as {entry.id}: refused by {who}. It is proposed again when more is measured"
        return
    entry, path = decisions.accept(records, job, proposal, who, note, name)
    yield f"Recorded as {entry.id}: accepted by {who}. Wrote {path}"
    if path.stem == proposal.material:
        yield f"Parts in {proposal.material} take it from now on; assess them again"
    else:
        yield f'Parts take it by material = "{path.stem}"; coupons are of it where their material says so'


def _lines(found: Tally) -> Iterator[str]:
    from printworthy.dossier.tallied import changes, says

    if not found.pairs:
        yield "Nothing was measured yet that could be compared: log inspections, proof tests and rides."
    yield from (says(g) for g in found.groups)
    yield from (f"note: {line}" for line in found.remarks)
    for u in found.unpaired:
        yield f"not compared: {u.said}"
    for p in found.proposals:
        yield f"proposed {p.id}: card {p.material} with {'; '.join(changes(p))}, from {p.pieces} pieces"
        yield f"  --accept {p.id} writes it into cards/, --refuse {p.id} is remembered"
    for e in found.decided:
        file = f", {e.body['file']}" if "file" in e.body else ""
        about = f"{e.body['measure']} of {e.body['material']}, factor {float(e.body['factor']):.4g}"
        yield f"decided {e.id}: {e.body['decision']} by {e.who} on {e.at[:10]}: {about}{file}"


def _chart(path: Path, found: Tally, job: Job) -> None:
    from printworthy.dossier import write_tally

    if path.suffix != ".html":
        raise TextError(f"'{path.suffix}' is no ending of a page", where=Place(path), do="Write it as .html")
    try:
        write_tally(found, job, path)
    except OSError as error:
        do = "Name a file in a folder that can be written"
        raise TextError(f"cannot be written: {error.strerror}", where=Place(path), do=do) from error
    console().print(f"Wrote {path}", highlight=False, soft_wrap=True)


def _say(lines: Iterator[str]) -> None:
    for line in lines:
        console().print(line, highlight=False, soft_wrap=True)
