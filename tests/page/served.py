"""The page in a process of its own, and what it leaves running."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

SLOW = 180_000  # [ms] for what is computed on a busy machine: a time limit ends a hang, it decides nothing


@dataclass
class Server:
    """The page in a process of its own."""

    folder: Path
    port: int = 0
    process: subprocess.Popen[str] | None = None
    address: str = ""
    environment: dict[str, str] = field(default_factory=lambda: {**os.environ, "NGS_NUM_THREADS": "1"})

    def start(self) -> Server:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "printworthy", "serve", str(self.folder), "--port", str(self.port)],
            stdout=subprocess.PIPE, text=True, env=self.environment, start_new_session=True,
        )  # fmt: skip
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if found := re.search(r"http://127\.0\.0\.1:(\d+)/\?token=\S+", line):
                self.address, self.port = found[0], int(found[1])
                return self
        raise AssertionError("the page did not start")

    @property
    def base(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def token(self) -> str:
        return self.address.split("token=")[1]

    def stop(self, kind: int = signal.SIGTERM) -> int:
        assert self.process is not None
        self.process.send_signal(kind)
        code = self.process.wait(SLOW / 1000)
        assert self.process.stdout is not None
        self.process.stdout.close()
        return code


def wait_for(true: Callable[[], object], seconds: float = SLOW / 1000) -> None:
    """Wait until something is so."""
    until = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < until
        time.sleep(0.1)


def workers_of(folder: Path) -> list[int]:
    """Process numbers of all workers that compute for a folder, and of what they started."""
    found = []
    for entry in Path("/proc").glob("[0-9]*"):
        try:
            words = (entry / "cmdline").read_bytes().split(b"\0")
        except OSError:
            continue
        if b"printworthy.page.worker" in words and str(folder).encode() in words:
            found.append(int(entry.name))
    return found
