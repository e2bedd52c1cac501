"""From the all-clear to what the owner keeps: outcome, chance, limits, what was done, warranty."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from wainscot.chance import in_ten, percent
from wainscot.drawing import Drawing
from wainscot.job import Callback, Closed, ClosingTerms, Declined, Job, typed
from wainscot.papers.answers import Answers
from wainscot.papers.photo_list import photo_plans, pictured
from wainscot.papers.pictured import Pictured
from wainscot.papers.said import Said, Say

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
    closed: tuple[str, ...]
    """When it was closed and by whom, and when it was called back."""
    not_seen: tuple[str, ...]
    """What nobody looked at, as the owner was told."""
    warranty_until: str
    """Last day of the warranty; empty where none is given."""
    photos: tuple[Pictured, ...]
    plans: tuple[Drawing, ...]
    """With the numbers of the photos."""


def view(known: Answers, say: Say) -> View | None:
    """Return the report; None where nothing can be cleared yet."""
    found = known.all_clear
    if found is None:
        return None
    said, back = found.statement, found.callback
    return View(
        say(said.outcome), say(in_ten(said.chance)),
        say.word("in_hundred", n=percent(said.chance)), say.day(said.valid_until),
        say.all(said.rests_on), say.all(said.limits), say.all(said.settles),
        said.outcome in ("over", "quiet and monitored"),
        say.all(one.words for one in found.smells), _listed(back.seals, say),
        _listed(back.open_ways, say), _listed(back.left_shut, say), tuple(_declined(known, say)),
        say.all(back.readings), say.all(back.bait), say.all(said.warranty),
        tuple(_history(known.job, say)), tuple(_not_seen(known.job)),
        say.day(max(_terms(known.job), default="")),
        pictured(known, say, ("find", "seal")), photo_plans(known, say, ("find", "seal")),
    )  # fmt: skip


def _history(job: Job, say: Say) -> Iterator[str]:
    """Give when the job was closed and called back, in order."""
    found = [one for one in typed(job).values() if isinstance(one, Closed | Callback)]
    for one in sorted(found, key=lambda one: one.at):
        if isinstance(one, Closed):
            yield say.word("closed_on", day=say.day(one.at), by=one.by)
        else:
            because = say.word(f"because_{one.because or 'other'}")
            yield say.word("called_on", day=say.day(one.at), because=because)


def _declined(known: Answers, say: Say) -> Iterator[Said]:
    """Yield what the owner declined and why; an opening by its words where it is still on offer."""
    words = {one.id: one.words for one in known.offered}
    for one in typed(known.job).values():
        if isinstance(one, Declined):
            told = say(words.get(one.opening, one.opening))
            yield Said(f"{told.text}: {one.reason or say.word('no_reason')}", told.lang)


def _not_seen(job: Job) -> list[str]:
    """Return what was not looked at when the job was closed last."""
    closed = [one for one in typed(job).values() if isinstance(one, Closed)]
    return max(closed, key=lambda one: one.at).not_seen if closed else []


def _terms(job: Job) -> Iterator[str]:
    for one in typed(job).values():
        if isinstance(one, ClosingTerms) and one.warranty_until:
            yield one.warranty_until


def _listed(lines: tuple[str, ...], say: Say) -> Listed:
    more = len(lines) - MOST
    return Listed(say.all(lines[:MOST]), str(more) if more > 0 else "")
