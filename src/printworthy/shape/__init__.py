"""Geometry files in, checked solids out: read, report, mend on request, mesh, choose faces.

source = read(geometry)            file -> one checked body in mm, with a report of what is wrong
solid = mesh(source)               body -> second-order tetrahedra
facets = select(solid, face)       named face -> facet numbers on the skin
report = look(path, unit, body)    the report alone, for a person who looks at a file
found = survey(geometry)           the whole file with its bodies and where what is wrong lies, for pictures
"""

from __future__ import annotations

from printworthy.shape.faces import select
from printworthy.shape.look import look
from printworthy.shape.mesh import mesh
from printworthy.shape.read import read
from printworthy.shape.source import Solid, Source, Surface
from printworthy.shape.survey import Survey, survey

__all__ = ["Solid", "Source", "Surface", "Survey", "look", "mesh", "read", "select", "survey"]
