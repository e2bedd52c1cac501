"""The plan: exact geometry of what was drawn, every missing fact filled in and said.

Axes: x east, y north, z up from the finished floor of level 0; all lengths in metres, polygons
anticlockwise and clear, face to face.  A plan is always partial: every wall stretch, floor and
ceiling at its edge says what lies beyond, and "not drawn yet" is such a word like any other.

The wall between two rooms is one wall, owned by the side whose id (``kitchen/e1``) sorts first.
A side that borders two things (a room here, the garden there) holds one :class:`Wall` a stretch.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any, Literal

import msgspec

from wainscot.job import Place
from wainscot.plan.frame import Point2, Rectangle, ring, to_world
from wainscot.plan.side import COMPASS as COMPASS
from wainscot.plan.side import Axis as Axis
from wainscot.plan.side import Normal as Normal
from wainscot.plan.side import Side as Side

EdgeKind = Literal["outside", "ground", "drain", "neighbour", "not drawn yet"]
Build = Literal["stud", "cavity", "solid"]


class Assumption(msgspec.Struct, frozen=True, order=True):
    """A default that stands in for what nobody knows."""

    path: str
    """Where the fact would stand in the job file."""
    words: str
    """For people: ``stud spacing assumed 400 mm (common practice): Kitchen east wall``."""
    value: str
    uses: tuple[tuple[str, str], ...] = ()
    """Every fact that it stands in for: its path, and the place in words."""


class Floor(msgspec.Struct, frozen=True):
    """Build-up of a storey's floor, from the finished surface down."""

    build: Literal["joists", "slab"]
    below: Literal["crawl space", "ground", "storey"]
    joists_run: Literal["x", "y", "", "long"] | float
    """Direction of the joists, or its angle anticlockwise from x [degrees]; empty: over the
    shorter span of each room; ``long``: over the longer one."""
    spacing: float
    depth: float
    thickness: float
    """Width of one joist. [m]"""
    board: float
    """Thickness of boards and finish over the joists. [m]"""
    crawl_height: float
    """From the underside of the joists to the ground. [m]"""
    girders: tuple[tuple[Point2, Point2], ...] = ()
    """Lines that the joists lap over. [m]"""
    insulated: bool = False


class Storey(msgspec.Struct, frozen=True):
    """One level with its heights."""

    id: str
    name: str
    level: int
    elevation: float
    """Height of the finished floor. [m]"""
    height: float
    """Clear height of the rooms. [m]"""
    floor: Floor
    ceiling: Literal["storey", "loft", "roof"]
    ceiling_board: float
    loft_height: float
    """Height at the ridge. [m]"""


class Room(msgspec.Struct, frozen=True):
    """A drawn room."""

    id: str
    name: str
    storey: str
    polygon: tuple[tuple[float, float], ...]
    """Clear outline, anticlockwise. [m]"""
    sides: tuple[Side, ...]

    def side(self, name: str) -> Side | None:
        """Return the side of that name, or None."""
        return next((side for side in self.sides if side.name == name), None)


class Opening(msgspec.Struct, frozen=True):
    """A door, doorway or window; ``low`` and ``high`` along the wall's axis."""

    id: str
    type: Literal["door", "window", "doorway"]
    low: float
    high: float
    sill: float
    head: float
    """Heights above the storey's finished floor. [m]"""
    header: float = 0.0
    """Height of the solid header or lintel over its head. [m]"""


class Wall(msgspec.Struct, frozen=True):
    """One stretch of wall with one thing behind it; lengths in metres. [m]"""

    side: Side
    """The owner's side; module indices count from its left corner."""
    storey: str
    low: float
    high: float
    """Ends along the side's axis. [m]"""
    thickness: float
    facing: str
    """Id of the room beyond; empty at the edge of the plan."""
    facing_side: str
    beyond: EdgeKind | Literal[""]
    """What lies beyond at the edge of the plan; empty between rooms."""
    build: Build
    spacing: float
    stud_depth: float
    stud_thickness: float
    first_stud: float
    """Distance of the centre of the first stud from the left corner. [m]"""
    top_plates: int
    near_finish: float
    """Thickness of the finish on the owner's side. [m]"""
    inner_leaf: float
    cavity: float
    finish: str
    bearing: str
    insulated: bool
    blocked: str
    framing: str
    lined: bool
    openings: tuple[Opening, ...]
    laid_out: bool = False
    """True where somebody saw or measured where the studs stand."""

    @property
    def id(self) -> str:
        """Id of the owner's side: ``kitchen/e1``."""
        return self.side.id

    @property
    def ring(self) -> tuple[Point2, Point2, Point2, Point2]:
        """Its outline in plan, anticlockwise. [m]"""
        return self.side.ring(self.low, self.high, 0.0, self.thickness)


class FixtureAt(msgspec.Struct, frozen=True):
    """A fixture in its place: local axes u from its left end, v out into the room, z up."""

    id: str
    type: str
    name: str
    room: str
    storey: str
    side: Side
    along: float
    width: float
    depth: float
    height: float
    flip: bool
    options: dict[str, Any]
    rectangle: Rectangle
    """Footprint: west, south, east, north in its side's own axes. [m]"""

    @property
    def ring(self) -> tuple[Point2, Point2, Point2, Point2]:
        """Its footprint, anticlockwise. [m]"""
        return ring(self.rectangle, self.side.turn)

    def point(self, u: float, v: float) -> Point2:
        """Return a point of the house. [m]

        Parameters
        ----------
        u, v : float
            Distances from its left end and from the wall behind it. [m]
        """
        west, south, _, _ = self.place(u, u, v, v)
        return to_world((west, south), self.side.turn)

    def place(
        self, u_low: float, u_high: float, v_low: float, v_high: float
    ) -> tuple[float, float, float, float]:
        """Return (west, south, east, north) of a local rectangle in its side's own axes. [m]

        Parameters
        ----------
        u_low, u_high : float
            Ends from the left end of the fixture (from its right end if flipped). [m]
        v_low, v_high : float
            Distances from the wall behind it. [m]
        """
        if self.flip:
            u_low, u_high = self.width - u_high, self.width - u_low
        ends = sorted(self.side.coordinate(self.along + u) for u in (u_low, u_high))
        return self.side.rectangle(ends[0], ends[1], -v_low, -v_high)


class ServiceRun(msgspec.Struct, frozen=True):
    """A pipe, cable or duct."""

    id: str
    type: str
    name: str
    path: tuple[tuple[float, float, float], ...]
    diameter: float
    """Outside diameter. [m]"""
    hole: tuple[float, float]
    """Least and greatest diameter of the holes that it passes through. [m]"""
    disused: bool
    open_end: Literal["", "start", "end"]
    owner: str = ""
    chambers: tuple[tuple[float, float, float], ...] = ()
    """Inspection chambers on a drain. [m]"""
    joins: str = ""
    """Id of the run that this one is a branch of."""
    dead_leg: bool = False
    """True where its upper end is closed and nothing drains through it."""

    @property
    def dead_end(self) -> tuple[float, float, float]:
        """The blind end of a dead leg: its start, a drain being drawn as it flows. [m]"""
        return self.path[0]


class Entry(msgspec.Struct, frozen=True):
    """A drawn hole in the edge of the plan."""

    id: str
    name: str
    place: Place
    size: float | None
    """Aperture. [m]"""
    size_basis: str
    material: str
    beyond: str
    sealed: bool


class LoftEdge(msgspec.Struct, frozen=True):
    """What lies beyond the loft over a room, at one of its sides or all round."""

    id: str
    room: str
    side: str
    kind: EdgeKind


class KeptItem(msgspec.Struct, frozen=True):
    """Something the owner wants kept as it is."""

    id: str
    name: str
    place: Place


class OwnCutAt(msgspec.Struct, frozen=True):
    """A cut that somebody on the job drew, as the tape reads."""

    id: str
    room: str
    side: str
    """Name of the side that it is measured from: ``n1``."""
    part: Literal["wall", "floor", "ceiling"]
    along: float
    """From the side's left corner to the cut's left edge. [m]"""
    width: float
    """[m]"""
    bottom: float
    """Over the finished floor; in a floor or ceiling, from the side's wall. [m]"""
    height: float
    """Up from there; in a floor or ceiling, out into the room. [m]"""


class Plan(msgspec.Struct, frozen=True, dict=True):
    """Everything drawn, by id order."""

    units: Literal["ft-in", "m"]
    country: str
    year_built: int | None
    storeys: tuple[Storey, ...]
    rooms: tuple[Room, ...]
    walls: tuple[Wall, ...]
    fixtures: tuple[FixtureAt, ...]
    services: tuple[ServiceRun, ...]
    entries: tuple[Entry, ...]
    kept: tuple[KeptItem, ...]
    floor_edges: dict[str, EdgeKind]
    """What lies under a room's floor, by room id, where somebody said so."""
    ceiling_edges: dict[str, EdgeKind]
    openings: dict[str, str]
    """Side id (``kitchen/e1``) of each door and window, by its id."""
    drawn_walls: dict[str, str]
    """Side id of each wall entity, by its id."""
    assumptions: tuple[Assumption, ...]
    guess: str = ""
    loft_edges: tuple[LoftEdge, ...] = ()
    labels: dict[str, str] = {}
    """Labels given to voids before, by void id."""
    own_cuts: tuple[OwnCutAt, ...] = ()

    @cached_property
    def walls_of(self) -> dict[str, tuple[Wall, ...]]:
        """The walls that a room owns or faces, by its id."""
        found: dict[str, list[Wall]] = {}
        for wall in self.walls:
            for room in {wall.side.room, wall.facing} - {""}:
                found.setdefault(room, []).append(wall)
        return {room: tuple(walls) for room, walls in found.items()}

    def storey(self, key: str) -> Storey:
        """Return the storey of that id."""
        return self._storeys[key]

    def room(self, key: str) -> Room:
        """Return the room of that id."""
        return self._rooms[key]

    def side_key(self, of: str) -> str:
        """Return the side that a door, a window or a wall entity lies in; any other id as it is."""
        return self.openings.get(of) or self.drawn_walls.get(of) or of

    @cached_property
    def _storeys(self) -> dict[str, Storey]:
        return {storey.id: storey for storey in self.storeys}

    @cached_property
    def _rooms(self) -> dict[str, Room]:
        return {room.id: room for room in self.rooms}
