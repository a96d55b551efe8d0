"""Makes `specimens` importable from every test folder, and keeps each test process on one thread.

NGSolve's threads wait by spinning: two test processes on two cores would fight for them.
"""

import os

os.environ.setdefault("NGS_NUM_THREADS", "1")
