"""What each kind of ride event is told in the workspace: its keys, which of them it needs, and their range.

A value outside its range is refused: the model behind the event, or experience, ends there (ranges: common practice,
no source, but where a comment says more).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from printworthy import units
from printworthy.errors import InputError
from printworthy.inputs import EventKind, Machine, RideEvent
from printworthy.units import G


@dataclass(frozen=True, slots=True)
class Key:
    """One number of an event, in inside units: least and largest value; `usual` None: it must be stated."""

    least: float
    largest: float
    usual: float | None = None


@dataclass(frozen=True, slots=True)
class Kind:
    """Numbers and words an event of a kind knows; `impact`: too short for slow coupons to speak; `rider`: needs one."""

    numbers: Mapping[str, Key]
    words: Mapping[str, tuple[str, ...]]
    impact: bool = False
    rider: bool = False


EDGE = 1e-9  # of an end of a range: "3 g" is within a range up to 3 g, however it was turned into mm/s2
# What the numbers are, for people to read; the others are plain.
DIMENSIONS = {
    **dict.fromkeys(("height", "length", "gap"), "length"), "speed": "speed", "stiffness": "spring rate",
    **dict.fromkeys(("slope", "angle"), "angle"), "force": "force", "mass": "mass",
}  # fmt: skip
IN_G = ("deceleration", "acceleration", "lateral", "sprung", "unsprung", "level")
TESTED = ("strength", "service", "partial failure", "parking")
POSTURES = ("standing", "seated", "on one peg")
PER_G = Key(0.01 * G, 3 * G, 0.0)  # acceleration; 0: not stated, the limit holds
SEVERITY = Key(0.01, 1.0, 1.0)  # share of the limit
KINDS: Mapping[EventKind, Kind] = {
    "standing": Kind({"multiple": Key(0.2, 6.0, 1.0)}, {"posture": POSTURES}, rider=True),
    "braking": Kind(
        {"deceleration": PER_G, "severity": SEVERITY}, {"brakes": ("both", "front", "rear"), "posture": POSTURES[1::-1]}
    ),
    "acceleration": Kind({"acceleration": PER_G, "severity": SEVERITY}, {"posture": POSTURES[1::-1]}),
    "cornering": Kind({"lateral": PER_G, "severity": SEVERITY}, {"posture": POSTURES[1::-1]}),
    "rough road": Kind(
        {"sprung": Key(0.2 * G, 10 * G), "unsprung": Key(0.2 * G, 60 * G), "level": Key(0.0, 10 * G, 0.0)}, {}
    ),
    "bump": Kind(
        {"height": Key(1.0, 300.0), "length": Key(20.0, 5000.0), "speed": Key(100.0, 4e4)},
        {"posture": POSTURES[1::-1]}, impact=True,
    ),
    "landing": Kind(
        {"height": Key(1.0, 5000.0), "slope": Key(-45.0, 45.0, 0.0), "speed": Key(0.0, 4e4, 0.0),
         "gap": Key(0.0, 500.0, 100.0)},
        {"posture": POSTURES[:2], "wheel": ("both", "front", "rear")}, impact=True,
    ),
    "rut": Kind({"severity": SEVERITY, "angle": Key(0.0, 90.0, 60.0)}, {"posture": POSTURES[1::-1]}),
    "kick": Kind({"down": Key(0.05, 4.0), "rearward": Key(0.0, 2.0, 0.0)}, {}, rider=True),
    "tip-over": Kind(
        {"stiffness": Key(1.0, 2000.0)}, {"lands_on": ("bar end", "peg", "lever")}, impact=True
    ),
    "lever pull": Kind({"force": Key(10.0, 1500.0), "across": Key(0.0, 1.0, 0.0)}, {"test": TESTED}),
    "pedal press": Kind({"force": Key(10.0, 4000.0), "across": Key(0.0, 1.0, 0.0)}, {"test": TESTED}),
    "bar pull": Kind({"force": Key(10.0, 1500.0)}, {}),
    "bar end": Kind({"force": Key(10.0, 5000.0)}, {}),
    "leaning": Kind({"force": Key(1.0, 1500.0)}, {}),
    "tying down": Kind({"mass": Key(0.1, 500.0), "multiple": Key(0.2, 10.0), "straps": Key(1.0, 20.0)}, {}),
    "lifting": Kind({"share": Key(0.01, 1.0), "multiple": Key(0.5, 4.0, 1.5)}, {}),
    "towing": Kind({"slope": Key(0.0, 45.0), "rolling": Key(0.0, 0.3, 0.02)}, {}),
}  # fmt: skip


def number(e: RideEvent, key: str) -> float:
    """A number of an event [inside unit], or its usual value."""
    usual = KINDS[e.kind].numbers[key].usual
    value = e.numbers.get(key, usual)
    assert value is not None  # `problems` has seen to it
    return value


def word(e: RideEvent, key: str) -> str:
    """A word of an event; the first of its kind where none is stated."""
    return e.words.get(key) or KINDS[e.kind].words[key][0]


def shown(key: str, value: float) -> str:
    """A number of an event in the unit that people write."""
    if key in IN_G:
        return f"{value / G:.3g} g"
    return units.show(value, DIMENSIONS[key]) if key in DIMENSIONS else f"{value:.3g}"


def problems(e: RideEvent, m: Machine) -> Iterator[InputError]:
    """What is wrong with an event before anything is computed, one line each."""
    kind, where = KINDS[e.kind], e.place or ""
    head = f'event "{e.name}" ({e.kind})'
    known = ", ".join((*kind.numbers, *kind.words))
    for key in (*e.numbers, *e.words):
        if key not in kind.numbers and key not in kind.words:
            yield InputError(f'{head} knows no "{key}"', where=where, do=f"Known are: {known}")
    for key, least in kind.numbers.items():
        value = e.numbers.get(key, least.usual)
        if value is None:
            yield InputError(f'{head} has no "{key}"', where=where, do=f"Add it; known are: {known}")
        elif key in e.numbers and not least.least * (1 - EDGE) <= value <= least.largest * (1 + EDGE):
            ends = f"{shown(key, least.least)} to {shown(key, least.largest)}"
            what = f"{head}: {key} {shown(key, value)} lies outside what this event is computed for ({ends})"
            yield InputError(what, where=where, do="Correct it")
    for key, words in kind.words.items():
        if key in e.words and e.words[key] not in words:
            yield InputError(f'{head}: {key} is "{e.words[key]}"', where=where, do=f"Write one of: {', '.join(words)}")
    if kind.rider and m.rider is None:
        yield InputError(f"{head} needs a rider, and none is stated", where=where, do="Add [rider]")
