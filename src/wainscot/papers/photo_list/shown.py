"""Photos as papers show them: captions in the paper's language, and plans with their numbers.

A photo without a spot on the plan says so in its caption; none is left out.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator
from importlib import resources
from typing import Any

import msgspec

from wainscot.access import site_of
from wainscot.access.scene import Scene
from wainscot.drawing import Drawing
from wainscot.drawing.model import Point
from wainscot.job import Inspection, ProductLabel, SealMade, typed
from wainscot.languages import names_in
from wainscot.papers.answers import Answers
from wainscot.papers.kinds import shared_words
from wainscot.papers.opening_sheet.where import Placed, storey_plan
from wainscot.papers.photo_list.taken import SORTS, Sort, Taken, taken
from wainscot.papers.pictured import Pictured
from wainscot.papers.said import Say, quoted_in
from wainscot.signs.words import what_of
from wainscot.voids import locate
from wainscot.voids.points import point_of

BOX = (172.0, 120.0)
"""Room of a plan on paper. [mm]"""
_SPOT = 0.06  # half of the square that marks a spot [m]
_SHORT = 240  # characters of what somebody typed; a caption is no page


def pictured(
    known: Answers, say: Say, sorts: Iterable[Sort] = SORTS, entity: str = ""
) -> tuple[Pictured, ...]:
    """Return the photos at hand with number and caption.

    Parameters
    ----------
    known : Answers
        The job, what the steps said, the photos.
    say : Say
        Whose language and names count; the words are those of photos.
    sorts : iterable of {"find", "seal", "label"}
        Of what.
    entity : str
        Id of one inspection, seal or label; of all if empty.
    """
    teller = _Teller(known, say.language)
    return tuple(teller.pictured(one) for one in _chosen(known, sorts, entity))


def photo_plans(known: Answers, say: Say, sorts: Iterable[Sort] = SORTS) -> tuple[Drawing, ...]:
    """Return a plan of each storey that a photo was taken on, with the numbers of the photos.

    Parameters
    ----------
    known, say, sorts
        As in :func:`pictured`.
    """
    teller = _Teller(known, say.language)
    spots: dict[str, list[Placed]] = {}
    for one in _chosen(known, sorts, ""):
        if placed := teller.placed(one):
            spots.setdefault(placed.storey, []).append(placed)
    scene = Scene(known.plan, known.graph, site_of(known.job))
    return tuple(
        teller.plan(storey_plan(scene, one.id, spots[one.id], f"photos-{one.id}", BOX), one.name)
        for one in known.plan.storeys
        if one.id in spots
    )


def _chosen(known: Answers, sorts: Iterable[Sort], entity: str) -> Iterator[Taken]:
    wanted = set(sorts)
    for one in taken(known.job):
        if one.sort in wanted and one.digest in known.photos and entity in ("", one.entity):
            yield one


def _words(language: str) -> dict[str, Any]:
    own = (resources.files(__package__) / f"{language}.toml").read_text("utf-8")
    return shared_words(language) | tomllib.loads(own)


class _Teller:
    """Tells what photos show and where.

    Parameters
    ----------
    known : Answers
        The job and what the steps said.
    language : str
        Of the paper.
    """

    def __init__(self, known: Answers, language: str) -> None:
        self._known = known
        entities = known.job.entities
        self._say = Say(language, names_in(entities), _words(language), quoted_in(entities))
        self._entities = typed(known.job)
        sealing = known.sealing
        self._seals = {seal.key: seal for one in (sealing.lists if sealing else ())
                       for seal in one.seals}  # fmt: skip

    def pictured(self, one: Taken) -> Pictured:
        """Return a photo with its caption."""
        say = self._say
        where = self._where(one)
        if where and self._spot(one) is None:
            where = f"{where} {say.word('not_on_plan')}"
        if not where and one.sort != "label":
            where = say.word("no_place")
        when = say.moment(one.at) if one.at else say.word("no_time")
        by = say.word("by", who=_short(one.by)) if one.by.strip() else say.word("no_name")
        what = self._what(one)
        caption = "; ".join(part for part in (what, where, when, by) if part)
        about = say.word("about", n=one.number, what=what)
        return Pictured(str(one.number), one.digest, caption, about)

    def placed(self, one: Taken) -> Placed | None:
        """Return where a photo's number stands on a plan; None where it has no spot."""
        spot = self._spot(one)
        if spot is None:
            return None
        storey, (x, y) = spot
        low, high = (x - _SPOT, y - _SPOT), (x + _SPOT, y + _SPOT)
        ring = (low, (high[0], low[1]), high, (low[0], high[1]))
        return Placed(str(one.number), storey, "", (), (ring,))

    def plan(self, drawn: Drawing, name: str) -> Drawing:
        """Return a plan with the words of photos."""
        title = self._say.word("plan", storey=drawn.title)
        about = self._say.word("plan_about", storey=_short(name))
        return msgspec.structs.replace(drawn, title=title, about=about)

    def _what(self, one: Taken) -> str:
        entity = self._entities[one.entity]
        if isinstance(entity, Inspection):
            return self._say(what_of([entity.finds[one.find]])).text
        if isinstance(entity, SealMade):
            return self._say.word("seal", material=self._say(_short(entity.material)))
        assert isinstance(entity, ProductLabel)
        return self._say.word("label", product=self._say(_short(entity.product)))

    def _where(self, one: Taken) -> str:
        if one.sort == "label":
            return ""
        if one.sort == "seal" and (words := self._closed(one)):
            return self._say(words).text
        void = self._void(one)
        if void >= 0:
            return self._say(self._known.graph.words[void]).text
        return ""

    def _closed(self, one: Taken) -> str:
        """Return in words what a seal closes; empty where nothing of that name is drawn."""
        assert one.place is not None
        entry = next((e for e in self._known.plan.entries if e.id == one.place.of), None)
        seal = self._seals.get(one.place.of)
        return seal.words if seal else _short(entry.name) if entry else ""

    def _void(self, one: Taken) -> int:
        if one.place is None:
            return -1
        found = locate(self._known.graph, self._known.plan, one.place)
        return found[0] if found else -1

    def _spot(self, one: Taken) -> tuple[str, Point] | None:
        """Return the storey and the point where a photo was taken, if the plan has them. [m]"""
        if one.place is None:
            return None
        seal = self._seals.get(one.place.of)
        if seal and seal.spots:
            first = seal.spots[0]
            return self._storey_of(self._known.graph.keys.index(first.void)), first.at[:2]
        point = point_of(self._known.plan, one.place)
        void = self._void(one)
        storey = one.place.storey or (self._storey_of(void) if void >= 0 else "")
        return (storey, point[:2]) if point and storey else None

    def _storey_of(self, void: int) -> str:
        return self._known.graph.storeys[void]


def _short(text: str) -> str:
    return text if len(text) <= _SHORT else f"{text[:_SHORT].rstrip()}..."
