"""Walls become stud bays, cavities and lining gaps.

A bay's id is the owner's side, ``bay`` and the module's index from the left corner of that side
(``kitchen/e1/bay/3``), so that nothing drawn elsewhere renames it.  Doors and windows cut bays:
what is left below a sill and above a head is a void of its own if it is tall enough.

Limits: noggings do not part a bay; a cavity is one void a stretch, its openings taken from the
volume; corners of bays are closed by posts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from msgspec.structs import replace

from wainscot.plan.frame import Rectangle
from wainscot.plan.model import Plan, Storey, Wall
from wainscot.plan.walls import side_words
from wainscot.voids.modules import NARROWEST, modules
from wainscot.voids.plots import Plot
from wainscot.voids.space import Form, Space, Touch

LOWEST = 0.1
"""A piece below a sill or above a head that is lower than this is left out. [m]"""


def wall_spaces(plan: Plan) -> list[Space]:
    """Return every void within walls.

    Parameters
    ----------
    plan : Plan
        The plan.
    """
    names = {room.id: room.name for room in plan.rooms}
    storeys = {storey.id: storey for storey in plan.storeys}
    used: Counter[str] = Counter()
    found = []
    for wall in sorted(plan.walls, key=lambda one: (one.id, *_along_ends(one))):
        storey = storeys[wall.storey]
        if wall.build == "stud":
            pieces = _bays(wall, storey, names)
        else:
            pieces = _leaves(wall, storey, names)
        for space in pieces:
            used[space.key] += 1
            found.append(_numbered(space, used[space.key]))
    return found


def _numbered(space: Space, number: int) -> Space:
    if number == 1:
        return space
    return replace(space, key=f"{space.key}/{number}")


def _along_ends(wall: Wall) -> tuple[float, float]:
    """Return the stretch's ends as distances from the owner's left corner."""
    return _along(wall, wall.low, wall.high)


def _along(wall: Wall, low: float, high: float) -> tuple[float, float]:
    """Return coordinates as distances from the owner's left corner, least first."""
    one, other = ((end - wall.side.left) * wall.side.rightward for end in (low, high))
    return min(one, other), max(one, other)


def _bays(wall: Wall, storey: Storey, names: Mapping[str, str]) -> Iterator[Space]:
    low, high = _along_ends(wall)
    bottom = storey.elevation + wall.stud_thickness
    top = storey.elevation + storey.height - wall.top_plates * wall.stud_thickness
    near = (wall.thickness - wall.stud_depth) / 2 if wall.facing else wall.near_finish
    cuts = sorted((_along(wall, one.low, one.high), one.id, one) for one in wall.openings)
    where = _where(wall, names)
    for index, start, end in modules(low, high, wall.first_stud, wall.spacing, wall.stud_thickness):
        pieces: list[tuple[str, float, float, float, float]] = []
        free = start
        for (cut_low, cut_high), _, one in cuts:
            jamb = wall.stud_thickness
            if cut_high + jamb <= start or cut_low - jamb >= end:
                continue
            pieces.append(("", free, min(end, cut_low - jamb), bottom, top))
            inside = (max(start, cut_low), min(end, cut_high))
            sill = storey.elevation + one.sill - wall.stud_thickness
            head = storey.elevation + one.head + one.header
            pieces.append(("/below-sill", *inside, bottom, sill))
            pieces.append(("/above-head", *inside, head, top))
            free = max(free, cut_high + jamb)
        pieces.append(("", free, end, bottom, top))
        for role, left, right, foot, head in pieces:
            if right - left >= NARROWEST - 1e-9 and head - foot >= LOWEST:
                key = f"{wall.id}/bay/{index}{role}"
                rectangle = _strip(wall, left, right, near, near + wall.stud_depth)
                yield _wall_space(wall, key, "stud bay", rectangle, foot, head, where)


def _leaves(wall: Wall, storey: Storey, names: Mapping[str, str]) -> Iterator[Space]:
    low, high = _along_ends(wall)
    where = _where(wall, names)
    ceiling = storey.elevation + storey.height
    if wall.build == "cavity":
        near = wall.near_finish + wall.inner_leaf
        floor = storey.floor
        foot = storey.elevation - floor.board - floor.depth - floor.crawl_height
        strip = _strip(wall, low, high, near, near + wall.cavity)
        head = ceiling + storey.ceiling_board
        yield _wall_space(wall, f"{wall.id}/cavity", "cavity", strip, foot, head, where)
    if wall.lined:
        strip = _strip(wall, low, high, wall.near_finish, wall.near_finish + wall.stud_depth)
        foot = storey.elevation
        yield _wall_space(wall, f"{wall.id}/lining", "lining", strip, foot, ceiling, where)


def _where(wall: Wall, names: Mapping[str, str]) -> str:
    """Return ``wall between Kitchen and Hall`` or ``Kitchen north wall``."""
    if wall.facing and wall.facing != wall.side.room:
        return f"wall between {names[wall.side.room]} and {names[wall.facing]}"
    return side_words(wall.side, names)


def _strip(wall: Wall, left: float, right: float, near: float, far: float) -> Rectangle:
    ends = sorted((wall.side.coordinate(left), wall.side.coordinate(right)))
    return wall.side.rectangle(ends[0], ends[1], near, far)


_WORDS: dict[Form, tuple[str, str, str]] = {
    "stud bay": ("stud bay", "W", "stud bay {label}, "),
    "cavity": ("wall cavity", "C", "wall cavity {label}, "),
    "lining": ("gap behind lining", "G", "gap {label} behind the lining, "),
}


def _wall_space(
    wall: Wall, key: str, form: Form, rectangle: Rectangle, foot: float, head: float, where: str
) -> Space:
    kind, letter, words = _WORDS[form]
    west, south, east, north = rectangle
    long = (east - west) if wall.side.axis == "x" else (north - south)
    deep = (north - south) if wall.side.axis == "x" else (east - west)
    holes = _hole_area(wall, rectangle, foot, head) if form != "stud bay" else 0.0
    face = max(long * (head - foot) - holes, 0.0)
    plot = Plot((rectangle,), wall.side.turn)
    middle = (*plot.centre, (foot + head) / 2)
    touches = (
        (Touch(wall.beyond, "wall", f"{wall.side.facing} side", face, middle),)
        if wall.beyond
        else ()
    )
    return Space(
        key=key,
        form=form,
        kind=kind,
        letter=letter,
        words=words + where,
        owner=wall.id,
        storey=wall.storey,
        plot=plot,
        bottom=foot,
        top=head,
        volume=face * deep,
        axis=wall.side.axis,
        wall=wall,
        insulated=wall.insulated,
        touches=touches,
    )


def _hole_area(wall: Wall, rectangle: Rectangle, foot: float, head: float) -> float:
    ends = (rectangle[0], rectangle[2]) if wall.side.axis == "x" else (rectangle[1], rectangle[3])
    return sum(
        max(min(ends[1], one.high) - max(ends[0], one.low), 0.0)
        * max(min(head - foot, one.head) - one.sill, 0.0)
        for one in wall.openings
    )
