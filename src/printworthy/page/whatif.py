"""What other figures of the vehicle would do, told while a person tries them; only `kept` writes anything."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

import tomlkit
from tomlkit.exceptions import ParseError

from printworthy import flow, ride, workspace
from printworthy.dossier import varied
from printworthy.dossier.document import Block
from printworthy.errors import InputError, TextError
from printworthy.inputs import Job
from printworthy.page import texts
from printworthy.page.desk import Desk
from printworthy.workspace import WorkspaceProblems
from printworthy.workspace.change import TABLES, way

VEHICLE = "vehicle.toml"
ASKED = {
    "frame.rake": "steering-head angle, from upright", "frame.offset": "offset of the front axle",
    "frame.wheelbase": "wheelbase", "front.radius": "front wheel, radius", "rear.radius": "rear wheel, radius",
    "front.suspension.rate": "front spring", "rear.suspension.rate": "rear spring", "rider.mass": "rider",
}  # fmt: skip
MOST = 60  # figures in one question


def fields(desk: Desk) -> list[tuple[str, str, str]]:
    """Figures that can be tried on the page of the ride: dotted key, label, text as stated. Those of the mechanism, and
    the height of the first landing."""
    job = desk.snapshot().job
    if job is None or job.vehicle.machine is None:
        return []
    data = tomllib.loads(texts.read(desk.root, VEHICLE).content)
    labels = dict(ASKED)
    landing = next((e.name for e in job.vehicle.events if e.kind == "landing"), None)
    if landing is not None:
        labels[f"event.{landing}.height"] = f"height of '{landing}'"
    found = ((key, label, _stated(data, key)) for key, label in labels.items())
    return [(key, label, str(value)) for key, label, value in found if value is not None]


def _stated(data: Mapping[str, Any], key: str) -> Any:
    at: Any = data
    for part in way(key, data):
        if isinstance(at, list):
            at = next((t for t in at if isinstance(t, dict) and t.get("name") == part), None)
        else:
            at = at.get(part) if isinstance(at, dict) else None
    return at


def differing(old: str, new: str) -> dict[str, str]:
    """Figures of the vehicle in which two texts of vehicle.toml differ, by dotted key, as the new one has them.

    Raises TextError for a new text that is no TOML, and for a difference that is none of a figure.
    """
    try:
        before, after = tomllib.loads(old), tomllib.loads(new)
    except tomllib.TOMLDecodeError as error:
        raise TextError(f"cannot be read yet: {error}", where=VEHICLE) from error
    found: dict[str, str] = {}
    for key in sorted({*before, *after}):
        if before.get(key) == after.get(key):
            continue
        if key not in TABLES:
            what = f'"{key}" is no figure of the mechanism or of an event'
            raise TextError(what, where=VEHICLE, do="What it does shows once it is saved and the parts are assessed")
        found.update(_figures(key, before.get(key), after.get(key)))
    return found


def _figures(path: str, old: Any, new: Any) -> Iterator[tuple[str, str]]:
    if isinstance(old, list) and isinstance(new, list):
        old, new = ({t.get("name", ""): t for t in tables if isinstance(t, dict)} for tables in (old, new))
    if isinstance(old, dict) and isinstance(new, dict) and old.keys() <= new.keys():
        for key in new:
            if old.get(key) != new[key]:
                yield from _figures(f"{path}.{key}", old.get(key), new[key])
        return
    if isinstance(new, dict | list) or new is None or isinstance(old, dict | list):
        what = f'"{path}": a table that comes or goes is no other figure'
        raise TextError(what, where=VEHICLE, do="What it does shows once it is saved and the parts are assessed")
    yield path, str(new).lower() if isinstance(new, bool) else str(new)


def asked(desk: Desk, order: Mapping[str, Any]) -> dict[str, str]:
    """The figures an order asks about: stated one by one, or as a whole other text."""
    if "content" in order:
        return differing(texts.read(desk.root, VEHICLE).content, str(order["content"]))
    found = {str(k): str(v).strip() for k, v in dict(order["figures"]).items()}
    if len(found) > MOST:
        raise TextError(f"{len(found)} figures are too many at once", do=f"Try up to {MOST}")
    return found


def told(desk: Desk, job: Job, order: Mapping[str, Any]) -> tuple[tuple[Block, ...], tuple[InputError, ...]]:
    """What the figures of an order do, as blocks, or what is wrong with them. `whole` false: handling alone, which is
    there at once; else the parts and the drop limit too, from what is kept of the last answers."""
    changes = asked(desk, order)
    if not changes:
        return (), ()
    try:
        if not order.get("whole"):
            return varied.handling(ride.compared(job, workspace.read(desk.root, changes))), ()
        after = flow.read(desk.root, changes)
    except WorkspaceProblems as wrong:
        return (), tuple(wrong.problems)
    found = desk.calculated(lambda: flow.varied(job, after, desk.cache, lambda *_: None, solve=False))
    return (*varied.handling(found.handling), varied.parts(found), *varied.drop(found)), ()


def kept(content: str, figures: Mapping[str, str]) -> str:
    """The text of vehicle.toml with these figures in it, all else as it was. Raises TextError."""
    try:
        made = tomlkit.parse(content)
    except ParseError as error:
        raise TextError(f"cannot be read: {error}", where=VEHICLE) from error
    for key, value in figures.items():
        *before, last = way(key, made)
        table = _table(made, before, key)
        if last not in table:
            raise TextError(f'"{key}" is not stated in the vehicle', where=VEHICLE)
        table[last] = value if isinstance(table[last], str) else _number(value, key)
    return tomlkit.dumps(made)


def _number(value: str, key: str) -> float:
    try:
        return float(value)
    except ValueError as error:
        raise TextError(f'"{key}": "{value}" is no number', where=VEHICLE) from error


def _table(made: Any, steps: list[str], key: str) -> Any:
    at = made
    for part in steps:
        at = next((t for t in at if t.get("name") == part), None) if isinstance(at, list) else at.get(part)
        if at is None:
            raise TextError(f'"{key}" is not stated in the vehicle', where=VEHICLE)
    return at
