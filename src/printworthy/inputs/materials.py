"""Frozen records of what a person states about materials: cards, coupons and the decision rule's values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from printworthy.errors import Place

Confidence = Literal["measured", "published", "from memory", "common practice, no source", "assumed", "invented"]
Consequence = Literal["harmless", "may injure", "single point of failure"]
BeadDirection = Literal["", "along", "across", "both"]  # of the pull against the beads; "" nobody said
CouponDirection = Literal["in layer", "between layers", "45 degrees", "interlayer shear"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit, source and spread; value, low and high in `unit`."""

    value: float
    unit: str
    source: str
    confidence: Confidence
    low: float | None = None
    high: float | None = None
    date: str = ""


@dataclass(frozen=True, slots=True)
class MaterialCard:
    """One material: every number a `Quantity`; a property that is not known is absent, never guessed.

    `values` is keyed by property name; the names and their units are `PROPERTIES`.
    Axes 1-2 lie in the layer, 3 along the build direction. A printed polymer is alike all round in its layers, or,
    where it states the constants of `NINE`, orthotropic with axis 1 along the beads.
    """

    name: str
    title: str
    kind: Literal["printed polymer", "metal"]
    values: Mapping[str, Quantity]
    electrically_conductive: bool = False
    flame_rating: str = ""
    moisture_state: str = ""
    example_only: bool = False
    notes: tuple[str, ...] = ()

    def number(self, name: str) -> float | None:
        """Value of a property in its unit of `PROPERTIES`, or None where the card has none."""
        return self.values[name].value if name in self.values else None

    @property
    def orthotropic(self) -> bool:
        """Whether it tells along the beads from across them."""
        return "modulus_along" in self.values


NINE = (
    "modulus_along", "modulus_across", "modulus_through",
    "poisson_along_across", "poisson_along_through", "poisson_across_through",
    "shear_modulus_across_through", "shear_modulus_along_through", "shear_modulus_in_layer",
)  # fmt: skip
PROPERTIES: Mapping[str, str] = {
    "modulus_in_layer": "MPa",  # E1 = E2
    "modulus_through": "MPa",  # E3
    "poisson_in_layer": "",  # nu12
    "poisson_through": "",  # nu13: contraction along 3 when pulled along 1
    "shear_modulus_through": "MPa",  # G13 = G23
    "modulus_along": "MPa",  # E1, along the beads
    "modulus_across": "MPa",  # E2, across the beads in the layer
    "poisson_along_across": "",  # nu12: contraction across the beads when pulled along them
    "poisson_along_through": "",  # nu13
    "poisson_across_through": "",  # nu23
    "poisson_across_along": "",  # nu21, nu31, nu32: held against the three above where they were measured too
    "poisson_through_along": "",
    "poisson_through_across": "",
    "shear_modulus_in_layer": "MPa",  # G12
    "shear_modulus_along_through": "MPa",  # G13
    "shear_modulus_across_through": "MPa",  # G23
    "strength_along": "MPa",  # X1, tension along the beads
    "strength_across": "MPa",  # X2, tension across the beads
    "compression_along": "MPa",  # Xc1
    "compression_across": "MPa",  # Xc2
    "strength_in_layer": "MPa",  # X, tension, weakest in-layer direction
    "strength_through": "MPa",  # Z, tension between layers
    "shear_between_layers": "MPa",  # S
    "shear_in_layer": "MPa",  # S12
    "compression_in_layer": "MPa",  # Xc
    "compression_through": "MPa",  # Zc
    "toughness_in_layer": "MPa m^0.5",  # K_Ic of a crack across the layers
    "toughness_between": "MPa m^0.5",  # K_Ic of a crack between layers
    "yield_strength": "MPa",  # metals
    "ultimate_strength": "MPa",  # metals
    "fatigue_strength": "MPa",  # metals, amplitude at the cycles the source states
    "density": "g/cm3",
    "glass_transition": "degC",
    "melting": "degC",
    "hdt_045": "degC",  # ISO 75 at 0.45 MPa
    "hdt_180": "degC",  # ISO 75 at 1.80 MPa
    "service_low": "degC",
    "service_high": "degC",
    "expansion_in_layer": "1/K",
    "expansion_through": "1/K",
    "conductivity_in_layer": "W/(m K)",
    "conductivity_through": "W/(m K)",
    "specific_heat": "J/(kg K)",
    "moisture_factor": "",  # strength moist / strength dry, for coupons tested dry
    "weathering_factor": "",  # strength weathered / strength new, after the exposure its source states
    "moulded_strength": "MPa",  # the same polymer injection moulded, for comparison only
    "strength_scatter": "",  # coefficient of variation of a process, for comparison only
    "creep_amplitude": "",  # m of Findley's law, strain(t) = strain(0) (1 + m t^n), t in hours
    "creep_exponent": "",  # n of Findley's law
    "creep_temperature": "degC",  # at which both were measured; left out: 23 degC
    "creep_duration": "s",  # of the shortest of the tests behind them: how far they reach hangs on it
}


@dataclass(frozen=True, slots=True)
class CouponSet:
    """Strengths of coupons of one material and one batch pulled one way. `strengths` (n,) [MPa].

    `batch` "": not stated. `moduli`, `strains` at break [MPa], [-]: only of coupons that came as curves.
    `curves` (n, m, 2) strain [-] and stress [MPa], thinned for drawing; `remarks` on them, a line each, with place.
    """

    name: str
    material: str
    direction: CouponDirection
    strengths: tuple[float, ...]
    temperature: float  # [degC]
    moisture: str
    source: str
    invented: bool
    place: Place
    batch: str = ""
    beads: BeadDirection = ""
    impact: bool = False  # notched and fast, the conditions of a blow
    moduli: tuple[float, ...] = ()
    strains: tuple[float, ...] = ()
    curves: tuple[tuple[tuple[float, float], ...], ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """Name of the set with its batch."""
        return f"{self.name}, batch {self.batch}" if self.batch else self.name


@dataclass(frozen=True, slots=True)
class Rules:
    """The decision rule's values, each a `Quantity`; `roles` gives the consequence of failure by part role."""

    values: Mapping[str, Quantity]
    roles: Mapping[str, Consequence]
    metal_roles: tuple[str, ...]
    inspection_factors: Mapping[str, Quantity]
    evidence: Mapping[Consequence, str] = field(default_factory=dict)
