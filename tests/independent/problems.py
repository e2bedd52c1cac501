"""Invented problems for the kernel's tests: small graphs, and ladders of any length."""

from __future__ import annotations

import numpy as np

from wainscot.diagnosis.kernel import Problem


def make(
    voids: int,
    passages: list[tuple[int, int, float]],
    sources: list[tuple[int, tuple[float, float, float], bool]],
    rows: dict[int, np.ndarray] | None = None,
    loads: tuple[float, ...] = (1.0,),
    zones: list[tuple[list[tuple[int, tuple[float, float, float]]], float, bool]] | None = None,
    plain: np.ndarray | None = None,
) -> Problem:
    """Assemble a problem; ``rows[v]`` is a [L, 3, 6] table, other voids take ``plain``."""
    levels = len(loads)
    if plain is None:
        plain = np.zeros((levels, 3, 6))
        plain[:, 0, 0] = 1.0
        plain[:, 1:, :] = np.array([0.3, 0.05, 0.3, 0.05, 0.2, 0.1])
    tables, row_of = [plain], np.zeros(voids, np.int32)
    for v, table in (rows or {}).items():
        row_of[v] = len(tables)
        tables.append(np.broadcast_to(table, (levels, 3, 6)))
    offsets, members, hits = [0], [], []
    for zone in zones or []:
        members += [v for v, _ in zone[0]]
        hits += [h for _, h in zone[0]]
        offsets.append(len(members))
    return Problem(
        passage_ends=np.array([p[:2] for p in passages], np.int32).reshape(-1, 2),
        passage_prior=np.array([p[2] for p in passages], float),
        source_void=np.array([s[0] for s in sources], np.int32),
        source_prior=np.array([s[1] for s in sources], float).reshape(-1, 3),
        source_named=np.array([s[2] for s in sources], bool),
        load_prior=np.array(loads, float),
        row_of=row_of,
        detail=np.array(tables, float),
        zone_offsets=np.array(offsets, np.int32),
        zone_void=np.array(members, np.int32),
        zone_hit=np.array(hits, float).reshape(-1, 3),
        zone_false=np.array([z[1] for z in zones or []], float),
        zone_heard=np.array([z[2] for z in zones or []], bool),
    )


def sign(none: float, past: float, now: float, load_effect: float = 1.0, levels: int = 1):
    """A table whose row sums are the three likelihoods, heavier soiling at higher loads."""
    table = np.zeros((levels, 3, 6))
    table[:, 0, 0] = none
    for level in range(levels):
        lift = load_effect**level
        table[level, 1] = past * np.array([0.35, 0.05, 0.25, 0.05, 0.2, 0.1]) * lift
        table[level, 2] = now * np.array([0.25, 0.05, 0.3, 0.05, 0.2, 0.15]) * lift
    return table


FOUND = (1e-3, 0.6, 0.7)
FRESH = (1e-3, 0.02, 0.7)
OLD = (1e-3, 0.6, 0.1)
NOTHING = (1.0, 0.4, 0.25)


def ladder(
    columns: int,
    *,
    rung: float = 0.3,
    rail: float = 0.35,
    start: tuple[float, float, float] = (0.85, 0.08, 0.07),
    implicit: float = 0.002,
    rows: dict[int, np.ndarray] | None = None,
    loads: tuple[float, ...] = (1.0,),
    zones=None,
    named_at: tuple[int, ...] = (0,),
    cut_after: int | None = None,
    seed: int = 5,
) -> Problem:
    """2 x ``columns`` voids: void 2 c + r.  Rails run along, rungs across; priors vary a little."""
    rng = np.random.default_rng(seed)
    passages = []
    for c in range(columns):
        passages.append((2 * c, 2 * c + 1, float(np.clip(rung * rng.uniform(0.7, 1.3), 0, 0.95))))
        if c + 1 < columns and c != cut_after:
            for r in (0, 1):
                p = float(np.clip(rail * rng.uniform(0.7, 1.3), 0, 0.95))
                passages.append((2 * c + r, 2 * c + 2 + r, p))
    sources = [(v, start, True) for v in named_at]
    if implicit > 0:
        sources += [
            (v, (1 - implicit, implicit / 2, implicit / 2), False) for v in range(2 * columns)
        ]
    return make(2 * columns, passages, sources, rows, loads, zones)
