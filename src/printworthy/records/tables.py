"""The tables, as the newest migration leaves them."""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Integer, LargeBinary, MetaData, Table, Text

METADATA = MetaData()

ENTRIES = Table(
    "entries",
    METADATA,
    Column("number", Integer, primary_key=True),
    Column("id", Text, nullable=False, unique=True),
    Column("kind", Text, nullable=False),
    Column("at", Text, nullable=False),
    Column("who", Text, nullable=False),
    Column("part", Text, nullable=False),
    Column("piece", Text, nullable=False),
    Column("refers", Text, ForeignKey("entries.id")),
    Column("body", Text, nullable=False),
    Column("seal", Text, nullable=False),
)
CONTENTS = Table(
    "contents",
    METADATA,
    Column("sha256", Text, primary_key=True),
    Column("packed", LargeBinary, nullable=False),
)
KEPT = Table(
    "kept",
    METADATA,
    Column("entry", Integer, ForeignKey("entries.number"), primary_key=True),
    Column("name", Text, primary_key=True),
    Column("sha256", Text, ForeignKey("contents.sha256"), nullable=False),
)
INPUTS = Table(
    "inputs",
    METADATA,
    Column("entry", Integer, ForeignKey("entries.number"), primary_key=True),
    Column("name", Text, primary_key=True),
    Column("content", Text, nullable=False),
    Column("file", Text, nullable=False),
)
