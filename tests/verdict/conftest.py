"""Factories: a sound part, card, vehicle and result; a test changes the one thing it asks about."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest

from printworthy.errors import Place
from printworthy.evidence import design_values
from printworthy.inputs import CouponSet, Geometry, LoadCase, MaterialCard, Part, Quantity, RideSpan, Rules, Vehicle
from printworthy.results import CaseResult, Check, Deflection, DesignValues, DirectionResult, Life, MeshReport, Verdict
from printworthy.verdict import decide
from printworthy.workspace.rules import read_rules

RULES = read_rules()
BETWEEN = "between layers, tension with shear"
# Made up: lasts longer than it is wanted to, but by a line drawn on beyond the tests, so that no plain "print" follows.
LASTS = Life("h", RideSpan(500.0, "h"), 600.0, 9000.0, False, (), (), (), (), True)


@pytest.fixture(scope="session")
def rules() -> Rules:
    return RULES


def make_part(**changes: object) -> Part:
    case = LoadCase("standing", (), "steady", "test")
    sound = Part(
        "peg", "Peg", Geometry(Path("peg.stl"), "mm"), "peg", "stuff", {}, (), (case,), near=(), inspection="visual"
    )
    return replace(sound, **changes)  # type: ignore[arg-type]


def make_card(**changes: object) -> MaterialCard:
    values = {
        "modulus_in_layer": (2500, 2000, 3000),
        "modulus_through": (2000, 1800, 2200),
        "strength_in_layer": (50, 40, 60),
        "strength_through": (20, 10, 30),
        "hdt_180": 80,
        "hdt_045": 95,
        "service_low": -20,
        "service_high": (70, 60, 80),
    } | changes.pop("values", {})  # type: ignore[operator]
    held = {}
    for name, v in values.items():
        value, low, high = v if isinstance(v, tuple) else (v, None, None)
        held[name] = Quantity(value, "", "test", "published", low, high)
    return replace(MaterialCard("stuff", "Stuff", "printed polymer", held), **changes)  # type: ignore[arg-type]


def make_vehicle(**changes: object) -> Vehicle:
    return replace(Vehicle("cart", "Cart", -10.0, 23.0), **changes)  # type: ignore[arg-type]


def make_coupons(direction: str, n: int, mean: float = 20.0, **changes: object) -> CouponSet:
    """`n` coupons spread evenly by 2 % each way about `mean` [MPa]."""
    values = tuple(mean * (1 + 0.02 * (2 * i / max(n - 1, 1) - 1)) for i in range(n))
    sound = CouponSet(direction, "stuff", direction, values, 23.0, "", "bench", False, Place(Path("a.csv")))  # type: ignore[arg-type]
    return replace(sound, **changes)  # type: ignore[arg-type]


def make_case(utilisation: float = 0.5, mode: str = BETWEEN, **changes: object) -> CaseResult:
    stress = (0.0, 0.0, 5.0, 0.0, 0.0, 0.0)  # pure opening of the layers
    sound = CaseResult(
        "standing",
        utilisation,
        mode,
        (0, 0, 0),
        stress,
        "",
        False,
        {mode: utilisation},
        1.0,
        (0, 0, -900),
        (0, 0, 900),
        0.0,
    )  # type: ignore[arg-type]
    return replace(sound, **changes)  # type: ignore[arg-type]


def make_result(*cases: CaseResult, deflections: tuple[Deflection, ...] = ()) -> DirectionResult:
    return DirectionResult("stuff", (0.0, 0.0, 1.0), 1.5, cases or (make_case(),), deflections, "test")


def make_mesh(across: float = 3.0) -> MeshReport:
    return MeshReport("m", 1000, 9000, 2.0, 6.0, across, 0.3, 0.8, 1e-4, True, ())


def make_design(
    coupons: tuple[CouponSet, ...] = (), *, card: MaterialCard | None = None, high: float = 23.0
) -> DesignValues:
    return design_values(card or make_card(), coupons, RULES, low=-10, high=high)


@pytest.fixture(scope="session")
def make() -> SimpleNamespace:
    return SimpleNamespace(
        part=make_part, card=make_card, vehicle=make_vehicle, coupons=make_coupons, case=make_case,
        result=make_result, mesh=make_mesh, design=make_design,
    )  # fmt: skip


@pytest.fixture(scope="session")
def judge(rules: Rules) -> Callable[..., Verdict]:
    """decide() on the sound case, with the named things changed."""

    def run(
        *, coupons: tuple[CouponSet, ...] = (), part: Part | None = None, card: MaterialCard | None = None,
        vehicle: Vehicle | None = None, result: DirectionResult | None = None, checks: tuple[Check, ...] = (),
        mesh: MeshReport | None = None, **more: object,
    ) -> Verdict:  # fmt: skip
        card, vehicle = card or make_card(), vehicle or make_vehicle()
        design = make_design(coupons, card=card, high=vehicle.service_high)
        given = (
            part or make_part(),
            card,
            vehicle,
            rules,
            design,
            result or make_result(),
            checks,
            mesh or make_mesh(),
        )
        return decide(*given, **({"life": LASTS} | more))  # type: ignore[arg-type]

    return run
