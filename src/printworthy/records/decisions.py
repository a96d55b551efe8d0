"""What a person decides about a proposed card: written down for good, the card written beside the others."""

from __future__ import annotations

import os
import re
import tempfile
from pathlib import Path

from printworthy.errors import CardError, Place, TextError
from printworthy.inputs import Job
from printworthy.records.entries import Draft, Entry
from printworthy.records.store import Records
from printworthy.records.tally import Proposal, Tally
from printworthy.workspace.card_text import card_path, free_name, restated
from printworthy.workspace.cards import read_card
from printworthy.workspace.files import read_toml, write_whole

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,59}")  # as a card file takes it


def chosen(found: Tally, name: str) -> Proposal:
    """The open proposal whose id begins with `name`. Raises TextError where none or several do."""
    fitting = [p for p in found.proposals if name and p.evidence.startswith(name)]
    if len(fitting) != 1:
        open_ = ", ".join(p.id for p in found.proposals) or "none"
        raise TextError(f"{len(fitting) or 'no'} open proposals are called '{name}'", do=f"Open are: {open_}")
    return fitting[0]


def text_of(proposal: Proposal, job: Job, name: str = "") -> tuple[str, str]:
    """Name and text of the proposed card. Raises TextError for a name that is none, or whose file is there already."""
    called = name or free_name(proposal.material, job.root)
    if not NAME.fullmatch(called):
        raise TextError(f"'{called}' is no name of a card", do="Write letters, digits and dashes")
    text = restated(card_path(proposal.material, job.root), called, proposal.values)
    path = job.root / "cards" / f"{called}.toml"
    if path.exists() and path.read_text(encoding="utf-8") != text:
        raise TextError("is there already and is not written over", where=Place(path), do="Choose another --name")
    return called, text


def accept(
    records: Records, job: Job, proposal: Proposal, who: str, note: str = "", name: str = ""
) -> tuple[Entry, Path]:
    """Write the proposed card into the workspace and the decision into the records; both, or the card alone where the
    records cannot be written (asked again, the same card is then taken as it stands).

    Raises TextError as `text_of` and where the card cannot be written, CardError where it would not be sound.
    """
    called, text = text_of(proposal, job, name)
    path = job.root / "cards" / f"{called}.toml"
    _sound(text, called)
    if not path.exists():
        try:
            path.parent.mkdir(exist_ok=True)
            _put(path, text.encode())
        except OSError as error:
            do = "Make the folder writable; nothing was decided"
            raise TextError(f"cannot be written: {error.strerror}", where=Place(path), do=do) from error
    body = _body(proposal, "accepted", note) | {"file": f"cards/{called}.toml"}
    draft = Draft("card", who, body=body, contents={"card": text.encode()})
    return records.append([draft])[0], path


def refuse(records: Records, job: Job, proposal: Proposal, who: str, note: str) -> Entry:
    """Write down that a proposal was refused, and why; it is not made again on the same evidence. Raises TextError
    without a reason."""
    if not note.strip():
        raise TextError("a refusal needs its reason", where=str(records.path), do='Write --note "why"')
    _, text = text_of(proposal, job)
    draft = Draft("card", who, body=_body(proposal, "refused", note), contents={"card": text.encode()})
    return records.append([draft])[0]


def _body(proposal: Proposal, decision: str, note: str) -> dict[str, object]:
    return {
        "decision": decision, "material": proposal.material, "measure": proposal.measure, "factor": proposal.factor,
        "low": proposal.low, "high": proposal.high, "pieces": proposal.pieces, "note": note,
        "records": list(proposal.records), "evidence": proposal.evidence,
    }  # fmt: skip


def _sound(text: str, name: str) -> None:
    """Read the card as the program will."""
    with tempfile.TemporaryDirectory(prefix="printworthy-") as folder:
        path = Path(folder) / f"{name}.toml"
        write_whole(path, text.encode())
        card, wrong = read_card(read_toml(path))
    if card is None:
        raise CardError(f"the proposed card would not be sound: {wrong[0].what}", where=f"card {name}")


def _put(path: Path, content: bytes) -> None:
    """A new file, on the disk when this returns, never over another one."""
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
