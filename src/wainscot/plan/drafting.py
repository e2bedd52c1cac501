"""From typed entities to storeys, rooms and fixtures in place: what both reading and checking need.

Entities that do not stand on their own (no outline, an unknown storey, a side that is not there)
are left out here and told by ``plan.faults``.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

import msgspec

from wainscot import job as jobs
from wainscot.job import AnyEntity, Job
from wainscot.plan import defaults
from wainscot.plan.facts import Ledger, basis, known, metres
from wainscot.plan.frame import to_frame
from wainscot.plan.kind import Kind, kinds
from wainscot.plan.model import FixtureAt, Floor, Room, Side, Storey
from wainscot.plan.sides import anticlockwise, is_simple, sides
from wainscot.plan.straight import straightened
from wainscot.quantity import length

E = TypeVar("E")

Entities = Mapping[str, AnyEntity]


def sound(job: Job) -> dict[str, AnyEntity]:
    """Return the entities that nothing is wrong with in themselves, by id order.

    Parameters
    ----------
    job : Job
        Any job.
    """
    return jobs.typed(jobs.sound(job))


def of_kind(entities: Entities, kind: type[E]) -> dict[str, E]:
    """Return the entities of one kind, by id order."""
    return {key: one for key, one in entities.items() if isinstance(one, kind)}


def settings(entities: Entities) -> jobs.Settings:
    """Return the settings of the building, empty where nobody gave any."""
    return next(iter(of_kind(entities, jobs.Settings).values()), jobs.Settings())


def country(entities: Entities, job: Job) -> str:
    """Return the country that defaults are taken from; units decide where nobody said."""
    return settings(entities).country or ("US" if job.units == "ft-in" else "UK")


def storeys(entities: Entities, ledger: Ledger) -> tuple[Storey, ...]:
    """Return the storeys from the lowest up, with their elevations."""
    drawn = of_kind(entities, jobs.Storey)
    year = known(settings(entities).year_built)
    levels = sorted({one.level for one in drawn.values()} | ({0} if drawn else set()))
    read = {
        key: _storey(key, one, drawn, ledger, year)
        for key, one in sorted(drawn.items(), key=lambda item: (item[1].level, item[0]))
    }
    elevations = _elevations(levels, list(read.values()), ledger)
    return tuple(
        msgspec.structs.replace(one, elevation=elevations[one.level]) for one in read.values()
    )


def _elevations(levels: list[int], read: list[Storey], ledger: Ledger) -> dict[int, float]:
    """Stack the levels from level 0; a level nobody drew counts with the usual heights."""
    usual = defaults.value("storey height", ledger.country).value
    joist = defaults.value("joist depth", ledger.country).value
    board = defaults.value("floor board", ledger.country).value

    def clear(level: int) -> float:
        here = [one.height + one.ceiling_board for one in read if one.level == level]
        return max(here, default=usual)

    def build_up(level: int) -> float:
        here = [floor_depth(one.floor) for one in read if one.level == level]
        return max(here, default=joist + board)

    out = {0: 0.0}
    for level in range(1, max(levels, default=0) + 1):
        out[level] = out[level - 1] + clear(level - 1) + build_up(level)
    for level in range(-1, min(levels, default=0) - 1, -1):
        out[level] = out[level + 1] - build_up(level + 1) - clear(level)
    return out


def floor_depth(floor: Floor) -> float:
    """Return the depth from finished floor to the underside of joists or slab. [m]"""
    return floor.board + floor.depth


def _storey(
    key: str, one: jobs.Storey, drawn: Mapping[str, jobs.Storey], ledger: Ledger, year: int | None
) -> Storey:
    path, where = f"entities.{key}", one.name
    top = max(other.level for other in drawn.values()) == one.level
    ceiling = ledger.word(
        one.ceiling, "loft" if top else "storey", "above the ceiling", f"{path}.ceiling", where
    )
    loft_height = 0.0
    if ceiling == "loft":
        loft_height = ledger.length(one.loft_height, "loft height", f"{path}.loft_height", where)
    return Storey(
        id=key,
        name=one.name,
        level=one.level,
        elevation=0.0,
        height=ledger.length(one.height, "storey height", f"{path}.height", where),
        floor=_floor(one, f"{path}.floor", where, ledger, year, drawn),
        ceiling=ceiling,  # type: ignore[arg-type]  # the job's shape knows the words
        ceiling_board=defaults.value("ceiling board", ledger.country).value,
        loft_height=loft_height,
    )


def _floor(
    one: jobs.Storey,
    path: str,
    where: str,
    ledger: Ledger,
    year: int | None,
    drawn: Mapping[str, jobs.Storey],
) -> Floor:
    typed, place = one.floor, f"floor of {where}"
    modern = ledger.country == "UK" and year is not None and year >= 1970
    slab = one.level < 0 or (one.level == 0 and modern)
    build = ledger.word(typed.build, "slab" if slab else "joists", "build", f"{path}.build", place)
    over_storey = one.level > 0 or any(other.level == one.level - 1 for other in drawn.values())
    under = "storey" if over_storey else "ground" if ledger.country == "UK" else "crawl space"
    if build == "slab" and not over_storey:
        under = "ground"
    below = ledger.word(typed.below, under, "what lies below", f"{path}.below", place)
    run: str | float = ""
    spacing, depth, thickness, crawl = 0.0, 0.1, 0.0, 0.0
    board = defaults.value("floor board", ledger.country).value
    if build == "joists":
        told = known(typed.joists_run)
        run = "" if told in (None, "short") else told
        if told is None or basis(typed.joists_run) == "default":
            usual = "across the longer side" if told == "long" else "across the shorter side"
            ledger.word(None, f"{usual} of each room", "joists", f"{path}.joists_run", place)
        spacing = ledger.length(
            typed.joist_spacing, "joist spacing", f"{path}.joist_spacing", place
        )
        usual = "ground joist depth" if one.level == 0 else "joist depth"
        depth = ledger.length(typed.joist_depth, usual, f"{path}.joist_depth", place, "joist depth")
        thickness = defaults.value("joist thickness", ledger.country).value
        if below != "storey":
            name = "crawl height" if below == "crawl space" else "underfloor height"
            crawl = ledger.length(typed.crawl_height, name, f"{path}.crawl_height", place)
    girders = tuple(
        ((length(x0), length(y0)), (length(x1), length(y1))) for (x0, y0), (x1, y1) in typed.girders
    )
    filled = bool(known(typed.insulated))
    return Floor(
        build, below, run, spacing, depth, thickness, board, crawl, girders, filled,  # type: ignore[arg-type]  # words likewise
    )  # fmt: skip


def outline(room: jobs.Room) -> tuple[tuple[float, float], ...] | None:
    """Return a room's outline as typed, or None if it has none. [m]"""
    if room.polygon is None:
        return None
    return tuple((length(x), length(y)) for x, y in room.polygon)


def storey_of(room: jobs.Room, known_storeys: Mapping[str, Any]) -> str:
    """Return the storey that a room lies on; the only one where the room names none."""
    if not room.storey and len(known_storeys) == 1:
        return next(iter(known_storeys))
    return room.storey


def rooms(entities: Entities) -> tuple[Room, ...]:
    """Return the rooms with a usable outline, by id order."""
    levels = of_kind(entities, jobs.Storey)
    drawn = {}
    for key, room in of_kind(entities, jobs.Room).items():
        points = outline(room)
        if points is not None and storey_of(room, levels) in levels and is_simple(points):
            drawn[key] = room, points
    rings = straightened({key: points for key, (_, points) in drawn.items()})
    found = []
    for key, (room, _) in drawn.items():
        ring = anticlockwise(rings[key])
        found.append(Room(key, room.name, storey_of(room, levels), ring, sides(key, ring)))
    return tuple(found)


def fixture(
    key: str, one: jobs.Fixture, room: Room, storey: Storey, side: Side, ledger: Ledger
) -> FixtureAt:
    """Return a fixture in its place; its type is known."""
    kind, path = kinds()[one.type], f"entities.{key}"
    where = one.name or f"{kind.words} in {room.name}"
    along = metres(one.along) or 0.0
    size = {
        name: _size(kind, name, getattr(one, name), storey, ledger.country)
        for name in ("width", "depth", "height")
    }
    if kind.whole_room:
        size |= _filling(one, room, side, along)
    missing = [
        (name, kind.size(name, ledger.country))
        for name in size
        if metres(getattr(one, name)) is None
        and not (name == "height" and kind.full_height)
        and not (name != "height" and kind.whole_room)
    ]
    ledger.together(missing, path, where)
    if one.along is None and not kind.whole_room:
        ledger.word(None, "in the left corner", "place", f"{path}.along", where)
    ends = sorted((side.coordinate(along), side.coordinate(along + size["width"])))
    return FixtureAt(
        id=key,
        type=one.type,
        name=one.name,
        room=room.id,
        storey=storey.id,
        side=side,
        along=along,
        width=size["width"],
        depth=size["depth"],
        height=size["height"],
        flip=one.flip,
        options=_options(kind, one.options, ledger),
        rectangle=side.rectangle(ends[0], ends[1], 0.0, -size["depth"]),
    )


def _filling(one: jobs.Fixture, room: Room, side: Side, along: float) -> dict[str, float]:
    """Return the sizes that were not given of what fills a room: to its far ends. [m]"""
    corners = [to_frame(corner, side.turn) for corner in room.polygon]
    on, off = (0, 1) if side.axis == "x" else (1, 0)
    reach = [(corner[on] - side.left) * side.rightward - along for corner in corners]
    depth = [(side.level_line - corner[off]) * side.outward for corner in corners]
    out = {"width": max(reach), "depth": max(depth)}
    return {name: value for name, value in out.items() if metres(getattr(one, name)) is None}


def _size(kind: Kind, name: str, field: Any, storey: Storey, country: str) -> float:
    given = metres(field)
    if given is None and name == "height" and kind.full_height:
        return storey.height
    if given is None:
        given = kind.size(name, country).value
    return min(given, storey.height) if name == "height" else given


def _options(kind: Kind, given: Mapping[str, Any], ledger: Ledger) -> dict[str, Any]:
    """Return every option of the type; lengths in metres, unknown ones dropped."""
    out: dict[str, Any] = {}
    for option in kind.options:
        if option.type == "length":
            usual: Any = option.default
            default = usual[0 if ledger.country == "UK" else 1].value
            out[option.name] = length(given.get(option.name, default))
        else:
            out[option.name] = given.get(option.name, option.default)
    return out
