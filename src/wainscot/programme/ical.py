"""A programme as an iCalendar file (RFC 5545), written here: no library is needed to run.

Every event is one stretch of time, so times go out in UTC and no rule of a zone has to be carried;
the zone of the site is needed to know what UTC is.  The identifier of an event is made from the
job's and the activity's, so that a newer file moves an event instead of adding one.

Limits: no alarms, no people invited; all-day events say on which days a room is out of use.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from wainscot.errors import Fault, InputError
from wainscot.programme.model import Activity, Programme, RoomOut

_SPACE = uuid.UUID("6ba7b811-9dad-11d1-80b4-00c04fd430c8")
"""The name space of addresses, RFC 4122 appendix C."""
_LONGEST = 75
"""Bytes of a line, RFC 5545 section 3.1."""


def calendar(found: Programme, job: str, *, title: str = "", zone: str = "") -> str:
    """Return the programme as the text of an ``.ics`` file, with its line ends.

    Parameters
    ----------
    found : Programme
        The programme.
    job : str
        Id of the job; identifiers hang on it.
    title : str
        Name of the job.
    zone : str
        Time zone of the site; that of the programme if empty.

    Raises
    ------
    InputError
        If nobody said in which time zone the site lies, or there is none of that name.
    """
    name = zone or found.zone
    here = site_zone(name)
    stamp = _utc(f"{found.start}T00:00", here)
    events = [_event(one, job, stamp, here) for one in found.activities if one.sort != "wait"]
    events += [_out(one, f"{job}/out/{key}", stamp) for key, one in _keyed(found.rooms)]
    body = [
        "BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//wainscot//programme//EN", "CALSCALE:GREGORIAN",
        f"X-WR-CALNAME:{_text(title or job)}", f"X-WR-TIMEZONE:{_text(name)}",
        *(line for event in events for line in event), "END:VCALENDAR",
    ]  # fmt: skip
    return "".join(f"{_folded(line)}\r\n" for line in body)


def site_zone(name: str) -> ZoneInfo:
    """Return the time zone of that name.

    Parameters
    ----------
    name : str
        As the zone database has it.

    Raises
    ------
    InputError
        If nobody named one, or there is none of that name.
    """
    if not name:
        cure = 'name it: --zone America/Chicago, or [team] zone = "America/Chicago" in the rates'
        raise InputError([Fault("calendar-zone", "zone", "nobody said in which time zone the site "
                                "lies, so a calendar would show wrong hours", cure)])  # fmt: skip
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise InputError([Fault("calendar-zone", "zone", f"{name!r} is no time zone",
                                "write it as America/Chicago")]) from None  # fmt: skip


def _utc(local: str, zone: ZoneInfo) -> str:
    at = datetime.fromisoformat(local).replace(tzinfo=zone).astimezone(UTC)
    return at.strftime("%Y%m%dT%H%M%SZ")


def _event(one: Activity, job: str, stamp: str, zone: ZoneInfo) -> list[str]:
    stop = "STOP, sign first: " if one.holds else ""
    who = f"{one.who}: " if one.who else ""
    told = [*([one.first] if one.first else []), *one.places]
    if one.evidence:
        told.append(f"released on: {one.evidence}")
    return _lines(
        f"{job}/{one.key}", stamp, f"{stop}{who}{one.words}", "\n".join(told),
        f"DTSTART:{_utc(one.start, zone)}", f"DTEND:{_utc(one.end, zone)}",
    )  # fmt: skip


def _keyed(rooms: Iterable[RoomOut]) -> Iterator[tuple[str, RoomOut]]:
    """Yield each stretch with a key that stays when it moves: its room, why, which of them."""
    times: dict[tuple[str, str], int] = {}
    for one in rooms:
        nth = times[one.room, one.why] = times.get((one.room, one.why), 0) + 1
        yield f"{one.room}/{one.why}/{nth}", one


def _out(one: RoomOut, key: str, stamp: str) -> list[str]:
    after = date.fromisoformat(one.end[:10]) + timedelta(days=1)
    return [
        *_lines(
            key, stamp, f"{one.name} out of use",
            f"{one.why}; back {one.back}, not before {one.end[11:]} on the last day",
            f"DTSTART;VALUE=DATE:{one.start[:10].replace('-', '')}",
            f"DTEND;VALUE=DATE:{after.isoformat().replace('-', '')}",
        )[:-1],
        "TRANSP:TRANSPARENT", "END:VEVENT",
    ]  # fmt: skip


def _lines(key: str, stamp: str, words: str, told: str, *times: str) -> list[str]:
    return [
        "BEGIN:VEVENT", f"UID:{uuid.uuid5(_SPACE, f'wainscot/{key}')}", f"DTSTAMP:{stamp}",
        *times, f"SUMMARY:{_text(words)}", *([f"DESCRIPTION:{_text(told)}"] if told else []),
        "END:VEVENT",
    ]  # fmt: skip


def _text(words: str) -> str:
    """Return words as a TEXT value: section 3.3.11; what is no character of text goes."""
    kept = "".join(c for c in words if c == "\n" or c == "\t" or (ord(c) >= 32 and c != "\x7f"))
    kept = kept.encode("utf-8", "replace").decode("utf-8")
    for mark in ("\\", ";", ","):
        kept = kept.replace(mark, f"\\{mark}")
    return kept.replace("\n", "\\n")


def _folded(line: str) -> str:
    """Return a line with no more than 75 bytes between line ends, no character cut in two."""
    pieces: list[str] = []
    piece, size = "", 0
    for c in line:
        more = len(c.encode("utf-8"))
        if size + more > (_LONGEST if not pieces else _LONGEST - 1):
            pieces.append(piece)
            piece, size = "", 0
        piece, size = piece + c, size + more
    return "\r\n ".join([*pieces, piece])
