"""Facts that nobody gave, with where an answer would stand in the job file and what it may be.

Limits: several lengths that one line tells together are to be measured; no answer is offered.
"""

from __future__ import annotations

import typing
from collections.abc import Mapping

import msgspec

from wainscot import job as jobs
from wainscot.finding.shapes import Shapes
from wainscot.job import Job
from wainscot.plan import Assumption, Plan
from wainscot.voids.graph import Graph


class Assumed(msgspec.Struct, frozen=True):
    """One fact that a default stands in for."""

    words: str
    """For people, without the place."""
    where: str
    entity: str
    """Id of the entity that an answer belongs to; empty for a wall that nobody described."""
    side: str
    """That wall's side: ``kitchen/n1``; else empty."""
    field: str
    """``framing``, ``floor.joists_run``."""
    value: str
    """What stands in; empty where nothing does."""
    choices: tuple[str, ...]
    """What it may be, what was assumed first; the value alone for a length; empty where one answer
    would not do."""


def all_assumed(job: Job, plan: Plan, graph: Graph) -> tuple[Assumed, ...]:
    """Return every assumption of a plan, fact by fact, and the walls of unknown fire blocks.

    Parameters
    ----------
    job : Job
        The job.
    plan : Plan
        Its plan.
    graph : Graph
        Its voids.
    """
    told = [one for each in plan.assumptions for one in _facts(job, each)]
    return (*told, *_unblocked(plan, graph))


def _facts(job: Job, one: Assumption) -> list[Assumed]:
    words = one.words.rsplit(": ", 1)[0] if one.uses and one.uses[0][1] else one.words
    found = []
    for path, where in one.uses or ((one.path, ""),):
        first, _, rest = path.partition(".")
        key, _, field = rest.partition(".")
        entity, side = (key, "") if first == "entities" else ("", key)
        kind = str(job.entities.get(entity, {}).get("kind", "")) if entity else "wall"
        found.append(Assumed(words, where, entity, side, field, one.value,
                             _choices(kind, field, one.value)))  # fmt: skip
    return found


def _choices(kind: str, field: str, value: str) -> tuple[str, ...]:
    """What a fact may be, what was assumed first."""
    may = _words_of(kind, field)
    if field == "floor.joists_run":
        assumed = "long" if "longer" in value else "short"
        return (assumed, "short" if assumed == "long" else "long")
    if may:
        return (value, *(one for one in may if one != value))
    return () if "," in value else (value,)


def _words_of(kind: str, field: str) -> tuple[str, ...]:
    """The words that the job file allows for a field; none where it takes a length."""
    holder: typing.Any = {"storey": jobs.Storey, "wall": jobs.Wall}.get(kind)
    if kind == "storey" and field.startswith("floor."):
        holder, field = typing.get_type_hints(holder)["floor"], field.removeprefix("floor.")
    if holder is None:
        return ()
    hint = typing.get_type_hints(holder).get(field)
    return tuple(
        str(word)
        for part in typing.get_args(hint)
        if typing.get_origin(part) is typing.Literal
        for word in typing.get_args(part)
        if word != "unknown"
    )


def _unblocked(plan: Plan, graph: Graph) -> list[Assumed]:
    """Stud walls with bays of which nobody said whether fire blocks stand in them."""
    own = {side: key for key, side in plan.drawn_walls.items()}
    hollow = {graph.owners[v] for v in range(len(graph.keys)) if graph.hidden[v]}
    return [
        Assumed("fire blocks unknown", "", own.get(wall.id, ""), "" if wall.id in own else wall.id,
                "blocked", "", ("no", "yes"))
        for wall in plan.walls
        if wall.build == "stud" and wall.blocked == "unknown" and wall.id in hollow
    ]  # fmt: skip


def touching(plan: Plan, laid: Shapes, assumed: tuple[Assumed, ...]) -> dict[str, tuple[int, ...]]:
    """Return for each void the assumptions that touch it: its own, then those of its neighbours.

    Parameters
    ----------
    plan : Plan
        For which wall an entity describes.
    laid : Shapes
        The voids and their neighbours.
    assumed : tuple of Assumed
        The assumptions.
    """
    by_owner: dict[str, list[int]] = {}
    for n, one in enumerate(assumed):
        side = plan.drawn_walls.get(one.entity) or plan.openings.get(one.entity)
        by_owner.setdefault(side or one.side or one.entity, []).append(n)
    flat = {v: level.storey for level in laid.levels if level.where != "view"
            for v in level.voids}  # fmt: skip
    own = {n: _own(n, laid, flat, by_owner) for n in range(len(laid.voids))}
    beside: dict[int, list[int]] = {}
    for a, b in laid.passages:
        beside.setdefault(a, []).append(b)
        beside.setdefault(b, []).append(a)
    return {
        void.id: tuple(
            dict.fromkeys([*own[n], *(each for b in beside.get(n, ()) for each in own[b])])
        )
        for n, void in enumerate(laid.voids)
    }


def _own(
    n: int, laid: Shapes, flat: Mapping[int, str], by_owner: Mapping[str, list[int]]
) -> list[int]:
    found = list(by_owner.get(laid.voids[n].owner, ()))
    storey = flat.get(n, "")
    return found + [one for one in by_owner.get(storey, ()) if one not in found]
