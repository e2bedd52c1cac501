"""Where each opening lies: what is cut, seen from above, and the voids that it reaches.

Limits: a cut in a wall is a line along the face; how high it stands is told in words and on the
opening sheet, not here.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from wainscot.access import Access
from wainscot.openings import Choice
from wainscot.picture.sheet import Ring
from wainscot.plan import Plan
from wainscot.voids.graph import Graph


class CutLine(msgspec.Struct, frozen=True):
    """A piece of finish that is taken out."""

    part: str
    """``wall``, ``floor``, ``ceiling`` or ``front``."""
    outline: Ring
    """Both ends of a cut in a wall, else its corners. [m]"""
    bottom: float
    top: float
    """Heights above level 0's finished floor. [m]"""
    sawn: bool


class ReachOf(msgspec.Struct, frozen=True):
    """A void that an opening reaches."""

    void: str
    share: float
    """How much of it. [1]"""


class Laid(msgspec.Struct, frozen=True):
    """One opening on the plan."""

    id: str
    storey: str
    """Of the room that the work is done from."""
    at: tuple[float, float]
    """[m]"""
    cuts: tuple[CutLine, ...]
    reaches: tuple[ReachOf, ...]


def laid(
    choice: Choice | None, offered: Sequence[Access], plan: Plan, graph: Graph
) -> tuple[Laid, ...]:
    """Return where the openings of a choice lie, in its order.

    Parameters
    ----------
    choice : Choice or None
        The openings; None where nothing is drawn.
    offered : sequence of Access
        Every opening that was weighed.
    plan : Plan
        The plan.
    graph : Graph
        The voids that the openings reach.
    """
    by_id = {one.id: one for one in offered}
    storeys = {room.id: room.storey for room in plan.rooms}
    told = choice.openings if choice else ()
    return tuple(_one(by_id[each.id], storeys, graph) for each in told if each.id in by_id)


def _one(way: Access, storeys: dict[str, str], graph: Graph) -> Laid:
    first = graph.storeys[way.reaches[0].void] if way.reaches else ""
    return Laid(
        way.id,
        storeys.get(way.room, first),
        (round(way.at[0], 4), round(way.at[1], 4)),
        tuple(
            CutLine(
                cut.part,
                tuple((round(x, 4), round(y, 4)) for x, y in cut.outline),
                round(cut.bottom, 3), round(cut.top, 3), cut.sawn,
            )
            for cut in way.cuts
        ),
        tuple(ReachOf(graph.keys[each.void], round(each.share, 3)) for each in way.reaches),
    )  # fmt: skip
