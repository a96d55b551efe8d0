"""Frozen records of what the database holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

Kind = Literal[
    "assessment", "vehicle", "signature", "revocation", "inspection", "proof test", "ride", "retirement", "correction",
    "card",
]  # fmt: skip
SHORT = 12  # characters of a seal that name an entry
WHOLE = ""  # the part of entries that speak of the whole vehicle
VEHICLE = "vehicle"  # what a person writes for it


@dataclass(frozen=True, slots=True)
class Input:
    """One input of an assessment: SHA-256 of what was read from it, and of its file as it stood ("" where there is
    none: a version, a shipped card)."""

    name: str
    content: str
    file: str = ""


@dataclass(frozen=True, slots=True)
class Draft:
    """An entry to be written. `refers`: id of the entry it speaks of; `contents`: bytes to be kept, by name."""

    kind: Kind
    who: str
    part: str = ""
    piece: str = ""
    refers: str = ""
    body: Mapping[str, Any] = field(default_factory=dict)
    inputs: tuple[Input, ...] = ()
    contents: Mapping[str, bytes] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Entry:
    """An entry as it was written. `number` gives the order, whatever the clock (`at`, UTC) said; `seal`: SHA-256 over
    all of it and the seal before; `contents`: SHA-256 of kept bytes, by name."""

    number: int
    kind: Kind
    at: str
    who: str
    part: str
    piece: str
    refers: str
    body: Mapping[str, Any]
    inputs: tuple[Input, ...]
    contents: Mapping[str, str]
    seal: str

    @property
    def id(self) -> str:
        """The name by which people and other entries call it."""
        return self.seal[:SHORT]
