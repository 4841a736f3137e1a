"""Benchmarks: `python -m tests.benchmarks` prints a table of figures beside the budgets.

They need a POSIX system: processes are measured by `wait4`, the program runs on a pseudo-terminal.
"""

import os

# As `benchlore` itself sets it, and like it before numpy is imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
