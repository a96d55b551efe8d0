"""How numbers, directions and masses are written for a reader. Text only, no layout."""

from __future__ import annotations

import math

from printworthy.inputs import Vector

MINUS, TIMES, NARROW = "−", "×", "\u202f"
AXES = ("x", "y", "z")
_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def number(value: float, digits: int = 3) -> str:
    """`value` to `digits` significant digits, true minus sign, thousands set apart by a narrow space.

    Digits before the point are always kept (1234.5 -> '1 234'); 0.012345 -> '0.0123'; infinity -> 'unbounded'.
    """
    if math.isnan(value):
        return "not a number"
    if math.isinf(value):
        return "unbounded" if value > 0 else f"{MINUS}unbounded"
    if value == 0:
        return "0"
    magnitude = math.floor(math.log10(abs(value)))
    if magnitude < -4 or magnitude >= 9:
        mantissa = value / 10.0**magnitude
        power = str(magnitude).translate(_RAISED)
        return f"{mantissa:.{digits - 1}f}{TIMES}10{power}".replace("-", MINUS)
    decimals = max(0, digits - 1 - magnitude)
    text = f"{value:,.{decimals}f}".replace(",", NARROW)
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace("-", MINUS)


def utilisation(value: float) -> str:
    """A utilisation [-], rounded UP to two decimals so that no value above the limit is ever printed as 1.00."""
    if not math.isfinite(value):
        return number(value)
    # the small amount keeps 0.57 from becoming 0.58 through its binary tail
    up = math.ceil(value * 100 - 1e-9) / 100
    return f"{up:.2f}" if up < 100 else number(up)


def margin(use: float) -> str:
    """Margin of safety [-] of a utilisation, 1/u - 1 (usual aircraft form, from memory), rounded DOWN."""
    if use <= 0 or not math.isfinite(use):
        return "unbounded" if use == 0 else f"{MINUS}1.00" if use > 0 else "not a number"
    down = math.floor((1 / use - 1) * 100 + 1e-9) / 100
    return f"{down:+.2f}".replace("-", MINUS) if down < 1000 else "above 1000"


def vector(v: Vector, digits: int = 3) -> str:
    """Three components in brackets, kept on one line; components below 1e-9 of the largest are written 0."""
    small = 1e-9 * max(abs(c) for c in v)
    return "(" + f",{NARROW}".join(number(c if abs(c) > small else 0.0, digits) for c in v) + ")"


def direction(v: Vector) -> str:
    """A direction in words: 'along +z', '45° from +z towards +x', or its angle from the nearest axis of the file."""
    size = math.sqrt(sum(c * c for c in v))
    if size == 0:
        return "no direction"
    unit = [c / size for c in v]
    order = sorted(range(3), key=lambda i: -abs(unit[i]))
    name = [("+" if unit[i] >= 0 else MINUS) + AXES[i] for i in order]
    if abs(unit[order[1]]) < 0.005:
        return f"along {name[0]}"
    angle = math.degrees(math.acos(min(1.0, abs(unit[order[0]]))))
    if abs(unit[order[2]]) < 0.005:
        return f"{angle:.0f}° from {name[0]} towards {name[1]}"
    return f"{angle:.0f}° from {name[0]}, towards {name[1]} and {name[2]}"


def mass(kilograms: float) -> str:
    """A mass [kg] in grams below one kilogram."""
    return f"{number(kilograms)} kg" if kilograms >= 1 else f"{number(kilograms * 1000)} g"


_UNITS = {"degC": "°C", "g/cm3": "g/cm³", "N/mm3": "N/mm³", "MPa m^0.5": "MPa√m", "": "-"}


def unit(name: str) -> str:
    """A unit as it is printed; '-' for a pure number."""
    return _UNITS.get(name, name)


def plain(name: str) -> str:
    """The name of a property or rule without underscores."""
    return name.replace("_", " ")


def sentence(text: str) -> str:
    """The text with a capital first letter and a full stop."""
    text = text.strip()
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "!", "?")) else f"{text}."


def count(n: int, one: str, many: str) -> str:
    """'1 part', '3 parts', 'no parts'."""
    return f"{n or 'no'} {one if n == 1 else many}"


def moment(iso: str) -> str:
    """An ISO 8601 time of day in UTC as people read it: '2026-11-25 09:50:00 UTC'."""
    return iso.replace("T", " ").replace("+00:00", " UTC")
