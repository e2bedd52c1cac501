"""A floor or ceiling as whoever cuts it meets it: what is behind the board, and where from."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import shapely

from wainscot.access import CutAt
from wainscot.access.scene import ENTERED, Scene
from wainscot.drawing import BELOW, PENCIL, Grain
from wainscot.drawing.model import Point
from wainscot.papers.opening_sheet.datum import Datum, corner_of, pin_beside, riser_near
from wainscot.papers.opening_sheet.geometry import clipped, pieces
from wainscot.plan.model import ServiceRun

_LEVEL = 0.06
WIDEST = 0.12
"""No joist is wider, doubled ones aside. [m]"""


class SeenFlat:
    """A floor or ceiling of a room with cuts in it.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    cuts : sequence of CutAt
        Cuts in it, all from one side.
    below : bool
        True where the saw comes from under the floor.
    """

    def __init__(self, scene: Scene, cuts: Sequence[CutAt], below: bool) -> None:
        self.scene, self.cuts, self.below = scene, tuple(cuts), below
        self.room = scene.plan.room(cuts[0].room)
        self.ceiling = cuts[0].part == "ceiling"
        self.level = cuts[0].bottom
        self.polygon = shapely.Polygon(self.room.polygon)
        self.cut_area = shapely.union_all([shapely.Polygon(one.outline) for one in cuts])

    @property
    def looking_up(self) -> bool:
        """True where whoever cuts looks up."""
        return self.below or self.ceiling

    @property
    def grain(self) -> Grain:
        """How fine positions are told."""
        return BELOW if self.below else PENCIL

    @cached_property
    def bays(self) -> tuple[int, ...]:
        """The voids right behind the board, those that a body enters left out."""
        graph, storey = self.scene.graph, self.scene.plan.storey(self.room.storey)
        behind = (
            self.level + storey.ceiling_board if self.ceiling else self.level - storey.floor.board
        )
        ends = graph.bottom if self.ceiling else graph.top
        return tuple(
            void
            for void in self.scene.hidden()
            if abs(float(ends[void]) - behind) < _LEVEL
            and graph.kinds[void] not in ENTERED
            and self.polygon.intersects(shapely.Polygon(graph.polygon[void]))
        )

    @cached_property
    def members(self) -> shapely.Geometry:
        """Joists: the room without the bays. Empty where no bays are drawn."""
        free = shapely.union_all(
            [shapely.Polygon(self.scene.graph.polygon[void]) for void in self.bays]
        )
        if free.is_empty:
            return shapely.Polygon()
        bare = self.polygon - free
        # What is wider than any joist is floor of which no framing is known.
        return bare - bare.buffer(-WIDEST / 2).buffer(WIDEST / 2 + 0.001, join_style="mitre")

    @cached_property
    def depth(self) -> tuple[float, float]:
        """Bottom and top of what lies behind the board, the board included. [m]"""
        graph = self.scene.graph
        if not self.bays:
            return self.level - 0.3, self.level + 0.3
        low = min(float(graph.bottom[void]) for void in self.bays)
        high = max(float(graph.top[void]) for void in self.bays)
        return min(low, self.level), max(high, self.level)

    @cached_property
    def services(self) -> tuple[tuple[ServiceRun, shapely.LineString], ...]:
        """What is drawn to run behind the board: run, and each piece in plan. [m]"""
        found = []
        for run in self.scene.plan.services:
            for one, other in pieces(run):
                piece = clipped(one, other, *self.depth)
                if piece is not None:
                    line = shapely.LineString([piece[0][:2], piece[1][:2]])
                    if shapely.distance(line, self.polygon) < 0.3:
                        found.append((run, line))
        return tuple(found)

    @cached_property
    def standing(self) -> tuple[tuple[str, tuple[Point, ...]], ...]:
        """Fixtures that stand on the floor: name and outline. [m]"""
        if self.ceiling:
            return ()
        return tuple(
            (one.name or one.type, one.ring)
            for one in self.scene.plan.fixtures
            if one.room == self.room.id
        )

    @cached_property
    def datum(self) -> Datum:
        """Where it is measured from."""
        corner = corner_of(self.room, self.cut_area)
        if not self.below:
            return corner
        return self.pin or self.riser or corner

    @cached_property
    def riser(self) -> Datum | None:
        """A pipe that passes the floor near the cut, to be found on both sides, or None."""
        if not self.below:
            return None
        level = self.scene.plan.storey(self.room.storey).elevation
        turn = corner_of(self.room, self.cut_area).turn
        return riser_near(self.scene.plan.services, level, self.cut_area, turn)

    @cached_property
    def pin(self) -> Datum | None:
        """A hole drilled down beside the cut, to be found from below; None from above."""
        if not self.below:
            return None
        busy = [shapely.Polygon(ring).buffer(0.03) for _, ring in self.standing]
        busy += [self.members.buffer(0.012), self.cut_area.buffer(0.02)]
        busy += [line.buffer(run.diameter / 2 + 0.05) for run, line in self.services]
        free = self.polygon.buffer(-0.03) - shapely.union_all(busy)
        return pin_beside(free, self.cut_area, corner_of(self.room, self.cut_area).turn)
