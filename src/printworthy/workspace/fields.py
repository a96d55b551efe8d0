"""Kinds of fields of the TOML layout: what a person may write in them, and what they become."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, TypeVar, get_args

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, StringConstraints
from pydantic_core import PydanticCustomError

from printworthy import units
from printworthy.errors import InputError
from printworthy.inputs import LifeUnit, RideSpan, Vector

T = TypeVar("T")


DAY = 86400.0
YEAR = 365.25 * DAY  # [s], the year of `units`


class Table(BaseModel):
    """A TOML table: no unknown keys, no conversions between kinds of values."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


def refuse(what: str, do: str = "") -> PydanticCustomError:
    """The error to raise inside a check of a table: what is wrong, what to do."""
    return PydanticCustomError("refused", "{what}", {"what": what, "do": do})


def _reader(read: Callable[[object], T], *checks: Callable[[T], str]) -> BeforeValidator:
    def validate(text: object) -> T:
        try:
            value = read(text)
        except InputError as error:
            raise refuse(error.what, error.do) from error
        for check in checks:
            if wrong := check(value):
                raise refuse(f'"{text}" {wrong}', "Correct it, or leave the line out if it may be left out")
        return value

    return BeforeValidator(validate)


def _quantity(dimension: str) -> Callable[[object], float]:
    return lambda text: units.quantity(text, dimension)


def _vector(dimension: str) -> Callable[[object], Vector]:
    return lambda text: units.vector(text, dimension)


def _positive(value: float) -> str:
    return "" if value > 0.0 else "is not above zero"


def _all_positive(value: Vector) -> str:
    return "" if min(value) > 0 else "has a side that is not above zero"


def _acute(value: float) -> str:
    return "" if 0 < value < 90 else "is not between 0 and 90 deg"


def _below_whole(value: float) -> str:
    return "" if 0 < value < 1 else "is not between 0 and 100 %"


def _at_most_one(value: float) -> str:
    return "" if value <= 1.0 else "is above 1"


def _within_a_day(value: float) -> str:
    return "" if value <= DAY else "is more than a day"


def _steep(value: float) -> str:
    return "" if -60 < value < 60 else "is not between -60 and 60 deg"


def _foreseeable(hours: float) -> str:
    return "" if hours <= 1e5 else "is longer than 100000 h, further than anything here was tested"


NO_AGE = ("none", "no", "never", "unlimited", "infinite", "unknown", "not stated", "n/a", "tbd", "-", "?")


def _an_age(text: str) -> str:
    if text.strip().lower() in NO_AGE:
        raise refuse(f'"{text}" is no age to retire at', 'State an age or ride, "300 h of ride or one season"')
    return text


def _not_negative(value: float) -> str:
    return "" if value >= 0.0 else "is negative"


def _not_zero(value: float | Vector) -> str:
    return "" if (any(value) if isinstance(value, tuple) else value) else "is zero"


def _ride(text: object) -> RideSpan:
    """A length of ride: "500 h" or "20000 km"."""
    written = f"{text}".replace("\u202f", " ").strip()
    unit = next((u for u in get_args(LifeUnit) if written.endswith(u)), None)
    if not isinstance(text, str) or unit is None:
        raise refuse(f'"{text}" is not a length of ride', 'Write hours or kilometres of ride: "500 h", "20000 km"')
    value = units.quantity(written.removesuffix(unit).strip(), "count")
    if not value > 0:
        raise refuse(f'"{text}" is not above zero', 'Write hours or kilometres of ride: "500 h", "20000 km"')
    return RideSpan(value, unit)


def _level(value: float) -> str:
    return "" if 0 < value <= 1 else "is not a share of the case's load, above 0 and at most 1"


def _turning(value: float) -> str:
    return "" if -1 <= value <= 1 else "is not a share of the case's load, from -1 to 1"


def _swing(value: float) -> str:
    return "" if -1 <= value < 1 else "is not a ratio of the smallest to the largest load, from -1 to below 1"


def _unit_of_length(text: object) -> str:
    names = {"mm": "mm", "cm": "cm", "m": "m", "in": "in", "inch": "in", "ft": "ft"}
    if not isinstance(text, str) or text not in names:
        raise refuse(f'"{text}" is not a unit a geometry file may have', f"Write one of {', '.join(names)}")
    return names[text]


def is_file_name(text: str) -> bool:
    """Whether a text can name a file on every system: not empty, not endless, no control characters."""
    return 0 < len(text) <= 200 and text.isprintable()


def _file_name(text: str) -> str:
    if not is_file_name(text):
        raise refuse(f'"{text[:60]}" is not the name of a file', "Write its name as it stands in the folder")
    return text


Text = Annotated[str, StringConstraints(strip_whitespace=True, max_length=2000)]
Stated = Annotated[Text, StringConstraints(min_length=1)]
FileName = Annotated[str, AfterValidator(_file_name)]
Name = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,59}$")]
LengthUnit = Annotated[str, BeforeValidator(_unit_of_length)]

Length = Annotated[float, _reader(_quantity("length"), _positive)]
Position = Annotated[float, _reader(_quantity("length"))]  # along an axis: may be zero or negative
Force = Annotated[float, _reader(_quantity("force"), _positive)]
ForceOrNone = Annotated[float, _reader(_quantity("force"), _not_negative)]  # a preload may be zero
Speed = Annotated[float, _reader(_quantity("speed"), _positive)]
Rate = Annotated[float, _reader(_quantity("spring rate"), _positive)]
RateOrNone = Annotated[float, _reader(_quantity("spring rate"), _not_negative)]
Damping = Annotated[float, _reader(_quantity("damping"), _not_negative)]
Angle = Annotated[float, _reader(_quantity("angle"))]
Steep = Annotated[float, _reader(_quantity("angle"), _steep)]
Gain = Annotated[float, _reader(_quantity("acceleration"), _not_negative)]
Share = Annotated[float, _reader(_quantity("ratio"), _not_negative)]
Moment = Annotated[float, _reader(_quantity("moment"), _positive)]
Pressure = Annotated[float, _reader(_quantity("pressure"), _not_zero)]
Sizes = Annotated[Vector, _reader(_vector("length"), _all_positive)]
Overhang = Annotated[float, _reader(_quantity("angle"), _acute)]
Stiffness = Annotated[float, _reader(_quantity("stiffness_per_area"), _positive)]
Temperature = Annotated[float, _reader(_quantity("temperature"))]
Warming = Annotated[float, _reader(_quantity("temperature difference"), _not_zero)]
Ratio = Annotated[float, _reader(_quantity("ratio"), _positive)]
Filled = Annotated[float, _reader(_quantity("ratio"), _below_whole)]
Fraction = Annotated[float, _reader(_quantity("ratio"), _positive, _at_most_one)]
Money = Annotated[float, _reader(_quantity("money"), _not_negative)]
Mass = Annotated[float, _reader(_quantity("mass"), _positive)]
YearlyRate = Annotated[float, _reader(_quantity("rate"), _not_negative)]
Time = Annotated[float, _reader(_quantity("time"), _positive)]
Years = Annotated[float, _reader(lambda text: units.quantity(text, "time") / YEAR, _positive)]
TimeOfDay = Annotated[float, _reader(_quantity("time"), _not_negative, _within_a_day)]
Count = Annotated[float, _reader(_quantity("count"), _not_negative)]
Level = Annotated[float, _reader(_quantity("ratio"), _level)]
Turning = Annotated[float, _reader(_quantity("ratio"), _turning)]
Swing = Annotated[float, _reader(_quantity("ratio"), _swing)]
Age = Annotated[Text, AfterValidator(_an_age)]
Ride = Annotated[RideSpan, _reader(_ride)]
Hours = Annotated[float, _reader(lambda text: units.quantity(text, "time") / 3600, _positive, _foreseeable)]

Point = Annotated[Vector, _reader(_vector("length"))]
Direction = Annotated[Vector, _reader(units.direction)]
ForceVector = Annotated[Vector, _reader(_vector("force"), _not_zero)]
MomentVector = Annotated[Vector, _reader(_vector("moment"), _not_zero)]
Acceleration = Annotated[Vector, _reader(_vector("acceleration"), _not_zero)]
Movement = Annotated[Vector, _reader(_vector("length"), _not_zero)]
