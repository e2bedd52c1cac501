"""Houses that are hard to read: each set breaks one thing that the calculation likes to have.

A house and its animals are drawn from the model until they fit what the set asks for; then two
visits are made as in :mod:`wainscot.simulate.looking` (in the far sets only far from every way in
that is used).  Visits are drawn again until they hold two finds, because nobody calls a firm about
a house without signs.

So these houses are chosen by what is true, twice over: animals are drawn until they fit the set,
and visits to the *same* animals until something is found, which makes finds that are no traces
commoner than they are.  The chances of the diagnosis need not hold in them; where they must, see
:mod:`study.called_houses`.

Hops are counted over passages that are likelier than one in twenty, from the nearest way in that is
or was used.

Limits: houses of 60 to 150 voids; animals and outcomes of looks still follow the model's own rates,
so what is hard here is the place of the signs and what is drawn, not the rates.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any, NamedTuple

import msgspec
import numpy as np

from study.first_three import label
from study.houses import small_house
from wainscot.arrays import Bools, Floats, Ints
from wainscot.job import Find, Job
from wainscot.signs import DEFAULT, KINDS
from wainscot.simulate import Scene, State, scene
from wainscot.simulate.looking import LOOKS, Visitor
from wainscot.simulate.outcomes import Circumstances
from wainscot.simulate.truth import draw, parts
from wainscot.voids.graph import Graph

FAR, VERY_FAR = 3, 6
"""Hops from the ways in used within which nobody looks, in the two far sets."""
FIT = 0.05
"""Passages less likely than this count as none for hops. [1]"""
TRIES, REVISITS = 400, 40
LEAST_REACHED = 5
"""Hidden voids that animals went through, at least."""
LEAST_FINDS = 2
WRONG = 0.9
"""Weight that the job gives the wrong framing guess. [1]"""
PAIR = ("house mouse", "norway rat")
NOW, PAST = 2, 1


class Hard(NamedTuple):
    """One house of a set: what the diagnosis gets, and what is true."""

    job: Job
    seen: Scene
    """The true house."""
    soiled: Bools
    """[V of the true house]"""
    heavy: Bools
    """[V] heavily soiled, or with a nest."""
    used: frozenset[str]
    """Ways in that were ever used, as the answer names them."""
    now: bool
    """Whether animals are in the house."""
    species: frozenset[str]


Attempt = Callable[[int, np.random.Generator], Hard | None]
"""Makes a house from a seed and a generator; None where it does not fit."""


def hops(graph: Graph, source: Ints) -> Floats:
    """Return for each void how many likely passages lie between it and a way in used: [V]."""
    return hops_from(graph, graph.source_void[source > 0])


def hops_from(graph: Graph, start: Ints) -> Floats:
    """Return for each void how many likely passages lie between it and some voids: [V]."""
    kept = graph.edges[graph.prior_open * graph.prior_run >= FIT]
    found = np.full(len(graph.keys), np.inf)
    edge = np.unique(start)
    found[edge] = 0.0
    for n in range(1, len(graph.keys)):
        inside = np.isin(kept, edge)
        edge = np.unique(kept[inside.any(axis=1)])
        edge = edge[np.isinf(found[edge])]
        if not len(edge):
            break
        found[edge] = n
    return found


def _named(graph: Graph) -> Bools:
    return np.array([sort == "entry point" for sort in graph.source_sort], dtype=np.bool_)


Fits = Callable[[Graph, State], bool]


def _lived_in(graph: Graph, state: State) -> bool:
    return int(((state.reach > 0) & graph.hidden).sum()) >= LEAST_REACHED


def _far(limit: int) -> Fits:
    def fits(graph: Graph, state: State) -> bool:
        away = hops(graph, state.source) >= limit
        return int((away & state.soiled & graph.hidden).sum()) >= 2

    return fits


def _two_sources(graph: Graph, state: State) -> bool:
    """Two drawn holes in use, each with a part of the house of its own, and no other way in."""
    active = np.flatnonzero(state.source > 0)
    if len(active) != 2 or not _named(graph)[active].all() or (state.source[active] < NOW).any():
        return False
    part = parts(graph, state.run)
    size = np.bincount(part)
    mine = part[graph.source_void[active]]
    return mine[0] != mine[1] and bool((size[mine] >= 3).all())


def _one_drawn(graph: Graph, state: State) -> bool:
    active = np.flatnonzero(state.source > 0)
    return len(active) == 1 and bool(_named(graph)[active].all())


def _long_ago(graph: Graph, state: State) -> bool:
    return _one_drawn(graph, state) and state.source.max() == PAST


class Spec(NamedTuple):
    """What a set asks for."""

    says: str
    fits: Fits = lambda graph, state: True
    limit: int = 0
    """Looks only so many hops away from the ways in used."""


SETS: dict[str, Spec] = {
    "plain": Spec("nothing is hard: the sets below against this one"),
    "far signs": Spec("nobody looked within 3 hops of a way in that was used", _far(FAR), FAR),
    "very far signs": Spec("nobody looked within 6 hops of it", _far(VERY_FAR), VERY_FAR),
    "two ways in": Spec("two holes in use, each feeding a part of its own", _two_sources),
    "way in not drawn": Spec("the one hole in use is missing from the plan", _one_drawn),
    "sealed years ago": Spec("all animals came by a hole that is sealed now; none is left",
                             _long_ago),
    "wrong framing guess": Spec("the ground joists run the way that the job gives one in ten"),
    "framing drawn wrong": Spec("joists and stud spacing are drawn wrong and not in question"),
    "two species": Spec("mice and rats at once, and nobody said which animal"),
}  # fmt: skip


def hard_house(name: str, seed: int) -> Hard:
    """Return a house of a set.

    Parameters
    ----------
    name : str
        The set.
    seed : int
        Of all randomness in it.
    """
    return first_that_fits(partial(_try, name), np.random.default_rng([seed, 60]))


def first_that_fits(attempt: Attempt, rng: np.random.Generator) -> Hard:
    """Return the first house that an attempt gives.

    Parameters
    ----------
    attempt : callable
        Makes a house from a seed and the generator; gives None where it does not fit.
    rng : Generator
        Seeds are drawn from it.
    """
    while True:
        found = attempt(int(rng.integers(2**31)), rng)
        if found is not None:
            return found


def _try(name: str, inner: int, rng: np.random.Generator) -> Hard | None:
    """Return a house of a set, or None where this one does not fit."""
    pair = _houses(name, small_house(inner))
    if pair is None:
        return None
    true, drawn, guess = pair
    species = PAIR[:1] if name == "two species" else ("",)
    seen = scene(true, species[0], guess)
    state = _state(seen.graph, SETS[name].fits, rng)
    if state is None:
        return None
    others = _second(true, seen, rng) if name == "two species" else ()
    if others is None:
        return None
    if not _can_be_said(name, drawn, seen.graph, state):
        return None
    drawn = _as_drawn(name, drawn, seen.graph, state)
    job = _visited(name, drawn, seen, (state, *others), rng)
    if job is None:
        return None
    made = as_hard(job, seen, (state, *others), PAIR if others else (seen.species,))
    return made._replace(used=frozenset({"unknown"})) if name == "way in not drawn" else made


def as_hard(job: Job, seen: Scene, states: tuple[State, ...], species: Sequence[str]) -> Hard:
    """Return a house with what is true of it.

    Parameters
    ----------
    job : Job
        What the diagnosis gets.
    seen : Scene
        The true house.
    states : tuple of State
        What is there, one for each animal.
    species : sequence of str
        The animals.
    """
    cell = np.max([one.cell for one in states], axis=0)
    used = {label(seen.graph, int(e)) for one in states for e in np.flatnonzero(one.source > 0)}
    now = any(bool((one.reach == NOW).any()) for one in states)
    return Hard(job, seen, cell > 0, cell > 2, frozenset(used), now, frozenset(species))


def _houses(name: str, job: Job) -> tuple[Job, Job, str] | None:
    """Return the true house, the house as drawn, and the framing guess that is true."""
    ground = job.entities["level_0"]["floor"]
    if name == "wrong framing guess":
        if "joists_run" not in ground:
            return None
        likely, true = ground["joists_run"], {"x": "y", "y": "x"}[ground["joists_run"]]
        both = guessed(job, {likely: WRONG, true: round(1.0 - WRONG, 3)})
        return both, both, f"guess_{true}"
    if name == "framing drawn wrong":
        return (job, _misframed(job), "") if "joists_run" in ground else None
    if name == "two species":
        job = without_species(job)
    return job, job, ""


def without_species(job: Job) -> Job:
    """Return a job in which nobody said which animal it is."""
    kept = {key: one for key, one in job.entities.items() if one["kind"] != "species"}
    return msgspec.structs.replace(job, entities=kept)


def guessed(job: Job, weights: dict[str, float]) -> Job:
    """Return a job whose ground joists run by guesses of these weights.

    Parameters
    ----------
    job : Job
        The house.
    weights : dict of str to float
        By which way they run. [1]
    """
    entities = dict(job.entities)
    ground = dict(entities["level_0"])
    floor = {key: value for key, value in ground["floor"].items() if key != "joists_run"}
    entities["level_0"] = {**ground, "floor": floor}
    for run, weight in weights.items():
        entities[f"guess_{run}"] = {
            "kind": "framing_guess", "question": "ground joists", "weight": weight,
            "choices": {"level_0.floor.joists_run": run},
        }  # fmt: skip
    return msgspec.structs.replace(job, entities=entities)


def _misframed(job: Job) -> Job:
    entities = {}
    for key, one in job.entities.items():
        drawn = dict(one)
        if "stud_spacing" in drawn:
            drawn["stud_spacing"] = {0.4: 0.6, 0.6: 0.4}[drawn["stud_spacing"]]
        if drawn["kind"] == "storey" and "joists_run" in drawn["floor"]:
            run = {"x": "y", "y": "x"}[drawn["floor"]["joists_run"]]
            drawn["floor"] = {**drawn["floor"], "joists_run": run}
        entities[key] = drawn
    return msgspec.structs.replace(job, entities=entities)


def _state(graph: Graph, fits: Fits, rng: np.random.Generator) -> State | None:
    for _ in range(TRIES):
        state = draw(graph, rng)
        if _lived_in(graph, state) and fits(graph, state):
            return state
    return None


def _second(true: Job, seen: Scene, rng: np.random.Generator) -> tuple[State] | None:
    """Return the state of the second animal; None where its voids are other ones."""
    other = scene(true, PAIR[1], seen.guess)
    if other.graph.keys != seen.graph.keys or other.graph.source_keys != seen.graph.source_keys:
        return None
    state = _state(other.graph, lambda graph, state: True, rng)
    return None if state is None else (state,)


def _can_be_said(name: str, drawn: Job, graph: Graph, state: State) -> bool:
    """Whether the way in that was used is a hole, so that it can be said to be sealed."""
    mine = (graph.source_keys[e] for e in np.flatnonzero(state.source > 0))
    return name != "sealed years ago" or all(
        drawn.entities[key]["kind"] == "entry_point" for key in mine
    )


def _as_drawn(name: str, drawn: Job, graph: Graph, state: State) -> Job:
    """Return the job with the way in left out, or said to be sealed, where the set asks for it."""
    mine = {graph.source_keys[e] for e in np.flatnonzero(state.source > 0)}
    entities = dict(drawn.entities)
    if name == "way in not drawn":
        entities = {key: one for key, one in entities.items() if key not in mine}
    if name == "sealed years ago":
        entities |= {key: {**entities[key], "sealed": True} for key in mine}
    return msgspec.structs.replace(drawn, entities=entities)


class TwoAnimals(Visitor):
    """Looks that show the traces of two animals at once: of each kind of sign the most."""

    others: tuple[Visitor, ...] = ()

    def shown_in(self, v: int, look: Circumstances) -> list[Find]:
        return _most([super().shown_in(v, look), *(
            Visitor.shown_in(one, v, _of(look, one)) for one in self.others
        )])  # fmt: skip

    def shown_at(self, e: int, look: Circumstances) -> list[Find]:
        return _most([super().shown_at(e, look), *(
            Visitor.shown_at(one, e, _of(look, one)) for one in self.others
        )])  # fmt: skip

    def heard(self, zone: Sequence[int], look: Circumstances) -> list[Find]:
        return _most([super().heard(zone, look), *(
            Visitor.heard(one, zone, _of(look, one)) for one in self.others
        )])  # fmt: skip


def _of(look: Circumstances, one: Visitor) -> Circumstances:
    return msgspec.structs.replace(look, species=one.species)


def _most(all_finds: list[list[Find]]) -> list[Find]:
    """Return of each kind of sign the find that says most."""
    best: dict[str, tuple[int, Find]] = {}
    for find in (one for finds in all_finds for one in finds):
        kind = KINDS[find.kind]
        order = kind.columns or kind.amounts
        says = -1 if find.amount in kind.nothing else order.index(find.amount)
        if find.kind not in best or says > best[find.kind][0]:
            best[find.kind] = (says, find)
    return [find for _, find in best.values()]


def _visited(
    name: str, drawn: Job, seen: Scene, states: tuple[State, ...], rng: np.random.Generator
) -> Job | None:
    """Return the job with two visits that found something; None where none do."""
    limit = SETS[name].limit
    away = hops(seen.graph, states[0].source) >= limit
    for _ in range(REVISITS):
        made = visits(drawn, seen, states, away, rng, holes=not limit)
        if made is not None:
            return made
    return None


def visits(
    drawn: Job,
    seen: Scene,
    states: tuple[State, ...],
    away: Bools,
    rng: np.random.Generator,
    *,
    holes: bool,
) -> Job | None:
    """Return the job with two visits; None where they log fewer than two finds.

    Parameters
    ----------
    drawn : Job
        The house as drawn.
    seen : Scene
        The true house.
    states : tuple of State
        What is there, one for each animal.
    away : Bools
        [V] voids that may be looked into.
    rng : numpy.random.Generator
        Source of randomness.
    holes : bool
        Whether ways in are looked at too.
    """
    visitor = TwoAnimals(seen, states[0], DEFAULT, rng)
    if len(states) > 1:
        second = msgspec.structs.replace(seen, species=PAIR[1])
        visitor.others = tuple(Visitor(second, one, DEFAULT, rng) for one in states[1:])
    visitor.entries = [
        e for e in visitor.entries if seen.graph.source_keys[e] in drawn.entities and holes
    ]
    visitor.voids = {sort: some[away[some]] for sort, some in visitor.voids.items()}
    if not len(visitor.voids["room"]):
        return None
    made: dict[str, Any] = {}
    for day in (1, 2):
        made |= visitor.visit(day, LOOKS)
    if len(set(visitor.found)) < LEAST_FINDS:
        return None
    plain = {key: msgspec.json.decode(msgspec.json.encode(one)) for key, one in made.items()}
    return msgspec.structs.replace(drawn, entities={**drawn.entities, **plain})
