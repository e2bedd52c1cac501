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
    smells: list[tuple[dict[int, float], np.ndarray]] | None = None,
) -> Problem:
    """Assemble a problem; ``rows[v]`` is a [L, 3, 6] table, other voids take ``plain``.

    ``smells`` are linear readings: how much of each void's emission arrives, and the curve over
    ``GRID``.
    """
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
    detail = np.array(tables, float)
    return Problem(
        **linear(smells or [], detail[row_of]),
        passage_ends=np.array([p[:2] for p in passages], np.int32).reshape(-1, 2),
        passage_prior=np.array([p[2] for p in passages], float),
        source_void=np.array([s[0] for s in sources], np.int32),
        source_prior=np.array([s[1] for s in sources], float).reshape(-1, 3),
        source_named=np.array([s[2] for s in sources], bool),
        load_prior=np.array(loads, float),
        row_of=row_of,
        detail=detail,
        zone_offsets=np.array(offsets, np.int32),
        zone_void=np.array(members, np.int32),
        zone_hit=np.array(hits, float).reshape(-1, 3),
        zone_false=np.array([z[1] for z in zones or []], float),
        zone_heard=np.array([z[2] for z in zones or []], bool),
    )


GRID = np.linspace(np.log(1e-3), np.log(1e3), 25)
SENDS = np.array([0.0, 2.0, 1.0, 3.0, 6.0, 9.0])
"""Emission by soil none / light / heavy x nest no / yes."""


def smelt(middle: float, width: float = 1.0, most: float = 3.0) -> np.ndarray:
    """Log likelihood of "it smells here" over the grid, falling by ``most`` nats where it fades."""
    return np.maximum(-np.logaddexp(0.0, -(GRID - middle) / width), -most)


def not_smelt(middle: float, width: float = 1.0, most: float = 3.0) -> np.ndarray:
    """The same for "nothing to be smelt"."""
    return np.maximum(-np.logaddexp(0.0, (GRID - middle) / width), -most)


def linear(smells: list[tuple[dict[int, float], np.ndarray]], rows: np.ndarray) -> dict:
    """The linear fields; ``rows[v]`` is the joint table of a void, [V, L, 3, 6]."""
    mean = (rows / np.maximum(rows.sum(axis=-1, keepdims=True), 1e-300)) @ SENDS
    pairs = [pair for share, _ in smells for pair in share.items()]
    voids = np.array([v for v, _ in pairs], np.int32)
    scale = np.array([share for _, share in pairs])
    return {
        "linear_offsets": np.cumsum([0, *(len(share) for share, _ in smells)]).astype(np.int32),
        "linear_void": voids,
        "linear_emission": scale[:, None, None] * mean[voids],
        "linear_grid": GRID if smells else np.zeros(0),
        "linear_log_likelihood": np.array([curve for _, curve in smells]).reshape(
            len(smells), len(GRID) if smells else 0
        ),
        "linear_soil": scale[:, None] * SENDS[None, :],
    }


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
    smells=None,
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
    return make(2 * columns, passages, sources, rows, loads, zones, smells=smells)
