"""Kept results: what goes in comes out, damage is a reported miss, keys follow content and nothing else."""

from __future__ import annotations

import dataclasses
import json
import multiprocessing
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from printworthy.errors import GeometryError, Place
from printworthy.inputs import CouponSet, Geometry, Load
from printworthy.workspace.cache import Cache, key, once

KEY = key("a test")


def arrays() -> dict[str, np.ndarray]:
    rng = np.random.default_rng(60317)
    return {"points": rng.normal(size=(50, 3)), "face root": np.arange(7), "none": np.zeros((0, 3), np.float32)}


def test_what_goes_in_comes_out(tmp_path: Path) -> None:
    cache, text = Cache(tmp_path / "new" / "cache"), json.dumps({"word": "print", "unit": "mm³"})
    assert cache.get(KEY) is None
    cache.put(KEY, text, arrays())
    kept = cache.get(KEY)
    assert kept is not None
    assert kept.text == text
    assert set(kept.arrays) == set(arrays())
    for name, array in arrays().items():
        assert kept.arrays[name].dtype == array.dtype
        np.testing.assert_array_equal(kept.arrays[name], array, strict=True)
    assert cache.reported == []
    assert [path.name for path in cache.folder.iterdir()] == [f"{KEY}.result"]


@pytest.mark.parametrize("damage", ["cut short", "one bit", "emptied", "no line", "other text"])
def test_a_damaged_entry_is_a_reported_miss_and_goes_away(tmp_path: Path, damage: str) -> None:
    cache = Cache(tmp_path)
    cache.put(KEY, "{}", arrays())
    (path,) = tmp_path.iterdir()
    raw = bytearray(path.read_bytes())
    raw[len(raw) // 2] ^= 1
    path.write_bytes(
        {
            "cut short": bytes(raw[:200]),
            "one bit": bytes(raw),
            "emptied": b"",
            "no line": b"\xff" * 9,
            "other text": b"a\nb",
        }[damage]
    )
    assert cache.get(KEY) is None
    (line,) = cache.reported
    assert "damaged" in line
    assert not path.exists()
    cache.put(KEY, "{}", arrays())
    assert cache.get(KEY) is not None


def test_a_folder_that_cannot_be_written_is_reported(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    cache = Cache(tmp_path / "file")
    cache.put(KEY, "{}", {})
    assert "cannot be kept" in cache.reported[0]
    assert cache.get(KEY) is None


def test_only_keys_are_taken(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="not a key"):
        Cache(tmp_path).get("../secret")


def write_often(folder: str, number: int) -> None:
    cache = Cache(Path(folder))
    for _ in range(40):
        cache.put(KEY, json.dumps(number), {"a": np.full(20_000, number)})


def test_two_processes_write_while_a_third_reads(tmp_path: Path) -> None:
    cache = Cache(tmp_path)
    cache.put(KEY, "0", {"a": np.full(20_000, 0)})
    context = multiprocessing.get_context("spawn")
    writers = [context.Process(target=write_often, args=(str(tmp_path), n)) for n in (1, 2)]
    for writer in writers:
        writer.start()
    seen = set()
    while any(writer.is_alive() for writer in writers):
        entry = cache.get(KEY)
        assert entry is not None
        assert (entry.arrays["a"] == json.loads(entry.text)).all()
        seen.add(entry.text)
    for writer in writers:
        writer.join()
        assert writer.exitcode == 0
    assert seen - {"0"}
    assert cache.reported == []
    assert [path.name for path in tmp_path.iterdir()] == [f"{KEY}.result"]


# ---- keys ------------------------------------------------------------------------------------------------------------

COUPONS = CouponSet("s", "petg", "in layer", (30.0, 31.0), 23.0, "dry", "own", False, Place(Path("a.csv"), 2))


def test_a_key_does_not_depend_on_the_process() -> None:
    code = (
        "from printworthy.workspace.cache import key; from printworthy.inputs import Load;"
        "print(key(Load('force', 'tread', (0.1, 0.2, -900.0)), {'b': {'x', 'y', 'z', 'u', 'v'}, 'a': 1e-17}))"
    )
    runs = {
        subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True, env={"PYTHONHASHSEED": seed}
        ).stdout.strip()
        for seed in ("1", "2")
    }
    assert runs == {key(Load("force", "tread", (0.1, 0.2, -900.0)), {"a": 1e-17, "b": set("uvxyz")})}


def test_lines_do_not_matter_and_everything_else_does() -> None:
    base = key(COUPONS)
    assert key(dataclasses.replace(COUPONS, place=Place(Path("b.csv"), 9))) == base
    changes: list[dict[str, Any]] = [
        {"name": "t"}, {"material": "pla"}, {"direction": "45 degrees"}, {"strengths": (31.0, 30.0)},
        {"strengths": (30.0,)}, {"temperature": 23.000000000000004}, {"moisture": ""}, {"source": "o"},
        {"invented": True},
    ]  # fmt: skip
    keys = {key(dataclasses.replace(COUPONS, **change)) for change in changes}
    assert len(keys | {base}) == len(changes) + 1


def test_a_file_counts_by_its_content(tmp_path: Path) -> None:
    first, second = tmp_path / "a.stl", tmp_path / "b.stl"
    first.write_bytes(b"solid")
    second.write_bytes(b"solid")
    assert key(Geometry(first, "mm")) == key(Geometry(second, "mm")) != key(Geometry(second, "in"))
    second.write_bytes(b"solid ")
    assert key(Geometry(first, "mm")) != key(Geometry(second, "mm"))
    second.unlink()
    with pytest.raises(GeometryError, match="cannot be read"):
        key(Geometry(second, "mm"))


def test_things_that_look_alike_differ() -> None:
    things: list[object] = [
        None, True, 1, "1", "n1", b"1", [1], {1: 1}, {1}, [[1]], [1, 1], "", [], {}, np.array([1]), np.array([1.0]),
        np.array([[1]]), 2**53, 2**53 + 1, "None", [None],
    ]  # fmt: skip
    assert len({key(thing) for thing in things}) == len(things)


@pytest.mark.parametrize("thing", [float("nan"), float("inf"), [float("-inf")]])
def test_numbers_that_are_none_have_no_key(thing: object) -> None:
    with pytest.raises(ValueError, match="no key"):
        key(thing)


def test_things_of_unknown_content_have_no_key() -> None:
    for thing in (object(), np.array([object()]), Load, iter([1])):
        with pytest.raises(TypeError, match="no key"):
            key(thing)


NUMBERS = st.floats(allow_nan=False, allow_infinity=False) | st.integers()
THINGS = st.recursive(
    NUMBERS | st.text() | st.booleans() | st.none(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=10,
)


@given(THINGS, THINGS)
def test_keys_are_equal_exactly_for_equal_content(one: object, other: object) -> None:
    # JSON text with sorted names, whole floats written as integers: an independent statement of equal content
    def text(thing: object) -> str:
        def plain(value: object) -> object:
            if isinstance(value, dict):
                return {name: plain(item) for name, item in value.items()}
            if isinstance(value, list):
                return [plain(item) for item in value]
            return int(value) if isinstance(value, float) and value.is_integer() else value

        return json.dumps(plain(thing), sort_keys=True)

    assert (key(one) == key(other)) == (text(one) == text(other))


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_keeps_its_key_through_json(number: float) -> None:
    assert key(number) == key(json.loads(json.dumps(number))) == key(np.float64(number))


def test_what_was_asked_once_is_not_computed_again() -> None:
    asked: list[object] = []

    @once
    def double(numbers: Mapping[str, float], more: np.ndarray) -> float:
        asked.append(numbers)
        return float(2 * numbers["a"] + more.sum())

    assert double({"a": 1.0}, np.ones(2)) == double({"a": 1}, np.ones(2)) == 4
    assert len(asked) == 1
    assert double({"a": 2.0}, np.ones(2)) == 6
    assert double({"a": 2.0}, np.ones(3)) == 7
    assert len(asked) == 3
