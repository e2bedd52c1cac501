"""From what lies on a neighbour's side to what they are asked, and what is done if they say no.

Each neighbour whom the job names has pages of their own, with nothing of the others; those whom it
does not name share the last.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from wainscot.chance import percent
from wainscot.papers.answers import Answers
from wainscot.papers.neighbours_consent.whose import NOBODY, THEIRS, Whose
from wainscot.papers.on_site import room_of, signed_ways
from wainscot.papers.said import Said, Say


class Way(msgspec.Struct, frozen=True):
    """A way in on the neighbour's side."""

    words: Said
    used: str
    """In 100, that animals have ever come by it."""
    now: str
    """In 100, that they come by it now."""
    joint: str
    """That other neighbours meet the same side; empty where none does."""


class Cut(msgspec.Struct, frozen=True):
    """An opening, signed for or planned, in what parts the two dwellings."""

    words: Said
    place: str


class Asked(msgspec.Struct, frozen=True):
    """What one neighbour is asked; of those without a name, what all of them are."""

    name: str
    """As the job has it; empty where it has none."""
    sides: tuple[str, ...]
    """Where the house meets theirs."""
    several: bool
    """True where nobody is named and walls to neighbours face more than one way."""
    ways: tuple[Way, ...]
    stays: tuple[Said, ...]
    """What stays open on their side after our seals."""
    cuts: tuple[Cut, ...]
    shared: tuple[Said, ...]
    """Runs that are drawn as theirs."""


class View(msgspec.Struct, frozen=True):
    """What every neighbour is asked."""

    pages: tuple[Asked, ...]
    """By name; those without one last."""
    named: bool
    """True where the job names any."""


def view(known: Answers, say: Say) -> View | None:
    """Return what is asked; None where nothing meets a neighbour."""
    whose = Whose(known)
    names = (*sorted(whose.named()), NOBODY)
    asked = (_asked(known, whose, name, say) for name in names)
    pages = tuple(one for one in asked if one.sides or one.ways)
    return View(pages, bool(whose.named())) if pages else None


def _asked(known: Answers, whose: Whose, name: str, say: Say) -> Asked:
    left = (one for found in (known.sealing.lists if known.sealing else ())
            for one in found.remaining if one.why == "belongs to a neighbour")  # fmt: skip
    stays = (one.words for one in left if name in whose.of_words(one.words))
    sides = tuple(dict.fromkeys(_sides(known, whose, name, say)))
    several = name == NOBODY and len(_walls(known, whose, name)) > 1
    runs = (_run(run.name or run.type, run.owner, say) for run in known.plan.services
            if run.owner and whose.of_run(run.owner) == name)  # fmt: skip
    return Asked(
        name, sides, several, tuple(_ways(known, whose, name, say)), say.all(stays),
        tuple(_cuts(known, whose, name, say)), tuple(runs),
    )  # fmt: skip


def _sides(known: Answers, whose: Whose, name: str, say: Say) -> Iterator[str]:
    plan = known.plan
    rooms_by_id = {room.id: room.name for room in plan.rooms}
    for way, rooms in _walls(known, whose, name).items():
        facing = say.word(f"facing_{way.replace('-', '_')}")
        rooms_said = ", ".join(rooms_by_id[room] for room in rooms)
        yield say.word("side_wall", rooms=rooms_said, facing=facing)
    for part, edges in (("floor", plan.floor_edges), ("ceiling", plan.ceiling_edges)):
        for room, called in rooms_by_id.items():
            if edges.get(room) == THEIRS and whose.of_part(room, part) == name:
                yield say.word(f"side_{part}", room=called)
    for edge in plan.loft_edges:
        if edge.kind == THEIRS and whose.of_key(edge.id) == name:
            yield say.word("side_loft", room=rooms_by_id.get(edge.room, edge.room))


def _walls(known: Answers, whose: Whose, name: str) -> dict[str, tuple[str, ...]]:
    """Return the rooms with a wall to a neighbour, by the way that the wall faces."""
    found: dict[str, dict[str, None]] = {}
    for wall in known.plan.walls:
        if wall.beyond == THEIRS and whose.of_side(wall.side.id) == name:
            found.setdefault(wall.side.facing, {})[wall.side.room] = None
    return {way: tuple(rooms) for way, rooms in sorted(found.items())}


def _ways(known: Answers, whose: Whose, name: str, say: Say) -> Iterator[Way]:
    theirs = {one.id for one in known.plan.entries if one.beyond == THEIRS}
    theirs |= {one.id for one in known.plan.loft_edges if one.kind == THEIRS}
    undrawn = "unknown: "
    for one in known.diagnosis.entries:
        if one.id in theirs:
            owners = frozenset({whose.of_key(one.id)})
        elif one.id.startswith(f"{undrawn}{THEIRS}"):
            owners = whose.of_pool(one.id.removeprefix(undrawn))
        else:
            continue
        if name in owners:
            yield Way(say(one.words), say.word("in_hundred", n=percent(one.used)),
                      say.word("in_hundred", n=percent(one.now)),
                      say.word("joint") if len(owners) > 1 else "")  # fmt: skip


def _cuts(known: Answers, whose: Whose, name: str, say: Say) -> Iterator[Cut]:
    wanted = {way.id for way, _ in signed_ways(known)}
    wanted |= set(known.choice.balanced.openings) if known.choice else set()
    for way in known.offered:
        rated = any(hold.key.startswith("rated wall/") for hold in way.holds)
        if way.id in wanted and rated and name in whose.of_cut(way):
            yield Cut(say(way.words), room_of(known, way))


def _run(name: str, owner: str, say: Say) -> Said:
    told = say(name)
    return Said(f"{told.text} ({owner})", told.lang)
