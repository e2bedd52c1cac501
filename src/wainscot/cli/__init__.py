"""The command line: thin, and quick to start, because every step is imported where it is used.

Data goes to stdout, messages to stderr.  The exit code is 0 when it went well, 1 when something
failed, 2 when the command or the job file cannot be used; then every fault is listed and nothing
is written.  Colour only on a terminal, and never with NO_COLOR set.
"""

from __future__ import annotations

import os

# Before numpy is loaded: several threads of its linear algebra wait for each other on a busy
# machine (seconds instead of tenths), and sums in another order would give other last bits.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from wainscot.cli.commands import main

__all__ = ["main"]
