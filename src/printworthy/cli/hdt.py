"""`printworthy hdt SPAN DEPTH WIDTH`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

import typer

from printworthy import units
from printworthy.cli.show import console
from printworthy.errors import TextError
from printworthy.evidence.knockdown import STRAIN, STRESSES, modulus_at_hdt
from printworthy.evidence.warm_bar import WarmBar

NAME = "hdt"
GRAVITY = 9.80665  # m/s2
STANDARD = 0.002  # [-] how far a reading's strain may lie off before it is not that of the card
METHODS = {"hdt_180": "A", "hdt_045": "B"}


def run(
    span: Annotated[str, typer.Argument(help="Between the supports, 64mm.")],
    depth: Annotated[str, typer.Argument(help="Height of the bar under the load, 4mm.")],
    width: Annotated[str, typer.Argument(help="Width of the bar, 10mm.")],
    modulus: Annotated[str | None, typer.Option(help="Of the bar at room temperature, 2500MPa.")] = None,
    deflection: Annotated[
        str | None, typer.Option(help="What a reading was taken at, where not the standard's, 0.25mm.")
    ] = None,
) -> None:
    """A heat-deflection test of your own print: what to hang on a bar, how far it may sink before the temperature is
    read, and the modulus it has left there. The readings are hdt_180 and hdt_045 of a card.

    Lay the bar flat, hang the weight in its middle, wait five minutes, set the gauge to zero, then warm by 2 K a
    minute. Print it upright too: between layers it may soften as the polymer does and break earlier.
    Example: printworthy hdt 64mm 4mm 10mm --modulus 2500MPa
    """
    bar = WarmBar(*(units.quantity(text, "length") for text in (span, depth, width)))
    start = None if modulus is None else units.quantity(modulus, "stress")
    if start is not None and start <= 0:
        raise TextError("a modulus must be above zero", do="Give that of the bar at 23 degC")
    strain = STRAIN if deflection is None else bar.strain(units.quantity(deflection, "length"))
    for line in (*_hang(bar, strain, start), *_against(strain)):
        console().print(line, highlight=False, soft_wrap=True)


def _hang(bar: WarmBar, strain: float, start: float | None) -> Iterator[str]:
    yield (f"bar {bar.width:g} x {bar.depth:g} mm on {bar.span:g} mm: read the temperature when the middle has sunk by "
           f"{bar.deflection(strain):.3g} mm since warming began (strain {100 * strain:.4g} %)")  # fmt: skip
    for name, stress in STRESSES.items():
        force = bar.load(stress)
        left = "" if start is None else (
            f"; modulus there {modulus_at_hdt(stress, start, strain):.4g} MPa, of {start:g} MPa"
        )  # fmt: skip
        yield (f"  {name}, ISO 75 method {METHODS[name]}, {stress:.2f} MPa: hang {force:.4g} N "
               f"({1000 * force / GRAVITY:.4g} g){left}")  # fmt: skip


def _against(strain: float) -> Iterator[str]:
    if abs(strain - STRAIN) > STANDARD / 20:
        yield (f"  the cards take readings at {100 * STRAIN:g} % strain: sink the bar to that, or state a temperature "
               "as such with its strain in the source")  # fmt: skip
    elif strain < STRAIN * (1 - 1e-6):
        yield f"  a card takes it as read at {100 * STRAIN:g} %: the modulus it then uses is a little low"
