"""Workers of a run that is killed end with it: nothing computes on for nobody."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

CHILD = """
import os, sys, time
from pathlib import Path
from printworthy.workers import spread

def task(item, tell):
    Path(sys.argv[1], item).write_text(str(os.getpid()))
    time.sleep(600)

if __name__ == "__main__":
    spread(task, ["a", "b"], lambda *words: None, workers=2)
"""
PATIENCE = 120  # [s] far beyond what it takes: only a worker that never ends fails


def test_a_killed_run_leaves_no_worker(tmp_path: Path) -> None:
    script = tmp_path / "run.py"
    script.write_text(CHILD)
    run = subprocess.Popen([sys.executable, str(script), str(tmp_path)])
    marks = [tmp_path / "a", tmp_path / "b"]
    _wait(lambda: all(mark.is_file() and mark.read_text() for mark in marks))
    workers = [int(mark.read_text()) for mark in marks]
    run.send_signal(signal.SIGKILL)
    run.wait()
    _wait(lambda: not any(_alive(pid) for pid in workers))


def _wait(met) -> None:  # type: ignore[no-untyped-def]
    until = time.monotonic() + PATIENCE
    while not met():
        assert time.monotonic() < until
        time.sleep(0.1)


def _alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z" if Path("/proc").is_dir() else True
