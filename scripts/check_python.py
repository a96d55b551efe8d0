"""Refuse, in one line, an interpreter the locked libraries do not support. Runs on any Python 3."""

import sys

LOWEST, BEYOND = (3, 11), (3, 15)  # as requires-python in pyproject.toml


def main():
    found = sys.version_info[:2]
    if not LOWEST <= found < BEYOND:
        return "Python %d.%d to %d.%d is needed and %s is %d.%d. Name another: make PYTHON=python3.12 ..." % (
            (*LOWEST, BEYOND[0], BEYOND[1] - 1, sys.executable, *found)
        )
    try:
        import ensurepip  # noqa: F401  (Debian keeps it in a package of its own)
    except ImportError:
        return "%s cannot make virtual environments. On Debian: apt-get install python3-venv" % sys.executable
    return 0


sys.exit(main())
