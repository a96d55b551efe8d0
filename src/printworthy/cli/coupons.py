"""`printworthy coupons FILE`."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Annotated

import typer

from printworthy import dossier, evidence, units, workspace
from printworthy.cli.show import card_value_lines, claim_lines, console, coupon_lines, oblique_lines, weight_lines
from printworthy.errors import CardError
from printworthy.workspace.cards import read_cards

NAME = "coupons"
STATED = "Claims of the trade, held against these coupons"


def run(
    file: Annotated[Path, typer.Argument(help="Table of coupons, as in evidence/ of a workspace.")],
    page: Annotated[Path | None, typer.Option(help="Write plots and figures as an HTML page to this file.")] = None,
    share: Annotated[str | None, typer.Option(help="How many coupons let this share of the mean be used, 80%.")] = None,
    card: Annotated[
        bool, typer.Option("--card", help="Write E1, E3 and G13 of pull curves as a card of your own states them.")
    ] = False,
    moulded: Annotated[
        str | None, typer.Option(help="Strength of the same polymer moulded, 110 MPa.", rich_help_panel=STATED)
    ] = None,
    cast_scatter: Annotated[
        float | None, typer.Option(help="Scatter of die castings, 0.05.", rich_help_panel=STATED)
    ] = None,
    mass: Annotated[
        tuple[str, str] | None,
        typer.Option(help="Mass of your print and of the metal part, 34g 59g.", rich_help_panel=STATED),
    ] = None,
    peak: Annotated[
        tuple[str, str] | None,
        typer.Option(help="Peak load of your print and of the metal part, 3.2kN 3kN.", rich_help_panel=STATED),
    ] = None,
) -> None:
    """Statistics of coupons: scatter, outliers, batches, distributions, one recommended A- and B-basis, shear,
    how many more are worth it, and claims about printing held against them.

    Example: printworthy coupons my-vehicle/evidence/petg.csv --share 80% --page petg.html
    """
    part = None if share is None else units.quantity(share, "ratio")
    if part is not None and not 0 < part < 1:
        raise CardError(f"{share} of the mean cannot be asked for", do="State a share below all of it, as 80%")
    folder = file.resolve().parent.parent  # the cards of the workspace that the table belongs to, if it does
    cards = read_cards(folder if (folder / "vehicle.toml").is_file() else None)
    sets, problems = workspace.read_coupons(file, None)
    problems += workspace.against_cards(sets, cards)
    for problem in problems:
        print(problem, file=sys.stderr)  # noqa: T201
    if problems:
        raise typer.Exit(1)
    rules = workspace.read_rules()
    found = evidence.studies(sets, rules)
    oblique = evidence.oblique_studies(sets, cards, rules)
    compared = _compared(moulded, cast_scatter, mass, peak)
    claims = evidence.coupon_claims(found, cards, rules, compared)
    weights = evidence.by_weight(found, cards, compared.moulded)
    asked = [f"  {s.title}: {evidence.for_share(s, part, rules)}" for s in found] if part is not None else []
    for line in (
        *coupon_lines(found),
        *evidence.untested(found),
        *asked,
        *oblique_lines(oblique),
        *weight_lines(weights),
        *claim_lines(claims),
        *(_card(evidence.measured_moduli(sets, cards, rules)) if card else ()),
    ):
        console().print(line, highlight=False, soft_wrap=True)
    if page is not None:
        dossier.write_coupons(found, sets, oblique, weights, claims, rules, page)
        console().print(f"Page: {page}", highlight=False, soft_wrap=True)


def _compared(
    moulded: str | None, cast_scatter: float | None, mass: tuple[str, str] | None, peak: tuple[str, str] | None
) -> evidence.Compared:
    """What was stated for the claims, in inside units."""
    if cast_scatter is not None and not 0 < cast_scatter < 1:
        raise CardError(f"a scatter of castings of {cast_scatter:g} is not a share", do="State 0.05 for 5 %")
    masses = (None, None) if mass is None else tuple(units.quantity(m, "mass") for m in mass)
    peaks = (None, None) if peak is None else tuple(units.quantity(p, "force") for p in peak)
    strength = None if moulded is None else units.quantity(moulded, "stress")
    return evidence.Compared(strength, cast_scatter, *masses, *peaks)


def _card(found: Sequence[evidence.MeasuredModuli]) -> Iterator[str]:
    if not found:
        yield "no modulus for a card: three pull curves with strain or displacement are needed in a direction"
    for moduli in found:
        yield f"for a card of your own, cards/{moduli.material}.toml ({moduli.state}):"
        for caution in moduli.cautions:
            yield f"# {caution}"
        for name, quantity in moduli.values.items():
            yield from card_value_lines(name, quantity)
