"""Bringing a solid model in: the file is put beside the parts under a plain name, looked at, and given a text.

What `shape` refuses or asks (unit, body, repairs) becomes a question on the page; the answer is written into the text.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from printworthy import shape
from printworthy.errors import BodyNeeded, GeometryError, InputError, TextError, UnitNeeded
from printworthy.inputs import Geometry
from printworthy.page import skins, texts
from printworthy.page.desk import Desk
from printworthy.results import ShapeReport
from printworthy.shape.scale import OFFERED
from printworthy.workspace.files import write_whole

KINDS = (".stl", ".obj", ".ply", ".3mf", ".step", ".stp")
NAME = re.compile(r"[a-z][a-z0-9-]{0,39}")

VEHICLE = """# Begun on the page. Every number is a text with its unit; what stands here may be edited by hand.
name = {name}
title = {title}

[service]                        # coldest and hottest state in which it is used
low = {low}
high = {high}
"""
TEXT = """# Brought in by the page. Every number is a text with its unit; what stands here may be edited by hand.
title = {title}
role = {role}
material = {material}
note = ""
{near}   # heat near it, [] = none; left out, nobody has said, and nothing is decided

[geometry]
file = {file}
{stated}
# Faces, supports and load cases: click them on the page of the part, or write them here.
"""


def begin(desk: Desk, order: Mapping[str, Any]) -> texts.Text:
    """Write vehicle.toml of a new workspace. Raises Changed where there is one."""
    title, low, high = (str(order[k]).strip() for k in ("title", "low", "high"))
    name = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-") or "vehicle"
    if not name[0].isalpha():
        name = f"vehicle-{name}"
    content = VEHICLE.format(name=quoted(name[:40].strip("-")), title=quoted(title), low=quoted(low), high=quoted(high))
    return texts.write(desk.root, "vehicle.toml", content, "")


def receive(desk: Desk, name: str, content: bytes) -> Mapping[str, Any]:
    """Keep a file that was dropped on the page. Only the letters of its name are taken, never a path of it.

    Raises GeometryError for a kind of file that is not read, or a name that is taken by another content.
    """
    kind = Path(name.replace("\\", "/").rsplit("/", 1)[-1]).suffix.lower()
    if kind not in KINDS:
        raise GeometryError(
            "is not a kind of geometry file that is read", where=name[:60], do=f"Give {', '.join(KINDS)}"
        )
    stem = re.sub(r"[^a-z0-9]+", "-", name.replace("\\", "/").rsplit("/", 1)[-1].rsplit(".", 1)[0].lower()).strip("-")
    stem = re.sub(r"^[^a-z]+", "", stem)[:40].strip("-") or "part"
    path = desk.root / "parts" / f"{stem}{kind}"
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.exists() and path.read_bytes() != content:
        do = "Rename the file before you bring it, or remove the other"
        raise GeometryError("another file of this name is in the workspace", where=f"parts/{path.name}", do=do)
    write_whole(path, content)
    return look(desk, {"file": path.name}) | {"suggested": stem}


def look(desk: Desk, order: Mapping[str, Any]) -> dict[str, Any]:
    """The report on a file; or the question that must be answered first: its unit (with the size under each), its body,
    or a leave to mend it. `seen`: whether it may be asked for pictures (`survey`)."""
    path = _file(desk, str(order["file"]))
    unit, body = str(order.get("unit") or "") or None, order.get("body")
    mend = bool(order.get("mend"))
    asked: dict[str, Any] = {"file": path.name, "unit": unit, "body": body, "mend": mend}
    try:
        report = shape.look(path, unit=unit, body=int(body) if body else None, mend=mend)
    except UnitNeeded as question:
        return asked | {"ask": "unit", "words": question.what, "sizes": _sizes(path, mend)}
    except BodyNeeded as question:
        return asked | {"ask": "body", "words": str(question), "seen": True}
    except GeometryError as refusal:
        return asked | {
            "ask": "mend" if not mend else "",
            "refused": str(refusal).replace(str(path), path.name),
            "seen": True,
        }
    return asked | {"report": _report(report), "seen": True}


def survey(desk: Desk, name: str, unit: str, *, mend: bool) -> bytes:
    """The whole of a brought file for the viewer: its surface, bodies, and what is wrong with it where it lies.

    Raises UnitNeeded, GeometryError for a file that cannot be read at all.
    """
    found = shape.survey(Geometry(_file(desk, name), unit or None, None, mend))
    s = found.surface
    skin = skins.skin(s.points, s.triangles, s.patches, {}, speck=0)
    head = {
        "bodies": [
            {"number": b.number, "name": b.name, "open": torn, "volume": f"{b.volume / 1000:.4g} cm³",
             "size": " × ".join(f"{h - l:.4g}" for l, h in zip(b.low, b.high, strict=True)) + " mm"}
            for b, torn in zip(found.bodies, found.torn, strict=True)
        ],
        "findings": [
            {"kind": f.kind, "words": f.words, "more": f.more,
             "spots": [{"point": p.point, "words": p.words} for p in f.spots]}
            for f in found.findings
        ],
    }  # fmt: skip
    drawn = {
        "points": skin.points, "normals": skin.normals, "triangles": skin.triangles, "edges": skin.edges,
        "body": found.body,
    }  # fmt: skip
    for number, f in enumerate(found.findings):
        drawn[f"lines{number}"] = s.points[f.lines].astype(float)
        drawn[f"marked{number}"] = f.triangles.astype(np.uint32)
    return skins.pack(head, **drawn)


def _sizes(path: Path, mend: bool) -> list[dict[str, str]]:
    """The size of the part under each unit that is offered, or why it cannot be that one."""
    found = []
    for unit in OFFERED:
        try:
            r = shape.look(path, unit=unit, mend=mend)
            size = _size(r)
        except BodyNeeded as question:
            size = question.what
        except GeometryError as refusal:
            size = refusal.what
        found.append({"unit": unit, "size": size})
    return found


def _size(r: ShapeReport) -> str:
    return " × ".join(f"{h - l:.4g}" for l, h in zip(r.low, r.high, strict=True)) + " mm"


def _report(r: ShapeReport) -> dict[str, Any]:
    return {
        "size": _size(r),
        "unit": f"{r.unit}, {r.unit_source}",
        "volume": f"{r.volume / 1000:.4g} cm³",
        "surface": f"{r.cad_faces} CAD faces" if r.cad_faces else f"{r.triangles} triangles",
        "body": f"{r.body} of {max(1, len(r.bodies))}",
        "bodies": [
            {"number": b.number, "name": b.name, "volume": f"{b.volume / 1000:.4g} cm³"} for b in r.bodies
        ],
        "found": list(r.found),
        "mended": list(r.mended),
    }  # fmt: skip


def make_part(desk: Desk, order: Mapping[str, Any]) -> dict[str, Any]:
    """Write parts/NAME.toml for a brought file, as it was answered. Raises TextError."""
    path, name = _file(desk, str(order["file"])), str(order["name"]).strip()
    if not NAME.fullmatch(name):
        raise TextError("is no name for a part", where=name[:40], do="Small letters, digits and dashes")
    text = f"parts/{name}.toml"
    if texts.read(desk.root, text).digest:
        raise TextError("there is a part of this name already", where=text, do="Take another name")
    answer = look(desk, order)
    if "report" not in answer:
        raise GeometryError(str(answer.get("refused") or answer["words"]), where=path.name)
    stated = "".join(
        f"{key} = {value}\n"
        for key, value in (
            ("unit", quoted(str(order["unit"])) if order.get("unit") else ""),
            ("body", str(int(order["body"])) if order.get("body") else ""),
            ("mend", "true" if order.get("mend") else ""),
        )
        if value
    )
    content = TEXT.format(
        title=quoted(str(order.get("title") or name)), role=quoted(str(order["role"])),
        material=quoted(str(order["material"])), file=quoted(path.name), stated=stated,
        near="near = []" if order.get("cool") else "# near = []",
    )  # fmt: skip
    texts.write(desk.root, text, content, "")
    desk.changed()
    return {"name": name, "text": text}


def quoted(text: str) -> str:
    """A text as TOML writes it."""
    plain = "".join(c if c.isprintable() else " " for c in text)
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _file(desk: Desk, name: str) -> Path:
    path = desk.root / "parts" / name
    if "/" in name or "\\" in name or name.startswith(".") or path.suffix.lower() not in KINDS or not path.is_file():
        raise InputError("is not a geometry file of this workspace", where=name[:60])
    return path
