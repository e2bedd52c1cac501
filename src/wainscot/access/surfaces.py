"""Where a wall, floor or ceiling may be cut: its panels, and what lies in the way.

Everything drawn that runs behind a finish keeps a margin to every saw line; so do fixtures that
stand in front of it.  Members bound the panels: a panel lies between two studs or joists.

Limits: what is not drawn is not in the way here; that is what the hold point for services is for.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from functools import lru_cache

import msgspec
import numpy as np
import shapely

from wainscot.access.model import CutAt, Surface
from wainscot.access.panels import Panel
from wainscot.access.reaching import share_reached
from wainscot.access.scene import Scene
from wainscot.plan import defaults
from wainscot.plan.frame import Point2, to_frame, to_world
from wainscot.plan.kind import kinds
from wainscot.plan.model import FixtureAt, Room, ServiceRun, Wall
from wainscot.sources import Cited, judged

MARGIN = judged(0.025, "m", "between a saw line and the skin of a drawn pipe or cable")
BLADE = Cited(
    0.125 * 0.0254, "m", "common practice", "blade at most 1/8 in deeper than the board",
    "common practice",
)  # fmt: skip
TOUCHES = 0.06
"""A fixture this near to a wall stands against it. [m]"""
NEAR = 0.02


BOARDED = ("gap behind lining",)
"""Kinds of void within a masonry wall that lie behind a board all the same."""


class Bay(msgspec.Struct, frozen=True):
    """A void behind a board, as one room sees it."""

    void: int
    wall: Wall
    room: str
    finish: str
    panel: Panel

    def share(self, cut: Panel) -> float:
        """Return the share of the bay that a cut in its board lays within reach. [1]

        Parameters
        ----------
        cut : Panel
            What is cut out of the board.
        """
        narrow = min(self.panel.width, self.wall.stud_depth)
        ends = [(cut.v_low, cut.v_high)]
        return share_reached(self.panel.v_low, self.panel.v_high, ends, narrow)


def bays(scene: Scene) -> Iterator[Bay]:
    """Yield every void behind a board of a wall, once for each room that sees it."""
    for void, face in scene.faces("wall"):
        wall = stretch(scene, void)
        if wall is None or (wall.build != "stud" and scene.graph.kinds[void] not in BOARDED):
            continue
        yield Bay(void, wall, face.room, face.finish, wall_panel(wall, scene, void))


def rows(scene: Scene) -> dict[str, list[Bay]]:
    """Return the bays of each wall's face, from end to end, by the key of the surface."""
    found: dict[str, list[Bay]] = {}
    for bay in bays(scene):
        found.setdefault(wall_surface(scene, bay.wall, bay.room).key, []).append(bay)
    return {
        key: sorted(row, key=lambda bay: (bay.panel.u_low, bay.panel.v_low))
        for key, row in sorted(found.items())
    }


def stretch(scene: Scene, void: int) -> Wall | None:
    """Return the stretch of wall that a void lies in, or None."""
    owner = scene.graph.owners[void]
    for wall in scene.stretches.get(owner, ()):
        along = [wall.side.on_axis((float(x), float(y))) for x, y in scene.graph.polygon[void]]
        if wall.low - NEAR <= sum(along) / len(along) <= wall.high + NEAR:
            return wall
    return None


def wall_panel(wall: Wall, scene: Scene, void: int) -> Panel:
    """Return the clear face of a bay: along its wall's axis, and in height."""
    along = [wall.side.on_axis((float(x), float(y))) for x, y in scene.graph.polygon[void]]
    return Panel(
        min(along), max(along), float(scene.graph.bottom[void]), float(scene.graph.top[void])
    )


def wall_obstacles(scene: Scene, wall: Wall, room: str) -> list[Panel]:
    """Return what must not be cut in a wall from one room: services in it, fixtures before it."""
    return [
        *(panel for _, panel in services_in(scene, wall)),
        *(panel for _, panel in fixtures_at(scene, wall, room)),
    ]


def services_in(scene: Scene, wall: Wall) -> Iterator[tuple[ServiceRun, Panel]]:
    """Yield what runs in a wall, and the panel of its face that must stay clear of the saw."""
    inner, outer = _across(wall)
    for run in scene.plan.services:
        skin = run.diameter / 2 + MARGIN.value
        for one, other in itertools.pairwise(run.path):
            ends = [(wall.side.on_axis(p[:2]), _level(wall, p[:2]), p[2]) for p in (one, other)]
            clipped = _clip(ends[0], ends[1], inner - NEAR, outer + NEAR)
            if clipped:
                (u, _, z), (w, _, y) = clipped
                yield (
                    run,
                    Panel(min(u, w) - skin, max(u, w) + skin, min(z, y) - skin, max(z, y) + skin),
                )


def _across(wall: Wall) -> tuple[float, float]:
    one = wall.side.level_line
    other = one + wall.side.outward * wall.thickness
    return min(one, other), max(one, other)


def _level(wall: Wall, point: Point2) -> float:
    return to_frame(point, wall.side.turn)[1 if wall.side.axis == "x" else 0]


Local = tuple[float, float, float]


def _clip(one: Local, other: Local, low: float, high: float) -> tuple[Local, Local] | None:
    """Return the piece of a line whose second coordinate lies between two values, or None."""
    start, stop = 0.0, 1.0
    rise = other[1] - one[1]
    if abs(rise) < 1e-12:
        return (one, other) if low <= one[1] <= high else None
    for bound, sign in ((low, 1), (high, -1)):
        at = (bound - one[1]) / rise
        if sign * rise > 0:
            start = max(start, at)
        else:
            stop = min(stop, at)
    if start > stop:
        return None

    def point(t: float) -> Local:
        along, off = other[0] - one[0], other[2] - one[2]
        return one[0] + along * t, one[1] + rise * t, one[2] + off * t

    return point(start), point(stop)


def fixtures_at(scene: Scene, wall: Wall, room: str) -> Iterator[tuple[FixtureAt, Panel]]:
    """Yield what stands against a wall in a room, and the panel of its face that it covers."""
    level = face_level(wall, room)
    floor = scene.plan.storey(wall.storey).elevation
    for fixture in scene.plan.fixtures:
        if fixture.room != room:
            continue
        away = [abs(_level(wall, corner) - level) for corner in fixture.ring]
        if min(away) <= TOUCHES:
            along = [wall.side.on_axis(corner) for corner in fixture.ring]
            foot = hangs_at(fixture)
            bottom = floor - 1.0 if foot is None else floor + foot - NEAR
            yield fixture, Panel(min(along), max(along), bottom, floor + fixture.height + NEAR)


def hangs_at(fixture: FixtureAt) -> float | None:
    """Return how high over the floor a fixture hangs, None where it stands on it. [m]

    Parameters
    ----------
    fixture : FixtureAt
        Any fixture of the plan.
    """
    foot = kinds()[fixture.type].foot
    return foot(fixture) if foot else None


def face_level(wall: Wall, room: str) -> float:
    """Return the coordinate across the wall of the face that a room sees. [m]"""
    near = wall.side.level_line
    return near if room == wall.side.room else near + wall.side.outward * wall.thickness


def wall_cut(scene: Scene, wall: Wall, room: str, panel: Panel, *, sawn: bool = True) -> CutAt:
    """Return a panel of a wall's face as a cut."""
    level = face_level(wall, room)
    ends = [
        (u, level) if wall.side.axis == "x" else (level, u) for u in (panel.u_low, panel.u_high)
    ]
    return CutAt(
        part="wall",
        room=room,
        side=wall.id,
        outline=tuple(to_world(end, wall.side.turn) for end in ends),
        bottom=panel.v_low,
        top=panel.v_high,
        area=panel.area,
        board=_board(scene, wall),
        sawn=sawn,
    )


def _board(scene: Scene, wall: Wall) -> float:
    name = "lath and plaster" if wall.finish == "lath and plaster" else "wall board"
    return defaults.value(name, scene.plan.country).value


def wall_surface(scene: Scene, wall: Wall, room: str) -> Surface:
    """Return the whole face of a wall's stretch as one room sees it, openings taken off."""
    height = scene.plan.storey(wall.storey).height
    holes = sum((one.high - one.low) * (one.head - one.sill) for one in wall.openings)
    area = max((wall.high - wall.low) * height - holes, 0.1)
    key = f"{room}|{wall.id}|{wall.low:.3f}"
    facing = scene.plan.room(room).side(wall.facing_side) if room == wall.facing else None
    wind = (wall.side if room == wall.side.room or facing is None else facing).facing
    return Surface(key, f"{wind} wall of the {scene.room_names[room]}", area)


def flat_surface(scene: Scene, room: Room, part: str) -> Surface:
    """Return a room's whole floor or ceiling."""
    area = float(shapely.Polygon(room.polygon).area)
    return Surface(f"{room.id}|{part}", f"{part} of the {scene.room_names[room.id]}", area)


class Flat:
    """A void seen through the floor or ceiling of one room, in the axes of its joists.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    void : int
        The bay.
    room : str
        Room that the work is done from.
    part : {"floor", "ceiling"}
        What is cut.
    """

    def __init__(self, scene: Scene, void: int, room: str, part: str) -> None:
        self.scene, self.void, self.part = scene, void, part
        self.room = scene.plan.room(room)
        shape = shapely.Polygon(scene.graph.polygon[void])
        self.turn = _long_way(shape)
        self.whole = _bounds(shape, self.turn)
        seen = shape & shapely.Polygon(self.room.polygon)
        self.panel = _largest_rectangle(seen, self.turn)

    def share(self) -> float:
        """Return the share of the void that is within reach once all of the part is off. [1]"""
        if self.panel is None:
            return 0.0
        ends = [(self.panel.u_low, self.panel.u_high)]
        return share_reached(self.whole.u_low, self.whole.u_high, ends, self.whole.height)

    @property
    def level(self) -> float:
        """Height of the finish. [m]"""
        storey = self.scene.plan.storey(self.room.storey)
        return storey.elevation + (0.0 if self.part == "floor" else storey.height)

    def obstacles(self) -> list[Panel]:
        """Return services in the bay and fixtures on the floor (or up to the ceiling)."""
        return [*self.services(), *(panel for _, panel in self.stands())]

    def stands(self) -> Iterator[tuple[FixtureAt, Panel]]:
        """Yield the fixtures on the floor (or up to the ceiling), and what each covers."""
        for one in self._stands():
            yield one, _bounds(shapely.Polygon(one.ring), self.turn)

    def services(self) -> list[Panel]:
        """Return what runs through the bay, margins included."""
        return [panel for _, panel in self.runs()]

    def runs(self) -> Iterator[tuple[ServiceRun, Panel]]:
        """Yield each run through the bay with the panels that must stay clear of the saw."""
        for run in self.scene.plan.services:
            for panel in _flat_service(run, self._depth(), self.turn):
                yield run, panel

    def _depth(self) -> tuple[float, float]:
        graph = self.scene.graph
        low, high = float(graph.bottom[self.void]), float(graph.top[self.void])
        return min(low, self.level) - NEAR, max(high, self.level) + NEAR

    def _stands(self) -> Iterator[FixtureAt]:
        height = self.scene.plan.storey(self.room.storey).height
        for fixture in self.scene.plan.fixtures:
            if fixture.room != self.room.id:
                continue
            hangs = hangs_at(fixture) is not None
            # Tiles hung from wall to wall are lifted out of the way of a cut over them.
            lifted = hangs and kinds()[fixture.type].whole_room
            reaches_up = fixture.height >= height - TOUCHES and not lifted
            if not hangs if self.part == "floor" else reaches_up:
                yield fixture

    def cut(self, panel: Panel, board: float, *, sawn: bool = True) -> CutAt:
        """Return a panel of this floor or ceiling as a cut.

        Parameters
        ----------
        panel : Panel
            In the axes of the joists.
        board : float
            Thickness of what is cut. [m]
        sawn : bool
            False where boards come off whole.
        """
        corners = (
            (panel.u_low, panel.v_low), (panel.u_high, panel.v_low),
            (panel.u_high, panel.v_high), (panel.u_low, panel.v_high),
        )  # fmt: skip
        return CutAt(
            part="floor" if self.part == "floor" else "ceiling",
            room=self.room.id,
            side="",
            outline=tuple(to_world(corner, self.turn) for corner in corners),
            bottom=self.level,
            top=self.level,
            area=panel.area,
            board=board,
            sawn=sawn,
        )


def bounds_of(scene: Scene, void: int, turn: float) -> Panel:
    """Return the rectangle round a void in turned axes.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    void : int
        The void.
    turn : float
        Angle of the axes. [rad]
    """
    return _bounds(shapely.Polygon(scene.graph.polygon[void]), turn)


def _long_way(shape: shapely.Geometry) -> float:
    """Return the angle of the longer side of the tightest rectangle round a shape. [rad]"""
    corners = shapely.get_coordinates(shapely.oriented_envelope(shape))
    if len(corners) < 4:
        return 0.0
    sides = np.diff(corners[:3], axis=0)
    x, y = sides[int(np.argmax(np.hypot(sides[:, 0], sides[:, 1])))]
    angle = math.atan2(y, x) % math.pi
    quarters = round(angle / (math.pi / 2))
    square = abs(angle - quarters * math.pi / 2) < 1e-6
    return quarters % 2 * math.pi / 2 if square else round(angle, 9)


@lru_cache(maxsize=4096)
def _square(wkb: bytes, turn: float) -> shapely.Geometry:
    points = shapely.get_coordinates(shapely.from_wkb(wkb))
    return shapely.Polygon([to_frame((float(x), float(y)), turn) for x, y in points])


def _bounds(shape: shapely.Geometry, turn: float) -> Panel:
    west, south, east, north = _square(shapely.to_wkb(shape), turn).bounds
    return Panel(west, east, south, north)


def _largest_rectangle(shape: shapely.Geometry, turn: float) -> Panel | None:
    """Return the largest of a shape's parts that are rectangles in turned axes, or None."""
    found: list[Panel] = []
    for part in getattr(shape, "geoms", [shape]):
        if not isinstance(part, shapely.Polygon) or part.area < 1e-4:
            continue
        panel = _bounds(part, turn)
        if abs(panel.area - part.area) < 1e-3 * part.area:
            found.append(panel)
            continue
        square = _square(shapely.to_wkb(part), turn)
        found += list(_inner(panel, square))
    return max(found, key=lambda one: one.area, default=None)


def _inner(panel: Panel, square: shapely.Geometry) -> Iterator[Panel]:
    """Yield slabs between the corners' u that run the whole clear width."""
    cuts = sorted({round(float(x), 6) for x, _ in shapely.get_coordinates(square)})
    for low, high in itertools.combinations(cuts, 2):
        middle = shapely.box(low, panel.v_low - 1, high, panel.v_high + 1)
        part = square & middle
        if isinstance(part, shapely.Polygon) and not part.is_empty:
            west, south, east, north = part.bounds
            if abs((east - west) * (north - south) - part.area) < 1e-6:
                yield Panel(west, east, south, north)


def _flat_service(run: ServiceRun, depth: tuple[float, float], turn: float) -> Iterator[Panel]:
    skin = run.diameter / 2 + MARGIN.value
    for one, other in itertools.pairwise(run.path):
        ends = [(*to_frame(p[:2], turn), p[2]) for p in (one, other)]
        swapped = [(u, z, v) for u, v, z in ends]
        clipped = _clip(swapped[0], swapped[1], *depth)
        if clipped:
            (u, _, v), (w, _, y) = clipped
            yield Panel(min(u, w) - skin, max(u, w) + skin, min(v, y) - skin, max(v, y) + skin)
