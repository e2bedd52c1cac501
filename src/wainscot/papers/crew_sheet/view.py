"""From containment, cleaning and what is signed to what a crew does on the day."""

from __future__ import annotations

import msgspec

from wainscot.access.model import HoldPoint
from wainscot.cleaning import Cleaning
from wainscot.cleaning.words import product_line
from wainscot.containment import Containment
from wainscot.papers.answers import Answers
from wainscot.papers.days import OnDay, on_days
from wainscot.papers.said import Said, Say


class Hold(msgspec.Struct, frozen=True):
    """What has to be settled before, and room to sign it."""

    hazard: Said
    first: Said
    evidence: Said
    who: Said


class Room(msgspec.Struct, frozen=True):
    """One room to sheet off."""

    name: str
    sheet: str
    floor: str
    tape: str
    flow: str
    units: str
    purge: str


class Place(msgspec.Struct, frozen=True):
    """One place to wet and clean."""

    words: Said
    area: str
    solution: str


class Open(msgspec.Struct, frozen=True):
    """An opening that is signed for."""

    words: Said
    signed: str
    hours: str


class View(msgspec.Struct, frozen=True):
    """The day."""

    lead: str
    holds: tuple[Hold, ...]
    opens: tuple[Open, ...]
    unsigned: str
    """How many planned openings nobody signed for; empty for none."""
    rooms: tuple[Room, ...]
    product: Said | None
    steps: tuple[Said, ...]
    places: tuple[Place, ...]
    wear: tuple[Said, ...]
    van: tuple[Said, ...]
    waste: tuple[Said, ...]
    warnings: tuple[Said, ...]
    waits: tuple[Said, ...]
    """Why there is no cleaning yet."""
    days: tuple[OnDay, ...]
    """Who comes which day, as planned; empty where the job is not dated."""


def view(known: Answers, say: Say) -> View | None:
    """Return the day; None where nothing is to be opened or cleaned."""
    work = known.work
    if work is None or not work.voids:
        return None
    found = work.cleaning
    opens = known.choice.openings if known.choice else ()
    chosen = set(known.choice.balanced.openings) if known.choice else set()
    unsigned = sum(one.id in chosen and one.status in ("planned", "change order") for one in opens)
    leads = [str(one.get("who", "")) for one in known.job.entities.values()
             if one.get("kind") == "crew" and one.get("leads")]  # fmt: skip
    return View(
        ", ".join(leads), tuple(_hold(one, say) for one in work.holds),
        tuple(Open(say(one.words), one.signed_by, say.word("hours", n=f"{one.hours:.1f}"))
              for one in opens if one.status == "authorised"),
        str(unsigned or ""), tuple(_room(one, say) for one in work.containments),
        say(product_line(found.label)) if found else None,
        tuple(say(one) for one in found.steps) if found else (),
        _places(found, say), say.all(found.protection) if found else (),
        say.all(found.van) if found else (), say.all(found.streams) if found else (),
        say.all(found.warnings) if found else (),
        say.all(f"{one.what}; {one.cure}" for one in work.waits), on_days(known, say),
    )  # fmt: skip


def _hold(one: HoldPoint, say: Say) -> Hold:
    return Hold(say(one.hazard), say(one.first), say(one.evidence), say(one.who))


def _room(one: Containment, say: Say) -> Room:
    return Room(
        ", ".join(one.work.names), f"{one.sheets.sheet:.0f}", f"{one.sheets.floor:.0f}",
        f"{one.sheets.tape:.0f}", f"{one.exhaust.flow * 3600:.0f}", str(one.exhaust.units),
        say.word("minutes", n=f"{one.purge_minutes:.0f}"),
    )  # fmt: skip


def _places(found: Cleaning | None, say: Say) -> tuple[Place, ...]:
    if found is None:
        return ()
    return tuple(
        Place(say(one.place), f"{one.area:.1f}", f"{one.solution:.1f}") for one in found.amounts
    )
