"""Figures of vehicle.toml replaced by others for one run, as `frame.rake = "26 deg"`: nothing is written."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from printworthy.errors import TextError
from printworthy.workspace.files import Document
from printworthy.workspace.validate import near_spelling

TABLES = ("frame", "front", "rear", "rider", "joints", "mass", "event")
PLAIN: Mapping[str, Any] = {"true": True, "false": False}


def replaced(document: Document, changes: Mapping[str, str]) -> Document:
    """The document with other values, by dotted key; an entry of [[mass]] or [[event]] by its name:
    `mass.frame.mass`. Raises TextError for a key that leads nowhere; the values are checked with the whole file."""
    data = copy.deepcopy(dict(document.data))
    for path, text in changes.items():
        *steps, last = way(path, data)
        if not steps or steps[0] not in TABLES or not last:
            do = f'Write TABLE.KEY, as frame.rake="26 deg"; tables are: {", ".join(TABLES)}'
            raise TextError(f'"{path}" is no figure of the vehicle', where=str(document.path), do=do)
        table: Any = data
        for part in steps:
            table = _inner(table, part, path, document)
        table[last] = PLAIN.get(text, text)
    return replace(document, data=data)


def way(path: str, data: Mapping[str, Any]) -> list[str]:
    """The steps of a dotted key; the name of a mass or an event is one step, dots and all."""
    head, _, rest = path.partition(".")
    entries = data.get(head)
    names = [str(t.get("name", "")) for t in entries if isinstance(t, dict)] if isinstance(entries, list) else []
    name = max((n for n in names if n and rest.startswith(f"{n}.")), key=len, default="")
    return [head, name, *rest[len(name) + 1 :].split(".")] if name else path.split(".")


def _inner(table: Any, part: str, path: str, document: Document) -> Any:
    if isinstance(table, list):
        found = next((entry for entry in table if isinstance(entry, dict) and entry.get("name") == part), None)
        names = [entry.get("name", "") for entry in table if isinstance(entry, dict)]
    else:
        found, names = table.get(part), list(table)
    if not isinstance(found, dict | list):
        what = f'"{path}": there is no "{part}" in the vehicle'
        do = f"{near_spelling(part, names)}Known are: {', '.join(names)}"
        raise TextError(what, where=str(document.path), do=do)
    return found
