"""From the openings that nobody has signed for to one page each."""

from __future__ import annotations

import msgspec

from wainscot.access.model import HoldPoint
from wainscot.chance import percent
from wainscot.estimate import money
from wainscot.openings import Opening
from wainscot.papers.answers import Answers
from wainscot.papers.on_site import own_lines, planned_lines
from wainscot.papers.said import Said, Say


class Hold(msgspec.Struct, frozen=True):
    """What has to be settled before."""

    hazard: Said
    first: Said
    who: Said


class Ask(msgspec.Struct, frozen=True):
    """One opening that is asked for."""

    number: str
    words: Said
    room: str
    chance: str
    voids: str
    why: tuple[Said, ...]
    hours: str
    price: str
    """Its own lines of the quote; empty where money is counted in hours."""
    signed: str
    """Who signed and when; empty where nobody did."""
    kept: str
    """What the owner wants kept and it touches."""
    holds: tuple[Hold, ...]
    limits: tuple[Said, ...]


class View(msgspec.Struct, frozen=True):
    """All that is asked for, and what is signed already."""

    asks: tuple[Ask, ...]


def view(known: Answers, say: Say) -> View | None:
    """Return the pages; None where the balanced set holds no opening that may be signed for."""
    choice = known.choice
    if choice is None:
        return None
    chosen = set(choice.balanced.openings)
    asked = [
        one for one in choice.openings
        if (one.id in chosen and one.status == "planned") or one.status == "authorised"
    ]  # fmt: skip
    if not asked:
        return None
    return View(tuple(_ask(str(n), one, known, say) for n, one in enumerate(asked, 1)))


def _ask(number: str, one: Opening, known: Answers, say: Say) -> Ask:
    rooms = {room.id: room.name for room in known.plan.rooms}
    said = {void.label: void for void in known.diagnosis.voids}
    why = [f"{said[label].words}: {said[label].reason}" for label in one.voids[:4]
           if label in said and said[label].reason]  # fmt: skip
    limits = [verdict.words for verdict in one.limits]
    return Ask(
        number, say(one.words), rooms.get(one.room, one.room),
        say.word("in_hundred", n=percent(one.chance)), ", ".join(one.voids), say.all(why),
        say.word("hours", n=f"{one.hours:.1f}"), _price(one.id, known),
        one.signed_by, ", ".join(one.kept), tuple(_hold(hold, say) for hold in one.holds),
        say.all(limits),
    )  # fmt: skip


def _price(opening: str, known: Answers) -> str:
    """Return what the quote has for an opening by itself, so that the two papers agree."""
    own = own_lines(opening, planned_lines(known))
    currency = known.estimate.currency if known.estimate else ""
    return money(sum(line.cents for line in own) / 100, currency) if own and currency else ""


def _hold(hold: HoldPoint, say: Say) -> Hold:
    return Hold(say(hold.hazard), say(hold.first), say(hold.who))
