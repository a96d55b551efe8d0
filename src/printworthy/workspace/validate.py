"""A TOML document against its table: the checked table, or every problem in it, each with its line and field."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from difflib import get_close_matches
from types import UnionType
from typing import Any, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from printworthy.errors import TextError
from printworthy.workspace.fields import Table
from printworthy.workspace.files import Document

T = TypeVar("T", bound=Table)

_WANTED = {
    "string_type": ("a text in quotes", 'Write it as "..."'),
    "bool_type": ("true or false", "Write true or false, without quotes"),
    "int_type": ("a whole number", "Write a whole number, without quotes"),
    "float_type": ("a number", "Write a number"),
    "list_type": ("a list", "Write [ ... ], for repeated tables [[name]]; for no entries []"),
    "dict_type": ("a table", "Write [name] with keys below it, or { key = value }"),
    "model_type": ("a table", "Write [name] with keys below it, or { key = value }"),
}


def validate(document: Document, table: type[T]) -> tuple[T | None, list[TextError]]:
    """The checked table, or None and all that is wrong in the document."""
    try:
        return table.model_validate(dict(document.data)), []
    except ValidationError as error:
        return None, [_problem(document, table, details) for details in error.errors(include_url=False)]


def near_spelling(word: str, known: Iterable[str]) -> str:
    """The question "Did you mean ...?" when something known is spelled much like `word`, else nothing."""
    near = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return f'Did you mean "{near[0]}"? ' if near else ""


def _problem(document: Document, table: type[Table], details: ErrorDetails) -> TextError:
    path = tuple(part for part in details["loc"])
    what, do = _words(table, path, details)
    return TextError(what, where=document.place(*path), do=do)


def _words(table: type[Table], path: tuple[str | int, ...], details: ErrorDetails) -> tuple[str, str]:
    kind, given, context = details["type"], details["input"], details.get("ctx", {})
    if kind == "refused":
        return str(context["what"]), str(context["do"])
    if kind == "missing":
        return f'"{path[-1]}" is missing', "Add it"
    if kind == "extra_forbidden":
        known = [name for inner in _tables_at(table, path[:-1]) for name in inner.model_fields]
        do = near_spelling(str(path[-1]), known) or f"Known are: {', '.join(known)}"
        return f'"{path[-1]}" is not known here', do
    if kind == "literal_error":
        known = re.findall("'([^']*)'", str(context["expected"]))
        return f"{_shown(given)} is not one of: {', '.join(known)}", near_spelling(
            str(given), known
        ) + "Write one of them"
    if kind == "too_short":
        return f'"{path[-1]}" is empty', "Add at least one entry"
    if kind == "string_too_short":
        return f'"{path[-1]}" is an empty text', "Fill it in"
    if kind == "string_too_long":
        return "the text has more than 2000 characters", "Shorten it"
    if kind == "string_pattern_mismatch":
        return f"{_shown(given)} is not a name", "Use letters, digits, -, _ and . only, at most 60"
    if kind == "greater_than_equal":
        return f"{_shown(given)} is below {context['ge']}", f"Write {context['ge']} or more"
    if kind not in _WANTED:  # a kind of fault that no test has met: still one line, in the words of the library
        return f"{_shown(given)}: {details['msg']}", "Correct it"
    wanted, do = _WANTED[kind]
    return f"{_shown(given)} is not {wanted}", do


def _shown(given: object) -> str:
    text = (
        f'"{given}"'
        if isinstance(given, str)
        else "true"
        if given is True
        else "false"
        if given is False
        else f"{given}"
    )
    return text if len(text) <= 60 else f"{text[:57]}..."


def _tables_at(table: type[BaseModel], path: tuple[str | int, ...]) -> Iterator[type[BaseModel]]:
    """The tables that may stand at `path`, found by following the annotations."""
    here: list[Any] = [table]
    for part in path:
        here = [inner for kind in here for inner in _inside(kind, part)]
    return (kind for annotation in here for kind in _plain(annotation) if _is_table(kind))


def _inside(annotation: Any, part: str | int) -> Iterator[Any]:
    for kind in _plain(annotation):
        if _is_table(kind) and part in kind.model_fields:
            yield kind.model_fields[str(part)].annotation
        elif get_origin(kind) in (list, dict):
            yield get_args(kind)[-1]


def _plain(annotation: Any) -> tuple[Any, ...]:
    return get_args(annotation) if isinstance(annotation, UnionType) else (annotation,)


def _is_table(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)
