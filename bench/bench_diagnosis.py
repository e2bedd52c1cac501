"""Diagnosis: a house of about 300 and of about 2,000 voids, 4,096 draws."""

from __future__ import annotations

import time

from bench.houses import grid_house
from bench.table import Row
from wainscot.diagnosis import diagnose


def rows() -> list[Row]:
    out = []
    for shape, target in (((2, 2, 2), 5.0), ((2, 6, 5), 30.0)):
        job = grid_house(*shape)
        start = time.perf_counter()
        answer, _ = diagnose(job, seed=1)
        seconds = time.perf_counter() - start
        out.append(
            Row(
                f"{len(answer.voids)} voids",
                seconds,
                target,
                "settled" if answer.settled else "not settled",
            )
        )
    return out
