"""Invented houses of any size for the kernel's benchmark: a truth is drawn, then signs from it."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from wainscot.diagnosis.kernel import Problem


def _grid(voids: int, passages: int, rng: np.random.Generator) -> list[tuple[int, int]]:
    """A slab of cells joined to near neighbours, with a few long ways (chases, cavities)."""
    side = int(np.ceil(np.sqrt(voids)))
    pairs: set[tuple[int, int]] = set()
    for v in range(voids):
        for w in (v + 1, v + side):
            if w < voids and (w != v + 1 or w % side):
                pairs.add((v, w))
    while len(pairs) < passages:
        v = int(rng.integers(voids))
        hop = int(rng.integers(1, 4)) + side * int(rng.integers(-3, 4))
        w = v + hop if rng.random() < 0.97 else int(rng.integers(voids))
        if 0 <= w < voids and v != w:
            pairs.add((min(v, w), max(v, w)))
    return sorted(pairs)[:passages]


def _truth(ends: np.ndarray, run: np.ndarray, start: np.ndarray, voids: int) -> np.ndarray:
    open_ends = ends[run]
    joined = coo_matrix(
        (np.ones(len(open_ends)), (open_ends[:, 0], open_ends[:, 1])), (voids, voids)
    )
    _, part = connected_components(joined, directed=False)
    best = np.zeros(voids, np.int64)
    np.maximum.at(best, part, start)
    return best[part]


def house(voids: int, passages: int, seed: int, looks: int = 50, loads: int = 3) -> Problem:
    """Passage priors from a mixture: many near nothing, some likely.  ``looks`` inspections."""
    rng = np.random.default_rng(seed)
    ends = np.array(_grid(voids, passages, rng), np.int32)
    prior = np.where(rng.random(passages) < 0.35, rng.uniform(0.25, 0.8, passages), 0.03)
    named = rng.choice(voids, max(3, voids // 60), replace=False)
    weights = [(0.85, 0.08, 0.07)] * len(named) + [(0.9985, 0.0008, 0.0007)] * voids
    for _ in range(1000):
        start = np.zeros(voids, np.int64)
        start[named[0]] = 2
        start[named[1]] = 1
        reach = _truth(ends, rng.random(passages) < prior, start, voids)
        if 0.06 * voids < (reach > 0).sum() < 0.35 * voids:
            break
    load_prior = np.array([0.5, 0.35, 0.15])[:loads]
    soiled = np.array([0.6, 0.35, 0.15])
    plain = np.zeros((loads, 3, 6))
    plain[:, 0, 0] = 1.0
    for level in range(loads):
        none = soiled[level]
        plain[level, 1] = [
            none,
            0.0,
            (1 - none) * 0.6,
            (1 - none) * 0.05,
            (1 - none) * 0.25,
            (1 - none) * 0.1,
        ]
        plain[level, 2] = plain[level, 1]
    tables, row_of = [plain], np.zeros(voids, np.int32)
    inside = np.flatnonzero(reach > 0)
    seen = np.unique(
        np.r_[
            rng.choice(inside, min(looks // 2, len(inside)), replace=False),
            rng.choice(voids, looks - looks // 2, replace=False),
        ]
    )
    for v in seen:
        soil = 0 if reach[v] == 0 else int(rng.choice(3, p=[0.35, 0.45, 0.2]))
        found = rng.random() < (0.01, 0.7, 0.95)[soil]
        hit = np.array([0.004, 0.004, 0.7, 0.7, 0.95, 0.95])
        row_of[v] = len(tables)
        tables.append(plain * (hit if found else 1 - hit))
    zones, members, hits, heard = 3, [], [], []
    for _ in range(zones):
        centre = int(rng.integers(voids))
        near = list(range(centre, min(centre + 8, voids)))
        members.append(near)
        hits += [(0.0, 0.0, 0.3)] * len(near)
        heard.append(bool((reach[near] == 2).any() and rng.random() < 0.9))
    sizes = [len(near) for near in members]
    return Problem(
        passage_ends=ends,
        passage_prior=prior,
        source_void=np.r_[named, np.arange(voids)].astype(np.int32),
        source_prior=np.array(weights),
        source_named=np.arange(len(weights)) < len(named),
        load_prior=load_prior,
        row_of=row_of,
        detail=np.array(tables),
        zone_offsets=np.r_[0, np.cumsum(sizes)].astype(np.int32),
        zone_void=np.concatenate(members).astype(np.int32),
        zone_hit=np.array(hits),
        zone_false=np.full(zones, 0.01),
        zone_heard=np.array(heard),
    )
