"""What is wrong with a plan's geometry, all at once.

Not faults: rooms without an outline, finds without a place, edges not drawn yet.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Any

import shapely

from wainscot import job as jobs
from wainscot.errors import Fault, unknown_word
from wainscot.job import Job
from wainscot.plan import drafting
from wainscot.plan.drafting import Entities, of_kind
from wainscot.plan.facing import close_pairs, facings
from wainscot.plan.facts import Ledger, metres
from wainscot.plan.kind import Kind, Option, kinds
from wainscot.plan.model import FixtureAt, Room, Side, Storey
from wainscot.plan.walls import opening
from wainscot.quantity import QuantityError, length, show_length

TOUCH = 0.01
"""Overlaps narrower than this are the tape's error. [m]"""
WALL_TOLERANCE = 0.05
"""A stated thickness may differ from the drawn one by so much. [m]"""


def faults(job: Job) -> list[Fault]:
    """Return everything wrong with the geometry of a job.

    Entities that ``wainscot.job.faults`` finds something wrong with are left to it.

    Parameters
    ----------
    job : Job
        Any job.

    Returns
    -------
    list of Fault
        By path; empty if the plan can be read.
    """
    entities = drafting.sound(job)
    ledger = Ledger(drafting.country(entities, job), job.units)
    storeys = {one.id: one for one in drafting.storeys(entities, ledger)}
    rooms = {one.id: one for one in drafting.rooms(entities)}
    found = [
        *_room_faults(entities, _declared(job)),
        *_overlaps(rooms, storeys),
        *_side_faults(entities, rooms),
        *_wall_faults(entities, rooms, storeys),
        *_opening_faults(entities, rooms, storeys, ledger),
        *_fixture_faults(entities, rooms, storeys, ledger),
        *_place_faults(entities, rooms),
        *_guess_faults(entities),
    ]
    return sorted(set(found), key=lambda fault: (fault.path, fault.code, fault.what))


def _declared(job: Job) -> dict[str, Any]:
    """Return every storey of the job, those included that something else is wrong with."""
    return {key: one for key, one in job.entities.items() if one.get("kind") == "storey"}


def _room_faults(entities: Entities, storeys: dict[str, Any]) -> Iterator[Fault]:
    for key, room in of_kind(entities, jobs.Room).items():
        points = drafting.outline(room)
        if points is None:
            continue
        path = f"entities.{key}"
        if not storeys:
            yield Fault(
                "no-storey", f"{path}.storey",
                f"{room.name!r} has an outline but lies on no storey",
                'add an entity such as "ground": {"kind": "storey", "name": "Ground floor"}',
            )  # fmt: skip
        elif drafting.storey_of(room, storeys) not in storeys:
            if room.storey:
                yield unknown_word(
                    "unknown-storey", f"{path}.storey", "storey", room.storey, storeys
                )
            else:
                yield Fault(
                    "no-storey", f"{path}.storey", f"{room.name!r} does not say its storey",
                    f"add one of: {', '.join(sorted(storeys))}",
                )  # fmt: skip


def _overlaps(rooms: dict[str, Room], storeys: dict[str, Storey]) -> Iterator[Fault]:
    shapes = {key: shapely.Polygon(room.polygon).buffer(-TOUCH / 2) for key, room in rooms.items()}
    for one, other in _meeting(list(rooms.values()), shapes):
        if storeys[one.storey].level != storeys[other.storey].level:
            continue
        shared = shapes[one.id].intersection(shapes[other.id]).area
        if shared > 1e-9:
            whole = shapely.Polygon(one.polygon).intersection(shapely.Polygon(other.polygon)).area
            yield Fault(
                "rooms-overlap", f"entities.{other.id}.polygon",
                f"{other.name!r} overlaps {one.name!r} (entities.{one.id}) by {whole:.2f} m2",
                "move one of them, leaving the thickness of the wall between"
                + (", or give one of their storeys another level" * (one.storey != other.storey)),
            )  # fmt: skip
    for level in sorted({storey.level for storey in storeys.values()}):
        here = [room for room in rooms.values() if storeys[room.storey].level == level]
        for a, b in close_pairs(here):
            if shapes[a.room].intersection(shapes[b.room]).area > 1e-9:
                continue
            yield Fault(
                "no-wall-between", f"entities.{b.room}.polygon",
                f"{rooms[b.room].name!r} touches {rooms[a.room].name!r} ({a.id} at {b.id})"
                " with no wall between",
                "leave the wall's thickness between them (about 0.1 for studs), or draw one room",
            )  # fmt: skip


def _meeting(rooms: list[Room], shapes: dict[str, shapely.Polygon]) -> Iterator[tuple[Room, Room]]:
    """Yield rooms whose outlines meet in plan, on whatever level, each pair once."""
    if not rooms:
        return
    outlines = [shapes[one.id] for one in rooms]
    pairs = shapely.STRtree(outlines).query(outlines, predicate="intersects")
    yield from ((rooms[n], rooms[m]) for n, m in sorted(pairs.T.tolist()) if n < m)


def _side_faults(entities: Entities, rooms: dict[str, Room]) -> Iterator[Fault]:
    for key, one in entities.items():
        if isinstance(one, jobs.Fixture):
            side, field = one.against, "against"
        elif isinstance(one, (jobs.Wall, jobs.Gap, jobs.OwnCut)) or (
            isinstance(one, jobs.Edge) and one.part in ("wall", "loft") and one.side
        ):
            side, field = one.side, "side"
        else:
            continue
        if one.room in rooms:
            yield from _side_fault(rooms[one.room], side, f"entities.{key}.{field}")
        elif _undrawn(entities, one.room):
            yield Fault(
                "no-outline", f"entities.{key}.room",
                f"{one.room!r} has no outline yet, so it has no side {side!r}",
                f"draw the polygon of {one.room} first",
            )  # fmt: skip


def _undrawn(entities: Entities, room: str) -> bool:
    """Tell whether a room is named but not drawn; one whose outline is wrong is told elsewhere."""
    one = entities.get(room)
    return isinstance(one, jobs.Room) and one.polygon is None


def _side_fault(room: Room, side: str, path: str) -> Iterator[Fault]:
    names = [one.name for one in room.sides]
    if side not in names:
        yield Fault(
            "unknown-side", path, f"{room.name!r} has no side {side!r}",
            f"use one of: {', '.join(names)}",
        )  # fmt: skip


def _wall_faults(
    entities: Entities, rooms: dict[str, Room], storeys: dict[str, Storey]
) -> Iterator[Fault]:
    stated = {
        f"{one.room}/{one.side}": (key, metres(one.thickness))
        for key, one in of_kind(entities, jobs.Wall).items()
    }
    for level in sorted({storey.level for storey in storeys.values()}):
        here = [room for room in rooms.values() if storeys[room.storey].level == level]
        for facing in facings(here):
            if facing.other is None:
                continue
            for side in (facing.side, facing.other):
                key, thickness = stated.get(side.id, ("", None))
                if thickness is not None and abs(thickness - facing.gap) > WALL_TOLERANCE:
                    yield Fault(
                        "wall-thickness", f"entities.{key}.thickness",
                        f"stated as {thickness * 1000:.0f} mm, but {facing.side.id} and"
                        f" {facing.other.id} are drawn {facing.gap * 1000:.0f} mm apart",
                        "move one room, or correct the thickness",
                    )  # fmt: skip


def _opening_faults(
    entities: Entities, rooms: dict[str, Room], storeys: dict[str, Storey], ledger: Ledger
) -> Iterator[Fault]:
    taken: dict[str, list[tuple[float, float, str]]] = {}
    for key, gap in of_kind(entities, jobs.Gap).items():
        side = rooms[gap.room].side(gap.side) if gap.room in rooms else None
        if side is None:
            continue
        one = opening(key, gap, side, ledger, "")
        path = f"entities.{key}"
        width = one.high - one.low
        if width > side.length + TOUCH:
            yield Fault(
                "opening-too-wide", f"{path}.width",
                f"the {gap.type} is {_m(width)} wide, its wall {side.id} only {_m(side.length)}",
                "correct its width, or the side that it is in",
            )  # fmt: skip
        elif one.low < side.low - TOUCH or one.high > side.high + TOUCH:
            yield Fault(
                "opening-outside-wall", f"{path}.along",
                f"the {gap.type} ends {_m((metres(gap.along) or 0.0) + width)} from the left"
                f" corner, {side.id} is {_m(side.length)} long",
                f"place it between 0 and {_m(side.length - width)}",
            )  # fmt: skip
        if one.head <= one.sill:
            yield Fault(
                "opening-height", f"{path}.head",
                f"its head ({_m(one.head)}) is not above its sill ({_m(one.sill)})",
                "give both from the finished floor",
            )  # fmt: skip
        if one.head > storeys[rooms[gap.room].storey].height + TOUCH:
            yield Fault(
                "opening-height", f"{path}.head",
                f"its head ({_m(one.head)}) is above the ceiling"
                f" ({_m(storeys[rooms[gap.room].storey].height)})",
                "correct the head, or the height of the storey",
            )  # fmt: skip
        for low, high, other in taken.get(side.id, []):
            if min(high, one.high) - max(low, one.low) > TOUCH:
                yield Fault(
                    "openings-overlap", f"{path}.along", f"it overlaps {other} in {side.id}",
                    "move one of them",
                )  # fmt: skip
        taken.setdefault(side.id, []).append((one.low, one.high, key))


def _fixture_faults(
    entities: Entities, rooms: dict[str, Room], storeys: dict[str, Storey], ledger: Ledger
) -> Iterator[Fault]:
    placed: list[FixtureAt] = []
    for key, one in of_kind(entities, jobs.Fixture).items():
        path = f"entities.{key}"
        if one.type not in kinds():
            yield unknown_word("unknown-fixture", f"{path}.type", "fixture type", one.type, kinds())
            continue
        option_faults = list(_option_faults(kinds()[one.type], one.options, path))
        yield from option_faults
        room = rooms.get(one.room)
        side = room.side(one.against) if room else None
        if room is None or side is None or option_faults:
            continue
        storey = storeys[room.storey]
        at = drafting.fixture(key, one, room, storey, side, ledger)
        yield from _outside_room(at, room, side, path)
        tall = metres(one.height) or 0.0
        if tall > storey.height + TOUCH:
            yield Fault(
                "fixture-too-tall", f"{path}.height",
                f"the {kinds()[one.type].words} is {_m(tall)} high, its room {_m(storey.height)}",
                f"correct its height, or that of the storey ({storey.id})",
            )  # fmt: skip
        placed.append(at)
    for one_at, other in combinations(placed, 2):
        if (
            one_at.room == other.room
            and _in_each_others_way(one_at, other)
            and _common_area(one_at, other) > TOUCH**2
        ):
            yield Fault(
                "fixtures-overlap", f"entities.{other.id}.along",
                f"the {kinds()[other.type].words} overlaps {one_at.id}"
                f" by {_common_area(one_at, other):.2f} m2",
                "move one of them, or correct its size",
            )  # fmt: skip


def _in_each_others_way(one: FixtureAt, other: FixtureAt) -> bool:
    """Tell whether two fixtures stand at the same height; what fills a room gives way to all."""
    if kinds()[one.type].whole_room or kinds()[other.type].whole_room:
        return False
    feet = []
    for at in (one, other):
        foot = kinds()[at.type].foot
        feet.append(foot(at) if foot else 0.0)
    return min(one.height, other.height) - max(feet) > TOUCH


def _outside_room(at: FixtureAt, room: Room, side: Side, path: str) -> Iterator[Fault]:
    words = kinds()[at.type].words
    if kinds()[at.type].whole_room:
        return
    if at.width > side.length + TOUCH:
        yield Fault(
            "fixture-too-wide", f"{path}.width",
            f"the {words} is {_m(at.width)} wide, {side.id} only {_m(side.length)}",
            "correct its width, or turn it to another side",
        )  # fmt: skip
        return
    shape = shapely.Polygon(at.ring).buffer(-TOUCH)
    if not shapely.Polygon(room.polygon).contains(shape):
        spare = max(side.length - at.width, 0.0)
        yield Fault(
            "fixture-outside-room", f"{path}.along",
            f"the {words} ({_m(at.width)} x {_m(at.depth)}) does not lie within {room.name!r}",
            f"place it between 0 and {_m(spare)} along {side.id}, or correct its size",
        )  # fmt: skip


def _option_faults(kind: Kind, given: dict[str, Any], path: str) -> Iterator[Fault]:
    for name, value in given.items():
        option, at = kind.option(name), f"{path}.options.{name}"
        if option is None:
            names = [one.name for one in kind.options]
            if names:
                yield unknown_word("unknown-option", at, f"option of a {kind.words}", name, names)
            else:
                yield Fault("unknown-option", at, f"a {kind.words} has no options", "take it out")
        else:
            yield from _option_value(option, value, at)


def _option_value(option: Option, value: Any, path: str) -> Iterator[Fault]:
    if option.type == "flag" and not isinstance(value, bool):
        yield Fault("bad-option", path, f"{value!r} is not yes or no", "write true or false")
    elif option.type == "word" and value not in option.choices:
        yield unknown_word("bad-option", path, "choice", str(value), option.choices)
    elif option.type == "length":
        try:
            length(value, signed=False)
        except QuantityError as error:
            yield Fault("bad-option", path, error.what, error.cure)


def _place_faults(entities: Entities, rooms: dict[str, Room]) -> Iterator[Fault]:
    """Sides named in a place (``kitchen/e1``) must exist."""
    for key, one in entities.items():
        place = getattr(one, "place", None)
        if place is None or "/" not in place.of:
            continue
        room, _, side = place.of.partition("/")
        path = f"entities.{key}.place.of"
        if room in rooms:
            yield from _side_fault(rooms[room], side, path)
        elif _undrawn(entities, room):
            what = f"{room!r} has no outline yet, so it has no side {side!r}"
            yield Fault("no-outline", path, what, f"write {room!r} alone, or draw its polygon")


def _guess_faults(entities: Entities) -> Iterator[Fault]:
    from wainscot.plan.guesses import MOST_HYPOTHESES, combinations_of

    questions: dict[str, list[str]] = {}
    for key, one in of_kind(entities, jobs.FramingGuess).items():
        questions.setdefault(one.question, []).append(key)
    number = combinations_of(questions)
    if number > MOST_HYPOTHESES:
        first = max(questions.values(), key=len)[-1]
        yield Fault(
            "too-many-guesses", f"entities.{first}",
            f"the framing guesses make {number} combinations, at most {MOST_HYPOTHESES} are run",
            "settle one question and take its guesses out",
        )  # fmt: skip


def _common_area(one: FixtureAt, other: FixtureAt) -> float:
    return float(shapely.Polygon(one.ring).intersection(shapely.Polygon(other.ring)).area)


def _m(metres_long: float) -> str:
    return show_length(metres_long, "m")


__all__ = ["faults"]
