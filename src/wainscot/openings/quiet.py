"""Keep the solver's stray line off the data stream.

Now and then HiGHS prints "HighsMipSolverData::transformNewIntegerFeasibleSolution tmpSolver.run();"
on standard output, whatever it is told (known upstream: jump-dev/HiGHS.jl, issue 312, 2025).  Data
goes to standard output here, so what the solver writes is sent to standard error meanwhile.

Limits: the whole process; what another thread writes in these moments goes to standard error too.
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

STDOUT, STDERR = 1, 2
_one_at_a_time = threading.Lock()


@contextmanager
def stdout_kept_clean() -> Iterator[None]:
    """Send what is written to the process's standard output to its standard error."""
    with _one_at_a_time:
        try:
            sys.stdout.flush()
            kept = os.dup(STDOUT)
        except (OSError, ValueError, AttributeError):
            # No standard output: a windowed process, or one whose reader has gone.
            yield
            return
        try:
            os.dup2(STDERR, STDOUT)
            yield
        finally:
            os.dup2(kept, STDOUT)
            os.close(kept)
