"""Named steps from an empty file to the newest layout, each in one transaction and noted in a table.

A step that has been released is never changed: what must differ becomes a new step at the end.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime

from sqlalchemy import Connection

from printworthy.errors import NotComputed

Step = Callable[[Connection], None]
TABLES = ("entries", "contents", "kept", "inputs")


def entries(connection: Connection) -> None:
    """Entries in order, bytes by their hash."""
    for statement in (
        "CREATE TABLE entries (number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, kind TEXT NOT NULL, "
        "at TEXT NOT NULL, who TEXT NOT NULL, part TEXT NOT NULL, piece TEXT NOT NULL, "
        "refers TEXT REFERENCES entries(id), body TEXT NOT NULL, seal TEXT NOT NULL)",
        "CREATE TABLE contents (sha256 TEXT PRIMARY KEY, packed BLOB NOT NULL)",
        "CREATE TABLE kept (entry INTEGER REFERENCES entries(number), name TEXT, sha256 TEXT NOT NULL "
        "REFERENCES contents(sha256), PRIMARY KEY (entry, name))",
        "CREATE TABLE inputs (entry INTEGER REFERENCES entries(number), name TEXT, content TEXT NOT NULL, "
        "file TEXT NOT NULL, PRIMARY KEY (entry, name))",
    ):
        connection.exec_driver_sql(statement)


def only_added(connection: Connection) -> None:
    """Rows can be added, never changed or taken away; parts and pieces are found quickly."""
    for table in TABLES:
        for event in ("UPDATE", "DELETE"):
            connection.exec_driver_sql(
                f"CREATE TRIGGER {table}_{event.lower()} BEFORE {event} ON {table} "
                "BEGIN SELECT RAISE(ABORT, 'rows are only ever added: write a correction'); END"
            )
    connection.exec_driver_sql("CREATE INDEX entries_part ON entries(part, kind)")


STEPS: tuple[Step, ...] = (entries, only_added)


def migrate(connection: Connection, steps: Sequence[Step] = STEPS) -> None:
    """Take the database to the newest layout, inside the transaction of `connection`.

    Raises NotComputed for a database that a newer program wrote.
    """
    for number, step in enumerate(steps[level(connection, steps) :], level(connection, steps) + 1):
        if number == 1:
            connection.exec_driver_sql("CREATE TABLE migrations (number INTEGER PRIMARY KEY, name TEXT, at TEXT)")
        step(connection)
        now = datetime.now(UTC).isoformat(timespec="seconds")
        connection.exec_driver_sql("INSERT INTO migrations VALUES (?, ?, ?)", (number, step.__name__, now))


def level(connection: Connection, steps: Sequence[Step] = STEPS) -> int:
    """How many steps the database has taken; 0 for an empty file. Raises NotComputed for more than are known here."""
    there = "SELECT count(*) FROM sqlite_master WHERE name = 'migrations'"
    if not connection.exec_driver_sql(there).scalar():
        return 0
    done = int(connection.exec_driver_sql("SELECT coalesce(max(number), 0) FROM migrations").scalar() or 0)
    if done > len(steps):
        what = f"the records were written by a newer program (layout {done}; this one knows {len(steps)})"
        raise NotComputed(what, do="Nothing was changed. Use the newer program")
    return done
