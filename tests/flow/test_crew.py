"""Processes that stay for several rounds of tasks."""

from __future__ import annotations

import os
import sys
import time
from multiprocessing import active_children

import pytest

from printworthy.workers import Crew, Tell, spread


def where(item: int, tell: Tell) -> int:
    """The process a task runs in; it takes long enough for the other one to take its share."""
    tell("", str(item), 0.0)
    time.sleep(0.5)
    return os.getpid()


def loaded(name: str, tell: Tell) -> bool:
    time.sleep(0.5)
    return name in sys.modules


def wrong(item: int, tell: Tell) -> None:
    if item:
        raise ValueError("no such item")
    time.sleep(600)


def quiet(*words: object) -> None:
    pass


def test_the_same_processes_do_the_next_tasks() -> None:
    told: list[str] = []
    with Crew(2) as crew:
        first = spread(where, [1, 2, 3, 4], lambda _, stage, __: told.append(stage), crew)
        assert len(set(first)) == 2
        assert os.getpid() not in first
        assert sorted(told) == ["1", "2", "3", "4"]
        assert set(crew.spread(where, [1, 2], quiet)) <= set(first)
        assert spread(where, [1], quiet, crew) == [os.getpid()]
        crew.end()
        assert not set(crew.spread(where, [1, 2], quiet)) & set(first)
    assert not active_children()


def test_a_module_is_loaded_beforehand_where_there_are_processes() -> None:
    with Crew(2) as crew:
        crew.load("this")  # none yet: nothing to do
        assert not active_children()
        assert crew.spread(loaded, ["colorsys", "colorsys"], quiet) == [False, False]
        crew.load("colorsys")
        assert all(crew.spread(loaded, ["colorsys"] * 4, quiet))


def test_an_error_ends_the_processes() -> None:
    with pytest.raises(ValueError, match="no such item"), Crew(2) as crew:
        crew.spread(wrong, [0, 1], quiet)
    until = time.monotonic() + 120  # far beyond what it takes: only a process that never ends fails
    while active_children():
        assert time.monotonic() < until
        time.sleep(0.1)
