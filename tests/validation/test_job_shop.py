"""Schedules against known least finishing times of published job shops.

H. Fisher, G. L. Thompson, in: Muth, Thompson, Industrial Scheduling, 1963: ft06, from memory, optimum 55.
S. Lawrence 1984: la01, from memory, optimum 666. Both are in the collection of Beasley's OR-Library.
"""

from __future__ import annotations

import pytest
from compare import Source, compare

from printworthy.making.schedule import Task, schedule

SHOPS = {
    "ft06": (
        Source("Fisher and Thompson 1963, ft06", "6 jobs, 6 machines (machine, length) in order", "from memory"),
        55,
        "2 1 0 3 1 6 3 7 5 3 4 6/1 8 2 5 4 10 5 10 0 10 3 4/2 5 3 4 5 8 0 9 1 1 4 7/"
        "1 5 0 5 2 5 3 3 4 8 5 9/2 9 1 3 4 5 5 4 0 3 3 1/1 3 3 3 5 9 0 10 4 4 2 1",
    ),
    "la01": (
        Source("Lawrence 1984, la01", "10 jobs, 5 machines (machine, length) in order", "from memory"),
        666,
        "1 21 0 53 4 95 3 55 2 34/0 21 3 52 4 16 2 26 1 71/3 39 4 98 1 42 2 31 0 12/1 77 0 55 4 79 2 66 3 77/"
        "0 83 3 34 2 64 1 19 4 37/1 54 2 43 4 79 0 92 3 62/3 69 4 77 1 87 2 87 0 93/2 38 0 60 1 41 3 24 4 83/"
        "3 17 1 49 4 25 0 44 2 98/4 77 3 79 2 43 1 75 0 96",
    ),
}


@pytest.mark.parametrize("name", SHOPS)
def test_job_shop(name: str) -> None:
    source, optimum, text = SHOPS[name]
    tasks = []
    for job, line in enumerate(text.split("/")):
        numbers = [int(n) for n in line.split()]
        for step in range(0, len(numbers), 2):
            before = (f"{job}.{step - 2}",) if step else ()
            tasks.append(Task(f"{job}.{step}", 60.0 * numbers[step + 1], (f"machine {numbers[step]}",), before))
    found = schedule(tasks)
    assert found.optimal
    compare(found.finish / 60, optimum, abs=0.5, source=source, quantity="least finishing time")
    assert found.bound / 60 == pytest.approx(optimum)
