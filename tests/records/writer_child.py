"""Appends entries as fast as it can and says the number of each one that is written."""

import sys
from pathlib import Path

from printworthy.records import store
from printworthy.records.entries import Draft

root, who, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
for turn in range(count):
    with store.opened(root, write=True) as records:
        done = records.append(
            [
                Draft("ride", who, "bar", str(turn), body={"time [s]": 1.0}, contents={"p": f"{who} {turn}".encode()}),
                Draft("inspection", who, "bar", str(turn), body={"result": "passed"}),
            ]
        )
    sys.stdout.write(" ".join(e.id for e in done) + "\n")
    sys.stdout.flush()
