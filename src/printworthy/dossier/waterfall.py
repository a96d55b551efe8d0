"""From start to design value as a picture: one bar for each knock-down, lettered, with its source in the key."""

from __future__ import annotations

from printworthy.dossier import words
from printworthy.dossier.document import Figure
from printworthy.dossier.plot import Axis, plot
from printworthy.inputs import Rules
from printworthy.results import DesignValue, DesignValues, DirectionResult, Step
from printworthy.verdict import governing

BAR = 0.36  # half the width of a bar, in steps
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def waterfalls(design: DesignValues, result: DirectionResult, rules: Rules) -> tuple[Figure, ...]:
    """One figure for each strength that governs, in the order in which they govern."""
    return tuple(waterfall(g.value, design.untaken) for g in governing(result, design, rules))


def waterfall(value: DesignValue, untaken: tuple[Step, ...]) -> Figure:
    """Start value, every step that was taken as a bar from the value before to the value after it, design value; then,
    as open rings, the knock-downs that were asked and not taken."""
    steps = value.steps
    last = len(steps) + 1
    marks = [(0.0, "start"), *((i + 1.0, LETTERS[i]) for i in range(len(steps))), (float(last), "design value")]
    marks += [(last + 1.0 + i, LETTERS[len(steps) + i]) for i in range(len(untaken))]
    end = last + len(untaken) + 0.6
    top = 1.12 * max(value.start, value.value)
    made = plot(Axis("", -0.6, end, ticks=tuple(marks)), Axis("MPa", 0.0, top), height=240)
    made.box(-BAR, BAR, 0.0, value.start, "block pale")
    made.say(0.0, value.start, words.number(value.start), dy=-7)
    running = value.start
    for i, step in enumerate(steps, 1):
        after = running * step.factor
        made.line((i - 1 + BAR, i + BAR), (running, running), "dotted")
        made.box(i - BAR, i + BAR, after, running, "block hatched" if "assumed" in step.source else "block")
        made.say(i, max(after, running), f"{words.TIMES} {words.number(step.factor, 3)}", dy=-7)
        running = after
    made.line((last - 1 + BAR, last + BAR), (running, running), "dotted")
    made.box(last - BAR, last + BAR, 0.0, value.value)
    made.say(last, value.value, words.number(value.value), dy=-7)
    made.points([last + 1.0 + i for i in range(len(untaken))], [value.value] * len(untaken), "ring")
    key = [(LETTERS[i], f"{words.TIMES} {words.number(s.factor, 3)}: {s.name}. Source: {s.source}") for i, s in
           enumerate(steps)]  # fmt: skip
    key += [(LETTERS[len(steps) + i], f"{s.name}: not taken, {s.source}") for i, s in enumerate(untaken)]
    few = f"{value.n} coupons" if value.n else "no coupons"
    caption = (
        f"{words.sentence(value.name)} From {words.number(value.start)} MPa ({value.source}) to the design value of "
        f"{words.number(value.value)} MPa, {few}. Hatched: the factor is assumed. Rings: asked and not taken."
    )
    alt = caption + " " + " ".join(f"{letter}: {meaning}." for letter, meaning in key)
    return Figure(made.text(), alt, caption, tuple(key))
