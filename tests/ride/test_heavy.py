"""Parts weighed where they sit: two by hand, against what the machine states."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from machines import carrier

from printworthy.inputs import Geometry, Mounting, Part
from printworthy.ride.heavy import carried


def part(name: str, origin: tuple[float, float, float], z: tuple[float, float, float] = (0, 0, 1)) -> Part:
    return Part(
        name, name, Geometry(Path("p.step")), "peg", "petg", {}, (), (), mounting=Mounting(origin, (1, 0, 0), z)
    )


def test_mass_and_common_centre_by_hand() -> None:
    """1 kg at (500, 0, 300) and 3 kg 40 mm along its own z, which lies to the left, at (900, 40, 500)."""
    parts = [part("a", (500, 0, 300)), part("b", (900, 0, 500), (0, 1, 0)), part("unknown", (0, 0, 0))]
    parts.append(replace(parts[0], name="loose", mounting=None))
    found = list(carried(carrier(), parts, {"a": (1.0, (0, 0, 0)), "b": (3.0, (0, 0, 40)), "loose": (9.0, (0, 0, 0))}))
    assert [h.value for h in found] == pytest.approx([4.0, (500 + 2700) / 4, (300 + 1500) / 4])
    assert not any(h.warning for h in found)


def test_parts_heavier_than_the_machine_are_told() -> None:
    (mass, *_) = carried(carrier(), [part("a", (500, 0, 300))], {"a": (102.0, (0, 0, 0))})
    assert "more than the 101 kg" in mass.warning  # 40 + 40 + 7 + 14
    assert list(carried(carrier(), [], {})) == []
