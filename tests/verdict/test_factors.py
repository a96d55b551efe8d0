"""Factors on load: 14 CFR 25.303 (1.5), 25.619 (times the highest special factor), 25.621(c), 25.625 (1.15)."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest

from printworthy.errors import CardError, TextError
from printworthy.inputs import Nearby, Rules
from printworthy.verdict import consequence, factors, service_range


@pytest.mark.parametrize(
    ("changes", "product"),
    [
        ({"inspection": "none"}, 1.5 * 2.0),
        ({"inspection": "visual"}, 1.5 * 2.0),
        ({"inspection": "coupons each batch"}, 1.5 * 1.5),
        ({"inspection": "proof test each"}, 1.5 * 1.25),
        ({"inspection": "coupons each batch", "fitting": True}, 1.5 * 1.5),  # 25.619: the highest only
        ({"inspection": "proof test each", "load_factor": 2.0}, 2.0 * 1.25),
        ({"inspection": "proof test each", "load_factor": 1.2, "load_factor_reason": "measured peak"}, 1.2 * 1.25),
    ],
)
def test_product(make: SimpleNamespace, rules: Rules, changes: dict[str, object], product: float) -> None:
    assert math.prod(s.factor for s in factors(make.part(**changes), rules)) == pytest.approx(product, rel=1e-12)


def test_fitting_counts_where_it_is_the_highest(make: SimpleNamespace, rules: Rules) -> None:
    mild = replace(rules.inspection_factors["none"], value=1.1)
    special = factors(make.part(fitting=True), replace(rules, inspection_factors={"visual": mild}))[1]
    assert (special.name, special.factor) == ("fitting factor", 1.15)


def test_a_smaller_factor_needs_a_reason(make: SimpleNamespace, rules: Rules) -> None:
    with pytest.raises(TextError, match=r"load factor 1\.2 is smaller than 1\.5"):
        factors(make.part(load_factor=1.2), rules)


def test_an_unknown_inspection_class_lists_the_known(make: SimpleNamespace, rules: Rules) -> None:
    with pytest.raises(CardError, match=r"'x-ray' is not known.*coupons each batch"):
        factors(make.part(inspection="x-ray"), rules)


def test_every_factor_has_a_source(make: SimpleNamespace, rules: Rules) -> None:
    assert all(s.source for s in factors(make.part(), rules))


def test_consequence_by_role_and_as_stated(make: SimpleNamespace, rules: Rules) -> None:
    assert consequence(make.part(), rules) == "may injure"
    assert consequence(make.part(consequence="single point of failure"), rules) == "single point of failure"
    mild = make.part(consequence="harmless")
    with pytest.raises(TextError, match="milder"):
        consequence(mild, rules)
    reasoned = make.part(consequence="harmless", consequence_reason="hangs on a rope")
    assert consequence(reasoned, rules) == "harmless"
    with pytest.raises(TextError, match="role 'gizmo' is not known"):
        consequence(make.part(role="gizmo"), rules)


def test_service_range_covers_what_is_near(make: SimpleNamespace) -> None:
    hot = make.part(near=(Nearby("disc", 50.0, 55.0, "measured"),))
    assert service_range(hot, make.vehicle()) == (-10.0, 55.0)
    assert service_range(make.part(service_low=-5.0, service_high=40.0), make.vehicle()) == (-5.0, 40.0)
