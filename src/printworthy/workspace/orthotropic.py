"""Cards that tell along the beads from across them: what must hold between their numbers, and what follows from them.

Axis 1 along the beads, 2 across them in the layer, 3 the build direction; nu_ij is the contraction along j when pulled
along i, so that nu_ji = nu_ij E_j / E_i (the compliance is symmetric).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from printworthy.inputs import NINE, Quantity

MODULI = ("modulus_along", "modulus_across", "modulus_through")
# Places i, j of the larger-numbered axis first come last: the ratio that is used, and the one it is held against.
RATIOS = (
    (0, 1, "poisson_along_across", "poisson_across_along"),
    (0, 2, "poisson_along_through", "poisson_through_along"),
    (1, 2, "poisson_across_through", "poisson_through_across"),
)
OWN = ("along", "across", "shear_modulus_in_layer")  # words of properties that only such a card may have
# What the rest of the program asks of any card, from what such a card states: the weaker or softer of the two.
LESSER = {
    "modulus_in_layer": ("modulus_along", "modulus_across"),
    "shear_modulus_through": ("shear_modulus_along_through", "shear_modulus_across_through"),
    "strength_in_layer": ("strength_along", "strength_across"),
    "compression_in_layer": ("compression_along", "compression_across"),
}
SAME = {"poisson_in_layer": "poisson_along_across", "poisson_through": "poisson_along_through"}
SCATTER = 0.1  # two Poisson ratios measured apart may miss the symmetry of the compliance by this share (assumed)


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong, below which keys of [values], and what to do."""

    what: str
    at: tuple[str, ...]
    do: str


def faults(values: Mapping[str, Quantity]) -> list[Fault]:
    """Everything that is wrong with the constants along and across the beads; nothing for a card without any."""
    own = [name for name in values if any(word in name for word in OWN)]
    if not own:
        return []
    if missing := [name for name in NINE if name not in values]:
        do = f"State all nine constants, or none of {', '.join(own)}"
        return [Fault(f"along and across the beads are told apart without {', '.join(missing)}", (own[0],), do)]
    twice = [name for name in (*LESSER, *SAME) if name in values and name not in ("strength_in_layer",)]
    twice += [n for n in ("strength_in_layer",) if n in values and "strength_across" in values]
    if twice:
        do = "Leave it out: it follows from the constants along and across the beads"
        return [Fault(f"{name} is stated beside the constants of the beads", (name,), do) for name in twice]
    if "strength_across" in values and "strength_along" not in values:
        return [Fault("strength_across stands without strength_along", ("strength_across",), "State both, or call it "
                      "strength_in_layer")]  # fmt: skip
    if "strength_along" in values and "strength_across" not in values:
        return [Fault("strength_along stands without strength_across", ("strength_along",), "State both")]
    return [*_one_sided(values), *_not_reciprocal(values), *_not_definite(values)]


def _one_sided(values: Mapping[str, Quantity]) -> Iterator[Fault]:
    if ("compression_along" in values) != ("compression_across" in values):
        (name,) = [n for n in ("compression_along", "compression_across") if n in values]
        yield Fault(f"{name} stands alone", (name,), "State compression along and across the beads, or neither")
    elif "compression_along" in values and "strength_along" not in values:
        do = "State strength_along and strength_across too"
        yield Fault("compression_along stands without strength_along", ("compression_along",), do)


def _not_reciprocal(values: Mapping[str, Quantity]) -> Iterator[Fault]:
    """Ratios measured both ways that miss nu_ij / E_i = nu_ji / E_j by more than scatter."""
    for i, j, used, other in RATIOS:
        if other in values:
            follows = values[used].value * values[MODULI[j]].value / values[MODULI[i]].value
            stated = values[other].value
            if abs(stated - follows) > SCATTER * max(abs(stated), abs(follows)):
                pair = f"nu{i + 1}{j + 1} E{j + 1} / E{i + 1}"
                what = f"nu{j + 1}{i + 1} = {pair} fails: {stated:.4g} against {follows:.4g}"
                yield Fault(what, (other,), f"Leave {other} out, or correct it, {used} or a modulus")


def _not_definite(values: Mapping[str, Quantity]) -> Iterator[Fault]:
    """Conditions for positive strain energy that fail.

    |nu_ij| < sqrt(E_i / E_j) and 1 - nu12 nu21 - nu23 nu32 - nu13 nu31 - 2 nu21 nu32 nu13 > 0. Source: Lempriere, AIAA
    Journal 6 (1968) 2226, from memory; with the moduli above zero they are all minors of the compliance.
    """
    e = [values[name].value for name in MODULI]
    nu = {(i, j): values[used].value for i, j, used, _ in RATIOS}
    failed = False
    for i, j, used, _ in RATIOS:
        most = math.sqrt(e[i] / e[j])
        if not abs(nu[i, j]) < most:
            failed = True
            what = f"|nu{i + 1}{j + 1}| < sqrt(E{i + 1} / E{j + 1}) fails: {abs(nu[i, j]):g} against {most:.4g}"
            yield Fault(what, (used,), "Correct the ratio or a modulus")
    back = {pair: nu[pair] * e[pair[1]] / e[pair[0]] for pair in nu}  # nu21, nu31, nu32
    left = 1.0 - sum(nu[pair] * back[pair] for pair in nu) - 2.0 * back[0, 1] * back[1, 2] * nu[0, 2]
    if not failed and not left > 0.0:
        what = f"1 - nu12 nu21 - nu23 nu32 - nu13 nu31 - 2 nu21 nu32 nu13 > 0 fails: it is {left:.4g}"
        yield Fault(what, ("poisson_along_through",), "Lower the Poisson ratios or correct a modulus")


def completed(values: Mapping[str, Quantity]) -> dict[str, Quantity]:
    """The values of a card with what the rest of the program asks of any card: the weaker and softer of along and
    across, each with its own source."""
    if "modulus_along" not in values:
        return dict(values)
    made = {name: _named(values[of], f"taken from {of}") for name, of in SAME.items()}
    for name, pair in LESSER.items():
        if all(one in values for one in pair):
            least = min(pair, key=lambda one: values[one].value)
            made[name] = _named(values[least], f"the lesser of {pair[0]} and {pair[1]}")
    return {**values, **made}


def _named(quantity: Quantity, how: str) -> Quantity:
    return replace(quantity, source=f"{how}: {quantity.source}")
