"""Foreign kernels (CAD, meshers) run in a process of their own: they cannot be interrupted, may crash, and print.

Their time is limited in processor seconds, so that the answer does not depend on what else the machine does; a
limit on the clock, many times as long, is there for a kernel that sleeps.
"""

from __future__ import annotations

import atexit
import json
import os
import re
import select
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import numpy as np

Progress = Callable[[str, float], None]
Arrays = dict[str, np.ndarray]
CLOCK = 8  # the clock's limit over the processor's
BEAT = 0.2  # [s] between looks at a child
_idle: list[Nursery] = []  # those that wait for the next script; as many as were ever busy at once


def run(
    script: str,
    options: Mapping[str, Any],
    arrays: Mapping[str, np.ndarray],
    *,
    limit: float,
    stage: str,
    progress: Progress | None = None,
) -> Arrays | str:
    """Arrays that a script beside this file answers with, or in words why there are none.

    `limit` [s] of processor time. `progress(stage, share of the clock's limit)` is called while waiting; what it raises
    ends the child and goes on up.
    """
    # In a folder of its own: some kernels leave files where they run.
    with tempfile.TemporaryDirectory(prefix="printworthy-") as folder, _nursery() as nursery:
        question, answer, words = (Path(folder, n) for n in ("question.npz", "answer.npz", "words.txt"))
        np.savez(question, allow_pickle=False, **{"options": np.array(json.dumps(dict(options))), **arrays})
        nursery.begin(Path(__file__).parent / script, folder, limit)
        try:
            code = _waited(nursery, stage, progress, CLOCK * limit)
        finally:
            nursery.kill()
        if code is None:
            return f"it did not end within {CLOCK * limit:.0f} s"
        if code or not answer.exists():
            return _why(code, words, limit)
        with np.load(answer, allow_pickle=False) as given:
            return {name: given[name] for name in given.files}


class Nursery:
    """A process that has the kernel loaded and forks for every script; one at a time."""

    def __init__(self) -> None:
        # One thread for the CAD kernel: idle threads of it wait by spinning, which would be counted as work.
        one = dict.fromkeys(("NGS_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1")
        command = [sys.executable, "-P", str(Path(__file__).parent / "nursery.py")]
        self.process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, bufsize=0, env={**os.environ, **one}
        )
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.asked, self.told, self.child = self.process.stdin, self.process.stdout, 0

    def begin(self, script: Path, folder: str, limit: float) -> None:
        """Start a script."""
        with suppress(BrokenPipeError):  # it was killed: `ended` tells
            self.asked.write(json.dumps([str(script), folder, limit]).encode() + b"\n")
            self.child = int(self.told.readline() or 0)

    def ended(self, seconds: float) -> int | None:
        """The exit code of the script, or None if it still runs after so many seconds."""
        if self.child and not select.select([self.told], [], [], seconds)[0]:
            return None
        line = self.told.readline() if self.child else b""
        self.child = 0
        return int(line) if line else self.process.wait()

    def kill(self) -> None:
        """End the script if it runs."""
        if self.child:
            with suppress(ProcessLookupError):
                os.kill(self.child, signal.SIGKILL)
            self.ended(CLOCK)

    def close(self) -> None:
        """End the process."""
        self.asked.close()
        self.told.close()
        self.process.wait()


@contextmanager
def _nursery() -> Iterator[Nursery]:
    """One that waits, or a new one; it waits again afterwards."""
    found = None
    with suppress(IndexError):  # another thread may take the last one
        found = _idle.pop()
    if found is not None and found.process.poll() is not None:
        found.close()
        found = None
    found = found or Nursery()
    try:
        yield found
    finally:
        if found.process.poll() is None:
            _idle.append(found)
        else:
            found.close()


@atexit.register
def _close() -> None:
    while _idle:
        _idle.pop().close()


def _waited(nursery: Nursery, stage: str, progress: Progress | None, limit: float) -> int | None:
    """The exit code of the script under way; None if it did not end in time."""
    start = time.monotonic()
    while (spent := time.monotonic() - start) < limit:
        if progress:
            progress(stage, spent / limit)
        if (code := nursery.ended(BEAT)) is not None:
            return code
    return None


def _why(code: int, words: Path, limit: float) -> str:
    if code == -getattr(signal, "SIGXCPU", 0) and code:
        return f"it did not end within {limit:.0f} s of processor time"
    if code < 0:
        return f"it was stopped by signal {-code}: a crash, or too little memory"
    text = re.sub(r"\x1b\[[0-9;]*m", "", words.read_text("utf-8", "replace"))
    lines = [line for line in text.strip().splitlines() if line.strip()]
    return " ".join(lines[-1][:150].strip("* ").split()) if lines else f"it ended with code {code}"
