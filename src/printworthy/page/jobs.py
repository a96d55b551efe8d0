"""Long work in processes of its own: one at a time, in a queue that outlives the page and the process that serves it.

What is finished of a job lies in the cache, part by part; so a job is stopped by ending its process, and one that was
cut off by a crash is simply queued again.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, Literal

from printworthy.page.runs import folder_of
from printworthy.workspace.files import write_whole

State = Literal["waiting", "running", "done", "failed", "stopped"]
SHOWN = 8  # finished jobs that are still listed
ENDED: Mapping[str, Any] = {"failed": "the process that answers has ended"}
PATIENCE = 5.0  # [s] for a process that was told to end


@dataclass(slots=True)
class Work:
    """One job: the parts asked for (none: all), `kept`: only gather what is in the cache; how far it is, by part."""

    id: int
    parts: list[str]
    kept: bool = False
    state: State = "waiting"
    stages: dict[str, tuple[str, float]] = field(default_factory=dict)
    began: float = 0.0
    ended: float = 0.0
    words: str = ""
    notes: list[str] = field(default_factory=list)


class Process:
    """A worker process and a thread that hears what it says. It is started when it is first needed."""

    def __init__(self, folder: Path, hear: Callable[[Mapping[str, Any]], None], gone: Callable[[], None]) -> None:
        self.folder, self.hear, self.gone = folder, hear, gone
        self._child: subprocess.Popen[str] | None = None
        self._lock = threading.Lock()

    def send(self, order: Mapping[str, Any]) -> None:
        """Give an order; start the process where none runs."""
        with self._lock:
            if self._child is None or self._child.poll() is not None:
                self._child = subprocess.Popen(
                    [sys.executable, "-m", "printworthy.page.worker", str(self.folder)],
                    stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8",
                    start_new_session=True,
                )  # fmt: skip
                threading.Thread(target=self._listen, args=(self._child,), daemon=True).start()
            assert self._child.stdin is not None
            self._child.stdin.write(json.dumps(order) + "\n")
            self._child.stdin.flush()

    def end(self) -> None:
        """Stop the process and all it started, and wait until they are gone."""
        with self._lock:
            child, self._child = self._child, None
        if child is None:
            return
        for kind in (signal.SIGTERM, signal.SIGKILL):
            try:
                os.killpg(child.pid, kind)
                child.wait(PATIENCE)
            except ProcessLookupError:
                break
            except subprocess.TimeoutExpired:
                continue
        child.wait()

    def _listen(self, child: subprocess.Popen[str]) -> None:
        assert child.stdout is not None
        for line in child.stdout:
            self.hear(json.loads(line))
        child.wait()
        with self._lock:
            left = self._child is child
        if left:  # it was not we who ended it
            self.gone()


class Jobs:
    """The queue. `changed` is called after every change, from any thread."""

    def __init__(self, folder: Path, changed: Callable[[], None]) -> None:
        self.folder, self.changed = folder, changed
        self.works: list[Work] = []
        self._lock = threading.RLock()
        self._process = Process(folder, self._heard, self._gone)
        self._path = folder_of(folder) / "jobs.json"

    def resume(self) -> None:
        """Read the queue that an earlier process left; what it was cut off in is begun again."""
        try:
            left = [Work(**w) for w in json.loads(self._path.read_text(encoding="utf-8"))]
        except (FileNotFoundError, json.JSONDecodeError, TypeError):
            left = []
        with self._lock:
            self.works = left
            for work in left:
                if work.state == "running":
                    work.state, work.stages = "waiting", {}
                    work.notes.append("cut off, taken up again; parts that were finished are kept")
            self._advance()

    def add(self, parts: list[str], *, kept: bool = False) -> int:
        """Queue a job; one that waits already for the same is not queued twice. Returns its number."""
        with self._lock:
            same = [w for w in self.works if w.state == "waiting" and (w.parts, w.kept) == (parts, kept)]
            if same:
                return same[0].id
            number = max((w.id for w in self.works), default=0) + 1
            self.works.append(Work(number, parts, kept))
            self._advance()
            return number

    def stop(self, number: int) -> None:
        """Stop a job that waits or runs; what is finished of it is kept."""
        with self._lock:
            work = next((w for w in self.works if w.id == number and w.state in ("waiting", "running")), None)
            if work is None:
                return
            running = work.state == "running"
            self._finish(work, "stopped", "stopped; parts that were finished are kept")
        if running:
            self._process.end()
        with self._lock:
            self._advance()

    def close(self) -> None:
        """End the process; a job that runs is marked stopped."""
        with self._lock:
            for work in self.works:
                if work.state == "running":
                    self._finish(work, "stopped", "stopped with the page; parts that were finished are kept")
            self._keep()
        self._process.end()

    def shown(self) -> list[dict[str, Any]]:
        """The jobs as plain data, the newest last."""
        with self._lock:
            now = time.time()
            return [
                asdict(w) | {"seconds": (w.ended or now) - w.began if w.began else 0.0}
                for w in self.works[-SHOWN:]
            ]  # fmt: skip

    @property
    def running(self) -> bool:
        """Whether anything runs or waits."""
        with self._lock:
            return any(w.state in ("waiting", "running") for w in self.works)

    def _advance(self) -> None:
        """Begin the next job if none runs."""
        if not any(w.state == "running" for w in self.works):
            work = next((w for w in self.works if w.state == "waiting"), None)
            if work is not None:
                work.state, work.began = "running", time.time()
                self._process.send({"do": "assess", "id": work.id, "parts": work.parts, "kept": work.kept})
        self._keep()
        self.changed()

    def _heard(self, said: Mapping[str, Any]) -> None:
        with self._lock:
            work = next((w for w in self.works if w.id == said["id"] and w.state == "running"), None)
            if work is None:
                return
            if "done" in said:
                self._finish(work, "done", said["done"]["words"])
                self._advance()
            elif "failed" in said:
                self._finish(work, "failed", said["failed"])
                self._advance()
            elif "note" in said:
                work.notes.append(said["note"])
            else:
                work.stages[said["part"]] = (said["stage"], float(said["share"]))
        self.changed()

    def _gone(self) -> None:
        with self._lock:
            for work in self.works:
                if work.state == "running":
                    self._finish(work, "failed", "its process ended unexpectedly; parts that were finished are kept")
            self._advance()

    def _finish(self, work: Work, state: State, words: str) -> None:
        work.state, work.words, work.ended = state, words, time.time()
        self.works = [w for w in self.works if w.state in ("waiting", "running")] + [
            w for w in self.works if w.state not in ("waiting", "running")
        ][-SHOWN:]
        self.works.sort(key=lambda w: w.id)

    def _keep(self) -> None:
        self._path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(self._path, json.dumps([asdict(w) for w in self.works]).encode())


class Answers:
    """A second worker for short questions, so that they need not wait for a job. Of several questions of one kind that
    wait for an answer, only the newest is put."""

    def __init__(self, folder: Path) -> None:
        self._process = Process(folder, self._heard, self._gone)
        self._lock = threading.Condition()
        self._number = 0
        self._open: int | None = None
        self._said: Mapping[str, Any] = {}
        self._newest: dict[str, int] = {}
        self._closed = False

    def ask(self, verb: str, kind: str = "", **order: Any) -> Mapping[str, Any] | None:
        """The answer to `verb`, or None if a newer question of this `kind` (the verb, where none is named) came
        meanwhile. Blocks; call it in a thread."""
        kind = kind or verb
        with self._lock:
            self._number += 1
            number = self._newest[kind] = self._number
            self._lock.notify_all()  # older ones give up at once: a browser keeps no more than six requests open
            while self._open is not None:
                self._lock.wait()
                if self._newest[kind] != number:
                    return None
            if self._closed:
                return ENDED
            self._open, self._said = number, {}
        try:
            self._process.send({"do": verb, "id": number, **order})
            with self._lock:
                while not self._said:
                    self._lock.wait()
                return self._said
        finally:
            with self._lock:
                self._open = None
                self._lock.notify_all()

    def close(self) -> None:
        """End the process for good; whoever waits gets an answer that says so."""
        with self._lock:
            self._closed = True
        self._process.end()
        self._gone()

    def _heard(self, said: Mapping[str, Any]) -> None:
        with self._lock:
            if said["id"] == self._open:
                self._said = said
                self._lock.notify_all()

    def _gone(self) -> None:
        with self._lock:
            self._said = ENDED
            self._lock.notify_all()
