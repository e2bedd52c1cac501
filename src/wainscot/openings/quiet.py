"""Keep the solver's stray line to itself.

Now and then HiGHS prints "HighsMipSolverData::transformNewIntegerFeasibleSolution tmpSolver.run();"
on standard output, whatever it is told (known upstream: jump-dev/HiGHS.jl, issue 312, 2025).  Data
goes to standard output here and messages to standard error, so that line belongs on neither: what
is written meanwhile is held back, and passed on without it.

Limits: the whole process; what another thread writes in these moments comes out after them.
"""

from __future__ import annotations

import ctypes
import os
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress

STDOUT = 1
_STRAY = b"Highs"
_one_at_a_time = threading.Lock()


@contextmanager
def stdout_kept_clean() -> Iterator[None]:
    """Hold back what is written to the process's standard output, and drop the solver's line."""
    with _one_at_a_time:
        try:
            sys.stdout.flush()
            kept = os.dup(STDOUT)
        except (OSError, ValueError, AttributeError):
            # No standard output: a windowed process, or one whose reader has gone.
            yield
            return
        with tempfile.TemporaryFile() as held:
            try:
                os.dup2(held.fileno(), STDOUT)
                yield
            finally:
                _flush_library()
                os.dup2(kept, STDOUT)
                os.close(kept)
                held.seek(0)
                _pass_on(held.read())


def _flush_library() -> None:
    """Write out what the C library holds back for a stream that is no terminal."""
    with suppress(OSError, AttributeError, TypeError):  # no such library by this way: Windows
        ctypes.CDLL(None).fflush(None)


def _pass_on(content: bytes) -> None:
    lines = content.splitlines(keepends=True)
    rest = memoryview(b"".join(line for line in lines if not line.startswith(_STRAY)))
    while rest:
        rest = rest[os.write(STDOUT, rest) :]
