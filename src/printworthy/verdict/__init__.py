"""The decision: screens, factors on load, the table, and which option answers for a part."""

from __future__ import annotations

from printworthy.verdict.care import care
from printworthy.verdict.choose import choose
from printworthy.verdict.decide import decide
from printworthy.verdict.drop import dropped, ridden
from printworthy.verdict.life import life
from printworthy.verdict.next_test import NextTest, next_tests
from printworthy.verdict.screens import screens
from printworthy.verdict.strength import Mesh
from printworthy.verdict.table import TABLE, Row, governing, row_for
from printworthy.verdict.vary import changed, solved
from printworthy.verdict.words import consequence, factors, service_range, worst
from printworthy.verdict.yardstick import yardsticks

__all__ = [
    "TABLE",
    "Mesh",
    "NextTest",
    "Row",
    "care",
    "changed",
    "choose",
    "consequence",
    "decide",
    "dropped",
    "factors",
    "governing",
    "life",
    "next_tests",
    "ridden",
    "row_for",
    "screens",
    "service_range",
    "solved",
    "worst",
    "yardsticks",
]
