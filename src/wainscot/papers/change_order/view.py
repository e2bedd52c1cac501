"""From bays that lie open to what is asked beyond what was signed, and what that adds."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from wainscot.access import Access
from wainscot.chance import percent
from wainscot.estimate import Line, money
from wainscot.job import Find, Inspection, typed
from wainscot.openings import Opening
from wainscot.papers.answers import Answers
from wainscot.papers.on_site import (
    OPENING,
    in_row,
    own_lines,
    planned_lines,
    signed_ways,
    where,
)
from wainscot.papers.quote.view import SORTS
from wainscot.papers.said import Said, Say
from wainscot.signs.words import what_of

BY_ROOM = SORTS["contain"]
"""Words of lines that are paid once a room, as the quote sorts them."""
OPENED = "opened and seen"
SIGHTS = ("clean", "light", "heavy", "nest")


class Found(msgspec.Struct, frozen=True):
    """What was seen in a space that was opened."""

    place: Said
    sight: str
    day: str
    by: str


class Added(msgspec.Struct, frozen=True):
    """An opening that is asked for on top, or several alike of one room at which nothing is cut."""

    number: str
    words: Said
    places: Said
    """Labels of what it lays open."""
    several: bool
    """True where it stands for more than one, of which the first is named."""
    chance: str
    """In 100, that it finds soil; of several the greatest."""
    price: str
    """Its own lines; empty where it was not priced."""


class Shared(msgspec.Struct, frozen=True):
    """Lines that the added openings share, or that follow from them."""

    words: str
    price: str


class View(msgspec.Struct, frozen=True):
    """A change order."""

    found: tuple[Found, ...]
    added: tuple[Added, ...]
    shared: tuple[Shared, ...]
    sum: str
    """Of the lines above, without tax; empty where nothing was priced."""
    tax: str
    """Per cent; empty where there is none."""
    first: tuple[Said, ...]
    """What has to be settled before any of it, and by whom."""
    signed: tuple[str, ...]
    """Who signed before, and when."""


def view(known: Answers, say: Say) -> View | None:
    """Return the order; None where nothing is asked beyond what was signed, or nothing is open."""
    found = tuple(_found(known, say))
    asked = _asked(known)
    if not found or not asked:
        return None
    ways = {one.id: one for one in known.offered}
    lines = planned_lines(known)
    shared = _shared(known, [ways[one.id] for one in asked], lines)
    total = sum(sum(line.cents for line in own_lines(one.id, lines)) for one in asked) + sum(
        line.cents for some in shared.values() for line in some
    )
    unit = known.estimate.currency if known.estimate else ""
    tax = known.estimate.tax if known.estimate else 0.0
    return View(
        found,
        tuple(
            _added(str(n), some, lines, unit, say)
            for n, some in enumerate(_alike(asked, ways), 1)
        ),
        tuple(Shared(say.word(f"shared_{key}"), _money(some, unit))
              for key, some in shared.items() if some),
        money(total / 100, unit) if total else "", f"{tax:g}" if tax else "",
        say.all(f"{hold.first}: {hold.who}" for one in asked for hold in one.holds
                if hold.standing != "care"),
        tuple(dict.fromkeys(", ".join(part for part in (one.by, say.day(one.at)) if part)
                            for _, one in signed_ways(known))),
    )  # fmt: skip


def _found(known: Answers, say: Say) -> Iterator[Found]:
    for one in typed(known.job).values():
        if isinstance(one, Inspection) and one.method == "opened":
            for find in one.finds:
                yield Found(where(known, one.place, say), _sight(find, say), say.day(one.at),
                            one.by)  # fmt: skip


def _sight(find: Find, say: Say) -> str:
    """Return what was seen: how much soil, else the sign itself."""
    if find.kind != OPENED:
        return say(what_of([find])).text
    return say.word(f"sight_{find.amount if find.amount in SIGHTS else 'other'}")


def _asked(known: Answers) -> list[Opening]:
    if known.choice is None:
        return []
    wanted = set(known.choice.balanced.openings)
    return [one for one in known.choice.openings
            if one.status == "change order" and one.id in wanted]  # fmt: skip


def _alike(asked: list[Opening], ways: dict[str, Access]) -> list[list[Opening]]:
    """Return the openings, those of one room and kind together where nothing is cut."""
    groups: dict[tuple[str, ...], list[Opening]] = {}
    for one in asked:
        alone = (one.id,) if ways[one.id].disturbance in ("hole", "cut") else ()
        groups.setdefault((one.act, one.room, *alone), []).append(one)
    return list(groups.values())


def _added(number: str, some: list[Opening], lines: dict[str, Line], unit: str, say: Say) -> Added:
    own = [line for one in some for line in own_lines(one.id, lines)]
    labels = tuple(dict.fromkeys(label for one in some for label in one.voids))
    places = say(in_row(labels))
    chance = say.word("in_hundred", n=percent(max(one.chance for one in some)))
    if len(some) > 1:
        chance = say.word("each_up_to", chance=chance)
    return Added(number, say(some[0].words), places, len(some) > 1, chance,
                 _money(own, unit) if own else "")  # fmt: skip


def _money(some: list[Line], unit: str) -> str:
    return money(sum(line.cents for line in some) / 100, unit)


def _shared(known: Answers, asked: list[Access], lines: dict[str, Line]) -> dict[str, list[Line]]:
    """Return lines that come with the added openings and with none that is signed for."""
    before = [way for way, _ in signed_ways(known)]
    paid = {charge.key for way in before for charge in way.charges}
    rooms = {way.room for way in asked} - {way.room for way in before} - {""}
    keys = dict.fromkeys(c.key for way in asked for c in way.charges if c.key not in paid)
    charged = [lines[f"{OPENING}{key}"] for key in keys if f"{OPENING}{key}" in lines]
    contained = [
        lines[key] for room in sorted(rooms) for part in BY_ROOM
        if (key := f"{OPENING}{part} {room}") in lines and lines[key] not in charged
    ]  # fmt: skip
    laid = {reach.void for way in before for reach in way.reaches}
    labels = dict.fromkeys(
        known.graph.labels[reach.void]
        for way in asked for reach in way.reaches if reach.void not in laid
    )  # fmt: skip
    cleaned = [
        lines[key] for label in labels for part in ("clean", "solution", "bags", "nest")
        if (key := f"{OPENING}{part} {label}") in lines
    ]  # fmt: skip
    return {
        "once": [line for line in charged if not line.key.startswith(f"{OPENING}hold ")],
        "hold": [line for line in charged if line.key.startswith(f"{OPENING}hold ")],
        "contain": contained, "clean": cleaned,
    }  # fmt: skip
