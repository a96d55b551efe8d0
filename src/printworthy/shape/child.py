"""Foreign kernels (CAD, meshers) run in a process of their own: they cannot be interrupted, may crash, and print.

Their time is limited in processor seconds, so that the answer does not depend on what else the machine does; a
limit on the clock, many times as long, is there for a kernel that sleeps.
"""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np

Progress = Callable[[str, float], None]
Arrays = dict[str, np.ndarray]
CLOCK = 8  # the clock's limit over the processor's


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
    with tempfile.TemporaryDirectory(prefix="printworthy-") as folder:
        question, answer, words = (Path(folder, n) for n in ("question.npz", "answer.npz", "words.txt"))
        np.savez(question, allow_pickle=False, **{"options": np.array(json.dumps(dict(options))), **arrays})
        command = [sys.executable, "-P", str(Path(__file__).parent / script), str(question), str(answer), str(limit)]
        # One thread for the CAD kernel: idle threads of it wait by spinning, which would be counted as work.
        environment = {**os.environ, "NGS_NUM_THREADS": "1"}
        # In that folder: some kernels leave files where they run.
        with words.open("wb") as out:
            child = subprocess.Popen(
                command, stdin=subprocess.DEVNULL, stdout=out, stderr=out, env=environment, cwd=folder
            )
            try:
                ended = _wait(child, stage, progress, CLOCK * limit)
            finally:
                child.kill()
                child.wait()
        if not ended:
            return f"it did not end within {CLOCK * limit:.0f} s"
        if child.returncode or not answer.exists():
            return _why(child.returncode, words, limit)
        with np.load(answer, allow_pickle=False) as given:
            return {name: given[name] for name in given.files}


def _wait(child: subprocess.Popen[bytes], stage: str, progress: Progress | None, limit: float) -> bool:
    """Whether the child ended in time."""
    start = time.monotonic()
    while (spent := time.monotonic() - start) < limit:
        if progress:
            progress(stage, spent / limit)
        try:
            child.wait(0.2)
        except subprocess.TimeoutExpired:
            continue
        return True
    return False


def _why(code: int, words: Path, limit: float) -> str:
    if code == -getattr(signal, "SIGXCPU", 0) and code:
        return f"it did not end within {limit:.0f} s of processor time"
    if code < 0:
        return f"it was stopped by signal {-code}: a crash, or too little memory"
    text = re.sub(r"\x1b\[[0-9;]*m", "", words.read_text("utf-8", "replace"))
    lines = [line for line in text.strip().splitlines() if line.strip()]
    return " ".join(lines[-1][:150].strip("* ").split()) if lines else f"it ended with code {code}"
