"""Where a part's verdict stands: signed, revoked, or made stale by an input that changed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from printworthy.errors import TextError
from printworthy.records.entries import Draft, Entry, Input
from printworthy.records.store import Records

THE_VEHICLE = "the vehicle"
State = Literal["not assessed", "not signed", "signed", "stale", "revoked"]


@dataclass(frozen=True, slots=True)
class Standing:
    """The newest assessment of a part, what was signed last, and the inputs that changed since."""

    part: str
    state: State
    assessment: Entry | None
    signature: Entry | None
    changed: tuple[str, ...]

    @property
    def words(self) -> str:
        """The state in a line."""
        by = f" by {self.signature.who} on {self.signature.at[:10]}" if self.signature else ""
        what = f"; changed since: {', '.join(self.changed)}" if self.changed else ""
        return f"{self.state}{by}{what}"


def standing(part: str, entries: Sequence[Entry], now: Iterable[Input] | None) -> Standing:
    """The standing of a part, or of the vehicle (""), from all `entries`. `now`: its inputs as they are; None: not
    compared."""
    mine = [e for e in entries if e.part == part]
    assessed = [e for e in mine if e.kind in ("assessment", "vehicle")]
    signs = [e for e in mine if e.kind in ("signature", "revocation")]
    newest = assessed[-1] if assessed else None
    last = signs[-1] if signs else None
    if newest is None:
        return Standing(part, "not assessed", None, None, ())
    if last is None or last.kind == "revocation":
        state: State = "revoked" if last else "not signed"
        return Standing(part, state, newest, last, changed(newest.inputs, now))
    signed = next(e for e in assessed if e.id == last.refers)
    # inputs may also have changed and been assessed anew: the signature spoke of the older ones
    differs = changed(signed.inputs, newest.inputs if now is None else now)
    return Standing(part, "stale" if differs else "signed", newest, last, differs)


def changed(before: Iterable[Input], now: Iterable[Input] | None) -> tuple[str, ...]:
    """Names of inputs of which something else was read, that are new, or that are gone."""
    if now is None:
        return ()
    old, new = ({i.name: i.content for i in side} for side in (before, now))
    return tuple(name for name in dict.fromkeys((*old, *new)) if old.get(name) != new.get(name))


def sign(records: Records, part: str, who: str, words: str, now: Iterable[Input], read: str = "") -> Entry:
    """Sign the newest assessment of a part, or of the vehicle (""). Raises TextError where there is none, it is not the
    one that was `read` (""; any), it decides nothing, or its inputs have changed."""
    newest, name = standing(part, records.entries(), None).assessment, part or THE_VEHICLE
    if newest is None:
        raise TextError(f"{name} has not been assessed", where=str(records.path), do="Run `printworthy assess` first")
    if read and newest.id != read:
        raise TextError(f"{name} was assessed anew meanwhile", do="Read the new answer, then sign")
    if differs := changed(newest.inputs, now):
        what = f"{name}: its inputs have changed since it was assessed: {', '.join(differs)}"
        raise TextError(what, where=str(records.path), do="Assess it again, read the answer, then sign")
    word = newest.body.get("word", "as recorded")  # the vehicle has no one word
    if word == "not decided":
        raise TextError(f"{name} is not decided: there is no verdict to sign", where=str(records.path))
    body = {"word": word, "note": words}
    return records.append([Draft("signature", who, part, refers=newest.id, body=body)])[0]


def revoke(records: Records, part: str, who: str, reason: str) -> Entry:
    """Take a signature back. Raises TextError where none stands, or without a reason."""
    signs = [e for e in records.entries("signature", "revocation") if e.part == part]
    if not signs or signs[-1].kind == "revocation":
        raise TextError(f"{part or THE_VEHICLE} has no signature that could be revoked", where=str(records.path))
    if not reason.strip():
        raise TextError("a revocation needs its reason", where=str(records.path), do="Say why")
    return records.append([Draft("revocation", who, part, refers=signs[-1].id, body={"reason": reason})])[0]
