"""`printworthy creep FILE...`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Annotated

import typer

from printworthy import units, workspace
from printworthy.cli.show import card_value_lines, console
from printworthy.errors import CardError, InputError, Place
from printworthy.evidence.creep_fit import CreepFigures, Findley, figures, fitted
from printworthy.inputs import Quantity

NAME = "creep"


def run(
    files: Annotated[list[Path], typer.Argument(help="One table for each coupon: time [h],elongation [mm].")],
    temperature: Annotated[str, typer.Option(help="At which all of them crept.")] = "23 degC",
) -> None:
    """Findley's law through creep tests of your own: what a card states, so that preload, clamps and press fits can be
    decided.

    Hang a weight on a coupon and read its length: closely at first, then by the hour and the day.
    Example: printworthy creep hung-1.csv hung-2.csv hung-3.csv --temperature "40 degC"
    """
    warm = units.quantity(temperature, "temperature")
    tests = [_one(file) for file in files]
    for line in (*_each(files, tests), *_card(figures(tests), warm)):
        console().print(line, highlight=False, soft_wrap=True)


def _one(file: Path) -> Findley:
    hours, lengths = workspace.read_creep(file)
    try:
        return fitted(hours, lengths)
    except InputError as error:
        raise CardError(error.what, where=Place(file), do=error.do) from error


def _each(files: Sequence[Path], tests: Sequence[Findley]) -> Iterator[str]:
    for file, t in zip(files, tests, strict=True):
        yield (f"{file}: m = {t.m:.4g} (error {t.error_m:.2g}), n = {t.n:.4g} (error {t.error_n:.2g}) over "
               f"{t.hours:.4g} h; readings lie {100 * t.residual:.1f} % of their growth off the law")  # fmt: skip


def _card(found: CreepFigures, warm: float) -> Iterator[str]:
    for caution in found.cautions:
        yield f"caution: {caution}"
    yield "for a card of your own, cards/NAME.toml:"
    tests = (
        f"{found.tests} creep test{'s' if found.tests > 1 else ''} of our own, Findley's law, to {found.reach:.4g} h"
    )
    for name, (value, low, high) in (("creep_amplitude", found.m), ("creep_exponent", found.n)):
        yield from card_value_lines(name, Quantity(value, "", tests, "measured", low, high))
    yield from card_value_lines("creep_temperature", Quantity(warm, "degC", tests, "measured"))
    yield from card_value_lines("creep_duration", Quantity(found.hours, "h", tests, "measured"))
