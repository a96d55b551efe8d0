"""Two hundred kills of real processes; what it prints stands in docs/reliability.md."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent.parent / "flow"))
sys.path.insert(0, str(Path(__file__).parent.parent / "records"))
import beam
import faults

pytestmark = pytest.mark.bench
WRITERS, ASSESSMENTS = 160, 40
WINDOW = 14.0  # [s] in which an assessment of the bar imports, meshes, solves, keeps, records and draws


def answer(root: Path) -> dict[str, object]:
    """What a whole assessment answers, without times."""
    words = [sys.executable, "-m", "printworthy", "assess", str(root), "--json"]
    part = json.loads(subprocess.run(words, capture_output=True, text=True, check=False).stdout)["parts"][0]
    return {k: v for k, v in part.items() if k not in ("seconds", "key")}


def test_two_hundred_kills(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said: set[str] = set()
    damaged = 0
    for seed in range(WRITERS):
        said |= faults.killed_writer(tmp_path, faults.moment(9000 + seed, 0.4), f"writer {seed}")
        damaged += bool(faults.damage(tmp_path))
    entries = faults.written(tmp_path)
    lost = said - {e.id for e in entries}
    halves = faults.halves(entries)
    unsaid = len(entries) - len(said)

    root = beam.write(tmp_path / "cart")
    killed = sum(faults.killed_assess(root, faults.moment(7000 + seed, WINDOW)) for seed in range(ASSESSMENTS))
    leftover = [p.name for p in root.rglob("*") if p.suffix == ".part" or p.name.startswith(".hut")]
    after = answer(root)
    broken = faults.damage(root)
    fresh = beam.write(tmp_path / "fresh")
    (fresh / "parts" / "bar.step").write_bytes((root / "parts" / "bar.step").read_bytes())
    same = after == answer(fresh)
    with capsys.disabled():
        print(
            f"\nwriters killed {WRITERS}, entries {len(entries)}, said {len(said)}, lost {len(lost)}, halves "
            f"{len(halves)}, written and not yet said {unsaid}, damaged {damaged}\nassess killed {killed} of "
            f"{ASSESSMENTS}, records {len(faults.written(root))}, damaged {len(broken)}, aside files left "
            f"{len(leftover)}, answer as that of an untouched copy: {same}"
        )
    assert (lost, halves, damaged, broken, same) == (set(), [], 0, [], True)
