"""A workspace folder read whole: vehicle.toml, parts/*.toml, cards/*.toml, evidence/*.csv and the package's rule."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from printworthy.errors import InputError, Place, TextError
from printworthy.inputs import Job, MaterialCard, Part, Vehicle, Workshop
from printworthy.workspace import records
from printworthy.workspace.cards import collect_cards
from printworthy.workspace.change import replaced
from printworthy.workspace.coupons import collect_coupons
from printworthy.workspace.crosscheck import check_events, check_names, check_part
from printworthy.workspace.fatigue import collect_fatigue
from printworthy.workspace.files import Document, read_toml
from printworthy.workspace.heat import check_cold, check_heat, check_sources
from printworthy.workspace.hollow import check_fill
from printworthy.workspace.known_range import against_cards
from printworthy.workspace.logs import with_logs
from printworthy.workspace.pieces import collect_dimensions, collect_weighings
from printworthy.workspace.problems import WorkspaceProblems, in_order
from printworthy.workspace.rules import read_rules
from printworthy.workspace.tables import PartFile, VehicleFile
from printworthy.workspace.validate import validate
from printworthy.workspace.workshop import collect


def read(root: Path, changes: Mapping[str, str] | None = None) -> Job:
    """Read and check a workspace, with some figures of the vehicle replaced.

    Raises:
        WorkspaceProblems: everything that is wrong in any of its files.
        TextError: a change of a figure that the vehicle does not have (`change.replaced`).
    """
    job, found = _collect(root, changes or {})
    if job is None:
        raise WorkspaceProblems(root, found)
    return job


def problems(root: Path) -> tuple[InputError, ...]:
    """Everything that is wrong in a workspace, by file and line; empty when it can be assessed."""
    return in_order(_collect(root, {})[1])


def _collect(root: Path, changes: Mapping[str, str]) -> tuple[Job | None, list[InputError]]:
    if not root.is_dir():
        return None, [TextError("is not a folder", where=Place(root), do="Name the folder that holds vehicle.toml")]
    rules = read_rules()
    cards, found = collect_cards(root)
    documents = _documents(root, found)
    names = [_name(document) for document in documents]
    machine, machine_text, workshop = _vehicle(root, cards, names, found, changes)
    parts: list[Part] = []
    for document in documents:
        table, wrong = validate(document, PartFile)
        found += [*wrong, *check_part(document, root, rules, cards), *check_heat(document, machine_text)]
        if table is not None:
            parts.append(records.part(table, document))
    found += check_names(list(zip(names, documents, strict=True)))
    coupons, wrong_coupons = collect_coupons(root, cards)
    tired, wrong_fatigue = collect_fatigue(root, cards, coupons)
    weighings, wrong_weighings = collect_weighings(root, names, cards)
    dimensions, wrong_dimensions = collect_dimensions(root, names)
    found += [*wrong_coupons, *against_cards(coupons, cards), *wrong_fatigue, *wrong_weighings, *wrong_dimensions]
    if machine is not None and workshop is not None:
        found += [problem for part in parts for problem in check_fill(part, machine, workshop)]
        found += check_cold(machine, parts)
    if found or machine is None or workshop is None:
        return None, found
    job = Job(
        root,
        machine,
        tuple(parts),
        cards,
        tuple(coupons),
        rules,
        tuple(tired),
        tuple(weighings),
        tuple(dimensions),
        workshop,
    )
    job, unread = with_logs(job)
    return (None if unread else job), unread


def _vehicle(
    root: Path, cards: Mapping[str, MaterialCard], names: Sequence[str], found: list[InputError],
    changes: Mapping[str, str],
) -> tuple[Vehicle | None, Document | None, Workshop | None]:  # fmt: skip
    """The machine, its text and the workshop, as far as they are sound."""
    try:
        document = read_toml(root / "vehicle.toml", root)
    except InputError as error:
        found.append(error)
        return None, None, None
    document = replaced(document, changes)
    table, wrong = validate(document, VehicleFile)
    found += [*wrong, *check_sources(document), *check_events(document)]
    if table is None:
        return None, document, None
    machine = records.vehicle(table, document)
    workshop, problems = collect(root, document, table, machine, cards, names)
    found += problems
    return machine, document, workshop


def _documents(root: Path, found: list[InputError]) -> Sequence[Document]:
    """The part files that are sound TOML."""
    documents: list[Document] = []
    paths = sorted((root / "parts").glob("*.toml"))
    if not paths:
        found.append(TextError("holds no part", where=Place(root / "parts"), do="Write parts/NAME.toml for each part"))
    for path in paths:
        try:
            documents.append(read_toml(path, root))
        except InputError as error:
            found.append(error)
    return documents


def _name(document: Document) -> str:
    stated = document.data.get("name")
    return stated if isinstance(stated, str) else document.path.stem
