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

_PLAIN = {
    "missing": ("{name} is missing", "Add it"),
    "too_short": ("{name} is empty", "Add at least one entry"),
    "string_too_short": ("{name} is an empty text", "Fill it in"),
    "string_too_long": ("the text has more than 2000 characters", "Shorten it"),
    "string_pattern_mismatch": ("{given} is not a name", "Use letters, digits, -, _ and . only, at most 60"),
    "greater_than_equal": ("{given} is below {least}", "Write {least} or more"),
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
    """What is wrong and what to do, by the library's kind of fault."""
    kind, context = details["type"], details.get("ctx", {})
    given, name = _shown(details["input"]), f'"{path[-1]}"' if path else "the file"
    if kind == "refused":
        return str(context["what"]), str(context["do"])
    if kind == "extra_forbidden":
        known = [word for inner in _tables_at(table, path[:-1]) for word in inner.model_fields]
        return f"{name} is not known here", near_spelling(str(path[-1]), known) or f"Known are: {', '.join(known)}"
    if kind == "literal_error":
        known = re.findall("'([^']*)'", str(context["expected"]))
        near = near_spelling(str(details["input"]), known)
        return f"{given} is not one of: {', '.join(known)}", f"{near}Write one of them"
    if kind in _WANTED:
        wanted, do = _WANTED[kind]
        return f"{given} is not {wanted}", do
    # The last: a kind of fault that no test has met. Still one line, in the words of the library.
    what, do = _PLAIN.get(kind, ("{given}: {message}", "Correct it"))
    known_words = {"name": name, "given": given, "least": context.get("ge"), "message": details["msg"]}
    return what.format(**known_words), do.format(**known_words)


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
