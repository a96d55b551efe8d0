"""Which published values guard which of the dossier's numbers: entries of docs/validation.md, which a test holds."""

from __future__ import annotations

from printworthy.dossier.document import Cell, Column, Row, Section, Table

GUARDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("stress, movement", ("NAFEMS benchmark LE10, thick plate", "NAFEMS benchmark LE11, cylinder, taper and sphere",
     "MacNeal and Harder 1985, solid patch", "Timoshenko and Goodier 1970, cantilever", "Lame 1852, thick tube",
     "Kirsch 1898, hole in a wide plate")),
    ("stiffness in other build directions", ("Bond 1943, rotation of stiffness",
     "Lekhnitskii 1963, pulled bar by finite elements", "Gustafsson and McBain 2020, scikit-fem")),
    ("map of build directions", ("Gustafsson and McBain 2020, scikit-fem, map of directions",
     "Lekhnitskii 1963, pulled bar by the map of directions")),
    ("utilisation by mode", ("Hashin 1980, off-axis strength by finite elements",
     "Kaw 2006, Mechanics of Composite Materials")),
    ("other criteria", ("Kaw 2006, 60 degree ply at failure", "Off-axis strength, three criteria")),
    ("design values from coupons", ("CMH-17-1G Vol. 1 (2012), tolerance factors",
     "CMH-17-1G Vol. 1 (2012), worked set of 18", "NIST/SEMATECH e-Handbook, tolerance intervals")),
    ("strength in the heat", ("ISO 75-2:2013, modulus at the deflection temperature",)),
    ("temperature", ("NAFEMS benchmark T4, plate with convection", "Incropera and DeWitt, fin with an insulated tip")),
    ("life", ("ASTM E1049-85", "ASTM E739-91", "Palmgren 1924 and Miner 1945", "Schmee and Hahn 1979")),
    ("loads of the ride", ("Planar statics by hand", "Rao, Mechanical Vibrations",
     "Single-track vehicle, closed form")),
    ("buckling", ("Euler 1744, column",)),
    ("mass, time, cost", ("Printed volume of parts drawn here", "Moves at limited acceleration", "Cost formulas")),
    ("spares", ("Snyder and Shen, Supply Chain Theory", "Base stock, Poisson demand")),
)  # fmt: skip


def section() -> Section:
    """Kinds of numbers and what each is compared with on every run of the tests."""
    rows = tuple(Row((Cell(kind), Cell("; ".join(entries)))) for kind, entries in GUARDS)
    note = (
        "Every comparison, with its page, tolerance and difference, stands in docs/validation.md. It says that the "
        "method is programmed as published; it does not say that the inputs of this dossier are true."
    )
    table = Table("Published values the method is held against", (Column("numbers"), Column("entries")), rows, note)
    return Section("guards", "What guards these numbers", (table,))
