"""A bar on two supports, loaded in its middle and warmed: load, deflection and strain of a deflection temperature test.

ISO 75-1/-2 and ASTM D648 (from memory): beam theory of a rectangular bar, stress and strain of its outer fibre.
"""

from __future__ import annotations

from dataclasses import dataclass

from printworthy.errors import CardError


@dataclass(frozen=True, slots=True)
class WarmBar:
    """A bar `depth` [mm] high in the direction of the load and `width` [mm] wide, on supports `span` [mm] apart.

    CardError for a size that is not positive, or a span below seven depths, where shear would be felt.
    """

    span: float
    depth: float
    width: float

    def __post_init__(self) -> None:
        if min(self.span, self.depth, self.width) <= 0:
            raise CardError("span, depth and width must be above zero", do="Give them as measured")
        if self.span < 7 * self.depth:
            what = f"a span of {self.span:g} mm is short for a bar {self.depth:g} mm high"
            raise CardError(what, do="Rest the bar on supports seven of its heights apart or more")

    def load(self, stress: float) -> float:
        """Force [N] in the middle that makes `stress` [MPa] in the outer fibre: 2 stress b h^2 / (3 L)."""
        return 2 * stress * self.width * self.depth**2 / (3 * self.span)

    def deflection(self, strain: float) -> float:
        """How far the middle sinks [mm] while the outer fibre strains by `strain` [-]: strain L^2 / (6 h)."""
        return strain * self.span**2 / (6 * self.depth)

    def strain(self, deflection: float) -> float:
        """Strain [-] of the outer fibre while the middle sinks by `deflection` [mm]: 6 h s / L^2."""
        return 6 * self.depth * deflection / self.span**2
