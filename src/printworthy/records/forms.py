"""What may be written down about a piece, and how it is read: key=value with units, as a person writes it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from printworthy import units
from printworthy.errors import Place, TextError
from printworthy.records.entries import Draft, Entry, Kind

LARGEST_PHOTO = 20_000_000  # [bytes]
RESULTS = ("passed", "failed")
# Dimensions of `units`, with the ending that tells the unit of the stored number.
_ENDINGS = {"force": "N", "length": "mm", "mass": "kg", "time": "s", "temperature": "degC", "moment": "Nmm",
            "ratio": "-"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Form:
    """The keys one kind of entry knows, each with its dimension, "text", or the words it may be; `needed` of them."""

    kind: Kind
    keys: Mapping[str, str | tuple[str, ...]]
    needed: tuple[str, ...]


FORMS: Mapping[str, Form] = {
    "inspection": Form(
        "inspection",
        {
            "printer": "text", "lot": "text", "mass": "mass", "finding": "text", "photo": "photo",
            "size.": "length", "result": RESULTS,
        },
        ("result",),
    ),
    "proof": Form(
        "proof test",
        {
            "case": "text", "level": "ratio", "load": "force", "moment": "moment", "hold": "time",
            "deflection": "length", "set": "length", "temperature": "temperature", "noise": ("yes", "no"),
            "finding": "text", "photo": "photo", "result": RESULTS,
        },
        ("case", "hold", "noise", "result"),
    ),
    "ride": Form(
        "ride",
        {"time": "time", "distance": "length", "event": "text", "damage": "text", "photo": "photo"},
        (),
    ),
    "retirement": Form(
        "retirement",
        {"reason": "text", "damage": "text", "time": "time", "distance": "length", "photo": "photo"},
        ("reason",),
    ),
}  # fmt: skip


def draft(name: str, part: str, piece: str, who: str, pairs: Sequence[str]) -> Draft:
    """An entry from what a person wrote. Raises TextError for a key, a unit or a file that is wrong or missing."""
    if name not in FORMS:
        raise TextError(f"'{name}' is nothing that is written down", do=f"Write one of: {', '.join(FORMS)}")
    form = FORMS[name]
    body, photos = _read(form, name, pairs)
    stated = {key.partition(" [")[0] for key in body}
    if missing := [key for key in form.needed if key not in stated]:
        raise TextError(f"{name}: {', '.join(missing)} must be stated", do=_keys(form))
    return Draft(form.kind, who, part, piece, body=body, contents=photos)


def correction(wrong: Entry, who: str, pairs: Sequence[str]) -> Draft:
    """A new entry that puts an older one right: what it restates holds, the old row stays. `withdrawn=why` takes the
    old one out of all counting. Raises TextError as `draft`, and for an entry that no form wrote."""
    name = next((n for n, f in FORMS.items() if f.kind == wrong.kind), "")
    if not name:
        raise TextError(f"a {wrong.kind} is not corrected", do="Assess again, or revoke the signature")
    withdrawn = [p.partition("=")[2] for p in pairs if p.startswith("withdrawn=")]
    rest = [p for p in pairs if not p.startswith("withdrawn=")]
    body, photos = _read(FORMS[name], name, rest)
    if not body and not any(withdrawn):
        raise TextError("a correction restates something", do=f"{_keys(FORMS[name])}, or withdrawn=why")
    body |= {"withdrawn": withdrawn[0]} if any(withdrawn) else {}
    return Draft("correction", who, wrong.part, wrong.piece, wrong.id, body, contents=photos)


def corrected(entries: Sequence[Entry]) -> dict[str, Mapping[str, Any]]:
    """What holds of each entry today, by its id: its own words with every later correction laid over; withdrawn ones
    are left out."""
    said: dict[str, dict[str, Any]] = {e.id: dict(e.body) for e in entries if e.kind != "correction"}
    for e in entries:
        if e.kind == "correction" and e.refers in said:
            said[e.refers] |= e.body
    return {name: body for name, body in said.items() if "withdrawn" not in body}


def _read(form: Form, name: str, pairs: Sequence[str]) -> tuple[dict[str, Any], dict[str, bytes]]:
    body: dict[str, Any] = {}
    photos: dict[str, bytes] = {}
    for pair in pairs:
        key, sign, text = pair.partition("=")
        stem, dot, rest = key.partition(".")
        wanted = form.keys.get(stem + dot)
        if not sign or not text.strip() or wanted is None or (dot and not rest):
            raise TextError(f'{name}: "{pair}" is not understood', do=_keys(form))
        if wanted == "photo":
            photos[Path(text).name] = _photo(Path(text))
        elif isinstance(wanted, tuple):
            if text not in wanted:
                raise TextError(f"{name}: {key} is {' or '.join(wanted)}, not '{text}'")
            body[key] = text
        elif wanted == "text":
            body[key] = text.strip()
        else:
            body[f"{key} [{_ENDINGS[wanted]}]"] = units.quantity(text, wanted)
    return body, photos


def _photo(path: Path) -> bytes:
    try:
        data = path.read_bytes()
    except OSError as error:
        raise TextError(f"cannot be read: {error.strerror}", where=Place(path), do="Correct its name") from error
    if not data or len(data) > LARGEST_PHOTO:
        raise TextError(f"has {len(data)} bytes", where=Place(path), do=f"Up to {LARGEST_PHOTO} are kept")
    return data


def _keys(form: Form) -> str:
    shown = [f"{key}{'NAME' if key.endswith('.') else ''}=" for key in form.keys]
    return f"Write {', '.join(shown)} with units where they have one"
