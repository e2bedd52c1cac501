"""What several papers ask of a job: where a look was made, what is signed for, what lies open.

Pure look-ups; nothing is calculated anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import shapely

from wainscot.access import Access
from wainscot.checks.words import spans
from wainscot.cleaning.applied import place_words
from wainscot.estimate import Line, about
from wainscot.job import Authorisation, Declined, Place, Room, Storey, typed
from wainscot.papers.answers import Answers
from wainscot.papers.said import Said, Say
from wainscot.quantity import length

_HAIR = 0.005
OPENING = "open and clean/"
"""What the keys of lines about openings begin with."""
MOST = 12
"""Labels of places that stand in a row."""


def where(known: Answers, place: Place | None, say: Say) -> Said:
    """Return a place in words: what was named, with its room, or the space at a point.

    Parameters
    ----------
    known : Answers
        What the steps said.
    place : Place or None
        As the job has it; empty words where it has none.
    say : Say
        In which language.
    """
    if place is None:
        return Said("", say.language)
    if place.of:
        return _named(known, place.of, say)
    void = space_at(known, place)
    if void is not None:
        return say(known.graph.words[void])
    return Said(known.plan.storey(place.storey).name if place.storey else "", say.language)


def at_place(known: Answers, place: Place, say: Say) -> str:
    """Return a place as the logs tell it: by the name of what it is at, else by type or space.

    Parameters
    ----------
    known : Answers
        What the steps said.
    place : Place
        As the job has it.
    say : Say
        In which language.
    """
    entities = typed(known.job)
    key, _, side = place.of.partition("/")
    nameless = not getattr(entities.get(key), "name", "") and not side
    told = where(known, place, say).text if nameless else ""
    return told or say(place_words(place, entities)).text


def _named(known: Answers, of: str, say: Say) -> Said:
    plan = known.plan
    rooms = {one.id: one.name for one in plan.rooms}
    for fixture in plan.fixtures:
        if fixture.id == of:
            name = say(fixture.name or fixture.type)
            return Said(f"{name.text}, {rooms.get(fixture.room, fixture.room)}", name.lang)
    for run in plan.services:
        if run.id == of:
            return say(run.name or run.type)
    for entry in plan.entries:
        if entry.id == of:
            return say(entry.name)
    room = plan.drawn_walls.get(of, plan.openings.get(of, of)).partition("/")[0]
    told = rooms.get(room)
    if told is None:
        named = typed(known.job).get(of)
        told = named.name if isinstance(named, (Room, Storey)) else of
    return Said(told, say.language)


def space_at(known: Answers, place: Place) -> int | None:
    """Return the space that a point lies in, hidden ones before rooms; None where it is in none.

    Parameters
    ----------
    known : Answers
        What the steps said.
    place : Place
        A point of a storey; without a height only rooms are thought of.
    """
    if place.at is None or not place.storey:
        return None
    graph, point = known.graph, shapely.Point(length(place.at[0]), length(place.at[1]))
    level = known.plan.storey(place.storey).elevation
    height = level + (length(place.height) if place.height is not None else 0.0)
    found = [
        v for v in range(len(graph.keys))
        if graph.storeys[v] == place.storey
        and (place.height is not None or not graph.hidden[v])
        and graph.bottom[v] - _HAIR <= height <= graph.top[v] + _HAIR
        and shapely.Polygon(graph.polygon[v]).distance(point) <= _HAIR
    ]  # fmt: skip
    return min(found, key=lambda v: (not graph.hidden[v], graph.volume[v]), default=None)


def signed_ways(known: Answers) -> Iterator[tuple[Access, Authorisation]]:
    """Yield every opening that is signed for and not declined, in the order of the signatures.

    Parameters
    ----------
    known : Answers
        What the steps said.
    """
    ways = {one.id: one for one in known.offered}
    entities = typed(known.job).values()
    refused = {one.opening for one in entities if isinstance(one, Declined)}
    told: set[str] = set()
    for one in entities:
        if isinstance(one, Authorisation):
            for key in one.openings:
                if key in ways and key not in refused | told:
                    told.add(key)
                    yield ways[key], one


def labels_of(known: Answers, ways: Iterable[Access]) -> str:
    """Return the labels of all spaces that some openings reach, in a row.

    Parameters
    ----------
    known : Answers
        What the steps said.
    ways : iterable of Access
        The openings.
    """
    found = dict.fromkeys(known.graph.labels[reach.void] for way in ways for reach in way.reaches)
    return in_row(tuple(found))


def in_row(labels: tuple[str, ...]) -> str:
    """Return labels of places in a row, those that follow each other together; cut where many.

    Parameters
    ----------
    labels : tuple of str
        Labels of spaces.
    """
    return spans(labels, MOST) if labels else ""


def planned_lines(known: Answers) -> dict[str, Line]:
    """Return the lines of the estimate that are planned, by their keys; none where none was made.

    Parameters
    ----------
    known : Answers
        What the steps said.
    """
    found = known.estimate.lines if known.estimate else ()
    return {one.key: one for one in found if not one.extra}


def own_lines(opening: str, lines: Mapping[str, Line]) -> list[Line]:
    """Return the lines of the estimate that one opening has to itself, whatever paper asks.

    Parameters
    ----------
    opening : str
        Its id.
    lines : mapping of str to Line
        Of :func:`planned_lines`.
    """
    parts = (f"{OPENING}{part} {opening}" for part in ("open", "close", "board", "waste"))
    return [lines[part] for part in parts if part in lines]


def lies_open(known: Answers, way: Access) -> bool:
    """Return True where any space that an opening reaches is logged as opened and seen.

    Parameters
    ----------
    known : Answers
        What the steps said.
    way : Access
        The opening.
    """
    choice = known.choice
    if choice is None:
        return False
    seen = {*choice.open_already, *choice.known_clean}
    return any(known.graph.labels[reach.void] in seen for reach in way.reaches)


def room_of(known: Answers, way: Access) -> str:
    """Return the name of the room that an opening is made from; empty where it is from none.

    Parameters
    ----------
    known : Answers
        What the steps said.
    way : Access
        The opening.
    """
    return next((one.name for one in known.plan.rooms if one.id == way.room), "")


def about_price(value: float, unit: str, say: Say) -> str:
    """Return an amount as well as it is known; hours in the paper's language.

    Parameters
    ----------
    value : float
        [currency], or [h] where there is none.
    unit : str
        The currency; empty for hours.
    say : Say
        In which language.
    """
    told = about(value, unit)
    return told if unit else say.word("hours", n=told.partition(" ")[0])
