"""The decision rule's values, read from cards/rules.toml of the package.

A workspace has no rules of its own: a person states other factors part by part, with a reason where they are milder.
"""

from __future__ import annotations

from pathlib import Path
from typing import get_args

from pydantic import Field

from printworthy import units
from printworthy.errors import CardError, InputError
from printworthy.inputs import Consequence, Quantity, Rules
from printworthy.workspace import fields as f
from printworthy.workspace.cards import SHIPPED, ValueTable, sourced
from printworthy.workspace.fields import Table
from printworthy.workspace.files import Document, read_toml
from printworthy.workspace.problems import WorkspaceProblems
from printworthy.workspace.validate import near_spelling, validate


class RuleTable(ValueTable):
    """A value of the rule: [values.NAME] or [inspection.NAME]."""

    dimension: f.Stated = "ratio"


class RulesFile(Table):
    """rules.toml."""

    metal_roles: list[f.Stated]
    roles: dict[str, Consequence] = Field(min_length=1)
    evidence: dict[Consequence, f.Stated]
    values: dict[str, RuleTable] = Field(min_length=1)
    inspection: dict[str, RuleTable] = Field(min_length=1)


def read_rules(path: Path = SHIPPED / "rules.toml") -> Rules:
    """Read the rule.

    Raises:
        TextError: the file cannot be read.
        WorkspaceProblems: everything that is wrong in it.
    """
    document = read_toml(path)
    table, wrong = validate(document, RulesFile)
    if table is None:
        raise WorkspaceProblems(path, wrong)
    problems: list[InputError] = [*_gaps(document, table)]
    values = _quantities(document, "values", table.values, problems)
    inspection = _quantities(document, "inspection", table.inspection, problems)
    if problems:
        raise WorkspaceProblems(path, problems)
    return Rules(values, table.roles, tuple(table.metal_roles), inspection, table.evidence)


def _gaps(document: Document, table: RulesFile) -> list[CardError]:
    """What must be there and is not."""
    missing = [
        (("evidence",), f'no evidence is stated for "{consequence}"')
        for consequence in get_args(Consequence)
        if consequence not in table.evidence
    ]
    missing += [
        (("metal_roles",), f'metal role "{role}" is not one of [roles]')
        for role in table.metal_roles
        if role not in table.roles
    ]
    if "none" not in table.inspection:
        missing.append((("inspection",), 'class "none" is missing; it holds where a part states no other'))
    return [CardError(what, where=document.place(*path), do="Add it") for path, what in missing]


def _quantities(
    document: Document, group: str, tables: dict[str, RuleTable], problems: list[InputError]
) -> dict[str, Quantity]:
    quantities: dict[str, Quantity] = {}
    for name, stated in tables.items():
        kind = units.DIMENSIONS.get(stated.dimension)
        if kind is None:
            do = near_spelling(stated.dimension, units.DIMENSIONS) or f"Known are: {', '.join(units.DIMENSIONS)}"
            where = document.place(group, name, "dimension")
            problems.append(CardError(f'"{stated.dimension}" is not a dimension', where=where, do=do))
            continue
        try:
            quantities[name] = sourced(document, (group, name), stated, stated.dimension, kind.unit)
        except InputError as error:
            problems.append(error)
    return quantities
