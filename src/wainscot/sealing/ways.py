"""Every edge of a plan that may have to be closed, with what closing it costs.

An entry point without a size counts as open, and so does one that is called sealed while nobody
has signed for the seal with a photo.  A measured hole below the threshold is shut as built.

Limits: a shared face through which nobody drew anything counts only under "if they gnaw"; that a
hole may be there all the same is what going along an edge is for.  Every hour is judged.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import NamedTuple

import msgspec
import numpy as np

from wainscot.access import Access, Site, all_acts, ways, ways_to_open
from wainscot.arrays import Floats
from wainscot.book import DEFAULT, Book
from wainscot.plan.model import Entry, Plan, ServiceRun
from wainscot.sealing.materials import DRAIN_IN_USE, GNAWED
from wainscot.sealing.model import Grade, Way
from wainscot.sealing.rules import Rule, rule_for
from wainscot.sources import judged
from wainscot.species import Species
from wainscot.species import species as species_named
from wainscot.voids.building import all_spaces
from wainscot.voids.contacts import contacts
from wainscot.voids.graph import Graph
from wainscot.voids.passages import Passage, passages
from wainscot.voids.site import Site as Contacts

HOLE = judged(1.0, "h", "one hole closed: cleaned out, filled, faced with metal, photo")
GAP = judged(0.5, "h", "one passage between voids closed once it lies open")
DRAIN = judged(6.0, "h", "a drain end found, cut back, capped or repaired, tested")
SHARED = judged(8.0, "h", "a way on to the neighbour's closed from our side, with consent")
GO_ALONG = judged(0.15, "h", "a bay's length of edge looked at from both sides, closed if open")
RATES = (HOLE, GAP, DRAIN, SHARED, GO_ALONG)

NEARLY = 0.7
"""An estimated size of this share of the threshold may be wide enough. Judgement. [1]"""
BOTH: tuple[Grade, ...] = ("as built", "if they gnaw")
NOT_OURS = {"neighbour": "belongs to a neighbour", "not drawn yet": "not drawn yet"}
MUST_STAY, UNREACHED = "must stay open", "cannot be reached"
_MINUTES = 60.0


class Signed(msgspec.Struct, frozen=True):
    """Seals that count, and edges that the owner does not want closed; keys of ways."""

    made: frozenset[str] = frozenset()
    """Signed for by name, with a photo."""
    declined: frozenset[str] = frozenset()


def ways_in(
    plan: Plan, graph: Graph, *, site: Site | None = None, book: Book = DEFAULT,
    signed: Signed | None = None, offered: Sequence[Access] | None = None,
) -> tuple[Way, ...]:  # fmt: skip
    """Return every edge that may have to be closed against the graph's species.

    Parameters
    ----------
    plan : Plan
        What was drawn.
    graph : Graph
        Its voids, for one species.
    site : Site, optional
        Year built, country and released hold points.
    book : Book, optional
        The firm's rates.
    signed : Signed, optional
        Seals that are made, and those that are declined.
    offered : sequence of Access, optional
        Ways to reach a void, as :func:`ways_to_reach` gives them, where they are known already.

    Returns
    -------
    tuple of Way
        Entry points, edges to go along, passages; seals that were made are left out.
    """
    if offered is None:
        offered = ways_to_reach(plan, graph, site=site, book=book)
    reach = _Reach(graph, offered)
    signed = signed or Signed()
    animal = species_named(graph.species)
    found = [*_sources(plan, graph, animal, reach), *_passages(plan, graph, animal, reach)]
    return tuple(_declined(one, signed) for one in found if not _among(one, signed.made))


def ways_to_reach(
    plan: Plan, graph: Graph, *, site: Site | None = None, book: Book = DEFAULT
) -> tuple[Access, ...]:
    """Return every way to lay a void open or to get into it; holes to look through are none.

    Parameters
    ----------
    plan : Plan
        What was drawn.
    graph : Graph
        Its voids; the species changes nothing.
    site : Site, optional
        Year built, country and released hold points.
    book : Book, optional
        The firm's rates.
    """
    looks = (
        one
        for one in ways(plan, graph, site)
        if one.disturbance == "taken off" or all_acts()[one.act].enters
    )
    return (*looks, *ways_to_open(plan, graph, site, book))


def _among(way: Way, keys: frozenset[str]) -> bool:
    """Tell whether keys name a way, by its own or by that of the line it stands in."""
    return way.key in keys or (way.sort == "edge to go along" and f"edge/{way.pool}" in keys)


def _declined(way: Way, signed: Signed) -> Way:
    if not _among(way, signed.declined):
        return way
    return msgspec.structs.replace(way, hours=inf, why_not="declined")


def entry_grades(entry: Entry, threshold: float) -> tuple[Grade, ...]:
    """Return under which grades an entry point counts as open.

    Parameters
    ----------
    entry : Entry
        The entry point; that it is called sealed changes nothing.
    threshold : float
        Protective threshold of the animal. [m]
    """
    least = threshold if entry.size_basis == "measured" else NEARLY * threshold
    if entry.size is None or entry.size >= least:
        return BOTH
    return ("if they gnaw",) if entry.material in GNAWED and entry.size > 0 else ()


class _Reach:
    """The cheapest way to lay a void open, by void."""

    def __init__(self, graph: Graph, offered: Sequence[Access]) -> None:
        self.best: dict[int, tuple[float, str]] = {
            int(v): (0.0, "") for v in np.flatnonzero(~graph.hidden)
        }
        for one in offered:
            self._offer(one)

    def _offer(self, access: Access) -> None:
        hours = (access.minutes + access.repair) / _MINUTES
        hours += sum(charge.hours for charge in access.charges)
        for reach in access.reaches:
            known = self.best.get(reach.void)
            if known is None or hours < known[0]:
                self.best[reach.void] = (hours, access.words)

    def of(self, *voids: int) -> tuple[float, str]:
        """Return hours and words of the cheaper side; infinite where no side is reached."""
        return min((self.best.get(v, (inf, "")) for v in voids), key=lambda one: one[0])


def _sources(plan: Plan, graph: Graph, animal: Species, reach: _Reach) -> list[Way]:
    entries = {one.id: one for one in plan.entries}
    found = [
        _edge(graph, e)
        if sort == "unknown"
        else _drained(plan, _entry(graph, e, entries, animal, reach), entries)
        for e, sort in enumerate(graph.source_sort)
        if sort != "settled"
    ]
    return [one for one in found if one.grades]


def _edge(graph: Graph, e: int) -> Way:
    """Return the stretch of edge at one void that somebody has to go along."""
    pool = graph.source_pool[e]
    rule = rule_for(pool, (), "")
    why_not = NOT_OURS.get(pool.partition(",")[0], MUST_STAY if _stays(rule) else "")
    way = Way(
        graph.source_keys[e], graph.source_words[e], "edge to go along",
        (len(graph.keys), int(graph.source_void[e])), pool, BOTH,
        inf if why_not else GO_ALONG.value, why_not=why_not, at=_point(graph.source_at[e]),
    )  # fmt: skip
    return _ruled(way, rule)


def _entry(graph: Graph, e: int, entries: dict[str, Entry], animal: Species, reach: _Reach) -> Way:
    """Return a way in that was drawn: an entry point, an open drain end, a shared loft."""
    v, pool, key = int(graph.source_void[e]), graph.source_pool[e], graph.source_keys[e]
    entry = entries.get(key)
    rule = rule_for(pool, (), graph.source_words[e])
    hours, how = (inf, "") if _stays(rule) else _to_close(pool, v, reach)
    size = entry.size if entry and entry.size else 0.0
    way = Way(
        key, graph.source_words[e], "entry point", (len(graph.keys), v), pool,
        entry_grades(entry, animal.passage.value) if entry else BOTH, hours, how,
        _why_not(rule, hours), (size, size), entry.material if entry else "unknown",
        _point(graph.source_at[e]),
    )  # fmt: skip
    return _ruled(way, rule)


def _drained(plan: Plan, way: Way, entries: dict[str, Entry]) -> Way:
    """Say of a drain's end whether it is capped or has to go on draining."""
    entry = entries.get(way.key)
    names = (way.key, entry.place.of if entry else "")
    run = next((one for one in plan.services if one.id in names), None)
    if way.pool != "drain" or run is None or way.material:
        return way
    owner = _belongs(run.owner)
    if run.disused:
        note = "disused: capped at the last joint in use; a shared run needs consent"
        return msgspec.structs.replace(way, material="drain cap", note=note + owner)
    return msgspec.structs.replace(way, material="drain repair", note=DRAIN_IN_USE + owner)


def _belongs(owner: str) -> str:
    if owner == "unknown":
        return "; nobody knows whose it is: ask first"
    return f"; whose it is, as told: {owner}" if owner else ""


def _stays(rule: Rule | None) -> bool:
    return rule is not None and rule.does == "stays open"


def _why_not(rule: Rule | None, hours: float) -> str:
    return MUST_STAY if _stays(rule) else "" if hours < inf else UNREACHED


def _ruled(way: Way, rule: Rule | None) -> Way:
    if rule is None:
        return way
    return msgspec.structs.replace(way, material=rule.material, note=rule.note)


def _point(at: Floats) -> tuple[float, float, float]:
    return (float(at[0]), float(at[1]), float(at[2]))


def _to_close(pool: str, void: int, reach: _Reach) -> tuple[float, str]:
    """Return hours and the opening needed: from outside none, from a drain or neighbour one."""
    if pool == "drain":
        hours, how = reach.of(void)
        # A drain can be dug up from outside as well; what that costs is not drawn.
        return (hours + DRAIN.value, how) if hours < inf else (2 * DRAIN.value, "")
    if pool == "neighbour":
        hours, how = reach.of(void)
        return hours + SHARED.value, how
    return HOLE.value, ""


class _Gap(NamedTuple):
    """A passage between two voids, as the graph or the rules have it."""

    ends: tuple[int, int]
    words: str
    rule: str
    """Name of the rule that proposed it."""
    grades: tuple[Grade, ...]
    size: tuple[float, float]
    """[m]"""
    at: tuple[float, float, float]
    """[m]"""


def _passages(plan: Plan, graph: Graph, animal: Species, reach: _Reach) -> list[Way]:
    in_graph, pipes = list(_in_graph(graph)), [one for one in plan.services if one.path]
    known = {one.ends for one in in_graph}
    smaller = (
        _Gap((one.a, one.b), one.words, one.rule, ("if they gnaw",), (one.low, one.high), one.at)
        for one in _too_small(plan, animal)
        if one.gnawable
    )
    gaps = [*in_graph, *(one for one in smaller if one.ends not in known)]
    return [_piped(_passage(graph, one, reach), one, pipes) for one in gaps if one.grades]


def _in_graph(graph: Graph) -> Iterator[_Gap]:
    for p, (a, b) in enumerate(graph.edges.tolist()):
        grades: tuple[Grade, ...] = BOTH
        if p in graph.undrawn:
            grades = ("if they gnaw",) if graph.gnawable[p] else ()
        size = (float(graph.aperture[p, 0]), float(graph.aperture[p, 1]))
        at = _point(graph.passage_at[p])
        yield _Gap((a, b), graph.passage_words[p], graph.passage_rule[p], grades, size, at)


def _passage(graph: Graph, gap: _Gap, reach: _Reach) -> Way:
    a, b = gap.ends
    rule = rule_for("", (graph.kinds[a], graph.kinds[b]), gap.words, gap.rule)
    hours, how = (inf, "") if _stays(rule) else reach.of(a, b)
    way = Way(
        f"{graph.keys[a]} | {graph.keys[b]}",
        f"{gap.words}, between {graph.words[a]} and {graph.words[b]}", "passage", gap.ends, "",
        gap.grades, hours + GAP.value, how, _why_not(rule, hours), gap.size, at=gap.at,
    )  # fmt: skip
    return _ruled(way, rule)


def _piped(way: Way, gap: _Gap, pipes: Sequence[ServiceRun]) -> Way:
    """Say which pipe passes where the gap is one round a drawn pipe."""
    if gap.rule != "pipe through":
        return way
    run = min(pipes, key=lambda one: _distance(one, gap.at))
    return msgspec.structs.replace(way, pipe=run.diameter, bored=run.hole)


def _distance(run: ServiceRun, at: tuple[float, float, float]) -> float:
    """Return how far a point lies from a run. [m]"""
    path, point = np.array(run.path), np.array(at)
    start, along = path[:-1], np.diff(path, axis=0)
    length = np.maximum((along**2).sum(axis=1), 1e-12)
    share = np.clip(((point - start) * along).sum(axis=1) / length, 0.0, 1.0)
    away = start + share[:, None] * along - point
    return float(np.sqrt((away**2).sum(axis=1).min()))


def _too_small(plan: Plan, animal: Species) -> Sequence[Passage]:
    """Return the passages of every size, also those that the animal does not pass as built."""
    spaces = all_spaces(plan)
    none = msgspec.structs.replace(
        animal, passage=judged(1e-4, "m", "any gap: teeth find an edge to start from")
    )
    return passages(Contacts(plan, spaces, contacts(spaces)), none)
