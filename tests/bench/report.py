"""docs/benchmarks.md: one section per benchmark, replaced in place."""

from __future__ import annotations

import os
import platform
from importlib.metadata import version
from pathlib import Path

from threadpoolctl import threadpool_info

REPORT = Path(__file__).parents[2] / "docs" / "benchmarks.md"
HEAD = "# Benchmarks\n\nWritten by `make bench`. Ratios of one run mean something; seconds depend on the machine.\n"
LIBRARIES = ("ngsolve", "numpy", "scipy", "scikit-fem", "pyamg")


def machine() -> str:
    """Processor, cores, libraries and the kernels of linear algebra that ran, in one line."""
    kernels = {f"{i['prefix']} {i['architecture']}" for i in threadpool_info() if "architecture" in i}
    libraries = ", ".join(f"{name} {version(name)}" for name in LIBRARIES)
    return f"{platform.machine()}, {os.cpu_count()} cores; {libraries}; BLAS kernels: {', '.join(sorted(kernels))}."


def section(title: str, lines: list[str]) -> None:
    """Write a section, in place of the one with the same title."""
    text = REPORT.read_text() if REPORT.exists() else HEAD
    head, *others = text.split("\n## ")
    kept = [s.rstrip("\n") for s in others if s.split("\n", 1)[0] != title]
    kept.append("\n".join([title, "", *lines]))
    REPORT.write_text("\n\n## ".join([head.rstrip("\n"), *kept]) + "\n")
