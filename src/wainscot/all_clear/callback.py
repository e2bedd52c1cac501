"""What somebody who is called back needs to know: what was left, and what was measured in what air.

    callback_of(job, graph, draws, sealing, looked).left_shut

Limits: a void counts as opened once all of it was looked at; what was cleaned is not told here.
"""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot.all_clear.watching import closed_words, standing
from wainscot.arrays import Floats
from wainscot.chance import percent
from wainscot.diagnosis.draws import Draws
from wainscot.job import AirReading, BaitLeft, Declined, Job, SealMade, typed
from wainscot.sealing import SealList
from wainscot.signs.decay import latest_of
from wainscot.sources import judged
from wainscot.voids.graph import Graph

TELL = judged(0.1, "1", "chance of soil from which a void that stays shut is named")
SEEN = 0.95
"""Share of a void looked at from which it counts as opened. [1]"""


class Callback(msgspec.Struct, frozen=True):
    """What a callback needs to know."""

    left_shut: tuple[str, ...]
    """Voids that may be soiled and were not opened, the likeliest first."""
    declined: tuple[str, ...]
    """Work that the owner did not want."""
    open_ways: tuple[str, ...]
    """Ways in that stay open, each with the reason."""
    seals: tuple[str, ...]
    """Seals that were made: what they close, of what, when they are looked at again."""
    readings: tuple[str, ...]
    """The latest reading of each room and sort, with the weather, heating and windows."""
    traps: tuple[str, ...]
    """Ids of traps that still stand."""
    bait: tuple[str, ...]
    """What was left and has to be fetched."""


def callback_of(
    job: Job, graph: Graph, draws: Draws, mine: SealList, looked: Floats | None = None
) -> Callback:
    """Return what a callback needs to know.

    Parameters
    ----------
    job : Job
        A job without faults.
    graph : Graph
        Its voids, in the order of the draws.
    draws : Draws
        The draws of its diagnosis.
    mine : SealList
        The seal list of its animal, as built.
    looked : Floats, optional
        [V] share of each void that anybody looked at. [1]
    """
    entities = typed(job)
    return Callback(
        _left_shut(graph, draws, looked),
        tuple(f"{one.opening}: {one.reason or 'no reason given'}" for one in entities.values()
              if isinstance(one, Declined)),
        tuple(f"{one.words} ({one.why})" for one in mine.remaining),
        tuple(_seal(job, one) for one in entities.values()
              if isinstance(one, SealMade) and one.counts),
        tuple(_reading(job, one) for one in latest_of(job)),
        tuple(standing(job)),
        tuple(one.what for one in entities.values()
              if isinstance(one, BaitLeft) and not one.fetched_at),
    )  # fmt: skip


def _left_shut(graph: Graph, draws: Draws, looked: Floats | None) -> tuple[str, ...]:
    soiled = draws.weight @ (draws.soil > 0)
    shut = graph.hidden & (soiled >= TELL.value)
    if looked is not None:
        shut &= looked < SEEN
    ranked = sorted(np.flatnonzero(shut), key=lambda v: (-round(float(soiled[v]), 9), v))
    return tuple(
        f"{graph.words[v]} ({percent(float(soiled[v]))} in 100 that it is soiled)" for v in ranked
    )


def _seal(job: Job, one: SealMade) -> str:
    again = f", to be looked at again {one.inspect_at}" if one.inspect_at else ""
    return f"{closed_words(job, one)}: {one.material}, {one.at or 'no date'}, by {one.by}{again}"


def _reading(job: Job, one: AirReading) -> str:
    room = job.entities.get(one.room, {}).get("name", one.room)
    air = [] if one.outside is None else [f"{one.outside:g} C outdoors"]
    if one.heating is not None:
        air.append("heating on" if one.heating else "heating off")
    if one.windows:
        air.append(f"windows {one.windows}")
    return (
        f"{room}: {one.of} {one.value:g} on {one.at[:10]}, {', '.join(air) or 'weather not noted'}"
    )
