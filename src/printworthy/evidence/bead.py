"""Inside the bead: how much of a print is polymer, how much of its layers touch, and what a weighed mass says of it.

A bead is a stadium, flat above and below and round at its sides; closed forms of its outline (own derivations).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printworthy.errors import CardError
from printworthy.making import motion

CUSP = 1 - math.pi / 4  # area between two quarter rounds and the layer, over the squared layer height


@dataclass(frozen=True, slots=True)
class Bead:
    """Beads `width` by `height` laid `pitch` apart [mm] with a `flow` of what was meant [-]: cross-section `area`
    [mm2], pitch that closes the layer [mm]; share of voids where melt flows and where outlines keep their shape,
    None where the flow is not what the outline asks for; share of the plane between layers that touches [-]."""

    width: float
    height: float
    pitch: float
    flow: float
    area: float
    closing: float
    void: float
    rigid: float | None
    bonded: float


def inside(width: float, height: float, pitch: float, flow: float = 1.0) -> Bead:
    """All that a bead's outline says, for beads `pitch` apart [mm]. CardError for what is no bead (see below)."""
    void = void_fraction(width, height, pitch, flow)
    if not width - height <= pitch <= 2 * width:
        what = f"beads {width:g} mm wide are not laid {pitch:g} mm apart"
        raise CardError(what, do="State the distance from middle to middle of two beads, or what they overlap")
    rigid = None if flow != 1.0 else rigid_void_fraction(width, height, pitch)
    return Bead(width, height, pitch, flow, bead_area(width, height), closing_pitch(width, height), void, rigid,
                bonded_fraction(height, pitch, void))  # fmt: skip


def bead_area(width: float, height: float) -> float:
    """Cross-section [mm2] of a bead `width` by `height` [mm]: (w - h) h + pi h^2/4. CardError for a width below the
    height: such a bead is not a stadium."""
    if not width >= height > 0:
        raise CardError(f"a bead {width:g} mm wide and {height:g} mm high is no bead", do="State width >= height > 0")
    return motion.bead_area(width, height)


def closing_pitch(width: float, height: float) -> float:
    """Distance of beads [mm] at which the deposited area fills the layer: area / height = w - h (1 - pi/4)."""
    return bead_area(width, height) / height


def void_fraction(width: float, height: float, pitch: float, flow: float = 1.0) -> float:
    """Share of voids [-] in a layer of beads `pitch` [mm] apart if melt flows into the gap: 1 - flow A/(p h).

    Mass is kept; below zero: over-filled. `flow` is what comes out over what was meant to. CardError for a pitch or
    flow that is not above zero.
    """
    if not (pitch > 0 and flow > 0):
        raise CardError(
            f"pitch {pitch:g} mm and flow {flow:g} must be above zero", do="State what the machine was set to"
        )
    return 1 - flow * bead_area(width, height) / (pitch * height)


def rigid_void_fraction(width: float, height: float, pitch: float) -> float:
    """Share of voids [-] if outlines keep their shape and merge, the overlap counted once.

    Union per pitch: A less the lens of two rounds of radius h/2 that are p - (w - h) apart. Holds for
    w - h <= pitch; beyond the width there is a gap. Not to be mixed with `void_fraction`: mass is not kept.
    """
    apart, radius = pitch - (width - height), height / 2
    if apart < 0:
        raise CardError(
            f"beads {pitch:g} mm apart overlap beyond their rounds", do="State a pitch of width - height or more"
        )
    lens = 0.0
    if apart < height:
        lens = 2 * radius**2 * math.acos(apart / height) - apart / 2 * math.sqrt(height**2 - apart**2)
    return 1 - (bead_area(width, height) - lens) / (pitch * height)


def bonded_fraction(height: float, pitch: float, void: float) -> float:
    """Share [-] of the plane between two layers that touches, of a layer `height` with beads `pitch` apart [mm] and a
    share `void` of voids [-].

    The voids keep the shape of the cusps between stadiums, h wide for an area of (1 - pi/4) h^2 a bead, and shrink as
    melt fills them: width = sqrt(void p h/(1 - pi/4)). Own derivation; at pitch = width it is (w - h)/w, at no voids 1.
    How well what touches is welded is not in it.
    """
    gap = math.sqrt(max(void, 0.0) * pitch * height / CUSP)
    return max(0.0, 1 - gap / pitch)


def strand_length(volume: float, diameter: float) -> float:
    """Length [mm] of a strand of `diameter` [mm] that holds `volume` [mm3]."""
    return volume / (math.pi * diameter**2 / 4)


def print_mass(volume: float, density: float, void: float = 0.0) -> float:
    """Mass [kg] of a print of `volume` [mm3] in a polymer of `density` [g/cm3] with a share `void` of voids."""
    return volume * density * (1 - void) * 1e-6


def fill_ratio(mass: float, volume: float, density: float) -> float:
    """Share [-] of a print's volume that is polymer: mass [kg] over that of the solid."""
    return mass / print_mass(volume, density)
