"""Run by `child`: loads the CAD kernel once, then forks a process for every script it is asked to run, which so begins
at once and as clean as a new one. Imports nothing of this package.

In: lines of JSON, [script, folder, limit]. Out: the number of the process, and when it has ended its exit code.
"""

from __future__ import annotations

import json
import os
import runpy
import signal
import sys
from contextlib import suppress


def main() -> None:
    """Answer until the parent closes its end or dies."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # ctrl-C is for the parent, which ends what it started
    with suppress(ImportError):  # a script that needs it says so in its own words
        import netgen.occ  # noqa: F401  # what scripts begin with
    for line in sys.stdin:
        script, folder, limit = json.loads(line)
        process = os.fork()
        if not process:
            become(script, folder, limit)
            return
        tell(process)
        tell(os.waitstatus_to_exitcode(os.waitpid(process, 0)[1]))


def tell(number: int) -> None:
    """A line to the parent."""
    os.write(1, b"%d\n" % number)


def become(script: str, folder: str, limit: float) -> None:
    """Run a script in this process as Python itself would, in `folder`, its words going to words.txt there."""
    os.chdir(folder)
    for stream, target in ((0, os.open(os.devnull, os.O_RDONLY)), (1, os.open("words.txt", os.O_WRONLY | os.O_CREAT))):
        os.dup2(target, stream)
    os.dup2(1, 2)
    sys.argv = [script, "question.npz", "answer.npz", str(limit)]
    runpy.run_path(script, run_name="__main__")


if __name__ == "__main__":
    main()
