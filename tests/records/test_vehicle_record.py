"""The vehicle's own result is recorded, signed and goes stale as parts do. Everything is made up."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from printworthy import flow
from printworthy.errors import TextError
from printworthy.inputs import Job
from printworthy.page import worker
from printworthy.records import keeping, standing, store, verify
from printworthy.records.entries import WHOLE
from printworthy.workspace.cache import Cache


def quiet(part: str, stage: str, share: float) -> None: ...


def assessed(root: Path, only: tuple[str, ...] = ()) -> Job:
    job = flow.read(root)
    keeping.keep(flow.assess(job, Cache(root / ".cache"), quiet, only)[0], job, "Ann")
    return job


def test_the_vehicle_is_recorded_with_the_hash_of_every_part(metal: Path) -> None:
    job = assessed(metal)
    with store.opened(metal) as records:
        entry = records.entries("vehicle")[0]
        kept = json.loads(records.content(entry.contents["result"]))
    assert (entry.part, entry.body["parts"], entry.body["do not print"]) == (WHOLE, 1, 1)
    assert {i.name for i in entry.inputs} >= {"vehicle.toml", "rules", "part bar"}
    assert next(i.content for i in entry.inputs if i.name == "part bar") == keeping._key(job, job.parts[0])
    assert kept["title"] == entry.body["title"]


@pytest.mark.parametrize(
    ("file", "old", "new", "named"),
    [
        ("parts/bar.toml", "500, 0, 0 N", "510, 0, 0 N", ("part bar",)),
        ("parts/bar.step", "80.", "81.", ("part bar",)),
        ("vehicle.toml", "30 degC", "31 degC", ("vehicle.toml", "part bar")),
    ],
)
def test_a_changed_input_makes_the_signed_vehicle_stale(
    metal: Path, file: str, old: str, new: str, named: tuple[str, ...]
) -> None:
    job = assessed(metal)
    with store.opened(metal, write=True) as records:
        standing.sign(records, WHOLE, "Ann", "for the hut", keeping.vehicle_inputs(job))
        assert standing.standing(WHOLE, records.entries(), keeping.vehicle_inputs(job)).state == "signed"
    (metal / file).write_text((metal / file).read_text().replace(old, new))
    with store.opened(metal) as records:
        found = standing.standing(WHOLE, records.entries(), keeping.vehicle_inputs(flow.read(metal)))
        words = [f.words for f in verify.verify(records, flow.read(metal), metal / ".cache")]
    assert (found.state, set(found.changed)) == ("stale", set(named))
    assert any(w.startswith("the vehicle: stale by Ann") and "no longer holds" in w for w in words)


def test_signing_a_part_does_not_sign_the_vehicle(metal: Path) -> None:
    job = assessed(metal)
    with store.opened(metal, write=True) as records:
        standing.sign(records, "bar", "Ann", "", keeping.inputs_of(job, job.parts[0]))
        assert standing.standing(WHOLE, records.entries(), None).state == "not signed"
        with pytest.raises(TextError, match="the vehicle has no signature"):
            standing.revoke(records, WHOLE, "Ann", "why not")


def test_some_parts_alone_are_no_vehicle(metal: Path) -> None:
    text = (metal / "parts" / "bar.toml").read_text().replace('name = "bar"', 'name = "rod"')
    (metal / "parts" / "rod.toml").write_text(text)
    assessed(metal, ("bar",))
    with store.opened(metal) as records:
        assert [e.kind for e in records.entries()] == ["assessment"]


def test_the_page_records_what_it_assesses(metal: Path) -> None:
    said: list[object] = []
    bench = worker.Bench(metal, said.append)
    bench.assess({"id": 1, "parts": []})
    bench.assess({"id": 2, "parts": [], "kept": True})  # only gathers what was computed before
    with store.opened(metal) as records:
        assert [(e.kind, e.part) for e in records.entries()] == [("assessment", "bar"), ("vehicle", WHOLE)]
        entry = records.entries("vehicle")[0]
    assert said == []
    assert entry.id in next((metal / "dossier").glob("*.html")).read_text("utf-8")


def test_a_vehicle_whose_duties_name_logs_is_hashed_from_any_folder(
    shipped_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert any(e.duty and e.duty.log for e in shipped_job.vehicle.events)
    monkeypatch.chdir(tmp_path)
    assert keeping.MISSING not in [i.content for i in keeping.vehicle_inputs(shipped_job)[:3]]
