"""An invented machine to try the tool on: a two-wheeled electric pack carrier that takes supplies to mountain huts.

Its parts are drawn in code (`shapes`), its text lies in `workspace/`; one part in `example/` is real, drawn by others.
"""

from printworthy.demo.build import build

__all__ = ["build"]
