"""Two hundred kills of running verbs, and 160 of bare writers; what it prints stands in docs/reliability.md."""

from __future__ import annotations

import itertools
import json
import subprocess
import sys
import time
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent.parent / "flow"))
sys.path.insert(0, str(Path(__file__).parent.parent / "records"))
import beam
import faults

pytestmark = pytest.mark.bench
WRITERS = 160
SOLVING, KEPT, LOGGING = 90, 30, 80  # kills of assess that computes, of assess that finds its result kept, of log
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


class Killed:
    """Kills of one verb: how many were alive, how many had ended, what was said, what was damaged, how many had
    recorded something before they died."""

    def __init__(self, name: str, root: Path) -> None:
        self.name, self.root = name, root
        self.alive = self.ended = self.damaged = self.recorded = 0
        self.said: list[str] = []

    def once(self, seed: int, longest: float, *words: str) -> None:
        """One run that is killed at a random moment of the time a whole one takes; one that had ended counts apart."""
        before = len(faults.written(self.root))
        alive, said = faults.killed_verb(faults.moment(seed, longest), *words)
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
    whole = takes("assess", str(root))
    again = takes("assess", str(root))
    entry = takes(*LOGGED, str(root))
    solving, kept, logging = (Killed(n, root) for n in ("assess, computing", "assess, result kept", "log"))
    seeds = itertools.count(7000)
    while solving.alive < SOLVING:
        force = 400 + solving.alive + solving.ended  # another input each time: nothing is kept of it yet
        beam.write(root, force=f"{force}, 0, 0 N")
        solving.once(next(seeds), whole, "assess", str(root))
    beam.write(root)
    while kept.alive < KEPT:
        kept.once(next(seeds), again, "assess", str(root))
    while logging.alive < LOGGING:
        logging.once(next(seeds), entry, *LOGGED, str(root))

    entries = faults.written(root)
    said = {text.split()[2].rstrip(":") for text in logging.said if text.endswith("\n") and "Recorded as" in text}
    lost = said - {e.id for e in entries}
    leftover = [p.name for p in root.rglob("*") if p.suffix == ".part" or p.name.startswith(".hut")]
    fresh = beam.write(tmp_path / "fresh")
    (fresh / "parts" / "bar.step").write_bytes((root / "parts" / "bar.step").read_bytes())
    same = []
    for force in (401, 430, 460, 489, 500):  # what killed runs of that input left, and a copy where none was killed
        for at in (root, fresh):
            beam.write(at, force=f"{force}, 0, 0 N")
        same.append(answer(root) == answer(fresh))
    with capsys.disabled():
        print(
            f"\nwhole runs take {whole:.1f}, {again:.1f}, {entry:.1f} s\n{solving}\n{kept}\n{logging}\nrecords "
            f"{len(entries)}, log said {len(said)} of which lost {len(lost)}, aside files left {len(leftover)}, "
            f"answers as those of an untouched copy {sum(same)} of {len(same)}, damage at the end {faults.damage(root)}"
        )
    assert solving.alive + kept.alive + logging.alive == 200
    assert (lost, all(same), faults.damage(root)) == (set(), True, [])
    assert solving.damaged + kept.damaged + logging.damaged == 0
