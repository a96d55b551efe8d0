"""Archives that come back whole or are refused, results as tables, two revisions side by side. All data are made up."""

from __future__ import annotations

import csv
import json
import os
import sys
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from pyarrow import parquet

sys.path.insert(0, str(Path(__file__).parent.parent / "dossier"))
import synthetic

from printworthy import flow
from printworthy.answers import OUTCOME
from printworthy.dossier.page import lay_out
from printworthy.dossier.revisions import compared
from printworthy.errors import TextError
from printworthy.records import archive, keeping, rows, store, verify
from printworthy.records.entries import Draft, Input
from printworthy.results import Refusal
from printworthy.workspace.cache import Cache


def quiet(part: str, stage: str, share: float) -> None: ...


@pytest.fixture
def packed(metal: Path, tmp_path: Path) -> Path:
    job = flow.read(metal)
    done, _ = flow.assess(job, Cache(metal / ".cache"), quiet)
    keeping.keep(done, job, "Ann")
    (metal / "dossier").mkdir()
    (metal / "dossier" / "old.html").write_text("left out")
    archive.export(metal, tmp_path / "cart.zip")
    return tmp_path / "cart.zip"


def test_a_workspace_comes_back_with_its_records_and_nothing_else(packed: Path, metal: Path, tmp_path: Path) -> None:
    back = tmp_path / "back"
    count = archive.unpack(packed, back)
    files = {p.relative_to(back).as_posix() for p in back.rglob("*") if p.is_file()}
    assert files == {"vehicle.toml", "parts/bar.toml", "parts/bar.step", store.FILE}
    assert count == len(files)
    with store.opened(metal) as old, store.opened(back) as new:
        assert new.entries() == old.entries()
        assert list(verify.verify(new, flow.read(back), back / ".cache")) == []
    assert not [p for p in tmp_path.iterdir() if p.name.startswith(".")]


def test_the_same_files_give_the_same_archive(metal: Path, tmp_path: Path) -> None:
    for name in ("a.zip", "b.zip"):
        archive.export(metal, tmp_path / name)
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()


def _rewritten(path: Path, change: dict[str, bytes | None]) -> None:
    with zipfile.ZipFile(path) as old:
        held = {name: old.read(name) for name in old.namelist()}
    held.update({k: v for k, v in change.items() if v is not None})
    with zipfile.ZipFile(path, "w") as new:
        for name, data in held.items():
            if change.get(name, b"") is not None:
                new.writestr(name, data)


@pytest.mark.parametrize(
    ("change", "what"),
    [
        ({"parts/bar.toml": b"changed"}, "is not what was exported"),
        ({"parts/bar.toml": None}, "does not hold what it lists"),
        ({"parts/more.toml": b"added"}, "does not hold what it lists"),
        ({"MANIFEST.json": None}, "no list of hashes"),
        ({"MANIFEST.json": b"[]"}, "no list of hashes"),
    ],
)
def test_an_archive_that_was_changed_is_refused_and_nothing_is_left(
    packed: Path, tmp_path: Path, change: dict[str, bytes | None], what: str
) -> None:
    _rewritten(packed, change)
    with pytest.raises(TextError, match=what):
        archive.unpack(packed, tmp_path / "back")
    assert not (tmp_path / "back").exists()
    assert not [p for p in tmp_path.iterdir() if p.name.startswith(".")]


@pytest.mark.parametrize("name", ["../out.txt", "/out.txt", "a/../../out.txt", ".cache/x.result"])
def test_an_archive_writes_nothing_outside_its_folder(tmp_path: Path, name: str) -> None:
    import hashlib

    path = tmp_path / "evil.zip"
    with zipfile.ZipFile(path, "w") as made:
        made.writestr(name, b"x")
        listed = {"format": archive.FORMAT, "sha256": {name: hashlib.sha256(b"x").hexdigest()}}
        made.writestr(archive.MANIFEST, json.dumps(listed))
    with pytest.raises(TextError, match="outside a workspace"):
        archive.unpack(path, tmp_path / "back")
    assert not (tmp_path / "out.txt").exists()


def test_a_torn_archive_is_a_line(packed: Path, tmp_path: Path) -> None:
    packed.write_bytes(packed.read_bytes()[:-200])
    with pytest.raises(TextError, match="no sound archive"):
        archive.unpack(packed, tmp_path / "back")


def test_what_is_there_is_not_written_over(packed: Path, metal: Path) -> None:
    with pytest.raises(TextError, match="holds something already"):
        archive.unpack(packed, metal)


def test_a_link_out_of_the_workspace_is_not_packed(metal: Path, tmp_path: Path) -> None:
    (tmp_path / "secret").write_text("not of this workspace")
    os.symlink(tmp_path / "secret", metal / "parts" / "link.stl")
    with pytest.raises(TextError, match="leads out of the workspace"):
        archive.export(metal, tmp_path / "cart.zip")
    assert not (tmp_path / "cart.zip").exists()


@pytest.fixture
def recorded(tmp_path: Path) -> Path:
    """Two assessments of a part, the second of another load, and a refusal."""
    first = synthetic.assessment().parts[0]
    heavier = replace(first, options=tuple(
        replace(o, result=replace(o.result, cases=tuple(c.times(1.5) for c in o.result.cases))) for o in first.options
    ))  # fmt: skip
    refused = Refusal("axle", "Axle", "axle", "do not print", "stays metal")
    with store.opened(tmp_path, write=True) as records:
        for outcome, load in ((first, "a"), (heavier, "b"), (refused, "a")):
            inputs = (Input("load cases", load * 64), Input("rules", "c" * 64))
            body = {"version": "0.1.0"}
            contents = {"result": OUTCOME.dump_json(outcome)}
            records.append([Draft("assessment", "Ann", outcome.part, body=body, inputs=inputs, contents=contents)])
    return tmp_path


def test_results_as_tables_hold_every_case_of_the_newest(recorded: Path) -> None:
    part = synthetic.assessment().parts[0]
    expected = sum(len(o.result.cases) for o in part.options) + 1
    with store.opened(recorded) as records:
        for name in ("r.csv", "r.parquet"):
            assert rows.write(records, recorded / name) == expected
        with pytest.raises(TextError, match="no ending"):
            rows.write(records, recorded / "r.xls")
    with (recorded / "r.csv").open(newline="") as file:
        told = list(csv.DictReader(file))
    kept = parquet.read_table(recorded / "r.parquet").to_pylist()
    assert [r["part"] for r in told] == [r["part"] for r in kept]
    case = part.options[0].result.cases[0]
    assert float(told[0]["utilisation"]) == kept[0]["utilisation"] == 1.5 * case.utilisation
    assert kept[0]["stress_33_MPa"] == 1.5 * case.stress[2]
    assert sum(r["answers"] is True for r in kept) == len(part.option.result.cases)
    assert kept[-1]["word"] == "do not print"


def test_two_revisions_show_what_differs_and_why(recorded: Path) -> None:
    with store.opened(recorded) as records:
        a, b, refused = records.entries()
        old, new, stop = (OUTCOME.validate_json(records.content(e.contents["result"])) for e in (a, b, refused))
    document = compared(a, b, old, new)
    figures = document.sections[0].blocks[0]
    differs = {row.cells[0].text for row in figures.rows if row.chosen}
    assert {"utilisation", "largest movement"} <= differs
    assert "mass" not in differs
    assert [row.cells[0].text for row in document.sections[2].blocks[0].rows] == ["load cases"]
    page = lay_out(document, "the records")
    assert a.id in page
    assert b.id in page
    against = compared(a, refused, old, stop)
    assert any(row.cells[2].text == "do not print" for row in against.sections[0].blocks[0].rows)
