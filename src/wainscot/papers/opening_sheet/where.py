"""Where a cut is: the room in small, with the way one looks at it, and each storey in large."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import msgspec
import shapely

from wainscot.access import Access, CutAt
from wainscot.access.scene import Scene
from wainscot.arrays import Floats
from wainscot.drawing import Drawing, Letters, Shape, Sign
from wainscot.drawing.layout import on_paper
from wainscot.drawing.model import Layer, Point
from wainscot.papers.opening_sheet.geometry import areas, bounds
from wainscot.papers.opening_sheet.telling import short
from wainscot.plan.model import Room


class Placed(msgspec.Struct, frozen=True):
    """An opening as it lies on a plan."""

    number: str
    storey: str
    room: str
    cuts: tuple[CutAt, ...]
    outlines: tuple[tuple[Point, ...], ...]
    """Where nothing is cut: outlines of what is laid open. [m]"""
    faint: bool = False
    """True for what is declined."""

    @property
    def at(self) -> Point:
        """Where its number stands. [m]"""
        west, south, east, north = bounds(
            p for ring in (*(cut.outline for cut in self.cuts), *self.outlines) for p in ring
        )
        return ((west + east) / 2, (south + north) / 2)


def placed_of(scene: Scene, number: str, ways: Sequence[Access]) -> Placed:
    """Return where an opening lies, or several alike.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    number : str
        What stands beside it.
    ways : sequence of Access
        The opening, or several at which nothing is sawn.
    """
    graph = scene.graph
    cuts = tuple(cut for way in ways for cut in way.cuts)
    voids = tuple(dict.fromkeys(reach.void for way in ways for reach in way.reaches))
    room = ways[0].room or (cuts[0].room if cuts else "")
    storey = scene.plan.room(room).storey if room else graph.storeys[voids[0]]
    outlines = () if cuts else joined([graph.polygon[void] for void in voids])
    return Placed(number, storey, room, cuts, outlines)


def joined(rings: Sequence[Floats]) -> tuple[tuple[Point, ...], ...]:
    """Return the outlines of voids, those that lie side by side as one. [m]

    Parameters
    ----------
    rings : sequence of array
        [n, 2] outline of each void. [m]
    """
    whole = shapely.union_all([shapely.Polygon(ring).buffer(0.04) for ring in rings])
    shape = whole.buffer(-0.04, join_style="mitre")
    return tuple(
        tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1])
        for part in getattr(shape, "geoms", [shape])
        if not part.is_empty
    )


def _rooms(scene: Scene, storey: str) -> list[Room]:
    return [room for room in scene.plan.rooms if room.storey == storey]


def _drawn(placed: Placed) -> Iterator[Shape]:
    for cut in placed.cuts:
        layer: Layer = "cut" if cut.sawn and not placed.faint else "done"
        if cut.part == "wall":
            yield Shape(layer, _thick(cut.outline), closed=True)
        else:
            yield Shape(layer, cut.outline, closed=True)
    for ring in placed.outlines:
        yield Shape("done", ring, closed=True)


def _thick(ends: Sequence[Point], half: float = 0.05) -> tuple[Point, ...]:
    """Return a cut in a wall as a strip that is seen on a plan. [m]"""
    (x, y), (u, v) = ends[0], ends[-1]
    long = math.hypot(u - x, v - y) or 1.0
    side = (-(v - y) / long * half, (u - x) / long * half)
    return (
        (x + side[0], y + side[1]), (u + side[0], v + side[1]),
        (u - side[0], v - side[1]), (x - side[0], y - side[1]),
    )  # fmt: skip


def _building(scene: Scene, storey: str) -> Iterator[Shape]:
    walls = shapely.union_all(
        [shapely.Polygon(wall.ring) for wall in scene.plan.walls if wall.storey == storey]
    )
    yield from areas("member", walls)
    for room in _rooms(scene, storey):
        yield Shape("outline", room.polygon, closed=True)
    for one in scene.plan.fixtures:
        if one.storey == storey:
            yield Shape("fixture", one.ring, closed=True)


def room_plan(
    scene: Scene, placed: Placed, key: str, turn: float | None, size: tuple[float, float]
) -> Drawing:
    """Return the room of an opening in small.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    placed : Placed
        The opening.
    key : str
        Of the drawing.
    turn : float, optional
        Way one looks at the cut, anticlockwise from east. [rad]
    size : (float, float)
        Room on paper. [mm]
    """
    rooms = [room for room in scene.plan.rooms if room.id == placed.room]
    points = [p for room in rooms for p in room.polygon] or list(placed.outlines[0])
    west, south, east, north = bounds([*points, placed.at])
    window = (west - 0.3, south - 0.3, east + 0.3, north + 0.3)
    box = shapely.box(*window)
    shapes = [one for shape in _building(scene, placed.storey) for one in _clip(shape, box)]
    shapes += _drawn(placed)
    at = placed.at
    signs = [Sign("number", at, placed.number, nudge=_beside(at, window))]
    if turn is not None:
        off = 0.55
        signs.append(Sign("look", (at[0] - off * math.cos(turn) * 0.4,
                                   at[1] - off * math.sin(turn) * 0.4), turn=turn))  # fmt: skip
    name = rooms[0].name if rooms else ""
    return Drawing(
        key=key, title=f"where: {short(name, 40)}" if name else "where", window=window,
        shapes=tuple(shapes), signs=tuple(signs), north=math.pi / 2, box=size,
        units=scene.plan.units,
        about=f"Plan of the {name} with opening {placed.number}.",
    )  # fmt: skip


def _beside(at: Point, window: tuple[float, float, float, float]) -> Point:
    """A number stands on the side of its cut where the plan has more room. [mm]"""
    left = at[0] > (window[0] + window[2]) / 2
    low = at[1] > (window[1] + window[3]) / 2
    return (-6.0 if left else 6.0, -5.0 if low else 5.0)


def _clip(shape: Shape, box: shapely.Geometry) -> Iterator[Shape]:
    if shape.layer == "member":
        whole = shapely.Polygon(shape.points, shape.holes)
        yield from areas("member", whole & box)
    elif all(box.covers(shapely.Point(p)) for p in shape.points):
        yield shape


def storey_plan(
    scene: Scene, storey: str, some: Sequence[Placed], key: str, box: tuple[float, float]
) -> Drawing:
    """Return a storey with the openings on it.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    storey : str
        Its id.
    some : sequence of Placed
        The openings.
    key : str
        Of the drawing.
    box : (float, float)
        Room on paper. [mm]
    """
    shapes = list(_building(scene, storey))
    for one in some:
        shapes += _drawn(one)
    points = [p for shape in shapes for p in shape.points] or [(0.0, 0.0), (3.0, 3.0)]
    west, south, east, north = bounds(points)
    letters = tuple(
        Letters((at.x, at.y), short(room.name, 18))
        for room in _rooms(scene, storey)
        for at in (shapely.Polygon(room.polygon).representative_point(),)
    )
    name = scene.plan.storey(storey).name
    bare = Drawing(
        key=key, title=short(name, 40), window=(west - 0.1, south - 0.1, east + 0.1, north + 0.1),
        shapes=tuple(shapes), letters=letters, north=math.pi / 2, box=box,
        units=scene.plan.units, about=f"{name}: where the openings are.",
    )  # fmt: skip
    apart = list(_apart(some, on_paper(bare).scale, [one.at for one in letters]))
    leaders = tuple(Shape("outline", (one.at, at)) for one, at in apart if one.at != at)
    signs = tuple(Sign("number", at, one.number, faint=one.faint) for one, at in apart)
    return msgspec.structs.replace(bare, shapes=(*bare.shapes, *leaders), signs=signs)


def _apart(
    some: Sequence[Placed], scale: float, names: Sequence[Point]
) -> Iterator[tuple[Placed, Point]]:
    """Move numbers that would lie on each other apart."""
    gap = 5.6 * scale / 1000
    taken = list(names)
    for one in some:
        at = one.at
        for n in range(60):
            angle, far = n * 2.4, gap * 0.45 * math.sqrt(n)
            tried = (at[0] + far * math.cos(angle), at[1] + far * math.sin(angle))
            if all(math.dist(tried, other) >= gap for other in taken):
                at = tried
                break
        taken.append(at)
        yield one, at
