"""Fuzzing led by coverage (atheris): bytes that nobody wrote, at the doors where bytes come in.

    make fuzz                                        every target, two minutes each
    python -m fuzz events --seconds 600 --seed 7     one of them, longer; nothing is written

The rule: what is wrong with the input is told by an error of the project (``WainscotError``) or by
a value that says so.  Any other exception, a process that ends, and a promise that does not hold
of what was let in, is a finding; the input that showed it lies in ``build/fuzz``.

Limits: two minutes find what lies near the surface.  Pictures are not tried here: they are decoded
in a process that can open nothing.
"""

from __future__ import annotations

TARGETS = ("events", "imports", "plans", "verifier", "proofs")
"""Files in ``fuzz/targets``: each has ``seeds()``, inputs to begin with, and ``one(data)``."""
