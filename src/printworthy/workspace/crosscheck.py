"""What must hold between the tables of a part, and between a part and faces, cards, rules and files.

These checks look at the plain TOML values, not at the checked tables, so that they still speak when something else in
the file is wrong: a person sees everything at once. A value of the wrong kind is passed over; `validate` reports it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, get_args

from printworthy import units
from printworthy.errors import GeometryError, InputError, LoadError, SelectorError, TextError, UnitNeeded
from printworthy.inputs import LifeUnit, MaterialCard, Rules
from printworthy.workspace import fields as f
from printworthy.workspace.beads import check_raster
from printworthy.workspace.files import Document, inside
from printworthy.workspace.validate import near_spelling

WITHOUT_UNIT = (".stl", ".obj", ".ply")
FORMATS = (*WITHOUT_UNIT, ".3mf", ".step", ".stp")
LONGEST_NAME = 60
SEVERITY = ("harmless", "may injure", "single point of failure")

Where = tuple[str | int, ...]


def check_part(document: Document, root: Path, rules: Rules, cards: Mapping[str, MaterialCard]) -> list[InputError]:
    """Every problem of one part that shows only between tables or files."""
    return [
        *_needed(document, rules),
        *_faces(document),
        *_displacements(document),
        *_repeated(document),
        *_ride_units(document),
        *_rule_words(document, rules),
        *_milder(document, rules),
        *_materials(document, cards),
        *check_raster(document, cards),
        *_geometry(document, root),
        *_walls_twice(document),
    ]


def check_names(named: Iterable[tuple[str, Document]]) -> list[InputError]:
    """Parts that share a name."""
    first: dict[str, Document] = {}
    problems: list[InputError] = []
    for name, document in named:
        if name in first:
            what = f'part "{name}" is already stated in {first[name].path.name}'
            problems.append(TextError(what, where=document.place("name"), do="Give one of them another name"))
        first.setdefault(name, document)
    return problems


def check_events(document: Document) -> list[InputError]:
    """Ride events that share a name."""
    return list(_twice(document, (("event", "name", "event"), ("mass", "name", "mass"))))


def _tables(data: Mapping[str, Any], key: str) -> Iterator[tuple[int, Mapping[str, Any]]]:
    entries = data.get(key)
    for number, table in enumerate(entries if isinstance(entries, list) else []):
        if isinstance(table, dict):
            yield number, table


def _loads(document: Document) -> Iterator[tuple[Where, Mapping[str, Any]]]:
    for number, case in _tables(document.data, "case"):
        for inner, load in _tables(case, "load"):
            yield ("case", number, "load", inner), load


def _text(table: Mapping[str, Any], key: str) -> str:
    value = table.get(key)
    return value if isinstance(value, str) else ""


def _table(data: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    value = data.get(key)
    return value if isinstance(value, dict) else {}


def _one_of(word: str, known: Iterable[str], what: str) -> tuple[str, str]:
    names = list(known)
    return f'{what} "{word}" is not known', f"{near_spelling(word, names)}Known are: {', '.join(names) or 'none'}"


def _needed(document: Document, rules: Rules) -> Iterator[InputError]:
    """Faces, supports and cases: needed for every part that is computed, which those that stay metal are not."""
    if _text(document.data, "role") in rules.metal_roles:
        return
    for key, table, what in (
        ("faces", "[faces.NAME]", "no face is defined"),
        ("support", "[[support]]", "nothing holds the part"),
        ("case", "[[case]] with its [[case.load]]", "no load case is stated"),
    ):
        if key == "case" and "ride" in document.data:
            continue  # its cases come from ride events
        if not document.data.get(key, ()):
            yield LoadError(what, where=document.place(key), do=f"Add {table}")


def _faces(document: Document) -> Iterator[InputError]:
    """Faces that are used and not defined, or have a name that cannot be shown."""
    faces = _table(document.data, "faces")
    for face in faces:
        if not face.strip() or not face.isprintable() or len(face) > LONGEST_NAME:
            do = f"Use 1 to {LONGEST_NAME} visible characters"
            yield SelectorError("a face needs a name that can be shown", where=document.place("faces", face), do=do)
    held = _tables(document.data, "support")
    used: list[tuple[tuple[Where, str], str]] = [((("support", n), "face"), _text(t, "face")) for n, t in held]
    used += [((path, "face"), _text(t, "face")) for path, t in _loads(document)]
    for (path, key), face in [*used, *_ridden(document)]:
        if face and face not in faces:
            do = (
                near_spelling(face, faces)
                + f"Write a table [faces.{face}], or name one of: {', '.join(faces) or 'none'}"
            )
            yield SelectorError(f'face "{face}" is not defined', where=document.place(*path, key), do=do)


def _ridden(document: Document) -> Iterator[tuple[tuple[Where, str], str]]:
    """Faces that [ride] names, with where."""
    ride = _table(document.data, "ride")
    for port, names in _table(ride, "faces").items():
        for name in names if isinstance(names, list) else []:
            yield (("ride", "faces"), port), name if isinstance(name, str) else ""
    for key in ("face", "wall"):
        yield (("ride", "carried"), key), _text(_table(ride, "carried"), key)


def _displacements(document: Document) -> Iterator[InputError]:
    """A movement can be prescribed only where a support holds the part."""
    held = {_text(table, "face") for _, table in _tables(document.data, "support") if table.get("kind") == "fixed"}
    for path, load in _loads(document):
        face = _text(load, "face")
        if "displacement" in load and face and face not in held:
            do = f'Add [[support]] with face = "{face}" and kind = "fixed", or load it by a force'
            what = f'face "{face}" is to be moved but is not a fixed support'
            yield LoadError(what, where=document.place(*path, "displacement"), do=do)


def _repeated(document: Document) -> Iterator[InputError]:
    """Names that may stand only once."""
    yield from _twice(document, (("case", "name", "case"), ("support", "face", "a support on face")))


def _twice(document: Document, kinds: tuple[tuple[str, str, str], ...]) -> Iterator[InputError]:
    for key, field, what in kinds:
        seen: dict[str, int] = {}
        for number, table in _tables(document.data, key):
            name = _text(table, field)
            if name in seen:
                first = document.place(key, seen[name]).line
                where = document.place(key, number, field)
                yield TextError(f'{what} "{name}" stands already in line {first}', where=where, do="Keep one of them")
            if name:
                seen.setdefault(name, number)


def _ride_units(document: Document) -> Iterator[InputError]:
    """Hours or kilometres of ride, but one of them throughout a part: nobody has stated its mean speed."""
    stated: list[tuple[Where, str]] = []
    for key in ("design_life", "inspection_interval"):
        if unit := next((u for u in get_args(LifeUnit) if _text(document.data, key).endswith(u)), None):
            stated.append(((key,), unit))
    for number, case in _tables(document.data, "case"):
        if unit := _text(_table(case, "duty"), "per"):
            stated.append((("case", number, "duty", "per"), unit))
    for path, unit in stated[1:]:
        if unit != stated[0][1]:
            first = document.place(*stated[0][0])
            what = f"counts by {unit} what line {first.line} counts by {stated[0][1]}"
            yield LoadError(what, where=document.place(*path), do="Use hours or kilometres throughout the part")
            return


def _rule_words(document: Document, rules: Rules) -> Iterator[InputError]:
    """Words that must be words of the rule."""
    for key, known in (("role", rules.roles), ("inspection", rules.inspection_factors)):
        word = _text(document.data, key)
        if word and word not in known:
            what, do = _one_of(word, known, key)
            yield TextError(what, where=document.place(key), do=do)


def _milder(document: Document, rules: Rules) -> Iterator[InputError]:
    """A milder consequence or a smaller factor than the rule's needs the person's reason."""
    data = document.data
    role, stated = _text(data, "role"), _text(data, "consequence")
    if role in rules.roles and stated in SEVERITY and not _text(data, "consequence_reason").strip():
        usual = rules.roles[role]
        if SEVERITY.index(stated) < SEVERITY.index(usual):
            what = f'"{stated}" is milder than the rule\'s "{usual}" for the role "{role}"'
            do = "Add consequence_reason, or leave consequence out"
            yield TextError(what, where=document.place("consequence"), do=do)
    if "load_factor" in data and not _text(data, "load_factor_reason").strip():
        try:
            factor = units.quantity(data["load_factor"], "ratio")
        except InputError:
            return  # not a number: `validate` says so
        least = rules.values["load_factor"].value
        if 0.0 < factor < least:
            what = f"{factor:g} is smaller than the rule's {least:g}"
            do = "Add load_factor_reason, or leave load_factor out"
            yield TextError(what, where=document.place("load_factor"), do=do)


def _materials(document: Document, cards: Mapping[str, MaterialCard]) -> Iterator[InputError]:
    """Materials without a card, and materials named twice."""
    alternatives = document.data.get("alternatives")
    named: list[tuple[Where, Any]] = [(("material",), document.data.get("material"))]
    named += [
        (("alternatives", n), word) for n, word in enumerate(alternatives if isinstance(alternatives, list) else [])
    ]
    seen: set[str] = set()
    for path, word in named:
        if not isinstance(word, str) or not word:
            continue
        if word not in cards:
            what, do = _one_of(word, cards, "material")
            yield TextError(what, where=document.place(*path), do=f"{do}; or write cards/{word}.toml")
        elif word in seen:
            yield TextError(f'material "{word}" is named twice', where=document.place(*path), do="Keep one of them")
        seen.add(word)


def _geometry(document: Document, root: Path) -> Iterator[InputError]:
    """The geometry file: there, inside the workspace, of a known kind, with a unit."""
    geometry = _table(document.data, "geometry")
    name = _text(geometry, "file")
    if not f.is_file_name(name):
        return  # `validate` says so
    path, where = document.path.parent / name, document.place("geometry", "file")
    suffix = path.suffix.lower()
    if suffix not in FORMATS:
        yield GeometryError(
            f'"{name}" is not a kind of file that is read', where=where, do=f"Read are {', '.join(FORMATS)}"
        )
    elif not inside(path, root):
        yield GeometryError(
            f'"{name}" leads out of the workspace', where=where, do="Put a copy of the file into parts/"
        )
    elif not path.is_file():
        there = [item.name for item in path.parent.glob("*") if item.suffix.lower() in FORMATS]
        do = near_spelling(name, there) + "Put the file into parts/, or correct its name"
        yield GeometryError(f'"{name}" is not there', where=where, do=do)
    if suffix in WITHOUT_UNIT and "unit" not in geometry:
        what = f"a {suffix[1:].upper()} file has no length unit"
        do = 'Find out in which unit it was drawn and add unit = "mm" (or cm, m, in, ft)'
        yield UnitNeeded(what, where=document.place("geometry", "unit"), do=do)


def _walls_twice(document: Document) -> Iterator[InputError]:
    """Walls both as a thickness and as a number of beads."""
    if "fill" in document.data and "walls" in _table(document.data, "making"):
        do = "Leave out walls: [fill] says how thick they are"
        yield TextError("the walls are stated twice", where=document.place("making", "walls"), do=do)
