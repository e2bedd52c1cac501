"""Whose each side, way and opening is, as far as the job names neighbours.

    whose = Whose(known)
    whose.of_side("bathroom/e1")      # "R. Ash"; empty where nobody is named

Limits: a way that nobody drew is thought of by the side of the house, so where several neighbours
meet one side it is told to each of them.
"""

from __future__ import annotations

from collections.abc import Iterable

from wainscot.access import Access
from wainscot.job import ERASED, Edge, EntryPoint, typed
from wainscot.papers.answers import Answers

THEIRS = "neighbour"
NOBODY = ""
"""Stands for the neighbours whom the job does not name."""


class Whose:
    """Looks up the neighbour that something belongs to.

    Parameters
    ----------
    known : Answers
        What the steps said.
    """

    def __init__(self, known: Answers) -> None:
        self._known = known
        self._sides: dict[str, str] = {}
        self._parts: dict[tuple[str, str], str] = {}
        self._keys: dict[str, str] = {}
        entities = typed(known.job)
        for key, one in entities.items():
            if isinstance(one, Edge) and one.is_ == THEIRS:
                self._edge(key, one)
        self._pools = self._by_pool()
        for key, one in entities.items():
            if isinstance(one, EntryPoint) and one.beyond == THEIRS:
                self._keys[key] = _name(one.owner) or self._entered(one)
        self._words = self._by_words()

    def of_side(self, side: str) -> str:
        """Return whose the other side of a wall is, by the id of our side."""
        return self._sides.get(side, NOBODY)

    def of_part(self, room: str, part: str) -> str:
        """Return whose it is below the floor or above the ceiling of a room."""
        return self._parts.get((room, part), NOBODY)

    def of_key(self, key: str) -> str:
        """Return whose a drawn way in or a shared loft is, by its id."""
        return self._keys.get(key, NOBODY)

    def of_pool(self, pool: str) -> frozenset[str]:
        """Return whose a side of the house is, ``neighbour, east side``: all who meet it."""
        return frozenset(self._pools.get(pool, {NOBODY}))

    def of_words(self, words: str) -> frozenset[str]:
        """Return whose a way is that the list of seals names by words alone."""
        if words.startswith("edge: "):
            return self.of_pool(words.removeprefix("edge: "))
        return frozenset(self._words.get(words, {NOBODY}))

    def of_cut(self, way: Access) -> frozenset[str]:
        """Return whose dwellings an opening parts from ours."""
        graph, plan = self._known.graph, self._known.plan
        found = set()
        for void in {reach.void for reach in way.reaches}:
            found |= {self.of_side(wall.side.id) for wall in plan.walls
                      if wall.id == graph.owners[void] and wall.beyond == THEIRS}  # fmt: skip
            rooms = {face.room for face in graph.faces[void]}
            for part, edges in (("floor", plan.floor_edges), ("ceiling", plan.ceiling_edges)):
                found |= {self.of_part(room, part) for room in rooms if edges.get(room) == THEIRS}
        return frozenset(found or {NOBODY})

    def of_run(self, owner: str) -> str:
        """Return which neighbour somebody else's run belongs to; nobody's who is named no other."""
        return _name(owner) if _name(owner) in self.named() else NOBODY

    def named(self) -> frozenset[str]:
        """Return every neighbour that the job names."""
        return frozenset(self._every()) - {NOBODY}

    def _every(self) -> Iterable[str]:
        return (*self._sides.values(), *self._parts.values(), *self._keys.values())

    def _edge(self, key: str, edge: Edge) -> None:
        name = _name(edge.owner)
        if edge.part == "loft":
            self._keys[key] = name
        elif edge.part == "wall" and edge.side:
            self._sides[f"{edge.room}/{edge.side}"] = name
        elif edge.part == "wall":
            sides = (side for room in self._known.plan.rooms for side in room.sides)
            self._sides |= {side.id: name for side in sides if side.room == edge.room}
        else:
            self._parts[edge.room, edge.part] = name

    def _by_pool(self) -> dict[str, set[str]]:
        found: dict[str, set[str]] = {}
        for wall in self._known.plan.walls:
            if wall.beyond == THEIRS:
                pool = f"{THEIRS}, {wall.side.facing} side"
                found.setdefault(pool, set()).add(self.of_side(wall.side.id))
        for (_, part), name in self._parts.items():
            for side in ("floor",) if part == "floor" else ("ceiling", "roof"):
                found.setdefault(f"{THEIRS}, {side}", set()).add(name)
        return found

    def _by_words(self) -> dict[str, set[str]]:
        found: dict[str, set[str]] = {}
        graph = self._known.graph
        for key, words in zip(graph.source_keys, graph.source_words, strict=True):
            if key in self._keys:
                found.setdefault(words, set()).add(self._keys[key])
        return found

    def _entered(self, entry: EntryPoint) -> str:
        """Return whose a way in is by the wall that it is drawn on, else of the only neighbour."""
        plan, of = self._known.plan, entry.place.of
        side = plan.drawn_walls.get(of, plan.openings.get(of, of))
        if side in self._sides:
            return self._sides[side]
        every = {*self._every(), *(one for some in self._pools.values() for one in some)}
        return every.pop() if len(every) == 1 else NOBODY


def _name(typed_name: str) -> str:
    """Return a name as it is compared; whoever was erased has none."""
    return NOBODY if typed_name == ERASED else " ".join(typed_name.split())
