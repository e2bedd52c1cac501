"""From what lies on a neighbour's side to what they are asked, and what is done if they say no."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from wainscot.chance import percent
from wainscot.papers.answers import Answers
from wainscot.papers.on_site import room_of, signed_ways
from wainscot.papers.said import Said, Say

THEIRS = "neighbour"


class Way(msgspec.Struct, frozen=True):
    """A way in on the neighbour's side."""

    words: Said
    used: str
    """In 100, that animals have ever come by it."""
    now: str
    """In 100, that they come by it now."""


class Cut(msgspec.Struct, frozen=True):
    """An opening, signed for or planned, in what parts the two dwellings."""

    words: Said
    place: str


class View(msgspec.Struct, frozen=True):
    """What a neighbour is asked."""

    sides: tuple[str, ...]
    """Where the house meets theirs."""
    several: bool
    """True where walls to neighbours face more than one way."""
    ways: tuple[Way, ...]
    stays: tuple[Said, ...]
    """What stays open on their side after our seals."""
    cuts: tuple[Cut, ...]
    shared: tuple[Said, ...]
    """Runs that are drawn as somebody else's."""


def view(known: Answers, say: Say) -> View | None:
    """Return what is asked; None where nothing meets a neighbour."""
    sides = tuple(dict.fromkeys(_sides(known, say)))
    ways = tuple(_ways(known, say))
    if not sides and not ways:
        return None
    stays = (one.words for found in (known.sealing.lists if known.sealing else ())
             for one in found.remaining if one.why == "belongs to a neighbour")  # fmt: skip
    return View(
        sides, len(_walls(known)) > 1, ways, say.all(stays), tuple(_cuts(known, say)),
        tuple(_run(run.name or run.type, run.owner, say)
              for run in known.plan.services if run.owner),
    )  # fmt: skip


def _sides(known: Answers, say: Say) -> Iterator[str]:
    plan = known.plan
    names = {room.id: room.name for room in plan.rooms}
    for way, rooms in _walls(known).items():
        facing = say.word(f"facing_{way.replace('-', '_')}")
        yield say.word("side_wall", rooms=", ".join(names[room] for room in rooms), facing=facing)
    for part, edges in (("floor", plan.floor_edges), ("ceiling", plan.ceiling_edges)):
        for room in names:
            if edges.get(room) == THEIRS:
                yield say.word(f"side_{part}", room=names[room])
    for edge in plan.loft_edges:
        if edge.kind == THEIRS:
            yield say.word("side_loft", room=names.get(edge.room, edge.room))


def _walls(known: Answers) -> dict[str, tuple[str, ...]]:
    """Return the rooms with a wall to a neighbour, by the way that the wall faces."""
    found: dict[str, dict[str, None]] = {}
    for wall in known.plan.walls:
        if wall.beyond == THEIRS:
            found.setdefault(wall.side.facing, {})[wall.side.room] = None
    return {way: tuple(rooms) for way, rooms in sorted(found.items())}


def _ways(known: Answers, say: Say) -> Iterator[Way]:
    theirs = {one.id for one in known.plan.entries if one.beyond == THEIRS}
    for one in known.diagnosis.entries:
        if one.id in theirs or one.id.startswith(f"unknown: {THEIRS}"):
            yield Way(say(one.words), say.word("in_hundred", n=percent(one.used)),
                      say.word("in_hundred", n=percent(one.now)))  # fmt: skip


def _cuts(known: Answers, say: Say) -> Iterator[Cut]:
    wanted = {way.id for way, _ in signed_ways(known)}
    wanted |= set(known.choice.balanced.openings) if known.choice else set()
    for way in known.offered:
        if way.id in wanted and any(hold.key.startswith("rated wall/") for hold in way.holds):
            yield Cut(say(way.words), room_of(known, way))


def _run(name: str, owner: str, say: Say) -> Said:
    told = say(name)
    return Said(f"{told.text} ({owner})", told.lang)
