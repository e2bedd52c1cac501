"""A programme as it is read out: what happens which day, who comes, when to return, what stops."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from wainscot.programme.model import Activity, Day, Programme, RoomOut

MOST_DAYS = 12
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
           "October", "November", "December")  # fmt: skip


def day(text: str) -> str:
    """Return a date for reading: ``Tuesday 1 December``.

    Parameters
    ----------
    text : str
        A date, or a local time.
    """
    on = date.fromisoformat(text[:10])
    return f"{_DAYS[on.weekday()]} {on.day} {_MONTHS[on.month - 1]}"


def lines(found: Programme, most: int = MOST_DAYS) -> list[str]:
    """Return the whole programme as lines of words.

    Parameters
    ----------
    found : Programme
        The programme.
    most : int
        Days that are told one by one.
    """
    out = [*_head(found), ""]
    stops = [one for one in found.activities if one.sort == "hold" and one.holds]
    if stops:
        out.append("What stops it until somebody has signed:")
        out += [f"  STOP {one.words}: {one.first} ({one.who})" for one in stops]
        out.append("")
    out.append("What happens which day:")
    by_key = {one.key: one for one in found.activities}
    for one in found.days[:most]:
        out += day_words(one, by_key)
    if len(found.days) > most:
        out.append(f"and {len(found.days) - most} more days: --all")
    if found.rooms:
        out += ["", "Rooms out of use, and when they may return:"]
        out += [f"  {told}" for told in room_words(found.rooms)]
    out += ["", "Who comes:"]
    out += [f"  {one.who}: {_times(one.days, 'day')}, {one.hours:g} h on site"
            for one in found.crews]  # fmt: skip
    out += ["", _hangs(found)]
    out += [f"Assumed: {one}." for one in found.assumed]
    out += [f"Limit: {one}." for one in found.limits]
    return out


def brief(found: Programme) -> list[str]:
    """Return the programme in brief: its days, how sure its end is, what holds it up.

    Parameters
    ----------
    found : Programme
        The programme.
    """
    out = _head(found)
    longest = _stretches(found.rooms)[:3]
    if longest:
        told = "; ".join(f"{name}, {_times(days, 'day')}" for name, days in longest)
        out.append(f"Out of use longest: {told}.")
    stops = list(dict.fromkeys(one.words for one in found.activities
                               if one.sort == "hold" and one.holds))  # fmt: skip
    if stops:
        out.append(f"STOP, sign first: {', '.join(stops)}.")
    return [*out, _hangs(found)]


def _head(found: Programme) -> list[str]:
    if not found.activities:
        return ["Nothing is planned yet, so there is nothing to put on days."]
    over = f"{100 * found.gap:.0f} % longer than" if found.gap >= 0.005 else "as short as"
    return [
        f"Begins {day(found.start)}, ends {day(found.end)} {found.end[:4]} if all goes as planned; "
        f"somebody comes on {_times(found.visits, 'day')}.",
        f"Half of such jobs are done by {day(found.likely_end)}, nine in ten by "
        f"{day(found.late_end)} {found.late_end[:4]} ({found.draws} drawn courses).",
        f"The schedule is {over} the least that these people could take ({found.rule}).",
    ]


def day_words(one: Day, activities: dict[str, Activity]) -> list[str]:
    """Return one day as lines: who does what, which rooms are out of use or back.

    Parameters
    ----------
    one : Day
        A day of the programme.
    activities : dict of str to Activity
        By key.
    """
    out = [f"  {day(one.date)}"]
    for who in one.who:
        mine = [activities[key] for key in one.doing if activities[key].who == who]
        work = "; ".join(_told(each, one.date) for each in mine)
        out.append(f"    {who}: {work}")
    if one.out:
        out.append(f"    out of use: {', '.join(one.out)}")
    if one.back:
        out.append(f"    back in use at the end of it: {', '.join(one.back)}")
    return out


def _told(one: Activity, on: str) -> str:
    goes_on = " (goes on)" if one.start[:10] < on else ""
    return f"{one.words}{goes_on}"


def room_words(rooms: Iterable[RoomOut]) -> list[str]:
    """Return each stretch out of use in a line, with when they may return and what comes first.

    Parameters
    ----------
    rooms : iterable of RoomOut
        Of the programme.
    """
    out = []
    for one in rooms:
        start, end = day(one.start), day(one.end)
        when = f"on {start}" if start == end else f"from {start} to {end}"
        out.append(f"{one.name}: {when}, {one.why}; back from {one.end[11:]}, {one.back}")
    return out


def _stretches(rooms: Iterable[RoomOut]) -> list[tuple[str, int]]:
    """Each room and the days it is out of use, the longest first."""
    days: dict[str, set[int]] = {}
    for one in rooms:
        first, last = (datetime.fromisoformat(text).toordinal() for text in (one.start, one.end))
        days.setdefault(one.name, set()).update(range(first, last + 1))
    return sorted(
        ((name, len(some)) for name, some in days.items()), key=lambda one: (-one[1], one)
    )


def _hangs(found: Programme) -> str:
    by_key = {one.key: one.words for one in found.activities}
    words = [by_key[key] for key in found.critical]
    if not words:
        return ""
    first = words if len(words) <= 6 else [*words[:3], f"{len(words) - 6} more", *words[-3:]]
    return f"The end hangs on: {'; then '.join(first)}."


def _times(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
