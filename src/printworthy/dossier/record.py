"""The JSON twin of the dossier: the assessment and the job it answers, every number as computed.

Infinite and undefined numbers, which JSON lacks, are written as the texts "Infinity", "-Infinity" and "NaN". The
pictures' surface values are not in it: they are drawn from the solved fields, not read as numbers.
"""

from __future__ import annotations

import json
import math
from typing import Any

from pydantic import TypeAdapter
from pydantic_core import to_jsonable_python

from printworthy.inputs import Job
from printworthy.results import Assessment

FORMAT = "printworthy dossier 1"
_ASSESSMENT = TypeAdapter(Assessment)


def dump(assessment: Assessment, job: Job) -> str:
    """The record as JSON text; paths are written relative to the workspace, so that it can be handed on."""
    data = {
        "format": FORMAT,
        "assessment": _plain(to_jsonable_python(assessment), ""),
        "job": _plain(to_jsonable_python(job), str(job.root)),
    }
    return json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False)


def load(text: str) -> Assessment:
    """The assessment in a record.

    Raises pydantic.ValidationError where the text is not such a record.
    """
    return _ASSESSMENT.validate_python(json.loads(text)["assessment"])


def _plain(data: Any, root: str) -> Any:
    """Numbers JSON lacks as texts, paths below `root` relative to it."""
    if isinstance(data, dict):
        return {key: _plain(value, root) for key, value in data.items()}
    if isinstance(data, list):
        return [_plain(value, root) for value in data]
    if isinstance(data, float) and not math.isfinite(data):
        return "NaN" if math.isnan(data) else "Infinity" if data > 0 else "-Infinity"
    if root and isinstance(data, str) and data == root:
        return "."
    if root and isinstance(data, str) and data.startswith(f"{root}/"):
        return data[len(root) + 1 :]
    return data
