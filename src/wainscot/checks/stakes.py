"""What is at stake in each void, and which ways to look are worth weighing in full.

Large houses offer thousands of looks at thousands of voids.  Three things keep that small:

- voids where even knowing everything would hardly save anything are left out; together they hold at
  most one part in a thousand of what perfect knowledge is worth;
- of looks that show exactly the same, only the cheapest is weighed;
- of more than 200 looks, the best 200 on about a thousand draws go on to be weighed on all.

Limits: a look that is left out by the coarse pass might have come out a little better on all draws.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec
import numpy as np
from numpy.typing import NDArray

from wainscot.access import Access
from wainscot.arrays import Bools, Floats
from wainscot.book import Book, cost_to_open
from wainscot.checks.outcomes import Outcomes
from wainscot.checks.pooled import Pooled
from wainscot.checks.worth import expected_value
from wainscot.diagnosis.bands import Outlook, band
from wainscot.voids.graph import Graph

MOST_WEIGHED = 200
COARSE_DRAWS = 1024
LEFT_OUT = 1e-3
"""Share of the worth of knowing everything that voids left out may hold. [1]"""
_DRAWS_AT_ONCE = 256
"""Draws counted in one step: few enough for a processor's cache."""

Indices = NDArray[np.intp]


class Stakes(msgspec.Struct, frozen=True):
    """What hangs on each hidden void."""

    hidden: Indices
    """[n] voids of the graph that may be opened."""
    soiled: Floats
    """[n] chance that it is soiled. [1]"""
    better_opened: Bools
    """[n] True where opening costs less than leaving, on what is known."""
    opened_unseen: Bools
    """[n] True where opening costs less than a typical check as well: the band "open"."""
    matter: Indices
    """Voids of the graph where knowing more may save something."""
    opening: float
    """Cost of opening one void. [currency]"""


def loss_if_left(draws: Pooled, voids: Indices, book: Book) -> Floats:
    """Return the cost of leaving each void in each draw: [K, n]. [currency]

    Parameters
    ----------
    draws : Pooled
        The draws.
    voids : array of int
        Voids of the graph.
    book : Book
        The firm's rates.
    """
    return np.asarray(_by_state(book)[_states(draws, voids)])


def stakes(draws: Pooled, graph: Graph, book: Book) -> Stakes:
    """Return what hangs on each hidden void of a graph.

    Parameters
    ----------
    draws : Pooled
        The draws.
    graph : Graph
        The voids.
    book : Book
        The firm's rates.
    """
    hidden = np.flatnonzero(graph.hidden)
    loss, opening = _by_state(book), cost_to_open(book)
    chance = _chances(_states(draws, hidden), draws.weight, len(loss))
    leaving = loss @ chance
    saved = np.minimum(leaving, opening) - np.minimum(loss, opening) @ chance
    order = np.argsort(saved, kind="stable")
    small = np.cumsum(saved[order]) <= LEFT_OUT * saved.sum()
    return Stakes(
        hidden=hidden,
        soiled=1.0 - chance[0],
        better_opened=leaving > opening,
        opened_unseen=np.array(
            [
                band(Outlook(light, heavy, nest), book) == "open"
                for light, heavy, nest in zip(
                    chance[1], chance[2], chance[3:].sum(axis=0), strict=True
                )
            ],
            dtype=np.bool_,
        ),
        matter=np.sort(hidden[order[~small]]),
        opening=opening,
    )


def minutes_of(access: Access) -> float:
    """Return the time of a look, finding out first and making good included. [min]"""
    return access.minutes + access.repair + sum(hold.minutes for hold in access.holds)


def cost_of(access: Access, book: Book) -> float:
    """Return what a look costs at the firm's hourly rate. [currency]"""
    return minutes_of(access) / 60.0 * book.hour.value


def cheapest(ways: Sequence[Access], book: Book) -> tuple[list[Access], dict[str, tuple[str, ...]]]:
    """Return of looks that show the same the cheapest, and the ids of the others by its id."""
    groups: dict[tuple[object, ...], list[Access]] = {}
    for one in ways:
        shows = (one.reaches, one.method, one.nights, one.sources, one.shows)
        groups.setdefault((*shows, one.answers, one.right), []).append(one)
    kept, others = [], {}
    for group in groups.values():
        best, *rest = sorted(group, key=lambda one: (cost_of(one, book), one.id))
        kept.append(best)
        others[best.id] = tuple(one.id for one in rest)
    return sorted(kept, key=lambda one: one.id), others


def short_list(ways: list[Access], outcomes: Outcomes, at: Stakes, book: Book) -> list[Access]:
    """Return the looks to weigh in full, in the order given; all of them if they are few."""
    if len(ways) <= MOST_WEIGHED:
        return ways
    coarse = outcomes.thinned(-(-len(outcomes.draws.weight) // COARSE_DRAWS))
    loss = loss_if_left(coarse.draws, at.matter, book)
    opening = np.full(len(at.matter), at.opening)
    net = [
        value - cost_of(access, book)
        for some in _chunks(ways)
        for access, value in zip(
            some,
            expected_value(loss, opening, coarse.of(some), coarse.draws.weight, blocks=1).value,
            strict=True,
        )
    ]
    best = np.sort(np.argsort(-np.array(net), kind="stable")[:MOST_WEIGHED])
    return [ways[int(j)] for j in best]


def _chunks(ways: list[Access]) -> Iterator[list[Access]]:
    return (ways[at : at + MOST_WEIGHED] for at in range(0, len(ways), MOST_WEIGHED))


def _by_state(book: Book) -> Floats:
    """Cost of leaving by soil none / light / heavy, then the same with a nest: [6]."""
    soil = [0.0, book.callback_light.value, book.callback_heavy.value]
    return np.array([*soil, *[book.callback_nest.value] * 3]) * book.hour.value


def _chances(states: NDArray[np.uint8], weight: Floats, count: int) -> Floats:
    """Return the chance of each state of each void: [count, n]."""
    voids = states.shape[1]
    first = count * np.arange(voids)
    found = np.zeros(count * voids)
    for start in range(0, len(states), _DRAWS_AT_ONCE):
        some = states[start : start + _DRAWS_AT_ONCE]
        each = np.repeat(weight[start : start + _DRAWS_AT_ONCE], voids)
        found += np.bincount((some + first).ravel(), each, minlength=count * voids)
    return np.asarray(found.reshape(voids, count).T)


def _states(draws: Pooled, voids: Indices) -> NDArray[np.uint8]:
    return np.asarray(draws.soil[:, voids] + 3 * draws.nest[:, voids], dtype=np.uint8)
