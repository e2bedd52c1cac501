"""A wall as the room sees it, and what stands in it, from its left corner and its floor."""

from __future__ import annotations

from functools import cached_property

import shapely

from wainscot.access import CutAt
from wainscot.access.scene import Scene
from wainscot.access.surfaces import TOUCHES, stretch
from wainscot.drawing.model import Point
from wainscot.papers.opening_sheet.geometry import Point3, clipped, pieces
from wainscot.plan.frame import to_frame
from wainscot.plan.model import ServiceRun, Wall
from wainscot.plan.side import Side

_NEAR = 0.02
Panel = tuple[float, float, float, float]
"""Left, bottom, right, top of a face. [m]"""


class SeenWall:
    """One side of a room, measured from its left corner and its floor.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    cut : CutAt
        A cut in it.
    """

    def __init__(self, scene: Scene, cut: CutAt) -> None:
        self.scene, self.room = scene, scene.plan.room(cut.room)
        owned = scene.stretches[cut.side]
        self.wall = next((one for one in owned if self._holds(one, cut)), owned[0])
        self.side = self._side()
        storey = scene.plan.storey(self.room.storey)
        self.floor, self.height = storey.elevation, storey.height

    @staticmethod
    def _holds(wall: Wall, cut: CutAt) -> bool:
        ends = [wall.side.on_axis(point) for point in cut.outline]
        return wall.low - _NEAR <= sum(ends) / len(ends) <= wall.high + _NEAR

    def _side(self) -> Side:
        if self.wall.side.room == self.room.id:
            return self.wall.side
        facing = self.room.side(self.wall.facing_side)
        return facing if facing is not None else self.wall.side

    def along(self, point: Point) -> float:
        """Return the distance of a point of the house from the left corner. [m]"""
        return (self.side.on_axis(point) - self.side.left) * self.side.rightward

    def up(self, height: float) -> float:
        """Return a height above the room's floor. [m]

        Parameters
        ----------
        height : float
            Above the floor of level 0. [m]
        """
        return height - self.floor

    def panel(self, cut: CutAt) -> Panel:
        """Return left, bottom, right, top of a cut. [m]"""
        ends = sorted(self.along(point) for point in cut.outline)
        return ends[0], self.up(cut.bottom), ends[-1], self.up(cut.top)

    @cached_property
    def walls(self) -> tuple[Wall, ...]:
        """Every stretch of wall along this side."""
        return tuple(
            one
            for one in self.scene.plan.walls
            if one.side.id == self.side.id
            or (one.facing == self.room.id and one.facing_side == self.side.name)
        )

    @cached_property
    def bays(self) -> tuple[tuple[int, Panel], ...]:
        """The voids in it, each with left, bottom, right, top. [m]"""
        graph = self.scene.graph
        ids = {one.id for one in self.walls}
        found = []
        for void in self.scene.hidden():
            if graph.owners[void] in ids and stretch(self.scene, void) in self.walls:
                ends = sorted(self.along((float(x), float(y))) for x, y in graph.polygon[void])
                low, high = float(graph.bottom[void]), float(graph.top[void])
                found.append((void, (ends[0], self.up(low), ends[-1], self.up(high))))
        return tuple(found)

    @cached_property
    def doors(self) -> tuple[tuple[str, Panel], ...]:
        """Doors and windows: type, then left, bottom, right, top. [m]"""
        found = []
        for wall in self.walls:
            for one in wall.openings:
                points = [
                    wall.side.point((end - wall.side.left) * wall.side.rightward)
                    for end in (one.low, one.high)
                ]
                ends = sorted(self.along(point) for point in points)
                found.append((one.type, (ends[0], one.sill, ends[1], one.head)))
        return tuple(found)

    @cached_property
    def members(self) -> shapely.Geometry:
        """Studs, plates, headers: the framed stretches without bays, doors and windows."""
        frames = []
        for wall in self.walls:
            if wall.build == "stud":
                ends = sorted(
                    self.along(wall.side.point((end - wall.side.left) * wall.side.rightward))
                    for end in (wall.low, wall.high)
                )
                frames.append(shapely.box(ends[0], 0.0, ends[1], self.height))
        free = [shapely.box(*panel) for _, panel in self.bays]
        free += [shapely.box(*panel) for _, panel in self.doors]
        return shapely.union_all(frames) - shapely.union_all(free)

    @cached_property
    def services(self) -> tuple[tuple[ServiceRun, Point, Point], ...]:
        """What is drawn to run in the wall: run, and both ends of each piece. [m]"""
        near = self.wall.side.level_line
        far = near + self.wall.side.outward * self.wall.thickness
        low, high = min(near, far) - _NEAR, max(near, far) + _NEAR
        face = shapely.box(0.0, 0.0, self.side.length, self.height)
        found = []
        for run in self.scene.plan.services:
            for one, other in pieces(run):
                piece = clipped(self._three(one), self._three(other), low, high)
                if piece is None:
                    continue
                seen = shapely.LineString([end[:2] for end in piece]) & face
                if not seen.is_empty:
                    ends = [(float(x), float(y)) for x, y in shapely.get_coordinates(seen)]
                    found.append((run, ends[0], ends[-1]))
        return tuple(found)

    def _three(self, point: Point3) -> Point3:
        turned = to_frame(point[:2], self.wall.side.turn)
        across = turned[1 if self.wall.side.axis == "x" else 0]
        return (self.along(point[:2]), self.up(point[2]), across)

    @cached_property
    def before(self) -> tuple[tuple[str, Panel], ...]:
        """Fixtures that stand against it: name, then left, bottom, right, top. [m]"""
        found = []
        for one in self.scene.plan.fixtures:
            if one.room != self.room.id:
                continue
            away = [
                abs(to_frame(p, self.side.turn)[1 if self.side.axis == "x" else 0]
                    - self.side.level_line)
                for p in one.ring
            ]  # fmt: skip
            ends = sorted(self.along(point) for point in one.ring)
            meets = ends[-1] > _NEAR and ends[0] < self.side.length - _NEAR
            if min(away) <= TOUCHES and meets:
                found.append((one.name or one.type, (ends[0], 0.0, ends[-1], one.height)))
        return tuple(found)
