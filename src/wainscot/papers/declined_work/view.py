"""From what the owner declined to the risk that stays, as the calculation has it."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from wainscot.chance import percent
from wainscot.job import ClosingTerms, Declined, typed
from wainscot.openings.choosing import Left
from wainscot.papers.answers import Answers
from wainscot.papers.on_site import about_price, in_row
from wainscot.papers.said import Said, Say


class Refused(msgspec.Struct, frozen=True):
    """An opening that was declined."""

    words: Said
    places: Said
    """Labels of what then stays shut; empty where something else lays it open."""
    chance: str
    """In 100, that soil stays behind."""
    cost: str
    """Of coming back for it, on average over many such jobs."""
    by: str
    day: str
    reason: str


class Way(msgspec.Struct, frozen=True):
    """A way that is not to be closed."""

    words: Said
    by: str
    day: str


class View(msgspec.Struct, frozen=True):
    """A declined-work sheet."""

    openings: tuple[Refused, ...]
    ways: tuple[Way, ...]
    given_up: tuple[Said, ...]
    """Places that are left to the animals."""
    in_use: str
    """In 100, that animals move inside; empty where it was not calculated."""


def view(known: Answers, say: Say) -> View | None:
    """Return the sheet; None where nothing was declined."""
    left = known.choice.declined if known.choice else ()
    openings = tuple(_refused(known, one, say) for one in left)
    ways = tuple(_ways(known, say))
    given_up = say.all(known.sealing.given_up if known.sealing else ())
    if not (openings or ways or given_up):
        return None
    chance = known.all_clear.statement.chance if known.all_clear else None
    in_use = say.word("in_hundred", n=percent(1 - chance)) if chance is not None else ""
    return View(openings, ways, given_up, in_use)


def _refused(known: Answers, one: Left, say: Say) -> Refused:
    said = next((each for each in reversed(typed(known.job).values())
                 if isinstance(each, Declined) and each.opening == one.id), None)  # fmt: skip
    currency = known.choice.currency if known.choice else ""
    return Refused(
        say(one.words), say(in_row(one.voids)),
        say.word("in_hundred", n=percent(one.chance)),
        about_price(one.loss, currency, say) if one.loss > 0 else "",
        said.by if said else "", say.day(said.at) if said else "", said.reason if said else "",
    )  # fmt: skip


def _ways(known: Answers, say: Say) -> Iterator[Way]:
    """Yield ways that stay open because the owner said so, each once."""
    told: dict[str, str] = {}
    for found in known.sealing.lists if known.sealing else ():
        told |= {one.words: one.why for one in found.remaining if one.why == "declined"}
    terms = [one for one in typed(known.job).values()
             if isinstance(one, ClosingTerms) and one.declined]  # fmt: skip
    by, at = (terms[-1].by, terms[-1].at) if terms else ("", "")
    for words in told:
        yield Way(say(words), by, say.day(at))
