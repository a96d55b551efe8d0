"""How a part is printed: what each build direction costs in height, supports, stability and fit.

figures = lay_figures(solid, directions, overhang_angle=45, layer_height=0.2, bed=(250, 210, 210))
record = figures.at(3)            the plain record of one direction
"""

from printworthy.making.choice import Choice, Difference, Rule, choose, differences, pareto
from printworthy.making.directions import hemisphere, resting
from printworthy.making.figures import DirectionFigures, Laying
from printworthy.making.layers import lay_figures
from printworthy.making.rounds import Round, round_faces
from printworthy.making.skin import Skin, skin

__all__ = [
    "Choice",
    "Difference",
    "DirectionFigures",
    "Laying",
    "Round",
    "Rule",
    "Skin",
    "choose",
    "differences",
    "hemisphere",
    "lay_figures",
    "pareto",
    "resting",
    "round_faces",
    "skin",
]
