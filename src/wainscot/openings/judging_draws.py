"""What a set of openings comes to on the draws: is any soiled void missed, how many, at what loss.

Limits: a void that counts as reached is taken as found; the error is that of the draws, not of the
model behind them.
"""

from __future__ import annotations

import msgspec
import numpy as np
from numpy.typing import ArrayLike

from wainscot.arrays import Bools, Floats
from wainscot.checks import Pooled

BLOCKS = 16


class Missed(msgspec.Struct, frozen=True):
    """How a set of openings does on the draws."""

    any: float
    """Chance that any soiled void is missed. [1]"""
    error: float
    """Its Monte Carlo error, from stretches of neighbouring draws. [1]"""
    avoidable: float
    """Chance that any soiled void is missed that some opening would reach. [1]"""
    number: float
    """Expected number of soiled voids missed. [1]"""
    heavy: float
    """Chance that any heavily soiled void or any nest is missed. [1]"""
    heavy_avoidable: float
    """Chance that one is missed that some opening would reach. [1]"""


def soiled(draws: Pooled, hidden: Bools) -> Bools:
    """Return which hidden voids are soiled in each draw: [K, V].

    Parameters
    ----------
    draws : Pooled
        The draws.
    hidden : Bools
        [V] True where nobody sees in from a room.
    """
    return np.asarray(((draws.soil > 0) | (draws.nest > 0)) & hidden)


def heavily(draws: Pooled, hidden: Bools) -> Bools:
    """Return which hidden voids are heavily soiled or hold a nest in each draw: [K, V].

    Parameters
    ----------
    draws : Pooled
        The draws.
    hidden : Bools
        [V] True where nobody sees in from a room.
    """
    return np.asarray(((draws.soil > 1) | (draws.nest > 0)) & hidden)


def chance_of(happens: ArrayLike, weight: Floats) -> float:
    """Return the chance of what happens in some draws: weights sum to one but for rounding. [1]

    Parameters
    ----------
    happens : array of bool
        [K] True where it happens.
    weight : Floats
        [K] weight of each draw. [1]
    """
    return min(1.0, float(weight @ np.asarray(happens)))


def missed(dirty: Bools, heavy: Bools, weight: Floats, reached: Bools, reachable: Bools) -> Missed:
    """Return what is missed where only some voids are laid open.

    Parameters
    ----------
    dirty : Bools
        [K, V] True where a void is soiled in a draw.
    heavy : Bools
        [K, V] True where it is heavily soiled or holds a nest.
    weight : Floats
        [K] weight of each draw, summing to one. [1]
    reached : Bools
        [V] True where a void is laid open.
    reachable : Bools
        [V] True where some opening would lay it open.
    """
    left = dirty & ~reached
    worst = heavy & ~reached
    by_draw = left.any(axis=1)
    return Missed(
        any=chance_of(by_draw, weight),
        error=_error(np.asarray(by_draw, dtype=np.float64), weight),
        avoidable=chance_of((left & reachable).any(axis=1), weight),
        number=float(weight @ left.sum(axis=1)),
        heavy=chance_of(worst.any(axis=1), weight),
        heavy_avoidable=chance_of((worst & reachable).any(axis=1), weight),
    )


def _error(value: Floats, weight: Floats) -> float:
    """Return the standard error of a weighted mean from blocks of neighbouring draws."""
    starts = np.linspace(0, len(value), min(BLOCKS, len(value)) + 1).astype(int)[:-1]
    if len(starts) < 2:
        return float("inf")
    mean = float(weight @ value)
    spread = np.add.reduceat(weight * (value - mean), starts)
    count = len(starts)
    # Ratio estimator: blocks of unequal weight count by what they weigh; all weigh one together.
    return float(np.sqrt(count / (count - 1) * (spread**2).sum()))
