"""Hole in a wide plate under tension.

G. Kirsch, Die Theorie der Elastizität und die Bedürfnisse der Festigkeitslehre, Zeitschrift des VDI 42 (1898) 797-807.
"""

from __future__ import annotations

from compare import Source, compare
from plates import plate

SOURCE = Source("Kirsch 1898, hole in a wide plate", "edge of the hole; plate 80 radii wide", "derived")


def test_edge_of_the_hole() -> None:
    wide = plate(40.0, 40.0)
    pulled = wide.solve()
    for case, (side, front) in enumerate([((0, 1, 0), (1, 0, 0)), ((1, 0, 0), (0, 1, 0))]):
        along, across = case, 1 - case
        pull = f"pulled along {'xy'[case]}"
        at_side = wide.at(side, pulled, case)[along]
        at_front = wide.at(front, pulled, case)[across]
        compare(at_side, 3.0, rel=0.01, source=SOURCE, quantity=f"edge stress at 90 deg, {pull} [-]")
        compare(at_front, -1.0, rel=0.01, source=SOURCE, quantity=f"edge stress at 0 deg, {pull} [-]")
