"""A workspace with one invented bar, written by code: 80 x 12 x 8 mm, on three sliding planes, pulled at one end.

So held, every point of it bears force over area while its layers lie along the axes.
"""

from __future__ import annotations

from pathlib import Path

from netgen import occ

VEHICLE = """
name = "test-cart"
invented = {invented}
[service]
low = "0 degC"
high = "30 degC"
"""
PART = """
name = "bar"
role = "{role}"
material = "{material}"
near = []
{extra}
[geometry]
file = "bar.step"
element_size = "6 mm"
[faces.held]
plane = {{ point = "0, 0, 0 mm", normal = "-x" }}
[faces.side]
plane = {{ point = "0, 0, 0 mm", normal = "-y" }}
[faces.below]
plane = {{ point = "0, 0, 0 mm", normal = "-z" }}
[faces.end]
plane = {{ point = "80, 0, 0 mm", normal = "+x" }}
[[support]]
face = "held"
kind = "sliding"
[[support]]
face = "side"
kind = "sliding"
[[support]]
face = "below"
kind = "sliding"
[[case]]
name = "pull"
kind = "steady"
source = "invented"
[[case.load]]
face = "{face}"
force = "{force}"
"""


def write(root: Path, **changed: str) -> Path:
    """The workspace in `root`; any word of the part's text may be changed."""
    stated = {
        "role": "cover", "material": "petg", "extra": 'build_direction = "+z"', "face": "end", "force": "500, 0, 0 N",
        "invented": "true",
    } | changed  # fmt: skip
    (root / "parts").mkdir(parents=True, exist_ok=True)
    (root / "vehicle.toml").write_text(VEHICLE.format(invented=stated.pop("invented")))
    (root / "parts" / "bar.toml").write_text(PART.format(**stated))
    solid = root / "parts" / "bar.step"
    if not solid.exists():  # its header holds the time: written again it would be another file
        occ.Box((0, 0, 0), (80, 12, 8)).WriteStep(str(solid))
    return root
