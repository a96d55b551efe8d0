"""The dossier: one self-contained HTML file and one JSON file per run, both from the same records."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from printworthy.dossier import page, record, vehicle
from printworthy.dossier.coupons import write_coupons
from printworthy.dossier.page import environment, style
from printworthy.dossier.plan import write_plan
from printworthy.inputs import Job
from printworthy.results import Assessment, SurfaceField
from printworthy.workspace.files import write_whole

__all__ = ["environment", "style", "write", "write_coupons", "write_plan"]


def write(assessment: Assessment, fields: Mapping[str, SurfaceField], job: Job, folder: Path) -> Path:
    """Write `VEHICLE-dossier.html` and `VEHICLE-dossier.json` into `folder`; returns the path of the HTML file.

    `fields` holds the skin of each part by part name; a part without one gets a sentence instead of pictures. Both
    files are written aside and then renamed, so a reader never meets half a file.

    Raises InputError where assessment and job do not belong together, OSError where the folder cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    stem = f"{_plain(assessment.vehicle)}-dossier"
    html = folder / f"{stem}.html"
    text = page.lay_out(vehicle.document(assessment, fields, job), f"{stem}.json")
    write_whole(folder / f"{stem}.json", record.dump(assessment, job).encode())
    write_whole(html, text.encode())
    return html


def _plain(name: str) -> str:
    """A file name made of letters, digits, dash and underscore only: the name may come from a person."""
    return "".join(c if c.isascii() and (c.isalnum() or c in "-_") else "-" for c in name).strip("-") or "vehicle"
