"""Hand-made records for the layout tests. SYNTHETIC: the figures are made up, nothing here was solved.

The skin is a round bar along x held at x = 0; its utilisation is the bending pattern of a cantilever, scaled to a peak.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import trimesh

from printworthy.errors import Place
from printworthy.inputs import (
    CouponSet,
    Face,
    Geometry,
    Job,
    Load,
    LoadCase,
    MaterialCard,
    Part,
    PatchSelector,
    Quantity,
    Rules,
    Support,
    Vehicle,
)
from printworthy.results import (
    Assessment,
    BodyReport,
    CaseResult,
    Check,
    CriticalDistance,
    Deflection,
    DesignValue,
    DesignValues,
    DirectionCheck,
    DirectionResult,
    DirectionSearch,
    Influence,
    LayFigures,
    MeshBracket,
    MeshReport,
    MetalOption,
    Option,
    PartAssessment,
    Reason,
    Refusal,
    ShapeReport,
    Step,
    SurfaceField,
    Verdict,
)
from printworthy.workspace.rules import read_rules

LENGTH, RADIUS = 90.0, 11.0
MODES = ("between layers, tension with shear", "in the layer, tension", "in the layer, compression")


def bar_field(peak: float) -> SurfaceField:
    """The skin of the bar with a bending pattern of utilisation up to `peak`."""
    bar = trimesh.creation.cylinder(RADIUS, LENGTH, sections=48)
    bar = bar.subdivide_to_size(4.0)
    bar.apply_transform(trimesh.transformations.rotation_matrix(np.pi / 2, [0, 1, 0]))
    bar.apply_translation([LENGTH / 2, 0, 0])
    points = np.array(bar.vertices)
    centre = points[np.array(bar.faces)].mean(axis=1)
    use = peak * (1 - points[:, 0] / LENGTH) * np.abs(points[:, 2]) / RADIUS
    root = np.flatnonzero(centre[:, 0] < 1e-6)
    tread = np.flatnonzero((centre[:, 0] > 55) & (centre[:, 0] < LENGTH - 1e-6))
    return SurfaceField(points, np.array(bar.faces), use, {"root": root, "tread": tread})


def design_values(material: str) -> DesignValues:
    def value(name: str, start: float, confidence: str, n: int) -> DesignValue:
        steps = (Step("B-type limit", 0.72, "tolerance factor k = 3.407, n = 5 (synthetic)"), Step("hot", 0.81, "card"))
        return DesignValue(
            name, start * 0.72 * 0.81, start, steps, "B-type", f"set {material}-1", confidence, n, invented=True
        )

    return DesignValues(
        material,
        value("in the layer, tension", 62.0, "invented", 5),
        value("between layers, tension", 31.0, "invented", 5),
        value("between layers, shear", 22.0, "assumed", 0),
        value("in the layer, shear", 33.0, "assumed", 0),
        value("in the layer, compression", 70.0, "invented", 0),
        value("between layers, compression", 64.0, "invented", 0),
    )


def direction_result(material: str, direction: tuple[float, float, float], use: float) -> DirectionResult:
    def case(name: str, u: float, mode: str) -> CaseResult:
        return CaseResult(
            name, u, mode, (0.4, 0.2, 10.9), (1.25, -0.5, 17.125, 2.5, -6.25, 0.125), "root", True,
            {m: u * f for m, f in zip((mode, *(m for m in MODES if m != mode)), (1, 0.61, 0.2), strict=True)},
            2.31 * u, (0.0, 0.0, -900.0), (0.0, 0.0, 900.0), 3.1e-11,
        )  # fmt: skip

    cases = (case("standing on one peg", use, MODES[0]), case("landing <b>hard</b>", use * 0.7, MODES[1]))
    return DirectionResult(
        material, direction, 1.725, cases,
        (Deflection("standing on one peg", "tread", 2.31 * use, 3.0), Deflection("landing", "root", 0.0, None)),
        "direct factor, 2nd order",
    )  # fmt: skip


def option(material: str, direction: tuple[float, float, float], use: float, word: str) -> Option:
    reasons = (
        Reason("role", "peg may injure if it fails", "print", "rules: roles"),
        Reason("heat", "nothing hot stated near the part", "print", "stated: near = []"),
        Reason("evidence", "5 coupons between layers: B-type limit", "print with conditions", "set synthetic-1"),
        Reason("strength", f"utilisation {use:.3f} & mode <{MODES[0]}>", word, "computed"),
    )
    conditions = ("Coupons with every batch.", "Keep out of the sun.") if word == "print with conditions" else ()
    checks = (
        Check("bearing at the hanger bolt", 1200.0, 4100.0, "N", 0.2927, "bolt across the hole, net section", ""),
        Check("preload through plastic", 8000.0, 0.0, "N", float("inf"), "", "no creep evidence", decided=False),
    )
    lay = LayFigures(
        direction, 22.0, 610.0, 0.42, 0.61, (90.0, 22.0), -160.0, -188.0 if material == "pa-cf" else 3.5, 1250.0,
        {"root": 40.0}, 8300.0, 120.0, 900.0, 210.0, {"bore <i>": 90.0},
    )  # fmt: skip
    return Option(
        direction_result(material, direction, use), design_values(material), checks,
        Verdict(word, material, direction, reasons, conditions), 0.0431, lay,
    )  # fmt: skip


def spiral(count: int) -> np.ndarray:
    """Directions (count, 3) of the upper half-sphere, evenly by the golden angle."""
    k = np.arange(count) + 0.5
    z = 1 - k / count
    turn = k * np.pi * (3 - np.sqrt(5))
    r = np.sqrt(1 - z * z)
    return np.column_stack([r * np.cos(turn), r * np.sin(turn), z])


def bracket(high: float | None = 0.99, use: float = 0.81) -> MeshBracket:
    return MeshBracket(
        case="over a <rut>", direction=(0.0, 1.0, 0.0), mode="in the layer, compression",
        values=(use, use + 0.09, use + 0.13), inner=(0.8, 0.89, 0.93), sizes=(4.0, 2.0, 1.0),
        points=((1.0, 2.0, 3.0),) * 3, elements=(900, 1500, 3100), unknowns=(4000, 7000, 15000), low=0.9, high=high,
        limit=0.96, converging=True, singular=False, facet_length=0.75, wall=8.0, across=2.0, words="made up",
    )  # fmt: skip


def distance() -> CriticalDistance:
    return CriticalDistance(
        "over a <rut>", "in the layer, tension", (0.0, 0.0, 0.0), "line", None, None, 1.3, None, 8.0, 2, False,
        "no toughness on the card",
    )  # fmt: skip


def search(use: float) -> DirectionSearch:
    directions = spiral(300)
    values = use * (1 + 0.9 * directions[:, 0] ** 2)
    checks = (
        DirectionCheck("random", (0.0, 0.6, 0.8), 0.481, 0.4848, 0.0079),
        DirectionCheck("best", (0.0, 0.0, 1.0), 0.4811, 0.4812, 0.0002),
    )
    return DirectionSearch(
        "pa-cf", tuple(tuple(map(float, d)) for d in directions), tuple(map(float, values)), checks, 0.01, 0.0079, True,
        "2 of 2 inside", 24, 412, 0.001, "lowest utilisation, then least support", "along +z: lowest of 300",
        (0.0, 0.0, 1.0), ((0.0, 0.0, 1.0),),
        (Influence("friction of the seat", "halved, doubled", use, use, use * 1.01),
         Influence("strength between layers", "10 % lower, 10 % higher", use, use * 1.1, use * 0.91)),
        use,
    )  # fmt: skip


def part(name: str, title: str, use: float, word: str) -> PartAssessment:
    tilt = (0.0, 1 / np.sqrt(5), 2 / np.sqrt(5))
    options: tuple[Option, ...] = (
        option("pa-cf", (1.0, 0.0, 0.0), use * 1.9, "do not print"),
        option("pa-cf", (0.0, 0.0, 1.0), use, word),
        option("pa-cf", tuple(map(float, tilt)), use * 1.31, "print with conditions"),
        option("petg", (0.0, 0.0, 1.0), use * 1.4, "do not print"),
    )
    if name == "foot-peg":
        chosen = replace(options[1], bracket=bracket(use=use), distance=distance())
        options = (options[0], chosen, *options[2:])
    size = (LENGTH, 2 * RADIUS, 2 * RADIUS)
    volume = float(np.pi * RADIUS**2 * LENGTH)
    shape = ShapeReport(
        f"parts/{name}.stl", "ab" * 32, "STL", "mm", "stated in the part file", (0.0, -RADIUS, -RADIUS),
        (LENGTH, RADIUS, RADIUS), volume, 6980.0, 5120, 0, (BodyReport(1, volume, (0.0, 0.0, 0.0), size),), 1,
        ("2 duplicate triangles",), ("duplicates removed",),
    )  # fmt: skip
    mesh = MeshReport("netgen", 9214, 42318, 3.0, 22.0, 7.3, 0.31, 0.82, 0.0021, False, ("straight sides",))
    return PartAssessment(
        name, title, "peg", "may injure", shape, mesh, options, 1, search(use) if name == "foot-peg" else None,
        (MetalOption("6061-t6", 0.0924, 0.11, "standing on one peg"), MetalOption("s235", 0.2686, 0.13, "landing")),
        (Step("ultimate", 1.5, "14 CFR 25.303 (from memory)"), Step("fitting", 1.15, "14 CFR 25.625 (from memory)")),
        {
            "modulus_in_layer": Quantity(4500.0, "MPa", "card pa-cf", "invented", 4000.0, 5000.0),
            "poisson": Quantity(0.35, "", "common value", "assumed"),
        },
        "0123456789abcdef" * 4, 12.5, invented=True,
    )  # fmt: skip


def stated(name: str, title: str) -> Part:
    loads = (
        Load("force", "tread", (0.0, 0.0, -900.0)),
        Load("moment", "tread", (0.0, 0.0, 5000.0)),
        Load("gravity", "", (0.0, 0.0, -9810.0)),
    )
    return Part(
        name, title, Geometry(Path(f"/tmp/job/parts/{name}.stl"), "mm"), "peg", "pa-cf",
        {n: Face(n, PatchSelector((0.0, 0.0, 0.0))) for n in ("root", "tread")},
        (Support("root", "fixed"),),
        (
            LoadCase("standing on one peg", loads, "steady", "invented: rider 80 kg, one leg, factor 2"),
            LoadCase("landing <b>hard</b>", (Load("pressure", "tread", value=0.8),), "impact", "invented"),
        ),
        alternatives=("petg",),
    )  # fmt: skip


def job(parts: tuple[Part, ...], root: Path = Path("/tmp/job")) -> Job:
    def card(name: str, title: str) -> MaterialCard:
        return MaterialCard(name, title, "printed polymer", {"density": Quantity(1.2, "g/cm3", "card", "invented")})

    return Job(
        root,
        Vehicle("hut-carrier", "Two-wheeled pack carrier", -10.0, 45.0, invented=True, note="made up for tests"),
        parts,
        {"pa-cf": card("pa-cf", "Filled polyamide"), "petg": card("petg", "Copolyester")},
        (
            CouponSet("pa-cf-z", "pa-cf", "between layers", (29.0, 31.0, 33.0, 30.5, 31.5), 23.0, "moist", "invented",
                      True, Place(root / "evidence/a.csv", 2)),
        ),
        Rules({**read_rules().values, "ultimate factor": Quantity(1.5, "", "14 CFR 25.303", "from memory"),
               "governing_share": Quantity(0.8, "", "own rule", "assumed"),
               **{f"claim_{n}": Quantity(v, "", "a claim", "common practice, no source")
                  for n, v in (("share_of_moulded", 0.85), ("scatter", 1.0), ("peak_load", 0.576))}},
              {"peg": "may injure"}, ("axle",),
              {"none": Quantity(2.0, "", "after 14 CFR 25.621", "from memory")},
              {"may injure": "coupons of the governing direction, n >= 5"}),
    )  # fmt: skip


def assessment(names: tuple[tuple[str, str, float, str], ...] | None = None) -> Assessment:
    names = names or (
        ("foot-peg", "Foot peg", 0.83, "print with conditions"),
        ("lamp-shell", "Lamp surround", 0.12, "print"),
        ("lever", "Brake lever", 1.42, "do not print"),
    )
    return Assessment(
        "hut-carrier", "Two-wheeled pack carrier", True, "0.1.0", {"numpy": "2.4.6", "ngsolve": "6.2.2608"},
        "2026-11-25T09:50:00+00:00", tuple(part(*n) for n in names),
        (Refusal("axle", "Front axle", "axle", "do not print", "parts/axle.toml:4 (role): stays metal", True),),
    )  # fmt: skip


def everything(parts: int = 3) -> tuple[Assessment, dict[str, SurfaceField], Job]:
    """So many parts and a refusal, their skins, their job."""
    found = assessment()
    found = replace(found, parts=found.parts[:parts])
    fields = {p.part: bar_field(p.option.result.utilisation) for p in found.parts}
    return found, fields, job(tuple(stated(p.part, p.title) for p in found.parts))
