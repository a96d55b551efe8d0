"""The line index against tomllib (same paths) and against lines counted by hand."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from printworthy.workspace.lines import Path, line_index, line_of

TEXT = '''# comment with [brackets] and = signs
name = "a # not a comment"

"quoted key" = 1
dotted.inner = 2
[geometry]
file = \'x"y.stl\'   # trailing
note = """
one line = 1
two ""\\" lines"""
after = 3
[faces.tread]
cylinder = { point = "0, 0, 1 mm", axis = "+z", low = [1, 2] }
[[case]]
name = "one"
[[case.load]]
force = "1, 0, 0 N"
[[case.load]]
face = """a""""
[case.extra]
k = 1979-05-27 07:32:00
[[case]]
name = "two"
list = [
  "first",   # ]
  { a = 1, b = [ 2,
     3 ] },
]
[[case.load]]
pressure = "1 MPa"
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("name",), 2),
        (("quoted key",), 4),
        (("dotted", "inner"), 5),
        (("geometry",), 6),
        (("geometry", "file"), 7),
        (("geometry", "note"), 8),
        (("geometry", "after"), 11),
        (("faces", "tread"), 12),
        (("faces", "tread", "cylinder", "axis"), 13),
        (("faces", "tread", "cylinder", "low", 1), 13),
        (("case", 0), 14),
        (("case", 0, "name"), 15),
        (("case", 0, "load", 0, "force"), 17),
        (("case", 0, "load", 1), 18),
        (("case", 0, "load", 1, "face"), 19),
        (("case", 0, "extra", "k"), 21),
        (("case", 1, "name"), 23),
        (("case", 1, "list", 0), 25),
        (("case", 1, "list", 1, "b"), 26),
        (("case", 1, "list", 1, "b", 1), 27),
        (("case", 1, "load", 0, "pressure"), 30),
    ],
)
def test_lines_counted_by_hand(path: Path, line: int) -> None:
    assert line_index(TEXT)[path] == line


def test_same_lines_with_windows_line_ends() -> None:
    assert line_index(TEXT.replace("\n", "\r\n")) == line_index(TEXT)


def test_a_missing_key_is_placed_at_its_table() -> None:
    index = line_index(TEXT)
    assert line_of(index, ("case", 1, "load", 0, "face")) == 29
    assert line_of(index, ("role",)) == 1


def paths(value: Any, start: Path = ()) -> set[Path]:
    """Every path of keys and numbers inside plain TOML values."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return {start} - {()} | {p for key, item in inner for p in paths(item, (*start, key))}


SCALARS = st.one_of(st.integers(-9, 9), st.booleans(), st.text(max_size=8), st.floats(-1e9, 1e9), st.dates())
KEYS = st.one_of(st.sampled_from(["a", "b", "c", "d-e"]), st.text(max_size=5))
TREES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(KEYS, inner, max_size=3),
        st.lists(st.dictionaries(KEYS, inner, min_size=1, max_size=3), max_size=3),
    ),
    max_leaves=12,
)


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(KEYS, TREES, max_size=5))
def test_the_index_has_exactly_the_paths_that_tomllib_reads(tree: dict[str, Any]) -> None:
    text = tomlkit.dumps(tree)
    index = line_index(text)
    assert set(index) == paths(tomllib.loads(text))


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(KEYS, TREES, min_size=1, max_size=5), st.integers(1, 5))
def test_lines_move_with_what_is_written_above(tree: dict[str, Any], above: int) -> None:
    text = tomlkit.dumps(tree)
    moved = line_index("# one more line\n" * above + text)
    assert moved == {path: line + above for path, line in line_index(text).items()}
