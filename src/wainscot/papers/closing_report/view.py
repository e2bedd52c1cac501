"""From the all-clear to what the owner keeps: outcome, chance, limits, what was done, warranty."""

from __future__ import annotations

import msgspec

from wainscot.chance import in_ten, percent
from wainscot.drawing import Drawing
from wainscot.job import EntryPoint, Find, Inspection, Place, SealMade, typed
from wainscot.papers.answers import Answers
from wainscot.papers.photos import numbered
from wainscot.papers.pictured import Pictured
from wainscot.papers.plans import storeys
from wainscot.papers.said import Said, Say
from wainscot.voids.points import point_of

MOST = 10
"""Lines of a list; the rest is counted. [1]"""


class Listed(msgspec.Struct, frozen=True):
    """A list that is cut where it grows long."""

    lines: tuple[Said, ...]
    more: str
    """How many more there are; empty for none."""


class View(msgspec.Struct, frozen=True):
    """The report."""

    outcome: Said
    chance: Said
    in_hundred: str
    until: str
    """Good until; empty where nothing was watched."""
    rests_on: tuple[Said, ...]
    limits: tuple[Said, ...]
    settles: tuple[Said, ...]
    ended: bool
    """True where the statement ends the job: over, or quiet and monitored."""
    smells: tuple[Said, ...]
    seals: Listed
    open_ways: Listed
    left_shut: Listed
    declined: tuple[Said, ...]
    readings: tuple[Said, ...]
    to_fetch: tuple[Said, ...]
    warranty: tuple[Said, ...]
    photos: tuple[Pictured, ...]
    plans: tuple[Drawing, ...]
    """With the numbers of the photos."""


def view(known: Answers, say: Say) -> View | None:
    """Return the report; None where nothing can be cleared yet."""
    found = known.all_clear
    if found is None:
        return None
    said, back = found.statement, found.callback
    shots = _shots(known, say)
    photos = numbered(known, [(digest, caption) for digest, caption, _ in shots])
    return View(
        say(said.outcome), say(in_ten(said.chance)),
        say.word("in_hundred", n=percent(said.chance)), say.day(said.valid_until),
        say.all(said.rests_on), say.all(said.limits), say.all(said.settles),
        said.outcome in ("over", "quiet and monitored"),
        say.all(one.words for one in found.smells), _listed(back.seals, say),
        _listed(back.open_ways, say), _listed(back.left_shut, say), say.all(back.declined),
        say.all(back.readings), say.all(back.bait), say.all(said.warranty),
        photos, _plans(known, shots, photos, say),
    )  # fmt: skip


def _listed(lines: tuple[str, ...], say: Say) -> Listed:
    more = len(lines) - MOST
    return Listed(say.all(lines[:MOST]), str(more) if more > 0 else "")


def _shots(known: Answers, say: Say) -> list[tuple[str, str, Place | None]]:
    """Return photos of finds, then of seals, each with its caption and where it was taken."""
    entities = typed(known.job)
    found: list[tuple[str, str, Place | None]] = []
    looks = [one for one in entities.values() if isinstance(one, Inspection)]
    for look in sorted(looks, key=lambda one: one.at):
        for find in look.finds:
            caption = ", ".join(part for part in (say(find.kind).text, say.day(look.at)) if part)
            found += [(digest, caption, look.place) for digest in _of(find)]
    seals = [one for one in entities.values() if isinstance(one, SealMade)]
    for seal in sorted(seals, key=lambda one: (one.at, one.closes)):
        closed = entities.get(seal.closes)
        name = str(getattr(closed, "name", "") or seal.closes)
        place = closed.place if isinstance(closed, EntryPoint) else None
        found.append((seal.photo, f"{name}: {say(seal.material).text}", place))
    return found


def _plans(
    known: Answers,
    shots: list[tuple[str, str, Place | None]],
    photos: tuple[Pictured, ...],
    say: Say,
) -> tuple[Drawing, ...]:
    places = {digest: place for digest, _, place in reversed(shots)}
    marks = []
    for one in photos:
        place = places[one.digest]
        at = point_of(known.plan, place) if place is not None else None
        if at is not None:
            marks.append((one.number, at))
    return storeys(known, marks, say)


def _of(find: Find) -> list[str]:
    return [one for one in (find.photo, *find.photos) if one]
