"""Measurements: how long the main steps take, as ratios within one run.

``make bench`` runs every ``bench_*.py`` here and prints a table; ``docs/performance.md`` holds the
last one that was looked at.  Machines are noisy, so nothing here is asserted by a test.
"""
