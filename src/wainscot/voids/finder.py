"""Looking one place up in one graph: the work behind ``placing``."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from wainscot.arrays import Floats
from wainscot.job import Place
from wainscot.plan.frame import ring
from wainscot.plan.kind import kinds
from wainscot.plan.model import FixtureAt, Plan, Room, ServiceRun, Side
from wainscot.quantity import length
from wainscot.voids.graph import Graph
from wainscot.voids.points import KNEE, along_path

CLOSE = 0.08
"""A mark this near to a void lies on its surface. [m]"""
STRAY = 0.6
"""An entry point this near to a void opens into it. [m]"""
TIE = 0.02
HANGS = 0.5
"""What hangs no lower than this under a ceiling is taken for the ceiling. [m]"""

FLOOR_KINDS = {"joist bay", "crawl space", "underfloor void"}
CEILING_KINDS = {"joist bay", "ceiling bay", "rafter bay", "loft"}
WALL_KINDS = {"stud bay", "wall cavity", "gap behind lining"}

Indices = tuple[int, ...]


class Finder:
    """Looks places up in one graph."""

    def __init__(self, graph: Graph, plan: Plan) -> None:
        self.graph = graph
        self.plan = plan
        self.shapes = _shapes(graph.polygon)
        self.fixtures = {one.id: one for one in plan.fixtures}
        self.rooms = {one.id: one for one in plan.rooms}
        self.services = {one.id: one for one in plan.services}
        self.ceilings = {
            f"{one.id}/{cavity.role}"
            for one in plan.fixtures
            for cavity in kinds()[one.type].cavities(one)
            if cavity.part == "ceiling"
        }

    def find(self, place: Place, stray: float = CLOSE, depth: int = 0) -> Indices:
        """Return the voids of a place without a radius, nearest first.

        Parameters
        ----------
        place : Place
            Where.
        stray : float
            How far off a void may lie. [m]
        depth : int
            How many places have pointed here already.
        """
        of, sided = place.of, self._side(place.of)
        if place.at is not None:
            return self._at_point(place, stray)
        if sided is not None:
            return self._along_side(sided, place, stray)
        if of in self.rooms:
            return self._in_room(self.rooms[of], place)
        if of in self.fixtures:
            return self._in_fixture(self.fixtures[of], place)
        if of in self.services:
            return self._on_service(self.services[of], place, stray)
        pointed = {one.id: one.place for one in self.plan.entries}
        pointed |= {one.id: one.place for one in self.plan.kept}
        if of in pointed and depth < 3:
            return self.find(pointed[of], STRAY, depth + 1)
        storey = next((one for one in self.plan.storeys if one.id == of), None)
        if storey is not None:
            return tuple(
                dict.fromkeys(
                    v
                    for room in self.plan.rooms
                    if room.storey == of
                    for v in self._in_room(room, place)
                )
            )
        return ()

    def zone(self, place: Place, radius: float) -> Indices:
        """Return the hidden voids within a radius.

        Parameters
        ----------
        place : Place
            The middle.
        radius : float
            Radius where the place has none. [m]
        """
        reach = length(place.radius) if place.radius is not None else radius
        middle = self._middle(place)
        if middle is None:
            return ()
        x, y, z = middle
        away = self._away(shapely.Point(x, y), z)
        # What is heard in a room lies in what is hidden around it.
        wanted = self._wanted("" if place.part == "room" else place.part)
        order = np.argsort(away, kind="stable")
        return tuple(
            int(v) for v in order if away[v] <= reach and self.graph.hidden[v] and wanted(int(v))
        )

    def open_end(self, service: ServiceRun, stray: float) -> Indices:
        """Return the void that a run's open end lies in.

        Parameters
        ----------
        service : ServiceRun
            The run.
        stray : float
            How far off a void may lie. [m]
        """
        return self.near(service.path[0 if service.open_end == "start" else -1], stray)

    def near(self, point: tuple[float, float, float], stray: float) -> Indices:
        """Return the void nearest to a point, if any is near.

        Parameters
        ----------
        point : (float, float, float)
            The point. [m]
        stray : float
            How far off a void may lie. [m]
        """
        return self._nearest(point[0], point[1], point[2], stray, lambda _: True)

    def _side(self, of: str) -> Side | None:
        key = self.plan.side_key(of)
        room, _, name = key.partition("/")
        return self.rooms[room].side(name) if room in self.rooms and name else None

    def _wanted(self, part: str) -> Callable[[int], bool]:
        """Return the test that a part of the building sets."""
        graph = self.graph

        def test(v: int) -> bool:
            kind = graph.kinds[v]
            if part == "room":
                return not bool(graph.hidden[v])
            if part == "floor":
                return kind in FLOOR_KINDS
            if part == "ceiling":
                return kind in CEILING_KINDS or graph.keys[v] in self.ceilings
            if part == "wall":
                return kind in WALL_KINDS
            return True

        return test

    def _away(self, shape: shapely.Geometry, z: float) -> Floats:
        flat = np.asarray(shapely.distance(self.shapes, shape), dtype=np.float64)
        up = np.maximum(np.maximum(self.graph.bottom - z, z - self.graph.top), 0.0)
        return np.hypot(flat, up)

    def _nearest(
        self, x: float, y: float, z: float, stray: float, wanted: Callable[[int], bool]
    ) -> Indices:
        away = self._away(shapely.Point(x, y), z)
        near = [int(v) for v in np.nonzero(away <= stray)[0] if wanted(int(v))]
        if not near:
            return ()
        least = min(away[v] for v in near)
        tied = [v for v in near if away[v] <= least + TIE]
        return (min(tied, key=lambda v: (self.graph.volume[v], v)),)

    def _at_point(self, place: Place, stray: float) -> Indices:
        storey = next((one for one in self.plan.storeys if one.id == place.storey), None)
        if storey is None or place.at is None:
            return ()
        x, y = length(place.at[0]), length(place.at[1])
        height = None if place.height is None else length(place.height)
        reach = 0.0 if place.extent is None else length(place.extent) / 2
        return self._level(
            shapely.Point(x, y), storey.elevation, storey.height, height, place.part, reach, stray
        )

    def _level(
        self,
        shape: shapely.Geometry,
        floor: float,
        clear: float,
        height: float | None,
        part: str,
        reach: float,
        stray: float,
    ) -> Indices:
        """Return the voids of a part at a point or stretch of one storey."""
        wanted = self._wanted(part)
        if part == "floor":
            z = floor + height if height is not None and height < 0 else floor - TIE
            return self._layer(shape, z, wanted, max(reach, stray), reach > 0, below=floor + TIE)
        if part == "ceiling":
            return self._layer(
                shape, floor + clear + TIE, wanted, max(reach, stray), reach > 0,
                above=floor + clear - TIE,
            )  # fmt: skip
        if part == "wall":
            z = floor + (KNEE if height is None else height)
            return self._layer(shape, z, wanted, max(reach, stray), reach > 0)
        point = shapely.Point(shape.centroid)
        if height is None or part == "room":
            return self._open_room(point, floor, part)
        return self._nearest(point.x, point.y, floor + height, stray, wanted)

    def _layer(
        self,
        shape: shapely.Geometry,
        z: float,
        wanted: Callable[[int], bool],
        reach: float,
        several: bool,
        below: float = np.inf,
        above: float = -np.inf,
    ) -> Indices:
        """Return the void (or voids) at a height, by how far it lies off in plan."""
        graph = self.graph
        flat = np.asarray(shapely.distance(self.shapes, shape), dtype=np.float64)
        up = np.maximum(np.maximum(graph.bottom - z, z - graph.top), 0.0)
        for v in (graph.keys.index(key) for key in self.ceilings):
            if above > -np.inf and up[v] <= HANGS:
                up[v] = 0.0
        near = [
            int(v)
            for v in np.nonzero((flat <= reach) & (up <= 0.7))[0]
            if wanted(int(v)) and graph.bottom[v] < below and graph.top[v] > above
        ]
        if not near:
            return ()
        least = min(up[v] for v in near)
        level = [v for v in near if up[v] <= least + TIE]
        # Who speaks of the ceiling means what hangs under it first.
        level.sort(key=lambda v: (flat[v], graph.keys[v] not in self.ceilings, v))
        return tuple(level) if several else (level[0],)

    def _open_room(self, point: shapely.Point, floor: float, part: str) -> Indices:
        """Return the room at a point, or the void of a fixture that stands there."""
        flat = np.asarray(shapely.distance(self.shapes, point), dtype=np.float64)
        graph = self.graph
        here = [int(v) for v in np.nonzero((flat <= TIE) & (np.abs(graph.bottom - floor) < 0.2))[0]]
        fixed = [v for v in here if graph.owners[v] in self.fixtures and part != "room"]
        open_ones = [v for v in here if not graph.hidden[v]]
        walls = [v for v in here if graph.kinds[v] in WALL_KINDS and part != "room"]
        for found in (fixed, open_ones, walls):
            if found:
                return (min(found, key=lambda v: (flat[v], graph.bottom[v], v)),)
        return ()

    def _along_side(self, side: Side, place: Place, stray: float) -> Indices:
        room = self.rooms[side.room]
        if place.part == "room":
            return self._in_room(room, place)
        storey = self.plan.storey(room.storey)
        height = None if place.height is None else length(place.height)
        along, reach = self._stretch(side, place)
        thickness = max(
            (
                wall.thickness
                for wall in self.plan.walls
                if side.id in (wall.id, f"{wall.facing}/{wall.facing_side}")
            ),
            default=0.1,
        )
        ends = sorted((side.coordinate(along[0]), side.coordinate(along[1])))
        if place.part in ("floor", "ceiling"):
            strip = shapely.Polygon(side.ring(ends[0], ends[1], -0.15, -0.05))
        else:
            strip = shapely.Polygon(side.ring(ends[0], ends[1], 0.0, thickness))
        several = reach or (place.along is None)
        return self._level(
            strip, storey.elevation, storey.height, height, place.part or "wall",
            1e-6 if several else 0.0, max(stray, 1e-6) if not several else 1e-6,
        )  # fmt: skip

    def _stretch(self, side: Side, place: Place) -> tuple[tuple[float, float], bool]:
        """Return the ends of what was looked at, as distances from the left corner."""
        if place.along is None:
            return (0.0, side.length), True
        start = length(place.along)
        extent = 0.0 if place.extent is None else length(place.extent)
        return (start, start + extent), extent > 0

    def _in_room(self, room: Room, place: Place) -> Indices:
        graph = self.graph
        storey = self.plan.storey(room.storey)
        shape = shapely.Polygon(room.polygon)
        if place.part in ("", "room"):
            return (graph.keys.index(room.id),)
        if place.part == "wall":
            sides = {side.id for side in room.sides}
            sides |= {wall.id for wall in self.plan.walls if wall.facing == room.id}
            return tuple(
                v
                for v, owner in enumerate(graph.owners)
                if owner in sides and graph.kinds[v] in WALL_KINDS and self._beside(v, shape)
            )
        return self._level(
            shape.buffer(-0.05), storey.elevation, storey.height, None, place.part, 1e-6, 1e-6
        )

    def _beside(self, v: int, shape: shapely.Polygon) -> bool:
        return bool(shapely.distance(self.shapes[v], shape) <= 0.2)

    def _in_fixture(self, fixture: FixtureAt, place: Place) -> Indices:
        graph = self.graph
        # In the order of its kind, so that the void people mean comes first.
        index = graph.index()
        roles = [one.role for one in kinds()[fixture.type].cavities(fixture)]
        own = [index[key] for key in (f"{fixture.id}/{role}" for role in roles) if key in index]
        storey = self.plan.storey(fixture.storey)
        if place.part == "room":
            return (graph.keys.index(fixture.room),)
        if place.part in ("floor", "ceiling", "wall"):
            shape: shapely.Geometry = shapely.Polygon(fixture.ring)
            if place.part == "wall":
                ends = sorted(
                    fixture.side.coordinate(fixture.along + u) for u in (0.0, fixture.width)
                )
                shape = shapely.Polygon(fixture.side.ring(ends[0], ends[1], 0.0, 0.15))
            elif place.along is not None:
                u = length(place.along)
                strip = fixture.place(u, u + 0.01, 0.0, fixture.depth)
                shape = shapely.Polygon(ring(strip, fixture.side.turn))
            return self._level(shape, storey.elevation, storey.height, None, place.part, 1e-6, 1e-6)
        if place.height is not None:
            z = storey.elevation + length(place.height)
            own.sort(key=lambda v: max(graph.bottom[v] - z, z - graph.top[v], 0.0))
            return tuple(own[:1])
        return tuple(own)

    def _on_service(self, service: ServiceRun, place: Place, stray: float) -> Indices:
        if place.along is not None:
            x, y, z = along_path(service.path, length(place.along))
            return self._nearest(x, y, z, stray, self._wanted(place.part))
        if service.open_end:
            return self.open_end(service, STRAY)
        line = [self._nearest(x, y, z, stray, lambda _: True) for x, y, z in _steps(service.path)]
        return tuple(dict.fromkeys(v for found in line for v in found))

    def _middle(self, place: Place) -> tuple[float, float, float] | None:
        """Return the point that a zone is drawn around."""
        height = None if place.height is None else length(place.height)
        if place.at is not None:
            storey = next((one for one in self.plan.storeys if one.id == place.storey), None)
            if storey is None:
                return None
            z = storey.elevation + (height or 0.0)
            if place.part == "ceiling" and height is None:
                z = storey.elevation + storey.height
            return (length(place.at[0]), length(place.at[1]), z)
        found = self.find(place)
        if not found:
            return None
        v = found[0]
        middle = shapely.Polygon(self.graph.polygon[v]).centroid
        base = float(self.graph.bottom[v])
        if place.part == "" and not self.graph.hidden[v]:
            return (middle.x, middle.y, base + (height or 0.0))
        return (middle.x, middle.y, (base + float(self.graph.top[v])) / 2)


def _shapes(polygons: Sequence[Floats]) -> NDArray[np.object_]:
    """Return all outlines as shapes, made in one go."""
    corners = np.concatenate([np.zeros((0, 2)), *polygons])
    which = np.repeat(np.arange(len(polygons)), [len(one) for one in polygons])
    return np.asarray(shapely.polygons(shapely.linearrings(corners, indices=which)), dtype=object)


def _steps(path: Sequence[tuple[float, float, float]]) -> list[tuple[float, float, float]]:
    whole = sum(float(np.linalg.norm(np.subtract(b, a))) for a, b in pairwise(path))
    number = max(int(whole / 0.2), 1)
    return [along_path(path, whole * n / number) for n in range(number + 1)]
