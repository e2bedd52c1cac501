"""Checks: 200 of them ranked at 300 voids from 4,096 draws; draws and ways are synthetic."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

from bench.table import Row, median_seconds
from wainscot.access import Access, Reach
from wainscot.book import read_book
from wainscot.checks import Pooled, rank
from wainscot.checks.worth import expected_value
from wainscot.signs import Evidence
from wainscot.voids.graph import Graph

VOIDS, CHECKS, DRAWS = 300, 200, 4096


def rows() -> list[Row]:
    """Return the ranking as a whole, and the matrix product with its bootstrap alone."""
    draws, graph, evidence, ways = _draws(), _graph(), _evidence(), _ways()
    book = read_book('currency = "GBP"\nhour = 60')
    soil = draws.soil.astype(np.float64)
    outcome = np.stack([_noisy(soil[:, j]) for j in range(CHECKS)])
    opening = np.full(VOIDS, 240.0)
    return [
        Row(
            f"{CHECKS} checks at {VOIDS} voids, {DRAWS} draws",
            median_seconds(lambda: rank(draws, graph, evidence, ways, book)),
            0.100,
            f"processor time {_processor(lambda: rank(draws, graph, evidence, ways, book))}",
        ),
        Row(
            "of that, worth and its error",
            median_seconds(lambda: expected_value(soil * 960.0, opening, outcome)),
        ),
    ]


def _processor(work: Callable[[], object]) -> str:
    """Return the processor time of one run: what a machine busy with other things does not blur."""
    start = time.process_time()
    work()
    return f"{1000 * (time.process_time() - start):.0f} ms"


def _noisy(soil: np.ndarray) -> np.ndarray:
    found = np.where(soil > 0, 0.7, 0.02)
    return np.stack([1 - found, 0.6 * found, 0.4 * found])


def _draws() -> Pooled:
    """Return clusters of thirty voids that are reached together, some nearer the way in."""
    rng = np.random.default_rng(7)
    used = rng.random((DRAWS, VOIDS // 30)) < rng.uniform(0.05, 0.7, VOIDS // 30)
    inside = np.repeat(used, 30, axis=1) & (rng.random((DRAWS, VOIDS)) < 0.6)
    reach = np.where(inside, rng.integers(1, 3, (DRAWS, VOIDS)), 0).astype(np.uint8)
    soil = np.where(inside, rng.integers(0, 3, (DRAWS, VOIDS)), 0).astype(np.uint8)
    nest = ((soil == 2) & (rng.random((DRAWS, VOIDS)) < 0.3)).astype(np.uint8)
    zeros = np.zeros(DRAWS, dtype=np.int32)
    return Pooled(
        reach=reach,
        soil=soil,
        nest=nest,
        weight=np.full(DRAWS, 1.0 / DRAWS),
        species=("norway rat",),
        species_of=zeros,
        source=np.zeros((DRAWS, 0), dtype=np.uint8),
        choices=({},),
        guess_of=zeros,
    )


def _ways() -> tuple[Access, ...]:
    return tuple(
        Access(
            id=f"hole/{v:03d}", act="hole", words=f"Look in bay {v}", reaches=(Reach(v, 0.6),),
            room="r", minutes=12.0, repair=10.0, finish="plasterboard", area=0.0001,
            disturbance="hole", method="borescope", nights=0, at=(0.0, 0.0, 0.0),
        )
        for v in range(0, CHECKS)
    )  # fmt: skip


def _evidence() -> Evidence:
    ints = np.zeros(0, dtype=np.int32)
    return Evidence(
        row_of=np.zeros(VOIDS, dtype=np.int32), detail=np.ones((1, 3, 3, 6)),
        load_prior=np.array([0.35, 0.4, 0.25]), zone_offsets=np.zeros(1, dtype=np.int32),
        zone_void=ints, zone_hit=np.zeros((0, 3)), zone_false=np.zeros(0),
        zone_heard=np.zeros(0, dtype=np.bool_), source_factor=np.ones((0, 3)), statements=(),
    )  # fmt: skip


def _graph() -> Graph:
    names = tuple(f"bay/{v:03d}" for v in range(VOIDS))
    square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    return Graph(
        keys=names, labels=tuple(f"F{v}" for v in range(VOIDS)), kinds=("joist bay",) * VOIDS,
        words=names, owners=names, storeys=("g",) * VOIDS,
        hidden=np.ones(VOIDS, dtype=np.bool_), polygon=(square,) * VOIDS,
        bottom=np.zeros(VOIDS), top=np.ones(VOIDS), volume=np.ones(VOIDS),
        faces=((),) * VOIDS, edges=np.zeros((0, 2), dtype=np.int32), passage_keys=(),
        passage_rule=(), passage_words=(), aperture=np.zeros((0, 2)), prior_open=np.zeros(0),
        prior_run=np.zeros(0), gnawable=np.zeros(0, dtype=np.bool_),
        passage_at=np.zeros((0, 3)), source_keys=(), source_words=(), source_sort=(),
        source_pool=(), source_void=np.zeros(0, dtype=np.int32),
        source_prior=np.zeros((0, 3)), source_at=np.zeros((0, 3)),
    )  # fmt: skip
