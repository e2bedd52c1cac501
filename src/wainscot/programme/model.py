"""What a programme is made of: activities, days, rooms out of use, and how sure its end is."""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.all_clear import AllClear
from wainscot.cleaning import Work
from wainscot.estimate.model import Scope, StageName
from wainscot.job import Job
from wainscot.sealing import Sealing

Sort = Literal["work", "wait", "hold"]
"""``work``: people do it.  ``wait``: nobody works on it, it runs through nights and days off.
``hold``: a named person looks and signs, and what comes after may not start before."""


class Given(msgspec.Struct, frozen=True):
    """What a programme is made from: the answers of the steps above."""

    job: Job
    scope: Scope
    """What the price is taken from: plan, openings, checks, rates."""
    work: Work | None = None
    sealing: Sealing | None = None
    all_clear: AllClear | None = None


class Part(msgspec.Struct, frozen=True):
    """A stretch of an activity that is told apart."""

    words: str
    minutes: float
    """[min]"""
    working: bool
    """False where it soaks and the crew waits outside."""


class Activity(msgspec.Struct, frozen=True):
    """One thing that takes time."""

    key: str
    """Stable: the same while the plans are."""
    stage: StageName
    sort: Sort
    words: str
    place: str
    """Name of the room or space that it is about; empty where it is the whole house."""
    room: str
    """Id of the room that it takes out of use; empty where none is."""
    who: str
    """Crew or trade, or the person who signs; empty for a wait."""
    people: int
    hours: float
    """On site, of the whole crew or trade at once; of the clock for a wait. [h]"""
    start: str
    end: str
    """Local time, as ``2026-12-01T08:00``."""
    after: tuple[str, ...]
    """Keys of what is done before."""
    critical: bool
    """True where the end hangs on it in the schedule."""
    often: float
    """Share of the drawn courses in which the end hangs on it. [1]"""
    places: tuple[str, ...] = ()
    """What is done in it, one by one."""
    parts: tuple[Part, ...] = ()
    first: str = ""
    """Hold points: what to find out or do."""
    evidence: str = ""
    """Hold points: on what evidence it is released."""
    holds: tuple[str, ...] = ()
    """Hold points: their keys, as ``wainscot release`` takes them."""


class RoomOut(msgspec.Struct, frozen=True):
    """A stretch of time for which a room is out of use."""

    room: str
    name: str
    start: str
    end: str
    """Local time; the earliest for going back in."""
    why: str
    back: str
    """What has to be so before anybody returns."""


class Day(msgspec.Struct, frozen=True):
    """One day on which something happens on site, or a room comes back into use."""

    date: str
    who: tuple[str, ...]
    """Crews, trades and persons who come."""
    doing: tuple[str, ...]
    """Keys of the activities, by when they begin."""
    out: tuple[str, ...]
    """Names of the rooms that are out of use at any time of the day."""
    back: tuple[str, ...]
    """Names of the rooms that come back into use."""


class Crew(msgspec.Struct, frozen=True):
    """Who comes, how many, on how many days."""

    who: str
    number: int
    """Crews of several people, or people."""
    people: int
    """In each."""
    days: int
    hours: float
    """On site. [h]"""


class Programme(msgspec.Struct, frozen=True):
    """What happens when, if all that is planned is done."""

    start: str
    """The first day."""
    end: str
    """Of the schedule, local time."""
    likely_end: str
    """A date: half of the drawn courses are done by then."""
    late_end: str
    """A date: nine in ten are."""
    earliest_end: str
    """No schedule of these activities with these people can end before; local time."""
    gap: float
    """By how much the schedule is longer than that, as a share of it. [1]"""
    rule: str
    activities: tuple[Activity, ...]
    critical: tuple[str, ...]
    """Keys of the activities that the end hangs on, in order."""
    days: tuple[Day, ...]
    rooms: tuple[RoomOut, ...]
    crews: tuple[Crew, ...]
    visits: int
    """Days on which anybody comes."""
    zone: str
    """Time zone of the site; empty where nobody said."""
    assumed: tuple[str, ...]
    judged: tuple[str, ...]
    limits: tuple[str, ...]
    draws: int
    seed: int
