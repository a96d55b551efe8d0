"""Text that people write ("200 N", "70 °C", "0, 0, -900 N") turned into numbers in the units used inside, and back.

A number without a unit is refused wherever a unit makes a difference, and so is a unit of another kind: nothing is
guessed. The unit registry of pint is built on first use, because building it takes longer than all the rest here.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Any

from printworthy.errors import TextError

Vector = tuple[float, float, float]
G = 9806.65  # [mm/s2] standard gravity, ISO 80000-3


@dataclass(frozen=True, slots=True)
class Dimension:
    """A kind of quantity: unit inside, units people may write, magnitudes beyond which a slip of the pen is certain."""

    unit: str
    accepted: tuple[str, ...]
    largest: float
    smallest: float = 0.0  # smallest magnitude above zero
    shown: str = ""  # unit of `show`, where people read another one than is used inside
    only: tuple[str, ...] = ()  # where pint cannot tell kinds apart (an angle from a percentage)


_STRESS = Dimension("MPa", ("MPa", "GPa", "kPa", "Pa", "N/mm^2", "bar", "psi", "ksi"), 1e7, 1e-6)

DIMENSIONS: dict[str, Dimension] = {
    "length": Dimension("mm", ("mm", "cm", "m", "um", "in", "ft"), 1e7, 1e-6),
    "area": Dimension("mm^2", ("mm^2", "cm^2", "m^2", "in^2"), 1e12, 1e-9),
    "volume": Dimension("mm^3", ("mm^3", "cm^3", "m^3", "in^3"), 1e15, 1e-9),
    "force": Dimension("N", ("N", "kN", "mN", "lbf", "kgf"), 1e9, 1e-6),
    "moment": Dimension("N*mm", ("N*m", "N*mm", "kN*m", "lbf*in", "lbf*ft"), 1e13, 1e-6, shown="N*m"),
    "energy": Dimension("N*mm", ("J", "kJ", "mJ", "N*m", "N*mm"), 1e13, 1e-6, shown="J"),
    "pressure": _STRESS,
    "stress": _STRESS,
    "mass": Dimension("kg", ("kg", "g", "t", "lb", "oz"), 1e6, 1e-9),
    "density": Dimension("g/cm^3", ("g/cm^3", "kg/m^3", "kg/dm^3", "lb/in^3"), 30.0, 1e-4),
    "temperature": Dimension("degC", ("degC", "°C", "K", "degF", "°F"), 4000.0, shown="°C"),
    "temperature difference": Dimension("K", ("K", "degC", "°C", "degF", "°F"), 4000.0),
    "acceleration": Dimension("mm/s^2", ("m/s^2", "mm/s^2", "g", "ft/s^2"), 1e9, 1e-6, shown="m/s^2"),
    "angle": Dimension("deg", ("deg", "°", "rad"), 36000.0, only=("degree", "radian")),
    "stiffness_per_area": Dimension("N/mm^3", ("N/mm^3", "MPa/mm", "GPa/m", "N/m^3"), 1e9, 1e-12),
    "spring rate": Dimension("N/mm", ("N/mm", "kN/m", "N/m", "lbf/in"), 1e7, 1e-6),
    "damping": Dimension("N*s/mm", ("N*s/mm", "N*s/m", "kN*s/m"), 1e6, 1e-9),
    "speed": Dimension("mm/s", ("m/s", "mm/s", "km/h", "mph"), 1e8, 1e-6),
    "time": Dimension("s", ("s", "ms", "min", "h", "day", "week", "month", "year"), 1e10, 1e-9),
    "rate": Dimension("1/year", ("1/year", "1/month", "1/week", "1/day", "1/h"), 1e9, 1e-9),
    "money": Dimension("EUR", ("EUR",), 1e10, 1e-6),
    "money by time": Dimension("EUR/h", ("EUR/h", "EUR/min", "EUR/day"), 1e6, 1e-6),
    "money by mass": Dimension("EUR/kg", ("EUR/kg", "EUR/g", "EUR/t"), 1e6, 1e-6),
    "money by area": Dimension("EUR/cm^2", ("EUR/cm^2", "EUR/m^2"), 1e6, 1e-9),
    "money by energy": Dimension("EUR/kWh", ("EUR/kWh",), 1e6, 1e-6),
    "flow": Dimension("mm^3/s", ("mm^3/s", "cm^3/s", "cm^3/min", "cm^3/h"), 1e7, 1e-6),
    "frequency": Dimension("1/s", ("Hz", "1/s", "kHz", "1/min"), 1e9, 1e-9, shown="Hz"),
    "acceleration density": Dimension("mm^2/s^3", ("g^2/Hz", "(m/s^2)^2/Hz", "m^2/s^3"), 1e15, shown="(m/s^2)^2/Hz"),
    "jerk": Dimension("mm/s^3", ("m/s^3", "mm/s^3"), 1e12, 1e-6, shown="m/s^3"),
    "time by area": Dimension("s/cm^2", ("s/cm^2", "min/cm^2"), 1e6, 1e-6),
    "time by volume": Dimension("s/cm^3", ("s/cm^3", "min/cm^3"), 1e6, 1e-6),
    "ratio": Dimension("", ("%",), 1e6, only=("percent", "dimensionless")),
    "count": Dimension("", (), 1e12, only=("dimensionless",)),
    "conductivity": Dimension("W/(m*K)", ("W/(m*K)", "mW/(m*K)"), 1e4, 1e-6),
    "film": Dimension("W/(m^2*K)", ("W/(m^2*K)", "mW/(mm^2*K)"), 1e8, 1e-6),
    "specific heat": Dimension("J/(kg*K)", ("J/(kg*K)", "kJ/(kg*K)"), 1e6, 1e-3),
    "power": Dimension("W", ("W", "kW", "mW"), 1e7, 1e-6),
    "irradiance": Dimension("W/m^2", ("W/m^2", "kW/m^2"), 1e5, 1e-3),
    "toughness": Dimension("MPa*m^0.5", ("MPa*m^0.5", "MPa m^0.5", "kPa*m^0.5", "N/mm^1.5"), 1e4, 1e-4),
    "expansion": Dimension("1/K", ("1/K", "um/(m*K)", "1/degC", "ppm/K", "1/degF"), 0.1, 1e-9),
}

# The names a unit may be built from, and pint's words for them. A closed list, because pint would also take "pa" for
# picoyear and "C" for coulomb.
_NAMES: dict[str, str] = {
    "um": "um", "µm": "um", "μm": "um", "mm": "mm", "cm": "cm", "dm": "dm", "m": "m", "km": "km",
    "in": "inch", "inch": "inch", "ft": "foot",
    "N": "N", "mN": "mN", "kN": "kN", "MN": "MN", "lbf": "lbf", "kgf": "kgf", "daN": "daN",
    "Nm": "(N*m)", "Nmm": "(N*mm)", "kNm": "(kN*m)",
    "Pa": "Pa", "kPa": "kPa", "MPa": "MPa", "GPa": "GPa", "bar": "bar", "psi": "psi", "ksi": "ksi",
    "mg": "mg", "g": "g", "kg": "kg", "t": "metric_ton", "lb": "pound", "oz": "ounce",
    "degC": "degC", "°C": "degC", "degF": "degF", "°F": "degF", "K": "kelvin",
    "us": "us", "µs": "us", "ms": "ms", "s": "s", "min": "minute", "h": "hour", "day": "day",
    "deg": "degree", "°": "degree", "rad": "radian", "%": "percent", "ppm": "ppm",
    "week": "week", "month": "month", "year": "year", "EUR": "EUR", "kWh": "(kW*h)",
    "Hz": "hertz", "kHz": "kilohertz",
    "mph": "mile_per_hour", "J": "J", "mJ": "mJ", "kJ": "kJ", "mW": "mW", "W": "W", "kW": "kW",
}  # fmt: skip

_NUMBER = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)", re.DOTALL)
_TOKEN = re.compile(
    r"(?P<name>[A-Za-zµμ°%]+)|(?P<power>(?:\^|\*\*)-?[01]\.5(?!\d)|(?:\^|\*\*)?-?[1-9](?!\d))|(?P<sign>[*/()·⋅ ])"
)
_SUPERSCRIPTS = str.maketrans({"²": "^2", "³": "^3", "−": "-"})


def quantity(text: object, dimension: str) -> float:
    """Read one quantity.

    Args:
        text: number and unit, as written by a person; a bare number only where the dimension has no unit.
        dimension: a key of `DIMENSIONS`.

    Returns:
        The value in the inside unit of the dimension (`DIMENSIONS[dimension].unit`).

    Raises:
        TextError: not a number, not finite, no unit, unit unknown or of another kind, magnitude that cannot be meant.
    """
    number, unit = _split(text, dimension)
    if not unit and not DIMENSIONS[dimension].unit:
        return _sensible(number, dimension, f"{text}")
    if not unit:
        raise TextError(f"{dimension} {_quoted(text)} has no unit", do=_accepted(dimension, number))
    return _sensible(_converter(unit, dimension)(number), dimension, f"{text}")


def span(text: object, dimension: str) -> tuple[float, float]:
    """Read a range, "8 to 20 W/(m^2*K)", as (low, high); a single quantity is a range of no width.

    Raises:
        TextError: as for `quantity`, or when the low end lies above the high end.
    """
    ends = [part.strip() for part in text.split(" to ")] if isinstance(text, str) else [text]
    if len(ends) != 2:
        value = quantity(text, dimension)
        return value, value
    unit = _split(ends[1], dimension)[1]
    low = quantity(ends[0] if _split(ends[0], dimension)[1] else f"{ends[0]} {unit}".strip(), dimension)
    high = quantity(ends[1], dimension)
    if low > high:
        raise TextError(f"the range {_quoted(text)} runs downwards", do="Exchange its ends")
    return low, high


def vector(text: object, dimension: str) -> Vector:
    """Read three quantities, "0, 0, -900 N": the unit after the last number holds for all, or each has its own.

    Raises:
        TextError: as for `quantity`, or when there are not three numbers.
    """
    parts = _three(text, dimension)
    last = _split(parts[2], dimension)[1]
    if not last and DIMENSIONS[dimension].unit:
        raise TextError(f"{dimension} {_quoted(text)} has no unit", do=_accepted(dimension))
    x, y, z = (quantity(part if _split(part, dimension)[1] else f"{part} {last}", dimension) for part in parts)
    return x, y, z


def direction(text: object) -> Vector:
    """Read a direction, "+z" or "0, 0.5, 1", as a unit vector (3,).

    Raises:
        TextError: neither a signed axis nor three numbers, or all three are zero.
    """
    do = 'Write a signed axis ("+x", "-x", "+y", "-y", "+z", "-z") or three numbers ("0, 0.5, 1")'
    if isinstance(text, str) and (axis := re.fullmatch(r"([+-])([xyz])", text.strip().translate(_SUPERSCRIPTS))):
        sign = 1.0 if axis[1] == "+" else -1.0
        x, y, z = (sign if name == axis[2] else 0.0 for name in "xyz")
        return x, y, z
    if not isinstance(text, str) or text.count(",") != 2:
        raise TextError(f"{_quoted(text)} is not a direction", do=do)
    x, y, z = (quantity(part, "count") for part in text.split(","))
    length = math.hypot(x, y, z)
    if length == 0.0:
        raise TextError(f"{_quoted(text)} has no length and so no direction", do=do)
    return x / length, y / length, z / length


def show(value: float, dimension: str, digits: int = 3) -> str:
    """Write a value [inside unit] for people, with `digits` significant digits and the unit they read."""
    kind = DIMENSIONS[dimension]
    unit = kind.shown or kind.unit
    if unit != kind.unit and math.isfinite(value):
        value = value / _converter(unit, dimension)(1.0) if dimension != "temperature" else value
    return f"{_digits(value, digits)} {unit}".rstrip()


def _digits(value: float, digits: int) -> str:
    if value == 0.0 or not math.isfinite(value):
        return f"{value:g}".removeprefix("-") if value == 0.0 else f"{value:g}"
    if not 1e-4 <= abs(value) < 1e7:
        return f"{value:.{digits - 1}e}"
    rounded = float(f"{value:.{digits - 1}e}")
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(rounded))))
    text = f"{rounded:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _quoted(text: object) -> str:
    """The text as it stands in the file, cut where it would run on."""
    shown = f"{text}"
    return f'"{shown}"' if len(shown) <= 60 else f'"{shown[:57]}..."'


def _three(text: object, dimension: str) -> list[str]:
    parts = [part.strip() for part in text.split(",")] if isinstance(text, str) else []
    if len(parts) != 3 or not all(parts):
        unit = (DIMENSIONS[dimension].accepted or ("",))[0]
        do = f'Write three numbers with commas between them, points for decimals, one unit: "0, 0, -1.5 {unit}"'
        raise TextError(f"{dimension} {_quoted(text)} is not three numbers", do=do)
    return parts


def _split(text: object, dimension: str) -> tuple[float, str]:
    """Number and unit text."""
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise TextError(f"{dimension} {_quoted(text)} is not a quantity", do=_accepted(dimension))
    written = str(text).strip().translate(_SUPERSCRIPTS)
    match = _NUMBER.fullmatch(written)
    if match is None:
        finite = "is not a finite number" if re.match(r"[+-]?(nan|inf)", written, re.IGNORECASE) else "has no number"
        raise TextError(f"{dimension} {_quoted(text)} {finite}", do=_accepted(dimension))
    if match[2].startswith((",", "_", "'")):
        do = "Write a point for decimals and nothing between thousands"
        raise TextError(f'{dimension} {_quoted(text)} has a "{match[2][0]}" inside its number', do=do)
    return float(match[1]), match[2].strip()


def _sensible(value: float, dimension: str, text: str) -> float:
    """The value, unless nobody can mean it."""
    kind = DIMENSIONS[dimension]
    if not math.isfinite(value):
        raise TextError(f"{dimension} {_quoted(text)} is not a finite number", do=_accepted(dimension))
    if dimension == "temperature" and value < -273.15 - 1e-9:
        raise TextError(f"temperature {_quoted(text)} is below absolute zero", do="Check the sign and the unit")
    if abs(value) > kind.largest or 0.0 < abs(value) < kind.smallest:
        limits = f"{kind.smallest:g} to {kind.largest:g} {kind.unit}".rstrip()
        raise TextError(
            f"{dimension} {_quoted(text)} cannot be meant (taken are {limits})", do="Check the number and its unit"
        )
    return value


def _accepted(dimension: str, number: float = 1.0) -> str:
    units = DIMENSIONS[dimension].accepted
    if not units:
        return "Write a plain number"
    return f'Units taken: {", ".join(units)}; for example "{number:g} {units[0]}"'


@cache
def _converter(unit: str, dimension: str) -> Callable[[float], float]:
    """From a number in `unit` to the inside unit, affine for temperatures."""
    registry, kind = _registry(), DIMENSIONS[dimension]
    source = registry.parse_units(_spelled(unit, dimension))
    target = registry.parse_units(_spelled(kind.unit, dimension)) if kind.unit else registry.dimensionless
    names = {name for name, _ in registry.Quantity(1.0, source).unit_items()}
    if source.dimensionality != target.dimensionality or (kind.only and not names <= set(kind.only)):
        raise TextError(f"{_quoted(unit)} is not a unit of {dimension}", do=_accepted(dimension))
    if source == target:
        return lambda number: number
    # Twelve digits are more than anybody measures, and take the binary dust of the conversion (69.85000000000002) away.
    if dimension == "temperature":
        return lambda number: float(f"{registry.Quantity(number, source).to(target).magnitude:.12g}")
    factor = float(registry.Quantity(1.0, source).to(target).magnitude)
    return lambda number: float(f"{number * factor:.12g}")


def _spelled(unit: str, dimension: str) -> str:
    """The unit as pint spells it, after a check of every part against the closed list of names."""
    unit = f"1{unit}" if unit.startswith("/") else unit
    out, at, depth = "", 0, 0
    while at < len(unit):
        token = _TOKEN.match(unit, at)
        if token is None:
            raise TextError(f"{_quoted(unit)} is not a unit (at {_quoted(unit[at:])})", do=_accepted(dimension))
        at, piece = token.end(), token[0]
        if token["name"]:
            out += _name(piece, dimension)
        elif token["power"]:
            is_one = piece == "1" and (not out or out.endswith(("/", "*", "(")))
            out += "1" if is_one else "**" + piece.lstrip("^*")
        else:
            depth += {"(": 1, ")": -1}.get(piece, 0)
            out += "*" if piece in "·⋅" else piece
    spelled = re.sub(r"(?<=[\w)]) +(?=[\w(])", "*", out.strip()).replace(" ", "")
    if depth or not re.fullmatch(_EXPRESSION, spelled):
        raise TextError(f"{_quoted(unit)} is not a unit", do=_accepted(dimension))
    return spelled


_FACTOR = r"(?:1|\(*[A-Za-z_]+(?:\*\*-?\d(?:\.5)?)?)(?:\)(?:\*\*-?\d)?)*"
_EXPRESSION = rf"{_FACTOR}(?:[*/]{_FACTOR})*"


def _name(name: str, dimension: str) -> str:
    if name in _NAMES:
        # An acceleration in grams has no meaning, one in multiples of standard gravity is what everybody writes.
        standard = {("acceleration", "g"): "standard_gravity", ("acceleration density", "g"): "standard_gravity"}
        differences = {"degC": "delta_degC", "degF": "delta_degF"} if dimension != "temperature" else {}
        spelled = standard.get((dimension, name), _NAMES[name])
        return differences.get(spelled, spelled)
    same_letters = [known for known in _NAMES if known.lower() == name.lower()]
    near = same_letters or get_close_matches(name, _NAMES, n=2, cutoff=0.6)
    hint = f"Did you mean {' or '.join(near)}? " if near else ""
    raise TextError(f"unit {_quoted(name)} is not known", do=hint + _accepted(dimension))


@cache
def _registry() -> Any:
    """The unit registry of pint, one for the process; money is a kind of its own, in one currency."""
    import pint

    return pint.UnitRegistry(Path(__file__).with_name("unit_definitions.txt"))
