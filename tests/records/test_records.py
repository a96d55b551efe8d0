"""Records: only added, sealed in their order, signatures that go stale and say why. All entries are made up."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from printworthy import flow
from printworthy.answers import depends_on, part_key
from printworthy.errors import NotComputed, TextError
from printworthy.inputs import Job
from printworthy.records import forms, keeping, migrations, standing, store, verify
from printworthy.records.entries import Draft
from printworthy.workspace.cache import Cache

RIDE = Draft("ride", "Ann", "bar", "7", body={"time [s]": 3600.0})


def quiet(part: str, stage: str, share: float) -> None: ...


def assessed(root: Path) -> Job:
    job = flow.read(root)
    done, _ = flow.assess(job, Cache(root / ".cache"), quiet)
    keeping.keep(done, job, "Ann")
    return job


def test_entries_come_back_as_they_were_written(tmp_path: Path) -> None:
    with store.opened(tmp_path, write=True) as records:
        written = records.append([RIDE, Draft("inspection", "Bo", "bar", "7", contents={"a.jpg": b"light"})])
    with store.opened(tmp_path) as records:
        assert records.entries() == written
        assert records.entries("inspection") == written[1:]
        assert records.content(written[1].contents["a.jpg"]) == b"light"
        assert records.find(written[0].id) == written[0]
        assert records.pragma("journal_mode") == [("wal",)]
        assert records.pragma("foreign_keys") == [(1,)]
    assert [e.number for e in written] == [1, 2]


def test_all_or_none(tmp_path: Path) -> None:
    with store.opened(tmp_path, write=True) as records:
        with pytest.raises(NotComputed, match="FOREIGN KEY"):
            records.append([RIDE, Draft("correction", "Ann", refers="no such id")])
        assert records.entries() == ()


@pytest.mark.parametrize("words", ["UPDATE entries SET who = 'x'", "DELETE FROM entries", "DELETE FROM kept"])
def test_rows_are_only_added(tmp_path: Path, words: str) -> None:
    with store.opened(tmp_path, write=True) as records:
        records.append([Draft("ride", "Ann", "bar", contents={"p": b"p"})])
    with sqlite3.connect(tmp_path / store.FILE) as connection, pytest.raises(sqlite3.IntegrityError, match="only ever"):
        connection.execute(words)
    connection.close()


def test_a_correction_leaves_the_old_row(tmp_path: Path) -> None:
    with store.opened(tmp_path, write=True) as records:
        first = records.append([forms.draft("ride", "bar", "7", "Ann", ["time=3 h", "damage=none"])])[0]
        records.append([forms.correction(first, "Bo", ["time=2 h"])])
        every = records.entries()
        assert every[0] == first
        assert forms.corrected(every)[first.id] == {"time [s]": 7200.0, "damage": "none"}
        records.append([forms.correction(first, "Bo", ["withdrawn=another bike"])])
        assert forms.corrected(records.entries()) == {}


@pytest.mark.parametrize(
    ("pairs", "what"),
    [
        (["time=3"], "unit"),
        (["tme=3 h"], "not understood"),
        (["photo=no-such.jpg"], "cannot be read"),
    ],
)
def test_what_a_person_mistypes_is_refused(pairs: list[str], what: str) -> None:
    with pytest.raises(TextError, match=what):
        forms.draft("ride", "bar", "7", "Ann", pairs)


def test_a_proof_test_needs_its_figures() -> None:
    with pytest.raises(TextError, match="case, noise, result must be stated"):
        forms.draft("proof", "bar", "7", "Ann", ["hold=60 s"])


def test_every_assessment_is_recorded_with_all_its_inputs(metal: Path) -> None:
    job = assessed(metal)
    with store.opened(metal) as records:
        entry = records.entries()[0]
        assert b"stays metal" in records.content(entry.contents["result"])
    assert (entry.kind, entry.part, entry.who, entry.body["word"]) == ("assessment", "bar", "Ann", "do not print")
    assert {i.name for i in entry.inputs} == set(depends_on(job, job.parts[0]))
    assert entry.body["key"] == part_key(job, job.parts[0])
    files = {i.name: i.file for i in entry.inputs if i.file}
    assert {"vehicle.toml", "parts/bar.toml", "parts/bar.step"} <= set(files)


@pytest.mark.parametrize(
    ("file", "old", "new", "named"),
    [
        ("parts/bar.toml", "500, 0, 0 N", "510, 0, 0 N", "load cases (vehicle, part, logs)"),
        ("parts/bar.toml", 'element_size = "6 mm"', 'element_size = "5 mm"', "parts/bar.toml"),
        ("vehicle.toml", "30 degC", "31 degC", "vehicle.toml"),
        ("parts/bar.step", "80.", "81.", "parts/bar.step"),
    ],
)
def test_a_changed_input_makes_a_signature_stale_and_is_named(
    metal: Path, file: str, old: str, new: str, named: str
) -> None:
    job = assessed(metal)
    with store.opened(metal, write=True) as records:
        standing.sign(records, "bar", "Ann", "for tests", keeping.inputs_of(job, job.parts[0]))
        found = standing.standing("bar", records.entries(), keeping.inputs_of(job, job.parts[0]))
        assert (found.state, found.changed) == ("signed", ())
        text = (metal / file).read_text()
        assert old in text
        (metal / file).write_text(text.replace(old, new))
        now = flow.read(metal)
        inputs = keeping.inputs_of(now, now.parts[0])
        found = standing.standing("bar", records.entries(), inputs)
        assert found.state == "stale"
        assert named in found.changed
        with pytest.raises(TextError, match="its inputs have changed"):
            standing.sign(records, "bar", "Ann", "", inputs)
        remarks = [f.words for f in verify.verify(records, now, metal / ".cache")]
        assert any("no longer holds" in words and named in words for words in remarks)
    assessed(metal)  # the new answer does not revive the old signature
    with store.opened(metal) as records:
        assert standing.standing("bar", records.entries(), inputs).state == "stale"


def test_a_comment_makes_nothing_stale_and_is_remarked(metal: Path) -> None:
    assessed(metal)
    (metal / "vehicle.toml").write_text("# a remark\n" + (metal / "vehicle.toml").read_text())
    with store.opened(metal) as records:
        found = list(verify.verify(records, flow.read(metal), metal / ".cache"))
    same = "vehicle.toml is not the same file, though the same is read from it"
    assert [f.words for f in found] == [f"bar: {same}", f"the vehicle: {same}"]
    assert not found[0].damage


def test_a_signature_is_revoked_with_a_reason_once(metal: Path) -> None:
    job = assessed(metal)
    inputs = keeping.inputs_of(job, job.parts[0])
    with store.opened(metal, write=True) as records:
        with pytest.raises(TextError, match="no signature"):
            standing.revoke(records, "bar", "Ann", "why")
        standing.sign(records, "bar", "Ann", "", inputs)
        with pytest.raises(TextError, match="needs its reason"):
            standing.revoke(records, "bar", "Ann", " ")
        standing.revoke(records, "bar", "Bo", "cracked in the yard")
        assert standing.standing("bar", records.entries(), inputs).state == "revoked"
        with pytest.raises(TextError, match="no signature"):
            standing.revoke(records, "bar", "Ann", "why")


def test_an_older_database_is_brought_up_to_date_and_keeps_its_rows(tmp_path: Path) -> None:
    old = store.Records(tmp_path / store.FILE, store._engine(tmp_path / store.FILE, write=True))
    with old._connected() as connection:
        migrations.migrate(connection, migrations.STEPS[:1])
    kept = old.append([RIDE])
    old.close()
    with pytest.raises(NotComputed, match="older layout"), store.opened(tmp_path):
        pass
    with store.opened(tmp_path, write=True) as records:
        assert records.entries() == kept
        records.append([RIDE])
    with store.opened(tmp_path) as records:
        assert [e.number for e in records.entries()] == [1, 2]


def test_a_newer_database_is_refused_and_left_alone(tmp_path: Path) -> None:
    with store.opened(tmp_path, write=True) as records:
        records.append([RIDE])
    path = tmp_path / store.FILE
    connection = sqlite3.connect(path)
    connection.execute("INSERT INTO migrations VALUES (99, 'from the future', '2099')")
    connection.commit()
    connection.close()
    before = path.read_bytes()
    for write in (True, False):
        with pytest.raises(NotComputed, match="newer program"), store.opened(tmp_path, write=write):
            pass
    assert path.read_bytes() == before


def test_a_step_that_fails_leaves_the_old_layout(tmp_path: Path) -> None:
    def broken(connection: object) -> None:
        connection.exec_driver_sql("CREATE TABLE half (a)")  # type: ignore[attr-defined]
        connection.exec_driver_sql("CREATE TABLE entries (a)")  # type: ignore[attr-defined]

    with store.opened(tmp_path, write=True) as records:
        records.append([RIDE])
        with pytest.raises(NotComputed, match="already exists"), records._connected() as connection:
            migrations.migrate(connection, (*migrations.STEPS, broken))
        with records._connected() as connection:
            assert migrations.level(connection) == len(migrations.STEPS)
            assert not connection.exec_driver_sql("SELECT count(*) FROM sqlite_master WHERE name='half'").scalar()


def test_nothing_is_there_to_read_is_a_line(tmp_path: Path) -> None:
    with pytest.raises(TextError, match="no records yet"), store.opened(tmp_path):
        pass
    assert list(tmp_path.iterdir()) == []
