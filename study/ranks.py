"""Simulation-based calibration: the rank of the truth among draws from the posterior.

If truth and signs are drawn from the model and the engine draws from its posterior, the rank of any
statistic of the truth among L independent draws is uniform on 0 ... L (Talts, Betancourt, Simpson,
Vehtari & Gelman 2018, arXiv:1804.06788).  Ties of whole-number statistics are broken at random,
which keeps the rank uniform.  The log-likelihood stands among the statistics because it depends on
the signs as well and finds faults that the others miss (Modrak et al. 2023, arXiv:2211.02383, from
memory).
"""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy import stats

from study.houses import Answered
from wainscot.arrays import Floats, Ints
from wainscot.diagnosis.kernel import Problem

DRAWN = 99
"""Draws that the truth is ranked among."""
BINS = 20
VOID_RANKS = (0.1, 0.3, 0.5, 0.7, 0.9)
ENTRIES = 3
NAMES = (
    "voids ever reached",
    "voids soiled",
    *(f"reach of void {rank:.0%}" for rank in VOID_RANKS),
    *(f"entry point {n + 1}" for n in range(ENTRIES)),
    "voids in use now",
    "nests",
    "load of the house",
    "passages run",
    "log-likelihood",
)


def log_likelihood(problem: Problem, load: Ints, reach: Ints) -> Floats:
    """Return the log-likelihood of the signs, soil and nests summed out: [N]. [nat]

    Written for this study, apart from the kernel's own.

    Parameters
    ----------
    problem : Problem
        The house.
    load : Ints
        [N] load level.
    reach : Ints
        [N, V] reach of each void.
    """
    rows = np.log(np.maximum(problem.detail.sum(axis=-1), 1e-300))
    total = rows[problem.row_of[None, :], load[:, None], reach].sum(axis=1)
    for z, heard in enumerate(problem.zone_heard):
        span = slice(problem.zone_offsets[z], problem.zone_offsets[z + 1])
        hits = problem.zone_hit[span]
        missed = 1.0 - hits[np.arange(len(hits))[None, :], reach[:, problem.zone_void[span]]]
        silent = (1.0 - problem.zone_false[z]) * np.prod(missed, axis=1)
        total = total + np.log(np.maximum(1.0 - silent if heard else silent, 1e-300))
    return np.asarray(total)


def statistics(
    problem: Problem, source: Ints, reach: Ints, cell: Ints, load: Ints, run: Ints
) -> Floats:
    """Return every statistic of every draw: [N, statistics]; not a number where there is none.

    Parameters
    ----------
    problem : Problem
        The house.
    source : Ints
        [N, E] states of the kernel's sources.
    reach : Ints
        [N, V]
    cell : Ints
        [N, V]
    load : Ints
        [N]
    run : Ints
        [N] passages run.
    """
    voids = reach.shape[1]
    picked = [reach[:, round(rank * (voids - 1))] for rank in VOID_RANKS]
    named = np.flatnonzero(problem.source_named)
    missing = np.full(len(load), np.nan)
    entries = [source[:, named[n]] if n < len(named) else missing for n in range(ENTRIES)]
    columns = [
        (reach > 0).sum(axis=1), (cell > 0).sum(axis=1), *picked, *entries,
        (reach == 2).sum(axis=1), (cell % 2).sum(axis=1), load, run,
        np.round(log_likelihood(problem, load, reach), 9),
    ]  # fmt: skip
    return np.stack([np.asarray(column, dtype=np.float64) for column in columns], axis=1)


def thinned(house: Answered, rng: np.random.Generator, count: int = DRAWN) -> list[Any]:
    """Return draws picked from the populations by their evidence: (source, reach, cell, load, run).

    Parameters
    ----------
    house : Answered
        The house.
    rng : numpy.random.Generator
        Source of randomness.
    count : int
        Draws wanted.
    """
    logs = np.array([one.log_evidence for one in house.populations])
    weights = np.exp(logs - logs.max())
    number = rng.multinomial(count, weights / weights.sum())
    parts = []
    for one, n in zip(house.populations, number, strict=True):
        pick = rng.choice(len(one.load), size=n, replace=n > len(one.load))
        bits = np.unpackbits(one.run[pick], axis=1, bitorder="little")
        run = bits[:, : len(house.problem.passage_prior)].sum(axis=1)
        parts.append(
            (one.source[pick], one.reach[pick], 2 * one.soil[pick] + one.nest[pick],
             one.load[pick], run)
        )  # fmt: skip
    return [np.concatenate(part).astype(np.int64) for part in zip(*parts, strict=True)]


def truth_of(house: Answered) -> list[Any]:
    """Return the truth in the same form, as one draw."""
    state = house.lived.state
    source = [state.source[members].max() for members in house.merged.members]
    return [
        np.array([source]), state.reach[None], state.cell[None], np.array([state.load]),
        np.array([state.run.sum()]),
    ]  # fmt: skip


def ranks(house: Answered, count: int = DRAWN) -> list[float]:
    """Return the rank of the truth in every statistic, 0 to ``count``; not a number where none.

    Parameters
    ----------
    house : Answered
        The house.
    count : int
        Draws that it is ranked among.
    """
    rng = np.random.default_rng([house.lived.seed, 20])
    drawn = statistics(house.problem, *thinned(house, rng, count))
    true = statistics(house.problem, *truth_of(house))[0]
    less = (drawn < true).sum(axis=0)
    tied = (drawn == true).sum(axis=0)
    rank = less + np.floor(rng.random(len(true)) * (tied + 1))
    return [float(r) if np.isfinite(t) else float("nan") for r, t in zip(rank, true, strict=True)]


def uniformity(rank: Floats, count: int = DRAWN, bins: int = BINS) -> dict[str, Any]:
    """Return how far ranks are from uniform: histogram, 99 % band, chi-square and slope.

    Parameters
    ----------
    rank : Floats
        [houses] ranks, 0 to ``count``.
    count : int
        Draws that the truths were ranked among; ``count + 1`` is a multiple of ``bins``.
    bins : int
        Bars of the histogram.
    """
    rank = rank[np.isfinite(rank)]
    width = (count + 1) // bins
    bars = np.bincount(rank.astype(int) // width, minlength=bins)
    middle = count / 2
    deviation = np.sqrt(((count + 1) ** 2 - 1) / 12)
    return {
        "houses": len(rank),
        "bars": bars.tolist(),
        "band_99": [float(stats.binom.ppf(q, len(rank), 1 / bins)) for q in (0.005, 0.995)],
        "chi_square": round(float(stats.chisquare(bars).statistic), 2),
        "p": round(float(stats.chisquare(bars).pvalue), 5),
        "mean_z": round(float((rank.mean() - middle) / deviation * np.sqrt(len(rank))), 2),
    }
