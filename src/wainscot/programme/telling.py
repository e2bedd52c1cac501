"""Days, rooms out of use and crews, read off the activities.

Limits: a room counts as out of use from the sheets going up until they are down and out, and while
somebody works in it; where its floor is open, until that is closed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from wainscot.book import Book
from wainscot.programme.groups import Group
from wainscot.programme.hours import Hours
from wainscot.programme.making import CREW, FINISHER, TRADES
from wainscot.programme.model import Activity, Crew, Day, RoomOut

SHUT = "sheeted off, opened and cleaned"
FLOOR = "its floor is open"
WORKED = "closed up and made good"
BACK = "once whoever leads the work has looked, all is wet-wiped and the purge has run"
BACK_FLOOR = "once the floor is closed and whoever leads the work has looked"
BACK_DRY = "once tools and dust are out"


def rooms_of(activities: Sequence[Activity], groups: Sequence[Group]) -> tuple[RoomOut, ...]:
    """Return each stretch for which a room is out of use, by time.

    Parameters
    ----------
    activities : sequence of Activity
        With their times.
    groups : sequence of Group
        The openings by place.
    """
    found: list[RoomOut] = []
    for group in groups:
        mine = [one for one in activities if one.room and one.room == group.room
                and one.key.startswith(f"{group.key}/")]  # fmt: skip
        if not mine:
            continue
        dirty = [one for one in mine if one.who != FINISHER and "/coat" not in one.key]
        later = [one for one in mine if one not in dirty and one.sort == "work"]
        floor = any(cut.part == "floor" for way in group.ways for cut in way.cuts)
        first = min(one.start for one in dirty or later)
        if floor and later:
            found.append(RoomOut(group.room, group.name, first, max(one.end for one in mine),
                                 FLOOR, BACK_FLOOR))  # fmt: skip
            continue
        if dirty:
            found.append(RoomOut(group.room, group.name, first, max(one.end for one in dirty),
                                 SHUT, BACK))  # fmt: skip
        found += [RoomOut(group.room, group.name, one.start, one.end, WORKED, BACK_DRY)
                  for one in later]  # fmt: skip
    return tuple(sorted(found, key=lambda one: (one.start, one.name)))


def days_of(
    activities: Sequence[Activity], groups: Sequence[Group], hours: Hours
) -> tuple[Day, ...]:
    """Return the days on which somebody works or a room comes back, in order.

    Parameters
    ----------
    activities : sequence of Activity
        With their times.
    groups : sequence of Group
        The openings by place.
    hours : Hours
        When people work.
    """
    worked: dict[str, list[Activity]] = {}
    for one in activities:
        if one.sort != "wait":
            for day in _worked(one, hours):
                worked.setdefault(day, []).append(one)
    rooms = rooms_of(activities, groups)
    back: dict[str, list[str]] = {}
    for room in rooms:
        back.setdefault(room.end[:10], []).append(room.name)
    out = []
    for day in sorted({*worked, *back}):
        mine = sorted(worked.get(day, []), key=lambda one: (one.start, one.key))
        names = [room.name for room in rooms if room.start[:10] <= day <= room.end[:10]]
        who = sorted(dict.fromkeys(one.who for one in mine), key=_rank)
        out.append(Day(
            day, tuple(who), tuple(one.key for one in mine),
            tuple(dict.fromkeys(names)), tuple(dict.fromkeys(back.get(day, []))),
        ))  # fmt: skip
    return tuple(out)


def _rank(who: str) -> int:
    """Crew and trades first, then the persons who sign."""
    return TRADES.index(who) if who in TRADES else len(TRADES)


def _worked(one: Activity, hours: Hours) -> list[str]:
    """Return the days on which somebody works on it, days off in between left out."""
    first, last = datetime.fromisoformat(one.start), datetime.fromisoformat(one.end)
    last = max(first, last - timedelta(minutes=1))
    begins = datetime.fromisoformat(hours.first).date()
    days = (first.date() + timedelta(days=n) for n in range((last.date() - first.date()).days + 1))
    return [day.isoformat() for day in days if (day - begins).days in hours.days]


def crews_of(
    activities: Sequence[Activity], crews: Mapping[str, int], book: Book, hours: Hours
) -> tuple[Crew, ...]:
    """Return who comes, on how many days and for how long; a weekend between is no day of theirs.

    Parameters
    ----------
    activities : sequence of Activity
        With their times.
    crews : mapping of str to int
        How many there are of each.
    book : Book
        The firm's rates.
    hours : Hours
        When people work.
    """
    out = []
    for who, number in crews.items():
        mine = [one for one in activities if one.who == who]
        if mine:
            days = {day for one in mine for day in _worked(one, hours)}
            people = max(1, int(book.business.crew.value)) if who == CREW else 1
            out.append(Crew(who, number, people, len(days), sum(one.hours for one in mine)))
    return tuple(out)
