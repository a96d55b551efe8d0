"""The JSON twin of the dossier: the assessment and the job it answers, every number as computed.

Infinite and undefined numbers, which JSON lacks, are written as the texts "Infinity", "-Infinity" and "NaN". The
pictures' surface values are not in it: they are drawn from the solved fields, not read as numbers.
"""

from __future__ import annotations

import json
from typing import Any

from pydantic import TypeAdapter
from pydantic_core import to_json, to_jsonable_python

from printworthy.inputs import Job
from printworthy.results import Assessment

FORMAT = "printworthy dossier 1"
_ASSESSMENT = TypeAdapter(Assessment)


def dump(assessment: Assessment, job: Job) -> str:
    """The record as JSON text; paths are written relative to the workspace, so that it can be handed on."""
    data = {
        "format": FORMAT,
        "assessment": assessment,
        "job": _relative(to_jsonable_python(job), str(job.root)),
    }
    return to_json(data, indent=1, inf_nan_mode="strings").decode()


def load(text: str) -> Assessment:
    """The assessment in a record.

    Raises pydantic.ValidationError where the text is not such a record.
    """
    return _ASSESSMENT.validate_python(json.loads(text)["assessment"])


def _relative(data: Any, root: str) -> Any:
    """Paths below `root` relative to it."""
    if isinstance(data, dict):
        return {key: _relative(value, root) for key, value in data.items()}
    if isinstance(data, list):
        return [_relative(value, root) for value in data]
    if isinstance(data, str) and data == root:
        return "."
    if isinstance(data, str) and data.startswith(f"{root}/"):
        return data[len(root) + 1 :]
    return data
