"""printworthy: decide, part by part, whether a load-bearing part of a small vehicle may be printed."""

from importlib.metadata import version

__version__ = version("printworthy")
