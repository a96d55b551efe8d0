"""Quantities, vectors and directions.

Conversions are compared with defined values: inch 25.4 mm, pound-force 4.4482216152605 N, pound 0.45359237 kg, standard
gravity 9.80665 m/s2 (NIST SP 811, 2008, appendix B.8, from memory), and with the fixed points of water.
"""

from __future__ import annotations

import subprocess
import sys

import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from printworthy import units
from printworthy.errors import TextError
from printworthy.units import DIMENSIONS, direction, quantity, show, vector


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("200 N", "force", 200.0),
        ("0.2kN", "force", 200.0),
        ("1 lbf", "force", 4.4482216152605),
        ("1 in", "length", 25.4),
        ("5 N*m", "moment", 5000.0),
        ("5 N·m", "moment", 5000.0),
        ("5 Nm", "moment", 5000.0),
        ("5 N m", "moment", 5000.0),
        ("1 GPa", "stress", 1000.0),
        ("1 psi", "stress", 4.4482216152605 / 25.4**2),
        ("1 N/mm²", "stress", 1.0),
        ("1 lb", "mass", 0.45359237),
        ("7850 kg/m^3", "density", 7.85),
        ("1.27 g/cm3", "density", 1.27),
        ("70 °C", "temperature", 70.0),
        ("70 degC", "temperature", 70.0),
        ("343 K", "temperature", 69.85),
        ("158 °F", "temperature", 70.0),
        ("32 degF", "temperature", 0.0),
        ("212 degF", "temperature", 100.0),
        ("−40 degF", "temperature", -40.0),
        ("18 degF", "temperature difference", 10.0),
        ("10 degC", "temperature difference", 10.0),
        ("3 g", "acceleration", 3 * 9806.65),
        ("-9.81 m/s^2", "acceleration", -9810.0),
        ("180 deg", "angle", 180.0),
        ("500 N/mm^3", "stiffness_per_area", 500.0),
        ("36 km/h", "speed", 10_000.0),
        ("1 mph", "speed", 447.04),
        ("2 MPa*m^0.5", "toughness", 2.0),
        ("2 h", "time", 7200.0),
        ("5 %", "ratio", 0.05),
        (0.35, "ratio", 0.35),
        ("0.35", "ratio", 0.35),
        (3, "count", 3.0),
        ("0.2 W/(m K)", "conductivity", 0.2),
        ("0.2 W/m/K", "conductivity", 0.2),
        ("60 um/(m*K)", "expansion", 6e-5),
        ("6e-5/K", "expansion", 6e-5),
        ("5.4e-5 1/degF", "expansion", 9.72e-5),
        ("24 mm2", "area", 24.0),
        ("1 J", "energy", 1000.0),
        ("2 MPa m^0.5", "toughness", 2.0),
        ("1000 N/mm^1.5", "toughness", 1000.0**0.5),  # 1 m = 1000 mm
    ],
)
def test_conversion(text: object, dimension: str, value: float) -> None:
    assert quantity(text, dimension) == pytest.approx(value, rel=1e-11, abs=1e-11)


@pytest.mark.parametrize(
    ("text", "dimension", "words"),
    [
        ("5", "force", "no unit"),
        ("2 MPa m^0.55", "toughness", "not a unit"),
        (5, "length", "no unit"),
        (True, "count", "not a quantity"),
        ([1.0], "count", "not a quantity"),
        ("", "force", "no number"),
        ("N", "force", "no number"),
        ("nan N", "force", "not a finite number"),
        ("-inf N", "force", "not a finite number"),
        ("1e999 N", "force", "not a finite number"),
        ("1e15 N", "force", "cannot be meant"),
        ("1e-9 mm", "length", "cannot be meant"),
        ("1,5 N", "force", 'has a "," inside'),
        ("1_000 N", "force", 'has a "_" inside'),
        ("-274 degC", "temperature", "below absolute zero"),
        ("-1 K", "temperature", "below absolute zero"),
        ("5 kg", "force", "not a unit of force"),
        ("5 %", "angle", "not a unit of angle"),
        ("5 deg", "ratio", "not a unit of ratio"),
        ("5 N/mm", "stiffness_per_area", "not a unit"),
        ("5 C", "temperature", "not known"),
        ("5 mPa", "stress", 'unit "mPa" is not known'),
        ("5 N/", "force", "not a unit"),
        ("5 (N", "force", "not a unit"),
        ("5 N^99", "force", "not a unit"),
        ("5 N; rm", "force", "not a unit"),
    ],
)
def test_refused(text: object, dimension: str, words: str) -> None:
    with pytest.raises(TextError, match=r".") as caught:
        quantity(text, dimension)
    line = str(caught.value)
    assert words in line
    assert "\n" not in line


@pytest.mark.parametrize(("written", "meant"), [("Mpa", "MPa"), ("kn", "kN"), ("mMm", "mm"), ("degc", "degC")])
def test_near_spelling_is_offered(written: str, meant: str) -> None:
    with pytest.raises(TextError) as caught:
        quantity(f"5 {written}", "stress")
    assert f"Did you mean {meant}" in str(caught.value)


def test_a_refusal_names_the_units_taken() -> None:
    with pytest.raises(TextError) as caught:
        quantity("5 slug", "mass")
    assert "Units taken: kg, g, t, lb, oz" in str(caught.value)


def test_long_text_is_cut_in_the_message() -> None:
    with pytest.raises(TextError) as caught:
        quantity("x" * 5000, "mass")
    assert len(str(caught.value)) < 300


def test_vector() -> None:
    assert vector("0, 0, -900 N", "force") == (0.0, 0.0, -900.0)
    assert vector("0 mm, 1 cm, 1 in", "length") == (0.0, 10.0, 25.4)
    assert vector("0, 0, 5 N*m", "moment") == (0.0, 0.0, 5000.0)


@pytest.mark.parametrize("text", ["0 0 1 N", "1, 2 N", "1, 2, 3, 4 N", "0, 0, 1", "0, , 1 N", "0, 0, x N", 3, ""])
def test_vector_refused(text: object) -> None:
    with pytest.raises(TextError):
        vector(text, "force")


def test_direction() -> None:
    assert direction("+z") == (0.0, 0.0, 1.0)
    assert direction("-x") == (-1.0, 0.0, 0.0)
    assert direction("0, 3, 4") == pytest.approx((0.0, 0.6, 0.8), abs=1e-15)


@pytest.mark.parametrize("text", ["z", "+w", "up", "0, 0, 0", "1, 2", "0, 0, 1 mm", "nan, 0, 1", 3])
def test_direction_refused(text: object) -> None:
    with pytest.raises(TextError):
        direction(text)


@given(st.tuples(*[st.floats(-1e6, 1e6)] * 3).filter(lambda v: sum(abs(x) for x in v) > 1e-6))
def test_directions_have_length_one(numbers: tuple[float, float, float]) -> None:
    x, y, z = direction(", ".join(f"{number!r}" for number in numbers))
    assert x * x + y * y + z * z == pytest.approx(1.0, rel=1e-12)


WITH_UNITS = [(name, unit) for name, kind in DIMENSIONS.items() for unit in kind.accepted]


@given(st.sampled_from(WITH_UNITS), st.floats(1.5, 3.0))
def test_every_unit_taken_is_read_and_comes_back_through_show(kind: tuple[str, str], number: float) -> None:
    dimension, unit = kind
    number *= {"1/K": 1e-5, "1/degC": 1e-5, "1/degF": 1e-5, "K": 300.0, "lb/in^3": 0.1}.get(unit, 1.0)  # real sizes
    value = quantity(f"{number!r} {unit}", dimension)
    assert quantity(show(value, dimension, 12), dimension) == pytest.approx(value, rel=1e-10, abs=1e-9)


@pytest.mark.parametrize(
    ("value", "dimension", "text"),
    [
        (200.0, "force", "200 N"),
        (5000.0, "moment", "5 N*m"),
        (9806.65, "acceleration", "9.81 m/s^2"),
        (70.0, "temperature", "70 °C"),
        (-0.0, "force", "0 N"),
        (1234.5, "force", "1230 N"),
        (0.99951, "ratio", "1"),
        (0.0123456, "length", "0.0123 mm"),
        (6e-5, "expansion", "6.00e-05 1/K"),
    ],
)
def test_show(value: float, dimension: str, text: str) -> None:
    assert show(value, dimension) == text


ALPHABET = st.text(alphabet=" 0123456789.,+-eEN*/^()mkg°%CKµ²\n\x00\"'", max_size=20)


@given(ALPHABET, st.sampled_from(sorted(DIMENSIONS)))
@example("5 N^-1^-1", "force")
@example("1 m**2**2", "length")
def test_no_text_brings_anything_but_a_number_or_a_refusal(text: str, dimension: str) -> None:
    line = ""
    try:
        value = quantity(text, dimension)
    except TextError as error:
        line, value = str(error), 0.0
    assert "\n" not in line
    assert abs(value) <= DIMENSIONS[dimension].largest


def test_every_unit_is_the_one_of_pints_own_list() -> None:
    own, theirs = units._registry(), pint.UnitRegistry()
    for name in {*units._NAMES.values(), "standard_gravity", "delta_degC", "delta_degF"} - {"EUR"}:
        root, other = (r.Quantity(1.0, r.parse_units(name)).to_root_units() for r in (own, theirs))
        assert f"{root.units}" == f"{other.units}", name
        assert root.magnitude == pytest.approx(other.magnitude, rel=1e-14), name


def test_importing_units_does_not_build_the_registry() -> None:
    code = "import sys, printworthy.units; print('pint' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
