"""`printworthy bead WIDTH LAYER`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

import typer

from printworthy import units, workspace
from printworthy.cli.show import console
from printworthy.errors import TextError
from printworthy.evidence.bead import Bead, fill_ratio, inside, print_mass
from printworthy.evidence.weighing import judged, planned_fill, possible, strength_left

NAME = "bead"


def run(
    width: Annotated[str, typer.Argument(help="Width of the bead, 0.48mm.")],
    layer: Annotated[str, typer.Argument(help="Height of the layer, 0.2mm.")],
    pitch: Annotated[str | None, typer.Option(help="From middle to middle of two beads, 0.44mm.")] = None,
    overlap: Annotated[str | None, typer.Option(help="Or: width less pitch, 0.04mm.")] = None,
    flow: Annotated[str, typer.Option(help="What is laid over what the bead asks for.")] = "100%",
    density: Annotated[str | None, typer.Option(help="Of the polymer, 1.24g/cm^3.")] = None,
    volume: Annotated[float | None, typer.Option(help="Of the solid part in mm3, as `printworthy shape` says.")] = None,
    mass: Annotated[str | None, typer.Option(help="What a printed piece weighs, 23.1g.")] = None,
) -> None:
    """Inside the bead: section, voids, what touches between layers, density and mass of a solid print, and what a
    weighed piece says of its extrusion and strength.

    Without pitch or overlap the beads lie where they just close the layer.
    Example: printworthy bead 0.48mm 0.2mm --overlap 0.04mm --density 1.24g/cm^3 --volume 20000 --mass 23.1g
    """
    if pitch is not None and overlap is not None:
        raise TextError("pitch and overlap are both stated", do="Keep one of them")
    wide, high = units.quantity(width, "length"), units.quantity(layer, "length")
    apart = inside(wide, high, wide).closing
    if pitch is not None:
        apart = units.quantity(pitch, "length")
    elif overlap is not None:
        apart = wide - units.quantity(overlap, "length")
    found = inside(wide, high, apart, units.quantity(flow, "ratio"))
    dense = None if density is None else units.quantity(density, "density")
    weighed = None if mass is None else units.quantity(mass, "mass")
    if weighed is not None and (dense is None or volume is None):
        raise TextError("a mass says nothing without density and volume", do="Add --density and --volume")
    for line in (*_geometry(found), *_mass(found, dense, volume, weighed)):
        console().print(line, highlight=False, soft_wrap=True)


def _geometry(b: Bead) -> Iterator[str]:
    yield (f"bead {b.width:g} mm wide in layers of {b.height:g} mm, {b.pitch:.4g} mm apart "
           f"(overlap {b.width - b.pitch:.3g} mm), flow {100 * b.flow:g} %")  # fmt: skip
    yield f"  section {b.area:.4g} mm2; the layer closes at a pitch of {b.closing:.4g} mm"
    if b.void < -1e-9:
        yield f"  over-filled by {-100 * b.void:.2f} %: more is laid than fits, the layer swells"
    else:
        rigid = "" if b.rigid is None else f", {100 * b.rigid:.2f} % where outlines keep their shape"
        yield f"  voids {100 * abs(b.void):.2f} % where melt flows into the gap{rigid}"
    yield (f"  {100 * b.bonded:.0f} % of the plane between layers touches (own derivation); how well it is welded, "
           "only coupons say")  # fmt: skip


def _mass(b: Bead, density: float | None, volume: float | None, mass: float | None) -> Iterator[str]:
    fill = planned_fill((b.width, b.height, b.pitch, b.flow))
    if density is not None:
        yield f"  density of the print {fill * density:.4g} g/cm3, of the polymer {density:.4g} g/cm3"
    if density is None or volume is None:
        return
    solid = print_mass(volume, density)
    yield f"  {volume / 1000:.4g} cm3 so laid weigh {1000 * fill * solid:.4g} g, without voids {1000 * solid:.4g} g"
    if mass is None:
        return
    whole = fill_ratio(mass, volume, density)
    share, rules = (whole / fill, whole / fill), workspace.read_rules()
    if not possible((whole, whole), rules):
        do = "Check mass, volume and density, and their units"
        raise TextError(f"{1000 * mass:.4g} g cannot be a print of a solid of {1000 * solid:.4g} g", do=do)
    word = judged(share, rules)
    yield f"  weighed {1000 * mass:.4g} g: {100 * whole:.1f} % filled, {100 * share[0]:.1f} % of the plan: {word}"
    ends = (f"{100 * low:.0f} to {100 * high:.0f} %"
            for low, high in strength_left(share, (b.width, b.height, b.pitch, b.flow)))  # fmt: skip
    yield "  strength left, against a piece filled as planned: {} in the layer, {} between layers".format(*ends)
