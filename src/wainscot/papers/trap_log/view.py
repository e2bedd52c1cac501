"""From traps and looks to a log that somebody who inspects food premises can check."""

from __future__ import annotations

import msgspec
import shapely

from wainscot.drawing import Drawing
from wainscot.job import BaitLeft, Place, Trap, TrapCheck, typed
from wainscot.papers.answers import Answers
from wainscot.papers.on_site import at_place
from wainscot.papers.plans import storeys
from wainscot.papers.said import Said, Say
from wainscot.voids.points import point_of


class Stands(msgspec.Struct, frozen=True):
    """One trap."""

    number: str
    place: str
    type: Said
    since: str
    until: str
    """When it was taken up or found missing; empty while it stands."""
    looks: str
    caught: str


class Look(msgspec.Struct, frozen=True):
    """One look at one trap."""

    at: str
    number: str
    state: str
    caught: bool
    by: str
    note: str


class Bait(msgspec.Struct, frozen=True):
    """Something that was laid, and whether it was fetched."""

    what: str
    place: str
    at: str
    fetched: str


class View(msgspec.Struct, frozen=True):
    """The log."""

    first: str
    last: str
    nights: str
    """Trap nights since the last seal; empty where nothing was calculated."""
    caught: str
    sprung: str
    index: str
    """Catches per hundred trap nights; empty where there were too few."""
    gaps: bool
    """True where a look names nobody."""
    traps: tuple[Stands, ...]
    looks: tuple[Look, ...]
    bait: tuple[Bait, ...]
    plans: tuple[Drawing, ...]


def view(known: Answers, say: Say) -> View | None:
    """Return the log; None where no trap stands or stood."""
    entities = typed(known.job)
    traps = {key: one for key, one in entities.items() if isinstance(one, Trap)}
    if not traps:
        return None
    ordered = sorted(traps, key=lambda key: (traps[key].at, key))
    number = {key: str(n) for n, key in enumerate(ordered, 1)}
    looks = sorted(
        (one for one in entities.values() if isinstance(one, TrapCheck) and one.trap in number),
        key=lambda one: (one.at, int(number[one.trap])),
    )
    points = ((number[key], point_of(known.plan, traps[key].place)) for key in ordered)
    seen = known.all_clear.watching if known.all_clear else None
    return View(
        say.day(traps[ordered[0]].at), say.day(looks[-1].at) if looks else "",
        f"{seen.trap_nights:.1f}" if seen else "",
        str(sum(one.count for one in looks if one.state == "caught")),
        str(sum(one.state == "sprung" for one in looks)),
        f"{seen.indices[0]:.1f}" if seen and seen.indices else "",
        any(not one.by for one in looks),
        tuple(_stands(number[key], traps[key], key, looks, known, say) for key in ordered),
        tuple(_look(one, number, say) for one in looks), _bait(known, say),
        storeys(known, [(n, at) for n, at in points if at is not None], say),
    )  # fmt: skip


def _stands(
    number: str, one: Trap, key: str, looks: list[TrapCheck], known: Answers, say: Say
) -> Stands:
    mine = [look for look in looks if look.trap == key]
    ended = next((look.at for look in mine if look.taken_up or look.state == "missing"), "")
    caught = sum(look.count for look in mine if look.state == "caught")
    return Stands(number, _where(one.place, known, say), say(one.type), say.day(one.at),
                  say.day(ended), str(len(mine)), str(caught))  # fmt: skip


def _where(place: Place, known: Answers, say: Say) -> str:
    """Return where a trap stands: what it stands at, or the room that its point lies in."""
    at = point_of(known.plan, place)
    if place.of or at is None:
        return at_place(known, place, say)
    spot = shapely.Point(at[:2])
    rooms = (
        room.name for room in known.plan.rooms
        if room.storey == place.storey and shapely.Polygon(room.polygon).covers(spot)
    )  # fmt: skip
    return next(rooms, "") or at_place(known, place, say)


def _look(one: TrapCheck, number: dict[str, str], say: Say) -> Look:
    caught = one.state == "caught"
    state = say.word(f"state_{one.state.replace(' ', '_')}")
    if caught:
        state = f"{state}: {one.count} {say(one.species).text}".rstrip()
    if one.taken_up:
        state = f"{state}, {say.word('taken_up')}"
    return Look(say.moment(one.at), number[one.trap], state, caught, one.by, one.note)


def _bait(known: Answers, say: Say) -> tuple[Bait, ...]:
    return tuple(
        Bait(one.what, at_place(known, one.place, say), say.day(one.at), say.day(one.fetched_at))
        for one in typed(known.job).values() if isinstance(one, BaitLeft)
    )  # fmt: skip
