"""Kills real processes at random moments and looks at what is left; used by the tests and, in larger counts, by the
bench."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

from printworthy.records import store, verify

CHILD = Path(__file__).parent / "writer_child.py"


def writer(root: Path, who: str, count: int) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, str(CHILD), str(root), who, str(count)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def killed_writer(root: Path, after: float, who: str = "child") -> set[str]:
    """Ids that a writer said were written before it was killed, `after` [s] from its first word."""
    child = writer(root, who, 100_000)
    assert child.stdout is not None
    first = child.stdout.readline()
    time.sleep(after)
    child.send_signal(signal.SIGKILL)
    rest = child.communicate()[0]
    whole = (first + rest).rpartition("\n")[0]  # a line that was cut off says nothing
    return set(whole.split())


def killed_verb(after: float, *words: str, once: tuple[Path, str] | None = None) -> tuple[bool, str]:
    """Whether `printworthy` with these words was alive when it was killed with its whole group, and what it had said.

    Killed `after` [s] from its start; with `once`, a folder and a pattern, from when a new file of that name is seen
    there. One that had ended, or ended in that moment by itself, was not killed.
    """
    old = set(once[0].glob(once[1])) if once else set()
    child = subprocess.Popen(
        [sys.executable, "-m", "printworthy", *words], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
        start_new_session=True,
    )  # fmt: skip
    while once is not None and child.poll() is None and not set(once[0].glob(once[1])) - old:
        time.sleep(0.0005)
    try:
        return False, child.communicate(timeout=after)[0]
    except subprocess.TimeoutExpired:
        os.killpg(child.pid, signal.SIGKILL)
        said = child.communicate()[0]
        return child.returncode == -signal.SIGKILL, said


def damage(root: Path) -> list[str]:
    """What is broken in the records and the cache of a workspace."""
    with store.opened(root) as records:
        return [f.words for f in verify.verify(records, None, root / ".cache") if f.damage]


def written(root: Path) -> tuple[store.Entry, ...]:
    with store.opened(root) as records:
        return records.entries()


def halves(entries: tuple[store.Entry, ...]) -> list[int]:
    """Numbers of writer's entries whose other half, written in the same transaction, is missing."""
    kinds = [e.kind for e in entries if e.kind in ("ride", "inspection")]
    return [n for n, kind in enumerate(kinds) if kind != ("ride", "inspection")[n % 2]] + [0] * (len(kinds) % 2)


def moment(seed: int, longest: float) -> float:
    return random.Random(seed).uniform(0.0, longest)
