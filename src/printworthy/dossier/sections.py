"""Single sections of a dossier, for a page that shows them one at a time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from shapely import MultiPoint

from printworthy.dossier import coupons as coupon_page
from printworthy.dossier import making_set, sheet, vehicle
from printworthy.dossier import part as part_page
from printworthy.dossier import ride as ride_page
from printworthy.dossier.document import Figure, Section, Text
from printworthy.inputs import Job, Mounting, Part, Vector
from printworthy.results import Assessment, FreeBody, Making, PartAssessment


def part(found: PartAssessment, stated: Part, job: Job, bodies: tuple[FreeBody, ...], made: Making | None) -> Section:
    """One part without pictures of its skin, which the page draws itself."""
    whole = part_page.section(found, stated, None, job, "part", bodies, made)
    return replace(whole, blocks=tuple(b for b in whole.blocks if not isinstance(b, Text)))


def ride(assessment: Assessment, job: Job) -> list[Section]:
    """The vehicle and its ride."""
    assert assessment.ride is not None
    return [ride_page.vehicle_section(assessment.ride, job, assessment.invented)]


def making(assessment: Assessment) -> list[Section]:
    """Beds, schedule, spares; empty where nothing was planned."""
    found = making_set.vehicle_section(assessment.making, assessment.invented)
    return [] if found is None else [found]


def coupons(job: Job) -> list[Section]:
    """Groups of coupons with their statistics, and the claims they bear on; empty without any."""
    found = coupon_page.section(job, any(c.invented for c in job.coupons))
    return [] if found is None else list(found.sections)


def rules(job: Job) -> Section:
    """The rule behind the words."""
    return vehicle.rules_section(job, invented=False)


Boxes = Mapping[str, tuple[Vector, Vector]]


def side_view(job: Job, links: Mapping[str, str], boxes: Boxes) -> Figure:
    """The vehicle from its left side, with every mounted part a link to its own page: the shadow of its box, low and
    high [mm] in its own axes, or a ring at its origin where it has none."""
    assert job.vehicle.machine is not None
    plot, key = ride_page.side_plot(job.vehicle.machine)
    placed = [(p, np.array(p.mounting.origin)) for p in job.parts if p.mounting is not None]
    for stated, origin in placed:
        x, y = plot.at(float(origin[0]), float(origin[2]))
        link = sheet.add(plot.svg, "a", "placed", href=links[stated.name])
        sheet.add(link, "title", text=stated.title)
        if stated.name in boxes:
            corners = (plot.at(float(p[0]), float(p[2])) for p in _placed(stated.mounting, *boxes[stated.name]))
            shadow = MultiPoint(list(corners)).convex_hull.buffer(1.5)
            points = " ".join(f"{a:.1f},{b:.1f}" for a, b in shadow.exterior.coords)
            sheet.add(link, "polygon", points=points)
        else:
            sheet.add(link, "circle", cx=x, cy=y, r=9)
    alt = "Side view of the vehicle to scale; parts: " + ", ".join(p.title for p, _ in placed)
    caption = (
        "From the left, to scale as stated; front to the right. Outlined: boxes of the parts; rings: origins of parts "
        "that were not assessed. Each leads to its part."
    )
    return Figure(plot.text(), alt, caption, key)


def _placed(at: Mounting | None, low: Vector, high: Vector) -> np.ndarray:
    """Corners (8, 3) [mm] of a box of a part in the axes of the vehicle."""
    assert at is not None
    x, z = np.array(at.x), np.array(at.z)
    turn = np.stack([x, np.cross(z, x), z])
    corners = np.array(np.meshgrid(*zip(low, high, strict=True))).reshape(3, -1).T
    return np.asarray(np.array(at.origin) + corners @ turn)
