"""Makes `specimens` importable everywhere, keeps each test process on one thread, and lets property tests draw the
same examples on every machine.

NGSolve's threads wait by spinning: two test processes on two cores would fight for them.
"""

import os

from hypothesis import settings

os.environ.setdefault("NGS_NUM_THREADS", "1")
settings.register_profile("even", deadline=None, derandomize=True)
settings.load_profile("even")
