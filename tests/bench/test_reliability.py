"""Two hundred kills of running verbs, and 160 of bare writers; what it prints stands in docs/reliability.md."""

from __future__ import annotations

import itertools
import json
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent.parent / "flow"))
sys.path.insert(0, str(Path(__file__).parent.parent / "records"))
import beam
import faults

from printworthy.records import store

pytestmark = pytest.mark.bench
WRITERS = 160
WIDER = 1.3  # of the time a whole run takes, so that late moments are met on a busy machine too
# Kills of assess that computes: at any moment, while it keeps a result, while it records; of assess that finds its
# result kept, at any moment; of log, at any moment and while it records. Two hundred in all.
COMPUTING, KEEPING, RECORDING, KEPT, LOGGING, LOG_RECORDING = 30, 25, 35, 25, 25, 60
LOGGED = ("log", "ride", "bar/1", "time=1 h", "--as", "Ann", "--in")


def answer(root: Path) -> dict[str, object]:
    """What a whole assessment answers, without times."""
    words = [sys.executable, "-m", "printworthy", "assess", str(root), "--json"]
    part = json.loads(subprocess.run(words, capture_output=True, text=True, check=False).stdout)["parts"][0]
    return {k: v for k, v in part.items() if k not in ("seconds", "key")}


def takes(*words: str) -> float:
    """How long a verb takes that nobody kills [s]."""
    began = time.monotonic()
    subprocess.run([sys.executable, "-m", "printworthy", *words], capture_output=True, check=False)
    return time.monotonic() - began


@dataclass
class Killed:
    """Kills of one verb in one way: how many were alive, how many had ended, what was said, after how many something
    was damaged, how many had recorded something before they died."""

    name: str
    root: Path
    longest: float  # [s] from the start, or from `once`
    once: tuple[Path, str] | None = None
    alive: int = 0
    ended: int = 0
    damaged: int = 0
    recorded: int = 0
    said: list[str] = field(default_factory=list)

    def kill(self, seed: int, *words: str) -> None:
        """One run, killed at a random moment; one that had ended counts apart."""
        before = len(faults.written(self.root))
        alive, said = faults.killed_verb(faults.moment(seed, self.longest), *words, once=self.once)
        self.said.append(said)
        self.damaged += bool(faults.damage(self.root))
        self.alive, self.ended = self.alive + alive, self.ended + (not alive)
        self.recorded += alive and len(faults.written(self.root)) > before

    def __str__(self) -> str:
        return (f"{self.name}: killed alive {self.alive}, ended before {self.ended}, of the killed had recorded "
                f"{self.recorded}, damage after a kill {self.damaged}")  # fmt: skip


def test_kills_of_bare_writers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said: set[str] = set()
    damaged = 0
    for seed in range(WRITERS):
        said |= faults.killed_writer(tmp_path, faults.moment(9000 + seed, 0.4), f"writer {seed}")
        damaged += bool(faults.damage(tmp_path))
    entries = faults.written(tmp_path)
    lost = said - {e.id for e in entries}
    halves = faults.halves(entries)
    with capsys.disabled():
        print(
            f"\nwriters killed {WRITERS}, entries {len(entries)}, said {len(said)}, lost {len(lost)}, halves "
            f"{len(halves)}, written and not yet said {len(entries) - len(said)}, damaged {damaged}"
        )
    assert (lost, halves, damaged) == (set(), [], 0)


def test_two_hundred_kills_of_running_verbs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = beam.write(tmp_path / "cart")
    takes("assess", str(root))  # whatever is warmed up once
    beam.write(root, force="399, 0, 0 N")
    whole, again, entry = takes("assess", str(root)), takes("assess", str(root)), takes(*LOGGED, str(root))
    log_file, half = (root, f"{store.FILE}-wal"), (root / ".cache", "*.part")
    solving = (
        (COMPUTING, Killed("assess, computing", root, WIDER * whole)),
        (KEEPING, Killed("assess, from when it keeps a result", root, 0.1, half)),
        (RECORDING, Killed("assess, from when it records", root, 0.3, log_file)),
    )
    kept = Killed("assess, result kept", root, WIDER * again)
    logging = (
        (LOGGING, Killed("log", root, WIDER * entry)),
        (LOG_RECORDING, Killed("log, from when it records", root, 0.15, log_file)),
    )
    seeds, forces = itertools.count(7000), itertools.count(400)
    for wanted, one in solving:
        while one.alive < wanted:
            beam.write(root, force=f"{next(forces)}, 0, 0 N")  # another input each time: nothing is kept of it yet
            one.kill(next(seeds), "assess", str(root))
    beam.write(root, force="399, 0, 0 N")
    while kept.alive < KEPT:
        kept.kill(next(seeds), "assess", str(root))
    for wanted, one in logging:
        while one.alive < wanted:
            one.kill(next(seeds), *LOGGED, str(root))

    every = [k for _, k in solving] + [kept] + [k for _, k in logging]
    entries = faults.written(root)
    said = {text.split()[2].rstrip(":") for _, k in logging for text in k.said if text.endswith("\n")}
    lost = said - {e.id for e in entries}
    assessed = [e.kind for e in entries if e.kind != "ride"]  # a part and the vehicle, written in one transaction
    halves = len(assessed) % 2 + sum(kind != ("assessment", "vehicle")[n % 2] for n, kind in enumerate(assessed))
    leftover = [p.name for p in root.rglob("*") if p.suffix == ".part" or p.name.startswith((".bar", ".test"))]
    fresh = beam.write(tmp_path / "fresh")
    (fresh / "parts" / "bar.step").write_bytes((root / "parts" / "bar.step").read_bytes())
    same = []
    for force in (399, 400, 435, 450, next(forces) - 1):  # what killed runs of that input left, and an untouched copy
        for at in (root, fresh):
            beam.write(at, force=f"{force}, 0, 0 N")
        same.append(answer(root) == answer(fresh))
    with capsys.disabled():
        print(f"\nwhole runs take {whole:.1f}, {again:.1f}, {entry:.1f} s", *every, sep="\n")
        print(
            f"killed alive {sum(k.alive for k in every)}, records {len(entries)}, log said {len(said)} of which lost "
            f"{len(lost)}, half transactions {halves}, aside files left {len(leftover)}, answers as those of an "
            f"untouched copy {sum(same)} of {len(same)}, damage at the end {faults.damage(root)}"
        )
    assert sum(k.alive for k in every) == 200
    assert (lost, halves, all(same), faults.damage(root)) == (set(), 0, True, [])
    assert sum(k.damaged for k in every) == 0
