"""The first call: the same questions every time, beside each what the job already holds."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import msgspec

from wainscot.job import Authorisation, BaitLeft, Inspection, Suspect, typed
from wainscot.papers.answers import Answers
from wainscot.papers.on_site import where
from wainscot.papers.said import Said, Say

QUESTIONS = ("stops", "who", "since", "signs", "noises", "animals", "poison", "pets", "people",
             "house", "harm", "way_in")  # fmt: skip
"""Twelve, in the order in which they are asked; the first may stop the call."""
HEARD = "sound"
MOST = 6
"""Answers under one question; the rest stand in the job."""
SPECIES = {"house mouse": "house_mouse", "norway rat": "norway_rat", "roof rat": "roof_rat"}


class Question(msgspec.Struct, frozen=True):
    """One question and what the job holds of its answer."""

    number: str
    asked: str
    more: str
    """What to ask on."""
    held: tuple[Said, ...]


class View(msgspec.Struct, frozen=True):
    """A call sheet."""

    questions: tuple[Question, ...]


def view(known: Answers, say: Say) -> View:
    """Return the sheet; it always has its questions."""
    holds: dict[str, Callable[[Answers, Say], Iterator[Said]]] = {
        "who": _who, "since": _since, "signs": _signs, "noises": _noises, "animals": _animals,
        "poison": _poison, "house": _house, "harm": _harm,
    }  # fmt: skip
    return View(tuple(
        Question(str(n), say.word(f"ask_{key}"), say.word(f"more_{key}"),
                 tuple(holds[key](known, say))[:MOST] if key in holds else ())
        for n, key in enumerate(QUESTIONS, 1)
    ))  # fmt: skip


def _looks(known: Answers) -> list[Inspection]:
    found = [one for one in typed(known.job).values() if isinstance(one, Inspection)]
    return sorted(found, key=lambda one: one.at or "9")


def _own(text: str, say: Say) -> Said:
    return Said(text, say.language)


def _at(known: Answers, one: Inspection, told: Said, say: Say) -> Said:
    place = where(known, one.place, say)
    parts = (told.text, place.text, say.moment(one.at) if one.at else "")
    lang = place.lang if told.lang == say.language else told.lang
    return Said(", ".join(part for part in parts if part), lang)


def _who(known: Answers, say: Say) -> Iterator[Said]:
    names = [one.by for one in typed(known.job).values() if isinstance(one, Authorisation)]
    for name in dict.fromkeys(names):
        yield _own(say.word("signed_before", name=name), say)


def _since(known: Answers, say: Say) -> Iterator[Said]:
    first = next((one.at for one in _looks(known) if one.finds and one.at), "")
    if first:
        yield _own(say.word("first_logged", day=say.day(first)), say)


def _signs(known: Answers, say: Say) -> Iterator[Said]:
    """Yield what was told, not what was looked for: it is a sheet for the first call."""
    for one in _looks(known):
        if one.grade == "told":
            yield from (_at(known, one, say(find.kind), say) for find in one.finds
                        if find.kind != HEARD)  # fmt: skip


def _noises(known: Answers, say: Say) -> Iterator[Said]:
    for one in _looks(known):
        yield from (
            _at(known, one, say(find.kind), say) for find in one.finds if find.kind == HEARD
        )


def _animals(known: Answers, say: Say) -> Iterator[Said]:
    for one in typed(known.job).values():
        if isinstance(one, Suspect):
            yield _own(say.word(SPECIES[one.species]), say)


def _poison(known: Answers, say: Say) -> Iterator[Said]:
    for one in typed(known.job).values():
        if isinstance(one, BaitLeft):
            place = where(known, one.place, say)
            day = say.day(one.at) if one.at else ""
            yield _own(", ".join(part for part in (one.what, place.text, day) if part), say)


def _house(known: Answers, say: Say) -> Iterator[Said]:
    if known.plan.year_built is not None:
        yield _own(say.word("built", year=known.plan.year_built), say)


def _harm(known: Answers, say: Say) -> Iterator[Said]:
    cables = {run.id for run in known.plan.services if run.type == "cable"}
    for one in _looks(known):
        at_cable = one.place is not None and one.place.of in cables
        if any(f.kind == "gnawing" and (f.amount == "cable" or at_cable) for f in one.finds):
            yield _at(known, one, _own(say.word("gnawed_cable"), say), say)
