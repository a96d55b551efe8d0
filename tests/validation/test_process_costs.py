"""Cost of printed pieces and break-even numbers against published studies.

N. Hopkinson, P. Dickens, Proc. IMechE C 217 (2003) 31-39: its table from memory, every derived line re-done elsewhere.
E. Atzeni, A. Salmi, Int. J. Adv. Manuf. Technol. 62 (2012) 1147-1155: from memory. Rates, learning, machines: derived.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from compare import Source, compare

from printworthy.making import alternatives, cost

LEVER = Source("Hopkinson and Dickens 2003, small lever", "one machine, one part, all year", "from memory")
GEAR = Source("Atzeni and Salmi 2012, landing gear", "additive against pressure die casting", "from memory")
PLAIN = Source("Cost formulas", "straight-line hour rate; yield; learning; machines", "derived")


@dataclass(frozen=True)
class Machine:
    pieces: int
    hours: float
    price: float
    maintenance: float  # EUR a year
    minutes: float
    material: float  # EUR a piece
    machine_cost: float
    total: float
    number: float


MACHINES = {
    "stereolithography": Machine(190, 26.80, 1_040_000, 89_000, 82, 4.7e-3 * 275.20, 3.92, 5.25, 5450),
    "extrusion": Machine(75, 67.27, 101_280, 10_560, 70, 3.5e-3 * 400 + 1.6e-3 * 216, 2.64, 4.47, 6453),
    "laser sintering": Machine(1056, 59.78, 340_000, 30_450, 480, 1725.72 / 1056, 0.52, 2.20, 13_888),
}


@pytest.mark.parametrize("name", MACHINES)
def test_lever(name: str) -> None:
    m = MACHINES[name]
    inputs = {
        "material_price": m.material, "price": m.price, "life": 8.0, "hours_a_year": 7884.0,
        "maintenance": m.maintenance / m.price, "failure_rate": 0.0, "changeover": 0.0, "time_factor": 1.0,
        "labour": 5.30, "energy": 0.0, "set_up": m.minutes / 60, "support_removal": 0.0, "support_removal_each": 0.0,
        "finishing": 0.0, "inspection": 0.0, "coupons": 0.0,
    }  # fmt: skip
    items = cost.piece_items(
        inputs, mass=1.0, supports=0.0, bed_hours=m.hours, pieces=m.pieces, kwh=0.0, area=0.0, support_volume=0.0
    )
    total = float(sum(items.values()))
    compare(items["machine"], m.machine_cost, abs=0.006, source=LEVER, quantity=f"{name}: machine [EUR a piece]")
    compare(total, m.total, abs=0.011, source=LEVER, quantity=f"{name}: total [EUR a piece]")
    number = alternatives.break_even(round(total, 2), 27_360, 0.23)
    compare(number, m.number, rel=0.01, source=LEVER, quantity=f"{name}: break-even with moulding [pieces]")


def test_landing_gear() -> None:
    printed, cast = 25.81 + 8.00 + 472.50 + 20.00, 2.59 + 0.26 + 17.90
    number = alternatives.break_even(printed, 21_000, cast)
    compare(number, 41.54, abs=0.005, source=GEAR, quantity="break-even [pieces]")
    assert 41 * printed < 21_000 + 41 * cast
    assert 42 * printed > 21_000 + 42 * cast


def test_rates() -> None:
    rate = cost.hour_rate(6000, 5, 4000, 0.10) + 0.15 * 0.30
    compare(rate, 0.4950, rel=1e-9, source=PLAIN, quantity="hour of a 6000 EUR machine with power [EUR]")
    number = alternatives.break_even(12 / 0.92, 18_000, 1.60)
    compare(number, 1572.95, rel=1e-5, source=PLAIN, quantity="break-even at 92 % yield [pieces]")
    pieces = {0.8: {2: 0.8, 4: 0.64, 8: 0.512, 10: 0.4765, 50: 0.2838, 100: 0.2271}, 0.9: {10: 0.7047, 100: 0.4966}}
    sums = {0.8: {10: (6.3154, 6e-5), 100: (32.651, 6e-4)}, 0.9: {10: (7.9945, 6e-5), 100: (58.141, 6e-4)}}
    for share, table in pieces.items():
        for n, of_first in table.items():
            found = cost.unit_time(1.0, n, share)
            name = f"{100 * share:g} % learning, piece {n} over the first"
            compare(found, of_first, abs=6e-5, source=PLAIN, quantity=name)
        for n, (whole, near) in sums[share].items():
            total = sum(cost.unit_time(1.0, k, share) for k in range(1, n + 1))
            compare(total, whole, abs=near, source=PLAIN, quantity=f"{100 * share:g} % learning, sum of {n}")
    needed = cost.machines_needed(10_000, 6.5, 8760, 0.75)
    compare(needed, 10, abs=0.1, source=PLAIN, quantity="machines for 10 000 pieces of 6.5 h")
