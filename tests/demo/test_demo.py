"""The demo: sound solids, known volumes, the same bytes every time, text that reads without a complaint."""

from __future__ import annotations

import csv
import math
import shutil
import tomllib
from pathlib import Path

import numpy as np
import pytest
import trimesh
from netgen.occ import OCCGeometry

from printworthy import shape
from printworthy.demo import build
from printworthy.demo.build import drawn, place
from printworthy.demo.files import triangles
from printworthy.demo.shapes import DRAWINGS
from printworthy.demo.solids import plate, rectangle, rod
from printworthy.errors import InputError
from printworthy.inputs import Job, RideSpan


@pytest.fixture(scope="session")
def job(shipped_job: Job) -> Job:
    return shipped_job


def test_the_workshop_reads_as_records(job: Job) -> None:
    shop = job.workshop
    assert shop.demand is not None
    assert shop.demand.ride_a_year == RideSpan(300.0, "h")
    (tray,) = shop.consolidations
    assert [b.mass for b in tray.bought] == [0.31, 0.19, 0.06]
    assert tray.parts == ()


def closed(corners: np.ndarray) -> trimesh.Trimesh:
    """Triangles (n, 3, 3) [mm] with equal corners joined."""
    mesh = trimesh.Trimesh(corners.reshape(-1, 3), np.arange(3 * len(corners)).reshape(-1, 3), process=False)
    mesh.merge_vertices()
    return mesh


def test_a_rounded_plate_has_the_area_of_its_formula_times_its_height() -> None:
    # A rectangle less four corners: a b - (4 - pi) r^2.
    exact = (30.0 * 20.0 - (4 - math.pi) * 5.0**2) * 7.0
    assert plate(rectangle((0, 30), (-10, 10), 5), "xz", -3, 4).mass == pytest.approx(exact, rel=1e-9)


def test_triangles_of_a_cylinder_point_outwards_and_lie_inside_it() -> None:
    mesh = closed(triangles(rod((0, 0, 0), "x", 10, 30), 5))
    assert mesh.is_watertight
    # closed form: an inscribed prism of ten sides has sin(36 deg) / (36 deg) = 0.935 of the cylinder
    assert 0.935 * math.pi * 100 * 30 < mesh.volume < math.pi * 100 * 30


def test_radii_that_do_not_fit_are_noticed() -> None:
    with pytest.raises(AssertionError, match="no edge between"):
        plate(rectangle((0, 10), (0, 10), 6), "xy", 0, 1)


@pytest.mark.parametrize("name", DRAWINGS)
def test_every_part_is_one_closed_solid(name: str) -> None:
    solid = DRAWINGS[name].draw()
    box = solid.bounding_box
    mesh = closed(triangles(solid, math.dist(*box) / 12, 1.5))
    assert len(solid.solids) == 1
    assert mesh.is_watertight
    assert mesh.body_count == 1
    # About ten triangles round a circle lose up to 7 % of a cylinder, and gain as much in a bore.
    assert mesh.volume == pytest.approx(solid.mass, rel=0.05)


def test_volume_of_the_pinch_bolt() -> None:
    # Cylinders of head and shank, less a hexagon of side a = 6 / sqrt(3): area 3 sqrt(3) / 2 a^2; roundings of 0.8
    # take off and add (1 - pi / 4) r^2 along the two rims.
    rounding = (1 - math.pi / 4) * 0.8**2 * 2 * math.pi
    hexagon = 1.5 * math.sqrt(3) * 3.464**2
    by_hand = math.pi * 6.5**2 * 8 + math.pi * 4**2 * 45 - 4 * hexagon + rounding * (4.2 - 6.3)
    assert DRAWINGS["pinch-bolt"].draw().mass == pytest.approx(by_hand, rel=2e-3)


def test_volume_of_the_motor_cover() -> None:
    # Rings of top, wall and flange, less bores and vents, with the roundings turned about their middle radius (Pappus).
    def ring(outer: float, inner: float, height: float) -> float:
        return math.pi * (outer**2 - inner**2) * height

    def rounding(radius: float, at: float) -> float:
        return (1 - math.pi / 4) * radius**2 * 2 * math.pi * at

    solid = ring(66, 11, 4) + ring(66, 62, 26) + ring(80, 66, 5)
    rounds = -rounding(9, 64) + rounding(7, 60.5) + rounding(4, 67)
    holes = 6 * math.pi * 2.75**2 * 5 + 6 * (26 * 8 - (4 - math.pi) * 4**2) * 4
    assert DRAWINGS["motor-cover"].draw().mass == pytest.approx(solid + rounds - holes, rel=3e-3)


def test_step_files_are_in_millimetres(shipped: Path) -> None:
    solid = OCCGeometry(str(shipped / "parts" / "pinch-bolt.step")).shape
    low, high = solid.bounding_box
    assert high[2] - low[2] == pytest.approx(53.0, abs=1e-3)  # 45 of shank, 8 of head
    assert "SI_UNIT(.MILLI.,.METRE.)" in (shipped / "parts" / "pinch-bolt.step").read_text()


def test_the_same_bytes_every_time(shipped: Path) -> None:
    for name, drawing in DRAWINGS.items():
        assert (shipped / place(name, drawing)).read_bytes() == drawn(name, drawing), name


def test_a_drawn_part_that_was_changed_is_kept_and_named(shipped: Path, tmp_path: Path) -> None:
    shutil.copytree(shipped, tmp_path, dirs_exist_ok=True)
    part = tmp_path / "parts" / "pinch-bolt.step"
    part.write_bytes(part.read_bytes() + b"\n")
    with pytest.raises(InputError, match=r"pinch-bolt\.step: differs"):
        build(tmp_path)


def test_a_second_run_touches_nothing(shipped: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in shipped.rglob("*")}
    build(shipped)
    assert {path: path.stat().st_mtime_ns for path in shipped.rglob("*")} == before


def test_a_folder_with_other_things_is_refused(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("mine")
    with pytest.raises(InputError, match="not empty"):
        build(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_changed_file_is_kept_and_named(tmp_path: Path, shipped: Path) -> None:
    (tmp_path / "vehicle.toml").write_text((shipped / "vehicle.toml").read_text().replace("40 degC", "41 degC"))
    with pytest.raises(InputError, match=r"vehicle\.toml: differs"):
        build(tmp_path)
    assert "41 degC" in (tmp_path / "vehicle.toml").read_text()


def test_the_text_reads_without_a_complaint(job: Job) -> None:
    assert {part.name for part in job.parts} == {*DRAWINGS, "clamp-grip"}
    assert job.vehicle.invented


def test_everything_is_marked_as_invented(job: Job, shipped: Path) -> None:
    assert all(case.source.startswith("invented: ") for part in job.parts for case in part.cases)
    assert all(coupons.invented for coupons in job.coupons)
    for path in (shipped / "evidence").glob("*.csv"):
        lines = [line for line in path.read_text().splitlines() if not line.startswith("#")]
        assert {row["invented"] for row in csv.DictReader(lines)} == {"yes"}
    for path in (shipped / "cards").glob("*.toml"):
        card = tomllib.loads(path.read_text())
        assert {value["confidence"] for value in card["values"].values()} == {"invented"}


def test_the_real_part_keeps_its_licence(shipped: Path) -> None:
    note = (shipped / "parts" / "clamp-grip-LICENCE.txt").read_text()
    assert "Copyright (c) 2025, Josh Carter" in note
    assert "BSD 3-Clause" in note


@pytest.mark.parametrize("name", [*DRAWINGS, "clamp-grip"])
def test_every_selector_hits(name: str, job: Job, shipped: Path) -> None:
    part = next(part for part in job.parts if part.name == name)
    # The mesh of a CAD file is not what is looked at: coarse, it is made in half the time. The other one is kept.
    source = shape.read(part.geometry)
    large = part.geometry.path.suffix == ".step" and float(np.ptp(source.surface.points, axis=0).max()) > 100.0
    size = 20.0 if large else part.element_size
    solid = shape.mesh(source, element_size=size, cache=shipped / ".cache")
    for face in part.faces.values():
        assert len(shape.select(solid, face)) > 0, face.name
