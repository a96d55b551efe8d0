"""Results as rows for other programs: one for each part, option and load case of the newest assessments."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from printworthy.answers import OUTCOME
from printworthy.errors import NotComputed, Place, TextError
from printworthy.records.store import Records
from printworthy.results import PartAssessment
from printworthy.workspace.files import write_whole

Row = dict[str, str | float | bool | None]


def rows(records: Records) -> Iterator[Row]:
    """Rows, units in the names. Refused parts have one row with their word and nothing computed."""
    newest = {e.part: e for e in records.entries("assessment")}
    for entry in newest.values():
        outcome = OUTCOME.validate_json(records.content(entry.contents["result"]))
        head: Row = {"record": entry.id, "at": entry.at, "part": entry.part, "role": outcome.role}
        if isinstance(outcome, PartAssessment):
            yield from (head | row for row in _options(outcome))
        else:
            yield head | {"word": outcome.word, "reason": outcome.line}


def _options(part: PartAssessment) -> Iterator[Row]:
    for number, option in enumerate(part.options):
        x, y, z = option.result.direction
        about: Row = {
            "word": option.verdict.word, "answers": number == part.chosen, "invented": part.invented,
            "material": option.result.material, "build_x": x, "build_y": y, "build_z": z, "mass_kg": option.mass,
            "factor_on_load": option.result.factor, "life_low": option.life.low if option.life else None,
            "life_per": option.life.per if option.life else None,
        }  # fmt: skip
        for case in option.result.cases:
            yield about | {
                "case": case.case, "utilisation": case.utilisation, "mode": case.mode,
                "movement_mm": case.max_displacement, "place_x_mm": case.point[0], "place_y_mm": case.point[1],
                "place_z_mm": case.point[2],
                **{f"stress_{axis}_MPa": s for axis, s in zip(("11", "22", "33", "23", "13", "12"), case.stress,
                                                              strict=True)},
            }  # fmt: skip


def write(records: Records, path: Path) -> int:
    """Write `path` as CSV or Parquet, by its ending; how many rows. Raises TextError for another ending or no rows,
    NotComputed where the library for Parquet is missing."""
    found = list(rows(records))
    if not found:
        raise TextError("nothing was assessed yet", where=str(records.path), do="Run `printworthy assess` first")
    names = list(dict.fromkeys(name for row in found for name in row))
    table: list[Row] = [{name: row.get(name) for name in names} for row in found]
    if path.suffix == ".csv":
        text = io.StringIO(newline="")
        writer = csv.DictWriter(text, names, lineterminator="\n")
        writer.writeheader()
        writer.writerows(table)
        write_whole(path, text.getvalue().encode())
    elif path.suffix == ".parquet":
        write_whole(path, _parquet(table))
    else:
        raise TextError(f"'{path.suffix}' is no ending of a results file", where=Place(path), do="Use .csv or .parquet")
    return len(table)


def _parquet(table: list[Row]) -> bytes:
    try:
        import pyarrow as arrow  # an extra: half as large as all the rest of this program needs
        from pyarrow import parquet
    except ImportError as error:
        do = "Install pyarrow, or write .csv"
        raise NotComputed("writing Parquet needs the library pyarrow", do=do) from error
    stream: Any = io.BytesIO()
    parquet.write_table(arrow.Table.from_pylist(table), stream)
    return bytes(stream.getvalue())
