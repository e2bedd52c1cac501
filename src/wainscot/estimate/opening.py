"""Stage "open and clean": the balanced openings, what follows from them, and what may be added.

Planned are the openings of the balanced set, hung on anything being soiled at all; the cleaning of
each void they lay open, hung on that void.  Extra are the voids that the plan leaves shut: by the
cheapest way into each, hung on it being soiled.

Limits: soil is taken as found where it lies in a void that is laid open; how far a find leads on is
only as good as the draws.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import msgspec

from wainscot.access import Access
from wainscot.access.reaching import is_reached
from wainscot.cleaning.planning import POROUS, SPARE, surfaces_of
from wainscot.cleaning.products import products
from wainscot.containment import contain, work_area
from wainscot.estimate.model import Line, Scope, When
from wainscot.estimate.taking import Taking
from wainscot.openings.judging_draws import chance_of, soiled
from wainscot.sources import Cited, judged

SOILED = When("anything soiled")
WORTH_TELLING = 0.02
"""A void that is soiled less likely is no line of its own. [1]"""
POUND_FOOT2 = 0.45359237 / 0.3048**2
_MANUAL = "home-improvement estimating manual of 2018, debris"
DEBRIS: dict[str, Cited] = {
    "plasterboard": Cited(2.3 * POUND_FOOT2, "kg/m2", _MANUAL, "board 2.3 lb/ft2", "read"),
    "ceiling board": Cited(2.3 * POUND_FOOT2, "kg/m2", _MANUAL, "board 2.3 lb/ft2", "read"),
    "lath and plaster": Cited(8.0 * POUND_FOOT2, "kg/m2", _MANUAL, "8 lb/ft2", "read"),
    "floor boards": Cited(2.0 * POUND_FOOT2, "kg/m2", _MANUAL, "sheathing 2 lb/ft2", "read"),
    "vinyl": Cited(2.0 * POUND_FOOT2, "kg/m2", _MANUAL, "sheathing 2 lb/ft2", "read"),
    "panelling": Cited(2.0 * POUND_FOOT2, "kg/m2", _MANUAL, "panel 2 lb/ft2", "read"),
}
OTHER_DEBRIS = judged(5.0 * POUND_FOOT2, "kg/m2", "tile, brick and what is not named")
WASTED = Cited(1.05, "1", _MANUAL.replace("debris", "board"), "5 % of board is wasted", "read")
A_BAG = judged(0.5, "m3", "of a void, for each bag after the first")
APPLICATIONS = 2
"""To soak, and to disinfect."""
_MATERIAL = {"tile": "tile", "floor boards": "floor", "vinyl": "floor"}


def opening(scope: Scope) -> list[Line]:
    """Return the lines of the balanced openings and of all cleaning.

    Parameters
    ----------
    scope : Scope
        The answers so far.
    """
    by_id = {one.id: one for one in scope.offered}
    chosen = [by_id[one] for one in scope.choice.balanced.openings if one in by_id]
    reached = _laid_open(chosen)
    taking = Taking("open and clean", scope.book)
    lines = [line for one in chosen for line in _one(taking, one, SOILED)]
    lines += _shared(taking, chosen, scope)
    lines += _containments(taking, chosen, scope)
    lines += _coming(taking, chosen)
    for v in sorted(reached):
        lines += _cleaned(taking, scope, v)
    return lines + list(_extras(scope, chosen, reached))


def _laid_open(chosen: Iterable[Access]) -> set[int]:
    return {reach.void for one in chosen for reach in one.reaches if is_reached(reach.share)}


def _one(taking: Taking, one: Access, when: When) -> list[Line]:
    """An opening's own hours and board; what it shares with others stands apart."""
    trade = "mason" if one.act == "bricks out" else "crew"
    lines = taking.hours(
        f"open {one.id}",
        one.words,
        one.minutes / 60,
        "set up, cut, take off: the book's hours",
        when,
        trade,
    )
    lines += taking.hours(
        f"close {one.id}",
        f"make good: {one.words}",
        one.repair / 60,
        "each opening and its area: the book's hours",
        when,
        "finisher",
    )
    if one.disturbance != "cut" or one.area <= 0:
        return lines
    lines += taking.bought(
        f"board {one.id}",
        f"{one.finish} for it",
        one.area * WASTED.value,
        _MATERIAL.get(one.finish, "board"),
        f"{one.area:.2f} m2 cut, {100 * (WASTED.value - 1):.0f} % wasted",
        when,
    )
    heavy = DEBRIS.get(one.finish, OTHER_DEBRIS)
    lines += taking.bought(
        f"waste {one.id}",
        f"{one.finish} carried away",
        one.area * heavy.value,
        "waste",
        f"{one.area:.2f} m2 at {heavy.value:.1f} kg/m2",
        when,
    )
    return lines


def _shared(taking: Taking, chosen: Sequence[Access], scope: Scope) -> list[Line]:
    """What is paid once; the worth of a day without a room or water is nobody's bill."""
    found = {one.key: one for access in chosen for one in access.charges}
    lines: list[Line] = []
    for key, one in sorted(found.items()):
        hours, trade, words = one.hours, "crew", one.words
        if one.kind == "room":
            hours, words = scope.book.work.set_up_room.value, f"set up {_room(scope, one.of)}"
        elif one.kind == "water":
            hours = scope.book.labour.water_off.value
        elif one.kind == "finish":
            trade = "finisher"
        lines += taking.hours(
            key, words, hours, "once, however many openings share it", SOILED, trade
        )
    return lines


def _room(scope: Scope, key: str) -> str:
    return next((one.name for one in scope.plan.rooms if one.id == key), key)


def _containments(taking: Taking, chosen: Sequence[Access], scope: Scope) -> list[Line]:
    """Sheets, floor cover, doors and exhaust of every room that something is cut from."""
    drawn = {one.id for one in scope.plan.rooms}
    rooms = sorted({one.room for one in chosen if one.disturbance in ("hole", "cut")} & drawn)
    lines: list[Line] = []
    for room in rooms:
        found, name = contain(work_area(scope.plan, [room])), _room(scope, room)
        sheets, basis = found.sheets, f"containment of {name}"
        days = math.ceil(_hours_in(chosen, room) / _day(taking))
        for part, words, amount in (
            ("sheet", "plastic sheet", sheets.sheet),
            ("floor_cover", "floor cover", sheets.floor),
            ("tape", "tape", sheets.tape),
            ("post", "posts", sheets.posts),
            ("zip_door", "doors in the sheet", sheets.zip_doors),
            ("exhaust_day", "exhaust units", found.exhaust.units * days),
        ):
            lines += taking.bought(
                f"{part} {room}", f"{words}, {name}", amount, part, basis, SOILED
            )
        lines += taking.hours(
            f"hang {room}",
            f"hang and take down the sheets, {name}",
            sheets.sheet * taking.book.labour.hang.value,
            basis,
            SOILED,
        )
    return lines


def _hours_in(chosen: Sequence[Access], room: str) -> float:
    return sum((one.minutes + one.repair) / 60 for one in chosen if one.room == room)


def _day(taking: Taking) -> float:
    """Hours that the crew works in a day. [h]."""
    return taking.book.business.day.value * taking.book.business.crew.value


def _coming(taking: Taking, chosen: Sequence[Access]) -> list[Line]:
    """Visits, and protection for everybody on each of their days."""
    if not chosen:
        return []
    hours = sum((one.minutes + one.repair) / 60 for one in chosen)
    days = math.ceil(hours / _day(taking))
    people = taking.book.business.crew.value
    return [
        *taking.visits("visit", "there and back", days, f"{hours:.1f} h of openings", SOILED),
        *taking.bought(
            "protection",
            "overalls, gloves, filters",
            days * people,
            "protection",
            f"{days} days, {people:.0f} people",
            SOILED,
        ),
    ]


def _cleaned(taking: Taking, scope: Scope, void: int) -> list[Line]:
    """Wetting, bags and hours of one void, if it is soiled."""
    (face,) = surfaces_of(scope.graph, [void])
    label, here = scope.graph.labels[void], scope.graph.words[void]
    litres = (
        products()["disinfectant"].coverage
        * POROUS[face.material].value
        * face.area
        * APPLICATIONS
        * SPARE.value
        / 1000
    )
    when, basis = When("soiled", void), f"{face.area:.1f} m2 of faces, taken as {face.material}"
    labour = taking.book.labour
    return [
        *taking.hours(
            f"clean {label}", f"clean {here}", face.area * labour.clean.value, basis, when
        ),
        *taking.bought(
            f"solution {label}",
            f"solution for {label}",
            litres,
            "solution",
            f"{basis}, {APPLICATIONS} applications",
            when,
        ),
        *taking.bought(
            f"bags {label}",
            f"bags for {label}",
            1 + math.ceil(scope.graph.volume[void] / A_BAG.value),
            "bag",
            f"one, and one each half m3 of {label}",
            when,
        ),
        *taking.hours(
            f"nest {label}",
            f"carry out a nest from {label}",
            labour.nest.value,
            "one nest",
            When("nest", void),
        ),
    ]


def _extras(scope: Scope, chosen: Sequence[Access], reached: set[int]) -> Iterator[Line]:
    """Every void beyond the plan that may be soiled: what its opening and cleaning would add."""
    taking = Taking("open and clean", scope.book, extra=True)
    dirty = soiled(scope.draws, scope.graph.hidden)
    paid = {one.key for access in chosen for one in access.charges}
    for v in range(len(scope.graph.keys)):
        chance = chance_of(dirty[:, v], scope.draws.weight)
        if v in reached or not scope.graph.hidden[v] or chance < WORTH_TELLING:
            continue
        way = _cheapest(scope, v, paid)
        if way is None:
            continue
        when, label = When("soiled", v), scope.graph.labels[v]
        hours = sum(
            one.hours
            for one in way.charges
            if one.key not in paid and one.kind in ("finish", "enter")
        )
        lines = [
            *_one(taking, way, when),
            *taking.hours(
                "shared",
                f"set up and finish for {label}",
                hours,
                "what the plan has not paid yet",
                when,
            ),
            *_cleaned(taking, scope, v),
        ]
        yield from (_at(line, label) for line in lines)


def _at(line: Line, label: str) -> Line:
    """A way that reaches several voids is a line of each of them, under a key of its own."""
    return msgspec.structs.replace(line, key=f"{line.key} for {label}", place=label)


def _cheapest(scope: Scope, void: int, paid: set[str]) -> Access | None:
    ways = [
        one
        for one in scope.offered
        if any(reach.void == void and is_reached(reach.share) for reach in one.reaches)
    ]

    def hours(one: Access) -> tuple[float, str]:
        shared = sum(each.hours for each in one.charges if each.key not in paid)
        return (one.minutes + one.repair) / 60 + shared, one.id

    return min(ways, key=hours, default=None)
