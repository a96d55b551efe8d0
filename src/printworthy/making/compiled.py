"""The one place that names the compiler of the inner loops."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast

import numba

F = TypeVar("F", bound=Callable[..., object])


def compiled(function: F) -> F:
    """`function` as machine code, made at its first call and kept beside the module; threads run it side by side.

    The kept code is renewed when the function's own file changes, not when another file's does: so a compiled function
    calls only compiled functions of its own file.
    """
    return cast(F, numba.njit(cache=True, nogil=True)(function))
