"""The database of a workspace: entries are appended in one transaction, in one order, each sealed with the one before.

Write-ahead log, every commit on the disk before it returns, foreign keys on; a second writer waits for the first.
SQLite itself keeps a commit whole across a killed process or a power cut (sqlite.org, "Atomic Commit in SQLite" and
"Write-Ahead Logging").
"""

from __future__ import annotations

import hashlib
import json
import os
import zlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, insert, select
from sqlalchemy.exc import DatabaseError

from printworthy.errors import NotComputed, TextError
from printworthy.records import migrations
from printworthy.records.entries import SHORT, Draft, Entry, Input, Kind
from printworthy.records.tables import CONTENTS, ENTRIES, INPUTS, KEPT

FILE = "printworthy.db"
PATIENCE = 60_000  # [ms] that a writer waits for another one
ADVICE = "Check that the folder can be written and the disk has room, and the file itself (`printworthy verify`)"
FIRST = "0" * 64  # the seal before the first entry


@dataclass(frozen=True, slots=True)
class Records:
    """The records in `path`."""

    path: Path
    engine: Engine

    def append(self, drafts: Sequence[Draft]) -> tuple[Entry, ...]:
        """Write entries, all or none. Raises TextError where one refers to no entry, NotComputed where the database
        cannot be written."""
        if not drafts:
            return ()
        with self._connected() as connection:
            last = connection.execute(
                select(ENTRIES.c.number, ENTRIES.c.seal).order_by(ENTRIES.c.number.desc()).limit(1)
            ).first()
            number, seal = (last.number, last.seal) if last else (0, FIRST)
            written = []
            for draft in drafts:
                number += 1
                entry = _sealed(draft, number, seal)
                _insert(connection, entry, draft)
                written.append(entry)
                seal = entry.seal
        return tuple(written)

    def entries(self, *kinds: Kind, part: str = "", piece: str = "") -> tuple[Entry, ...]:
        """Entries in the order they were written: of these kinds, this part, this piece; all by default."""
        wanted = select(ENTRIES).order_by(ENTRIES.c.number)
        wanted = wanted.where(ENTRIES.c.kind.in_(kinds)) if kinds else wanted
        wanted = wanted.where(ENTRIES.c.part == part) if part else wanted
        wanted = wanted.where(ENTRIES.c.piece == piece) if piece else wanted
        with self._connected() as connection:
            rows = connection.execute(wanted).all()
            numbers = [row.number for row in rows]
            inputs = _gathered(connection, INPUTS, numbers)
            kept = _gathered(connection, KEPT, numbers)
        return tuple(
            Entry(
                row.number, row.kind, row.at, row.who, row.part, row.piece, row.refers or "", self._body(row),
                tuple(Input(i.name, i.content, i.file) for i in inputs.get(row.number, ())),
                {k.name: k.sha256 for k in kept.get(row.number, ())}, row.seal,
            )
            for row in rows
        )  # fmt: skip

    def find(self, name: str) -> Entry:
        """The entry whose id begins with `name`. Raises TextError where none or several do."""
        found = [e for e in self.entries() if e.seal.startswith(name)] if name else []
        if len(found) != 1:
            what = f"{len(found) or 'no'} records are called '{name}'"
            raise TextError(what, where=str(self.path), do="`printworthy history` lists them")
        return found[0]

    def content(self, sha256: str) -> bytes:
        """Kept bytes. Raises NotComputed where they are missing or are not what was kept."""
        with self._connected() as connection:
            packed = connection.execute(select(CONTENTS.c.packed).where(CONTENTS.c.sha256 == sha256)).scalar()
        try:
            data = zlib.decompress(packed or b"")
        except zlib.error:
            data = b""
        if hashlib.sha256(data).hexdigest() != sha256:
            raise NotComputed(f"content {sha256[:SHORT]} is damaged", where=str(self.path), do="Restore a copy")
        return data

    def pragma(self, words: str) -> list[Any]:
        """Rows of a check that SQLite makes itself."""
        with self._connected() as connection:
            return [tuple(row) for row in connection.exec_driver_sql(f"PRAGMA {words}").all()]

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()

    def _body(self, row: Any) -> Any:
        try:
            return json.loads(row.body)
        except ValueError as error:
            raise NotComputed(f"record {row.number} is damaged", where=str(self.path), do="Restore a copy") from error

    @contextmanager
    def _connected(self) -> Iterator[Connection]:
        """A transaction; what SQLite says becomes one line."""
        try:
            with self.engine.begin() as connection:
                yield connection
        except DatabaseError as error:
            raise NotComputed(f"the records cannot be used: {error.orig}", where=str(self.path), do=ADVICE) from error


@contextmanager
def opened(root: Path, *, write: bool = False) -> Iterator[Records]:
    """The records of the workspace `root`; to write, they are made and brought to the newest layout.

    Raises TextError where there are none to read, NotComputed where they cannot be opened or are of a newer program.
    """
    path = root / FILE
    if not write and not path.exists():
        raise TextError("there are no records yet", where=str(path), do="`printworthy assess` writes the first ones")
    records = Records(path, _engine(path, write=write))
    try:
        with records._connected() as connection:
            if write:
                migrations.migrate(connection)
            elif migrations.level(connection) < len(migrations.STEPS):
                do = "Any verb that writes records (assess, log) brings them up to date"
                raise NotComputed("the records are of an older layout", where=str(path), do=do)
        yield records
    finally:
        records.close()


def seal_of(entry: Entry, before: str) -> str:
    """SHA-256 over all that an entry says, its place and the seal before."""
    said = [
        before, entry.number, entry.kind, entry.at, entry.who, entry.part, entry.piece, entry.refers, entry.body,
        sorted([i.name, i.content, i.file] for i in entry.inputs), sorted(entry.contents.items()),
    ]  # fmt: skip
    return hashlib.sha256(_text(said).encode()).hexdigest()


def _sealed(draft: Draft, number: int, before: str) -> Entry:
    now = datetime.now(UTC).isoformat(timespec="seconds")
    kept = {name: hashlib.sha256(data).hexdigest() for name, data in draft.contents.items()}
    bare = Entry(
        number, draft.kind, now, draft.who, draft.part, draft.piece, draft.refers, json.loads(_text(draft.body)),
        draft.inputs, kept, "",
    )  # fmt: skip
    return Entry(
        number, draft.kind, now, draft.who, draft.part, draft.piece, draft.refers, bare.body, draft.inputs, kept,
        seal_of(bare, before),
    )  # fmt: skip


def _insert(connection: Connection, entry: Entry, draft: Draft) -> None:
    row = {
        "number": entry.number, "id": entry.id, "kind": entry.kind, "at": entry.at, "who": entry.who,
        "part": entry.part, "piece": entry.piece, "refers": entry.refers or None, "body": _text(entry.body),
        "seal": entry.seal,
    }  # fmt: skip
    connection.execute(insert(ENTRIES), row)
    for name, data in draft.contents.items():
        sha256 = entry.contents[name]
        if not connection.execute(select(CONTENTS.c.sha256).where(CONTENTS.c.sha256 == sha256)).first():
            connection.execute(insert(CONTENTS), {"sha256": sha256, "packed": zlib.compress(data, 6)})
        connection.execute(insert(KEPT), {"entry": entry.number, "name": name, "sha256": sha256})
    if entry.inputs:
        rows = [{"entry": entry.number, "name": i.name, "content": i.content, "file": i.file} for i in entry.inputs]
        connection.execute(insert(INPUTS), rows)


def _gathered(connection: Connection, table: Any, numbers: Sequence[int]) -> dict[int, list[Any]]:
    """Rows of a side table by the number of their entry."""
    found: dict[int, list[Any]] = {}
    if numbers:
        low, high = min(numbers), max(numbers)
        for row in connection.execute(select(table).where(table.c.entry.between(low, high)).order_by(table.c.name)):
            found.setdefault(row.entry, []).append(row)
    return found


def _engine(path: Path, *, write: bool) -> Engine:
    # A folder that cannot be written cannot hold the shared memory of a write-ahead log: then the file cannot change
    # either, at least not from here, and is read as it stands.
    mode = "rwc" if write else "rw" if os.access(path.parent, os.W_OK) else "ro&immutable=1"
    address = path.resolve().as_uri()
    engine = create_engine(f"sqlite:///{address}?mode={mode}&uri=true", connect_args={"timeout": 60})

    @event.listens_for(engine, "connect")
    def connected(connection: Any, _: Any) -> None:
        connection.isolation_level = None  # the driver begins nothing: see `begun`
        connection.execute(f"PRAGMA busy_timeout = {PATIENCE}")
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")
        if write:
            connection.execute("PRAGMA journal_mode = WAL")

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        # a writer takes its turn before it reads the last seal
        connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")

    return engine


def _text(data: Any) -> str:
    return json.dumps(data, ensure_ascii=False, sort_keys=True, separators=(",", ":"), default=dict)
