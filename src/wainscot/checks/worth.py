"""What a check is worth: the expected value of sample information, from weighted draws.

For every void two actions are open: leave it (and pay, if it turns out soiled) or open it (and pay
for that).  Before a check the better action is taken on what is known; after it, on what was shown.
The worth is the fall in expected loss, averaged over what the check may show::

    worth = expected_value(loss_leave, loss_open, outcome)
    worth.value[j], worth.error[j]

With ``X[k, v] = weight[k] (loss_leave[k, v] - loss_open[v])`` and the chance ``outcome[j, o, k]``
that check j shows o if draw k is the truth, everything comes from one matrix product D = outcome X:
a void is better left where D is below zero, so that::

    value[j] = sum_v  min(sum_o D[j,o,v], 0) - sum_o min(D[j,o,v], 0)

which is never negative, because the smaller of two sums is at least the sum of the smaller ones.

Limits: each void is decided by itself (a strip that opens three bays at once, or a callback that
covers two, is not seen); the finds of a check are averaged over draws, so a difference smaller than
the error says nothing; the estimate leans upwards by about its error where two actions nearly tie.

Source: Raiffa and Schlaifer, Applied Statistical Decision Theory (1961), for the expected value of
sample information (from memory); Efron and Tibshirani, An Introduction to the Bootstrap (1993), for
the error, resampled in blocks because neighbouring draws are alike (from memory).
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Bools = NDArray[np.bool_]

REPLICATES = 64
"""Bootstrap replicates; the error is then itself good to about 9 in 100."""
_ROUNDING = 1e-5
"""Outcomes of a check sum to one but for this. [1]"""
PAIRS_AT_ONCE = 2048
"""Pairs of check and void in one step of the bootstrap: small enough for a processor's cache."""


class Worth(NamedTuple):
    """What :func:`expected_value` finds.  J checks, O outcomes, n voids."""

    value: Floats
    """[J] fall in expected loss; never below zero. [unit]"""
    error: Floats
    """[J] its bootstrap standard error. [unit]"""
    chance: Floats
    """[J, O] chance of each outcome. [1]"""
    prior_open: Bools
    """[n] voids that are better opened before any check."""
    pairs: NDArray[np.intp]
    """[P, 2] (check, void) where the better action hangs on what the check shows."""
    gain: Floats
    """[P] what that void adds to the value of that check. [unit]"""


def expected_value(
    loss_leave: Floats,
    loss_open: Floats,
    outcome: Floats,
    weight: Floats | None = None,
    blocks: int = 16,
    seed: int = 0,
) -> Worth:
    """Return what each check is worth before its cost, with its error.

    Parameters
    ----------
    loss_leave : Floats
        [K, n] loss if void v is left and draw k is the truth. [unit]
    loss_open : Floats
        [n] loss if void v is opened. [unit]
    outcome : Floats
        [J, O, K] chance that check j shows outcome o if draw k is the truth; over o it sums to
        one. [1]
    weight : Floats, optional
        [K] weight of each draw, of any sum; even if left out. [1]
    blocks : int
        Runs of neighbouring draws that are resampled together for the error; at most K.
    seed : int
        Seed of the bootstrap.

    Raises
    ------
    ValueError
        If shapes do not fit, or the outcomes of a check do not sum to one.
    """
    checks, _, draws = outcome.shape
    _refuse_misfits(loss_leave, loss_open, outcome)
    share = np.full(draws, 1.0 / draws) if weight is None else weight / weight.sum()
    excess = (loss_leave - loss_open) * share[:, None]
    starts = np.linspace(0, draws, min(blocks, draws) + 1).astype(int)[:-1]

    parts = _products(outcome, excess, starts)
    total = parts.sum(axis=0)
    opens = total > 0
    check, void = np.nonzero(opens.any(axis=0) & ~opens.all(axis=0))
    gain = _gain(total[:, check, void])
    value = np.bincount(check, gain, checks).astype(float)
    picked = parts[:, :, check, void]
    error = _bootstrap(picked, check, checks, np.add.reduceat(share, starts), seed)
    prior_open = excess.sum(axis=0) > 0
    pairs = np.stack([check, void], axis=1)
    return Worth(value, error, outcome @ share, prior_open, pairs, gain)


def value_of(outcome: Floats | Singles, excess: Floats | Singles) -> float:
    """Return what one check is worth before its cost. [unit]

    Parameters
    ----------
    outcome : Floats
        [O, K] chance of each outcome if draw k is the truth. [1]
    excess : Floats
        [K, n] loss of leaving beyond that of opening, times the draw's weight. [unit]
    """
    return saved_by(outcome @ excess)


def saved_by(product: Floats | Singles) -> float:
    """Return what one check is worth from the product of its outcomes and the excess. [unit]

    Parameters
    ----------
    product : Floats
        [O, n] loss of leaving beyond that of opening, times the chance of the outcome. [unit]
    """
    return float(_gain(np.asarray(product, dtype=np.float64)).sum())


def _products(outcome: Floats, excess: Floats, starts: NDArray[np.intp]) -> Floats:
    """Return outcome x excess block by block of draws: [blocks, O, J, n]."""
    checks, outcomes, draws = outcome.shape
    parts = np.empty((len(starts), outcomes, checks, excess.shape[1]))
    for block, (start, stop) in enumerate(pairwise([*starts, draws])):
        # Outcomes sum to one, so the last one is what the others leave of the prior.
        parts[block, -1] = excess[start:stop].sum(axis=0)
        for shown in range(outcomes - 1):
            np.matmul(outcome[:, shown, start:stop], excess[start:stop], out=parts[block, shown])
            parts[block, -1] -= parts[block, shown]
    return parts


def _gain(excess: Floats) -> Floats:
    """Return what deciding after the outcome saves; outcomes run along the first axis."""
    gain: Floats = np.minimum(excess.sum(axis=0), 0)
    for shown in excess:
        gain -= np.minimum(shown, 0)
    return gain


def _bootstrap(
    parts: Floats, check: NDArray[np.intp], checks: int, block_share: Floats, seed: int
) -> Floats:
    """Return the standard error of every check's value; ``parts`` is [blocks, O, pairs].

    Only pairs of check and void where the decision hangs on the outcome take part; the others add
    nothing to the value.
    """
    blocks, outcomes, pairs = parts.shape
    if blocks < 2:
        return np.full(checks, np.inf)
    if not pairs:
        return np.zeros(checks)
    even = np.full(blocks, 1.0 / blocks)
    picks = np.random.default_rng(seed).multinomial(blocks, even, size=REPLICATES)
    times = picks / (picks @ block_share)[:, None]
    values = np.zeros((REPLICATES, checks))
    for start in range(0, pairs, PAIRS_AT_ONCE):
        some = slice(start, start + PAIRS_AT_ONCE)
        gain = _gain(np.stack([times @ parts[:, shown, some] for shown in range(outcomes)]))
        first = np.flatnonzero(np.diff(check[some], prepend=-1))
        values[:, check[some][first]] += np.add.reduceat(gain, first, axis=1)
    # A bootstrap of few blocks is too narrow by sqrt((n - 1) / n).
    error: Floats = values.std(axis=0, ddof=1) * np.sqrt(blocks / (blocks - 1))
    return error


def chances_moved(soiled: Floats, outcome: Floats, weight: Floats | None = None) -> Floats:
    """Return how far each check is expected to move the chances, for jobs without money.

    Parameters
    ----------
    soiled : Floats
        [K, n] one where void v is soiled in draw k, else zero. [1]
    outcome : Floats
        [J, O, K] chance that check j shows outcome o if draw k is the truth. [1]
    weight : Floats, optional
        [K] weight of each draw, of any sum. [1]

    Returns
    -------
    Floats
        [J] expected sum over the voids of the change of the chance that it is soiled. [1]
    """
    draws = len(soiled)
    share = np.full(draws, 1.0 / draws) if weight is None else weight / weight.sum()
    prior = share @ soiled
    centred = (soiled - prior) * share[:, None]
    checks, outcomes, _ = outcome.shape
    product = outcome.reshape(checks * outcomes, draws) @ centred
    moved: Floats = np.abs(product).sum(axis=1).reshape(checks, outcomes).sum(axis=1)
    return moved


def _refuse_misfits(loss_leave: Floats, loss_open: Floats, outcome: Floats) -> None:
    draws = outcome.shape[2]
    if loss_leave.shape != (draws, len(loss_open)):
        raise ValueError(
            f"loss_leave is {loss_leave.shape}, but there are {draws} draws of "
            f"{len(loss_open)} voids"
        )
    off = np.abs(outcome.sum(axis=1) - 1.0).max(initial=0.0)
    if not off <= _ROUNDING:  # also where it is no number
        raise ValueError("the outcomes of a check do not sum to one in every draw")
