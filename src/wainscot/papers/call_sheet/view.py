"""The first call: the same questions every time, beside each what the job already holds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

import msgspec

from wainscot.job import Authorisation, BaitLeft, Call, Inspection, Suspect, Visit, typed
from wainscot.papers.answers import Answers
from wainscot.papers.on_site import where
from wainscot.papers.said import Said, Say

QUESTIONS = ("stops", "who", "since", "signs", "noises", "animals", "poison", "pets", "people",
             "house", "harm", "way_in")  # fmt: skip
"""Twelve, in the order in which they are asked; the first may stop the call."""
HEARD = "sound"
MET = ("live animal", "carcass")
URGENCY = ("today", "within two days", "next free visit")
"""In the order in which the page offers them."""
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
    """A call sheet; what nobody wrote down is empty and left blank on the page."""

    caller: str
    telephone: str
    taken_by: str
    address: str
    when: str
    visit: str
    who_comes: str
    urgency: tuple[bool, ...]
    """Which of :data:`URGENCY` was chosen."""
    questions: tuple[Question, ...]


def view(known: Answers, say: Say) -> View:
    """Return the sheet; it always has its questions."""
    holds: dict[str, Callable[[Answers, Say], Iterator[Said]]] = {
        "stops": _stops, "who": _who, "since": _since, "signs": _signs, "noises": _noises,
        "animals": _animals, "poison": _poison, "pets": _pets, "people": _people, "house": _house,
        "harm": _harm, "way_in": _way_in,
    }  # fmt: skip
    call = _first(known)
    visit = _visit(known, call)
    return View(
        call.caller, call.telephone, call.by, call.address, say.moment(call.at),
        say.moment(visit.at) if visit else "", ", ".join(visit.who) if visit else "",
        tuple(call.urgency == one for one in URGENCY),
        tuple(
            Question(str(n), say.word(f"ask_{key}"), say.word(f"more_{key}"),
                     _shortened(tuple(holds[key](known, say)), say))
            for n, key in enumerate(QUESTIONS, 1)
        ),
    )  # fmt: skip


def _shortened(held: tuple[Said, ...], say: Say) -> tuple[Said, ...]:
    """Return as many answers as have room, and how many more the job holds."""
    more = len(held) - MOST
    return held if more <= 0 else (*held[:MOST], _own(say.word("held_more", n=more), say))


def _first(known: Answers) -> Call:
    """Return the first call, or an empty one."""
    calls = [one for one in typed(known.job).values() if isinstance(one, Call)]
    return min(calls, key=lambda one: one.at, default=Call(at=""))


def _visit(known: Answers, call: Call) -> Visit | None:
    """Return the first visit that lies on the day of the call or after it; None without a call."""
    visits = [one for one in typed(known.job).values() if isinstance(one, Visit)]
    later = [one for one in visits if call.at and one.at[:10] >= call.at[:10]]
    return min(later, key=lambda one: one.at, default=None)


def _typed(texts: Iterable[tuple[str, str]], say: Say) -> Iterator[Said]:
    """Yield what was typed, each under its word; what is empty is left out."""
    for key, text in texts:
        if text:
            yield _own(say.word(key, text=text), say)


def _chosen(answers: Iterable[str], say: Say) -> Iterator[Said]:
    for one in answers:
        yield _own(say.word(f"said_{one.replace(' ', '_')}"), say)


def _looks(known: Answers) -> list[Inspection]:
    found = [one for one in typed(known.job).values() if isinstance(one, Inspection)]
    return sorted(found, key=lambda one: one.at or "9")


def _own(text: str, say: Say) -> Said:
    return Said(text, say.language)


def _at(known: Answers, one: Inspection, told: Said, say: Say) -> Said:
    place = where(known, one.place, say)
    parts = (told.text, place.text, say.moment(one.at) if one.at else "")
    lang = place.lang if told.lang == say.language else told.lang
    note = f" ({one.note})" if one.note else ""
    return Said(", ".join(part for part in parts if part) + note, lang)


def _stops(known: Answers, say: Say) -> Iterator[Said]:
    yield from _chosen([one for one in (_first(known).stops,) if one], say)


def _who(known: Answers, say: Say) -> Iterator[Said]:
    call = _first(known)
    yield from _typed((("plain", call.may_order), ("who_pays", call.pays)), say)
    names = [one.by for one in typed(known.job).values() if isinstance(one, Authorisation)]
    for name in dict.fromkeys(names):
        yield _own(say.word("signed_before", name=name), say)


def _since(known: Answers, say: Say) -> Iterator[Said]:
    yield from _typed((("plain", _first(known).since),), say)
    first = next((one.at for one in _looks(known) if one.finds and one.at), "")
    if first:
        yield _own(say.word("first_logged", day=say.day(first)), say)


def _signs(known: Answers, say: Say) -> Iterator[Said]:
    """Yield what was told, not what was looked for: it is a sheet for the first call."""
    for one in _looks(known):
        if one.grade == "told":
            yield from (_at(known, one, say(find.kind), say) for find in one.finds
                        if find.kind != HEARD and find.kind not in MET)  # fmt: skip


def _noises(known: Answers, say: Say) -> Iterator[Said]:
    for one in _looks(known):
        yield from (
            _at(known, one, say(find.kind), say) for find in one.finds if find.kind == HEARD
        )


def _animals(known: Answers, say: Say) -> Iterator[Said]:
    for look in _looks(known):
        if look.grade == "told":
            yield from (_at(known, look, say(find.kind), say) for find in look.finds
                        if find.kind in MET)  # fmt: skip
    for one in typed(known.job).values():
        if isinstance(one, Suspect):
            yield _own(say.word(SPECIES[one.species]), say)


def _poison(known: Answers, say: Say) -> Iterator[Said]:
    yield from _typed((("plain", _first(known).poison),), say)
    for one in typed(known.job).values():
        if isinstance(one, BaitLeft):
            place = where(known, one.place, say)
            day = say.day(one.at) if one.at else ""
            yield _own(", ".join(part for part in (one.what, place.text, day) if part), say)


def _pets(known: Answers, say: Say) -> Iterator[Said]:
    yield from _typed((("plain", _first(known).pets),), say)


def _people(known: Answers, say: Say) -> Iterator[Said]:
    call = _first(known)
    yield from _chosen(call.people, say)
    yield from _typed((("reads", call.reads),), say)


def _house(known: Answers, say: Say) -> Iterator[Said]:
    if known.plan.year_built is not None:
        yield _own(say.word("built", year=known.plan.year_built), say)
    yield from _typed((("plain", _first(known).built_of),), say)


def _harm(known: Answers, say: Say) -> Iterator[Said]:
    cables = {run.id for run in known.plan.services if run.type == "cable"}
    for one in _looks(known):
        at_cable = one.place is not None and one.place.of in cables
        if any(f.kind == "gnawing" and (f.amount == "cable" or at_cable) for f in one.finds):
            yield _at(known, one, _own(say.word("gnawed_cable"), say), say)
    yield from _chosen(_first(known).harm, say)


def _way_in(known: Answers, say: Say) -> Iterator[Said]:
    call = _first(known)
    told = (("plain", call.access), ("keys", call.keys), ("left_alone", call.left_alone))
    yield from _typed(told, say)
