"""The error tree: what is wrong, where it is, what to do about it.

    PrintworthyError              anything this package refuses on purpose
        InputError                the person can put it right (exit code 1)
            TextError             a workspace file: syntax, field, unit, name
            GeometryError         a geometry file: unreadable, broken, empty, out of scale
                UnitNeeded        the file has no length unit and none was stated
                BodyNeeded        several bodies and none was named
            SelectorError         a face selector that matches nothing or more than said
            LoadError             loads or supports that cannot be solved (free rigid motion, no area)
            CardError             a material, rule or coupon value that is missing or impossible
        NotComputed               a sound question the machine could not answer (time limit, memory)
        Cancelled                 a person stopped the work

Raised in the core; turned into one line only by `cli` and `web`.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Place:
    """Where in the workspace something is stated."""

    file: Path
    line: int = 0
    field: str = ""

    def __str__(self) -> str:
        at = f"{self.file}:{self.line}" if self.line else f"{self.file}"
        return f"{at} ({self.field})" if self.field else at


class PrintworthyError(Exception):
    """What is wrong, where, and what to do: always one line."""

    def __init__(self, what: str, *, where: Place | str = "", do: str = "") -> None:
        self.what, self.where, self.do = what, where, do
        super().__init__(what)

    def __str__(self) -> str:
        head = f"{self.where}: {self.what}" if self.where else self.what
        line = f"{head}. {self.do}" if self.do else head
        return " ".join(line.split())


class InputError(PrintworthyError):
    """The person can put it right."""


class TextError(InputError):
    """A workspace file is wrong."""


class GeometryError(InputError):
    """A geometry file is unreadable, broken, empty or out of scale."""


class UnitNeeded(GeometryError):
    """The file has no length unit and none was stated."""


class BodyNeeded(GeometryError):
    """Several bodies and none was named."""


class SelectorError(InputError):
    """A face selector matches nothing, or more than said."""


class LoadError(InputError):
    """Loads or supports that cannot be solved."""


class CardError(InputError):
    """A card, rule or coupon value is missing or impossible."""


class NotComputed(PrintworthyError):
    """A sound question the machine could not answer."""


class Cancelled(PrintworthyError):
    """A person stopped the work."""
