"""printworthy: decide, part by part, whether a load-bearing part of a small vehicle may be printed."""

import os
from importlib.metadata import version

# Threads of the linear algebra wait for each other by spinning: for matrices as small as the reduced model's two take
# many times as long as one on a busy machine. Parts are spread over processes instead.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

__version__ = version("printworthy")
