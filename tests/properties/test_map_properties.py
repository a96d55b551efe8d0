"""What the map of build directions must obey: an isotropic part has no directions."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from test_model_properties import bracket

from printworthy.strength import DirectionMap, Settings, direction_map
from printworthy.strength.hot import full_strains
from printworthy.strength.reduced import coefficients, frames_of
from specimens import design_values, isotropic_card

FAR = 1e9  # [MPa] a strength that nothing comes near
UNSEEN = np.random.default_rng(71993).normal(size=(20, 3))


@cache
def plain(separated: bool) -> DirectionMap:
    """Map of an isotropic bracket; unless `separated`, only the largest principal stress counts."""
    weak = {"Z": 30.0, "S": 25.0, "S12": 40.0, "Xc": 80.0, "Zc": 70.0}
    design = design_values(X=60.0, **(weak if separated else dict.fromkeys(weak, FAR)))
    whole = bracket().in_material(isotropic_card(2000.0, 0.35)).model
    return direction_map(whole, design, Settings(directions=200, random_checks=5), lambda stage, share: None)


def test_strain_of_an_isotropic_part_is_the_same_whichever_way_up() -> None:
    basis = plain(True).basis
    fields = [full_strains(basis, q) for q in coefficients(basis, frames_of(UNSEEN))]
    size = np.abs(fields[0]).max()
    assert max(float(np.abs(f - fields[0]).max()) for f in fields) < 1e-9 * size


def test_map_of_an_isotropic_part_is_flat_under_an_isotropic_criterion() -> None:
    used = np.concatenate([plain(False).worst, plain(False).at(UNSEEN)[0].max(axis=(1, 2))])
    assert used == pytest.approx(np.full(len(used), used[0]), rel=1e-9)
    layered = plain(True).worst
    assert layered.max() > 1.2 * layered.min()  # and under one that knows layers it is not
