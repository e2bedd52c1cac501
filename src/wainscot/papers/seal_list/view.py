"""From the seal lists to what was closed, what is still to close, and in which order."""

from __future__ import annotations

import msgspec

from wainscot.drawing import Drawing
from wainscot.job import SealMade, typed
from wainscot.papers.answers import Answers
from wainscot.papers.photo_list import pictured
from wainscot.papers.pictured import Pictured
from wainscot.papers.plans import storeys
from wainscot.papers.said import Said, Say
from wainscot.sealing import SealList

MOST = 12
"""Lines of what comes on top if they gnaw; the rest is counted. [1]"""


class ToDo(msgspec.Struct, frozen=True):
    """One line that is still to be closed."""

    number: str
    words: Said
    material: Said
    note: Said
    reach: Said
    hours: str


class Made(msgspec.Struct, frozen=True):
    """One seal that was made."""

    words: Said
    material: Said
    by: str
    at: str
    again: str
    """When it is looked at again."""
    photo: str
    """Number of its photo on this paper; empty where there is none at hand."""
    counts: bool
    """False without a name or a photo: it does not count as closed."""


class Open(msgspec.Struct, frozen=True):
    """A way that stays open."""

    words: Said
    why: Said
    into: Said


class Step(msgspec.Struct, frozen=True):
    """One step of the order."""

    words: Said
    numbers: str
    """Of the lines that it closes."""


class View(msgspec.Struct, frozen=True):
    """The list."""

    species: Said
    statement: Said
    made: tuple[Made, ...]
    todo: tuple[ToDo, ...]
    order: tuple[Step, ...]
    open: tuple[Open, ...]
    if_they_gnaw: tuple[Said, ...]
    """What comes on top if they gnaw."""
    gnaw_more: str
    """How much more of it there is; empty for none."""
    limits: tuple[Said, ...]
    cautions: tuple[Said, ...]
    plans: tuple[Drawing, ...]
    photos: tuple[Pictured, ...]


def view(known: Answers, say: Say) -> View | None:
    """Return the list; None where nothing is drawn that could be closed."""
    if known.sealing is None or not known.sealing.lists:
        return None
    sealing = known.sealing
    mine = _list(known, "as built")
    number = {one.key: str(n) for n, one in enumerate(mine.seals, 1)}
    # An edge to go along is no point.
    marks = [(number[one.key], spot.at) for one in mine.seals for spot in one.spots[:1]
             if one.sort != "edge to go along"]  # fmt: skip
    made, photos = _made(known, say)
    steps = (
        Step(say(one.words), ", ".join(number[key] for key in one.seals if key in number))
        for one in sealing.order
    )
    gnawing = _list(known, "if they gnaw").seals
    gnawed = list(dict.fromkeys(one.words for one in gnawing if one.key not in number))
    return View(
        say(mine.species), say(mine.statement), made,
        tuple(ToDo(number[one.key], say(one.words), say(one.material), say(one.note),
                   say(one.reach), say.word("hours", n=f"{one.hours:.1f}")) for one in mine.seals),
        tuple(steps),
        tuple(Open(say(one.words), say(one.why), say(", ".join(one.voids)))
              for one in mine.remaining),
        say.all(gnawed[:MOST]), str(max(len(gnawed) - MOST, 0) or ""),
        say.all(sealing.limits), say.all(sealing.cautions), storeys(known, marks, say), photos,
    )  # fmt: skip


def _list(known: Answers, grade: str) -> SealList:
    """Return the list of the likelier animal; roof rats pass what Norway rats pass."""
    lists = known.sealing.lists if known.sealing else ()
    graded = [one for one in lists if one.grade == grade] or list(lists)
    mice = "mouse" in known.species
    return next((one for one in graded if ("mouse" in one.species) == mice), graded[0])


def _made(known: Answers, say: Say) -> tuple[tuple[Made, ...], tuple[Pictured, ...]]:
    entities = typed(known.job)
    seals = sorted(
        (one for one in entities.values() if isinstance(one, SealMade)),
        key=lambda one: (one.at, one.closes),
    )

    def words(one: SealMade) -> str:
        return str(getattr(entities.get(one.closes), "name", "") or one.closes)

    photos = pictured(known, say, ("seal",))
    number = {one.digest: one.number for one in photos}
    return tuple(
        Made(say(words(one)), say(one.material), one.by, say.day(one.at), say.day(one.inspect_at),
             number.get(one.photo, ""), bool(one.by and one.photo))
        for one in seals
    ), photos  # fmt: skip
