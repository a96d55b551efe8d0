"""What a print preparer is handed: the part turned build direction up as 3MF, and a sheet of settings. No machine code.

The file follows the 3MF core specification (3MF Consortium); settings are metadata in a name space of our own.
"""

from __future__ import annotations

import ctypes
from collections.abc import Sequence
from pathlib import Path

import lib3mf
import numpy as np

from printworthy.making.sections import slices, upright
from printworthy.making.skin import Cornered
from printworthy.results import DirectionResult, Printing

NOTHING = 1e-9
SPACE = "https://printworthy.invalid/handover/1"


def on_bed(result: DirectionResult, layers: Sequence[float]) -> tuple[float, ...]:
    """Angles [deg], 0 to below 180, of the beads of layers turned by `layers` [deg] against the raster, in turn, from x
    of the bed as the part stands on it; empty where the material is alike all round in its layers."""
    if result.along is None:
        return ()
    x, y, _ = upright(result.direction) @ np.array(result.along)
    # Layers are counted about the sense of the build direction that strength.lay.upward takes.
    way = next(np.sign(c) for c in result.direction[::-1] if abs(c) > NOTHING)
    turned = [float(np.degrees(np.arctan2(y, x)) + way * layer) % 180.0 for layer in layers]
    return tuple(round(angle, 3) % 180.0 + 0.0 for angle in turned)


def settings_of(part: str, material: str, printing: Printing, record: str = "") -> dict[str, str]:
    """What the answer holds for, by name; `record`: id of the recorded verdict."""
    x, y, z = printing.direction
    return {
        "part": part,
        **({"record": record} if record else {}),
        "material": material,
        "build_direction": f"{x:.9g} {y:.9g} {z:.9g}",
        "layer_height_mm": f"{printing.layer_height:g}",
        "bead_width_mm": f"{printing.bead_width:g}",
        "walls": str(printing.walls),
        "infill": f"{printing.infill:g}",
        **({"rasters_deg": " ".join(f"{a:g}" for a in printing.rasters)} if printing.rasters else {}),
        "height_mm": f"{printing.height:g}",
        "print_time_s": f"{printing.seconds:.0f}",
    }


def oriented_3mf(body: Cornered, path: Path, part: str, material: str, printing: Printing, record: str = "") -> None:
    """Write a body as it stands on the bed, in mm, with build direction, settings and verdict id as metadata.

    Raises GeometryError for a body without a solid, OSError where the file cannot be written.
    """
    mesh = slices(body, printing.direction, printing.layer_height).solid.to_mesh64()
    points = np.asarray(mesh.vert_properties)[:, :3]
    model = lib3mf.get_wrapper().CreateModel()
    model.SetUnit(lib3mf.Lib3MF.ModelUnit.MilliMeter)
    thing = model.AddMeshObject()
    thing.SetName(part)
    corners = [lib3mf.Lib3MF.Position((ctypes.c_float * 3)(*map(float, p))) for p in points]
    sides = [lib3mf.Lib3MF.Triangle((ctypes.c_uint32 * 3)(*map(int, t))) for t in np.asarray(mesh.tri_verts)]
    thing.SetGeometry(corners, sides)
    model.AddBuildItem(thing, lib3mf.get_wrapper().GetIdentityTransform())
    group = model.GetMetaDataGroup()
    for name, value in settings_of(part, material, printing, record).items():
        group.AddMetaData(SPACE, name, value, "xs:string", True)
    aside = path.with_name(f".{path.stem}.part.3mf")
    model.QueryWriter("3mf").WriteToFile(str(aside))
    aside.replace(path)


def sheet(part: str, material: str, printing: Printing, record: str = "") -> str:
    """The settings as a text to lay beside the machine."""
    named = settings_of(part, material, printing, record).items()
    lines = [f"{name.replace('_', ' ')}: {value}" for name, value in named]
    lines.append("Another direction, layer, bead or material voids the answer: the strengths hold for these alone.")
    lines.append("Nothing here certifies a part: local codes and licensed practice decide.")
    return "\n".join(lines) + "\n"
