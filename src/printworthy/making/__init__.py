"""How a part is made: what each build direction costs; its layers, time and cost; other processes, beds, spares.

figures = lay_figures(solid, directions, overhang_angle=45, layer_height=0.2, bed=(250, 210, 210))
record = figures.at(3)            the plain record of one direction
printed(body, direction, how)     the layers of one direction, timed
made(parts, workshop, invented)   cost, beds, schedule and spares of a vehicle set
"""

from printworthy.making.choice import Choice, Difference, Rule, choose, differences, pareto
from printworthy.making.directions import hemisphere, resting
from printworthy.making.figures import DirectionFigures, Laying
from printworthy.making.handover import oriented_3mf, sheet
from printworthy.making.layers import lay_figures
from printworthy.making.plan import Made
from printworthy.making.printing import printed, settings
from printworthy.making.rounds import Round, round_faces
from printworthy.making.skin import Skin, skin
from printworthy.making.stage import hand_over, layers, made_of
from printworthy.making.standing import standing
from printworthy.making.vehicle_set import made

__all__ = [
    "Choice",
    "Difference",
    "DirectionFigures",
    "Laying",
    "Made",
    "Round",
    "Rule",
    "Skin",
    "choose",
    "differences",
    "hand_over",
    "hemisphere",
    "lay_figures",
    "layers",
    "made",
    "made_of",
    "oriented_3mf",
    "pareto",
    "printed",
    "resting",
    "round_faces",
    "settings",
    "sheet",
    "skin",
    "standing",
]
