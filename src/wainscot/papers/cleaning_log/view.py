"""From the applications of a job to their log: start, wetted again, end, whether it was enough."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from wainscot.cleaning.applied import Applied, applied
from wainscot.job import Application, ContactMoment, CrewEntry, Job, Ticked, day_of, typed
from wainscot.papers.answers import Answers
from wainscot.papers.on_site import at_place
from wainscot.papers.photo_list import pictured
from wainscot.papers.pictured import Pictured
from wainscot.papers.said import Said, Say


class Row(msgspec.Struct, frozen=True):
    """One application."""

    place: str
    surface: Said
    started: str
    moments: tuple[str, ...]
    wet: str
    needed: str
    failed: bool
    words: Said
    doubt: Said
    air: str
    by: str


class Label(msgspec.Struct, frozen=True):
    """A product's label as somebody typed it."""

    product: Said
    registration: str
    contact: str
    dilution: str
    by: str


class Entry(msgspec.Struct, frozen=True):
    """One line of what the crew wrote of itself."""

    at: str
    who: str
    what: str
    note: str


class Tick(msgspec.Struct, frozen=True):
    """A point of the work that somebody ticked as done."""

    at: str
    by: str
    words: Said


class View(msgspec.Struct, frozen=True):
    """The log."""

    labels: tuple[Label, ...]
    rows: tuple[Row, ...]
    ticks: tuple[Tick, ...]
    crew: tuple[Entry, ...]
    photos: tuple[Pictured, ...]


def view(known: Answers, say: Say) -> View | None:
    """Return the log; None where neither a label nor an application is in the job."""
    labels = [one for one in known.job.entities.values() if one.get("kind") == "product_label"]
    found = applied(known.job)
    if not labels and not found:
        return None
    return View(
        tuple(_label(one, say) for one in labels),
        tuple(_row(one, known, say) for one in found), tuple(_ticks(known.job, say)),
        tuple(_crew(known.job, say)),
        pictured(known, say, ("label",)),
    )  # fmt: skip


def _label(one: dict[str, object], say: Say) -> Label:
    fields = (str(one.get(name, "")) for name in ("registration", "contact_time", "dilution", "by"))
    registration, contact, dilution, by = fields
    return Label(say(str(one["product"])), registration, contact, dilution, by)


def _row(one: Applied, known: Answers, say: Say) -> Row:
    entities = typed(known.job)
    given = entities[one.id]
    assert isinstance(given, Application)
    moments = sorted(
        (each for each in entities.values()
         if isinstance(each, ContactMoment) and each.application == one.id),
        key=lambda each: each.at,
    )  # fmt: skip
    return Row(
        at_place(known, given.place, say), say(given.surface), say.moment(one.started),
        tuple(_moment(each, say) for each in moments),
        say.word("minutes", n=f"{one.wet:.0f}"),
        "" if one.needed is None else say.word("minutes", n=f"{one.needed:g}"),
        one.standing == "failed", say(one.words), say(one.doubt),
        ", ".join(part for part in (given.air, given.humidity) if part), given.by,
    )  # fmt: skip


def _moment(one: ContactMoment, say: Say) -> str:
    what = say.word(f"moment_{one.what.replace(' ', '_')}")
    return f"{one.at[11:16]} {what}"


def _ticks(job: Job, say: Say) -> Iterator[Tick]:
    """Yield each point once, as it was ticked first; the van's lines are no part of the work."""
    found = [one for one in typed(job).values()
             if isinstance(one, Ticked) and not one.of.startswith("van/")]  # fmt: skip
    first: dict[str, Ticked] = {}
    for one in sorted(found, key=lambda one: (day_of(one.at) if one.at else 0.0, one.by)):
        first.setdefault(one.of, one)
    for one in first.values():
        yield Tick(say.moment(one.at) if one.at else "", one.by, say(one.words or one.of))


def _crew(job: Job, say: Say) -> list[Entry]:
    found = [one for one in typed(job).values() if isinstance(one, CrewEntry)]
    return [Entry(say.moment(one.at), one.who, _did(one.what, say), one.note)
            for one in sorted(found, key=lambda one: (one.at, one.who))]  # fmt: skip


def _did(what: str, say: Say) -> str:
    return say.word(f"did_{what.replace(' ', '_').replace('-', '_')}")
