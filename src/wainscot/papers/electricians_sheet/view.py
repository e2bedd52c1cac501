"""From gnawing that was logged and cables that are drawn to what an electrician has to see."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec
import shapely

from wainscot.access import Access
from wainscot.job import Find, Inspection, typed
from wainscot.papers.answers import Answers
from wainscot.papers.on_site import lies_open, room_of, signed_ways, space_at, where
from wainscot.papers.said import Said, Say
from wainscot.plan.model import ServiceRun
from wainscot.sources import judged
from wainscot.voids import locate

CLOSE = judged(0.3, "m", "a cable this near to a space may be drawn in the one beside it")
GNAWING = "gnawing"


class Seen(msgspec.Struct, frozen=True):
    """One place where gnawing was logged."""

    place: Said
    what: str
    """The cable itself, or what is drawn there."""
    day: str
    by: str
    note: str


class Open(msgspec.Struct, frozen=True):
    """An opening that stays open until the electrician has signed."""

    words: Said
    place: str
    now: bool
    """True where it is logged as open."""


class View(msgspec.Struct, frozen=True):
    """An electrician's sheet."""

    seen: tuple[Seen, ...]
    open: tuple[Open, ...]
    circuits: tuple[Said, ...]
    """Cables as they are named."""


def view(known: Answers, say: Say) -> View | None:
    """Return the sheet; None where nobody logged gnawing at a cable."""
    cables, looks = _cables(known), _looks(known)
    hit = [look for look in looks if _is_cable(*look, cables)]
    if not hit:
        return None
    others = [look for look in looks if look not in hit]
    named = [one.place.of for one, _ in hit if one.place and one.place.of in cables]
    passing = [key for key, run in cables.items() if _spaces(known, run) & _reached(known)]
    return View(
        tuple(_seen(known, one, find, cables, say) for one, find in (*hit, *others)),
        tuple(
            Open(say(way.words), room_of(known, way), lies_open(known, way))
            for way in at_gnawed_cable(known)
        ),
        tuple(
            say(cables[key].name or cables[key].type) for key in dict.fromkeys((*named, *passing))
        ),
    )  # fmt: skip


def at_gnawed_cable(known: Answers) -> list[Access]:
    """Return the openings, signed for or planned, that lie at a cable logged as gnawed.

    Parameters
    ----------
    known : Answers
        What the steps said.
    """
    cables = _cables(known)
    hit = [one for one, find in _looks(known) if _is_cable(one, find, cables)]
    near = {void for one in hit for void in _near(known, one, cables)}
    return [way for way in _ways(known) if any(reach.void in near for reach in way.reaches)]


def _cables(known: Answers) -> dict[str, ServiceRun]:
    return {one.id: one for one in known.plan.services if one.type == "cable"}


def _looks(known: Answers) -> list[tuple[Inspection, Find]]:
    return [
        (one, find)
        for one in typed(known.job).values() if isinstance(one, Inspection)
        for find in one.finds if find.kind == GNAWING
    ]  # fmt: skip


def _is_cable(one: Inspection, find: Find, cables: dict[str, ServiceRun]) -> bool:
    return find.amount == "cable" or (one.place is not None and one.place.of in cables)


def _seen(
    known: Answers, one: Inspection, find: Find, cables: dict[str, ServiceRun], say: Say
) -> Seen:
    key = "at_cable" if _is_cable(one, find, cables) else f"at_{find.amount or 'other'}"
    note = "; ".join(text for text in (find.note, one.note) if text)
    return Seen(where(known, one.place, say), say.word(key), say.day(one.at), one.by, note)


def _near(known: Answers, one: Inspection, cables: dict[str, ServiceRun]) -> set[int]:
    """Return the spaces that a gnawed cable runs in or close by.

    What the place names counts whether a cable is drawn there or not; of a room, all its cables.
    """
    place = one.place
    if place is None:
        return set()
    if place.of in cables:
        return _spaces(known, cables[place.of])
    at = space_at(known, place)
    here = set(locate(known.graph, known.plan, place)) if at is None else {at}
    room = place.of.partition("/")[0]
    outlines = [shapely.Polygon(known.graph.polygon[v]) for v in here]
    outlines += [shapely.Polygon(one.polygon) for one in known.plan.rooms if one.id == room]
    shape = shapely.union_all(outlines)
    beside = (run for run in cables.values() if _line(run).distance(shape) <= CLOSE.value)
    return here.union(*(_spaces(known, run) for run in beside))


def _line(run: ServiceRun) -> shapely.Geometry:
    flat = [point[:2] for point in run.path]
    return shapely.LineString(flat) if len(set(flat)) > 1 else shapely.Point(flat[0])


def _spaces(known: Answers, run: ServiceRun) -> set[int]:
    graph = known.graph
    line = _line(run)
    low, high = min(p[2] for p in run.path), max(p[2] for p in run.path)
    return {
        v for v in range(len(graph.keys))
        if graph.hidden[v] and graph.bottom[v] <= high and graph.top[v] >= low
        and shapely.Polygon(graph.polygon[v]).distance(line) <= CLOSE.value
    }  # fmt: skip


def _ways(known: Answers) -> Iterator[Access]:
    """Yield the openings that are signed for, then those that are planned."""
    told = [way for way, _ in signed_ways(known)]
    yield from told
    planned = set(known.choice.balanced.openings) if known.choice else set()
    yield from (one for one in known.offered if one.id in planned and one not in told)


def _reached(known: Answers) -> set[int]:
    return {reach.void for way in _ways(known) for reach in way.reaches}
