"""Animals spread through a house by the model itself: what is really there, known to nobody.

    truth = spread(job, seed=7)
    truth.voids["kitchen/w1/bay/2"].reach       # "unreached", "past" or "now"

Every chance comes from the graph and from the tables of the signs: a passage is open and run with
its own chance, a way in is used never, in the past or now with its own, the house has a load, and
soil and nests lie by load and reach.  Nothing of the diagnosis is used.

Limits: one species in a house; where the job holds framing guesses one of them is drawn as true.
"""

from __future__ import annotations

from typing import Literal

import msgspec
import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from wainscot import plan as plan_step
from wainscot import species as animals
from wainscot import voids as voids_step
from wainscot.arrays import Bools, Floats, Ints
from wainscot.job import Job, Settings, Suspect, typed
from wainscot.plan import Plan
from wainscot.signs import DEFAULT, Rates
from wainscot.signs.evidence import CELLS, REACH, SOIL
from wainscot.signs.soiling import classes_of, prior_row
from wainscot.voids.graph import Graph

STATES = ("never", "past", "now")


class VoidTruth(msgspec.Struct, frozen=True):
    """What is in one void."""

    reach: Literal["unreached", "past", "now"] = "unreached"
    soil: Literal["none", "light", "heavy"] = "none"
    nest: bool = False


class Truth(msgspec.Struct, frozen=True):
    """What is really there; the diagnosis never sees it."""

    job: str
    """Id of the job."""
    seed: int
    species: str
    guess: str
    """The framing guess that is true; empty where the job holds none."""
    load: int
    """Load level of the house, 0 the lightest."""
    voids: dict[str, VoidTruth]
    """By void id."""
    sources: dict[str, Literal["never", "past", "now"]]
    """By the id of the way in."""
    passages: tuple[str, ...]
    """Ids of the passages that are open and run."""


class Scene(msgspec.Struct, frozen=True):
    """A house as its graph, for one species under one framing guess."""

    job: Job
    """With the guess written in."""
    guess: str
    species: str
    plan: Plan
    graph: Graph


class State(msgspec.Struct, frozen=True):
    """A truth as arrays in the numbering of its graph."""

    run: Bools
    """[P] passages open and run."""
    source: Ints
    """[E] 0 never, 1 past, 2 now."""
    load: int
    reach: Ints
    """[V] 0 unreached, 1 past, 2 now."""
    cell: Ints
    """[V] soil (none, light, heavy) x nest (no, yes), nest varying fastest."""

    @property
    def soiled(self) -> Bools:
        """[V] soil or nest."""
        return np.asarray(self.cell > 0)


def scene(job: Job, species: str = "", guess: str = "") -> Scene:
    """Return the graph of a job.

    Parameters
    ----------
    job : Job
        A job without faults.
    species : str
        The animal; the likeliest that the job names if empty.
    guess : str
        Key of the framing guess; the weightiest if empty.

    Raises
    ------
    InputError
        If the plan has faults, or no species is called so.
    """
    guesses = plan_step.hypotheses(job)
    chosen = [one for one in guesses if one[0] == guess] or guesses
    key, _, choices = max(chosen, key=lambda one: one[1])
    guessed = plan_step.apply_guess(job, choices)
    drawn = plan_step.read(guessed, guess=key)
    chances = species_chances(job)
    name = species or max(chances, key=lambda one: chances[one])
    return Scene(guessed, key, name, drawn, voids_step.build(drawn, name))


def species_chances(job: Job) -> dict[str, float]:
    """Return the chance of each species that a job has in question. [1]

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    entities = typed(job).values()
    country = next((one.country for one in entities if isinstance(one, Settings)), "")
    named = {one.species for one in entities if isinstance(one, Suspect)}
    chances = animals.weights(country)
    kept = {name: chances[name] for name in chances if name in named or not named}
    whole = sum(kept.values())
    return {name: chance / whole for name, chance in kept.items()}


def spread(
    job: Job, seed: int, species: str = "", *, rates: Rates = DEFAULT, seen: Scene | None = None
) -> Truth:
    """Return animals spread through a house at random, by the model.

    Parameters
    ----------
    job : Job
        A job without faults.
    seed : int
        Of all randomness in it.
    species : str
        The animal; drawn from those that the job has in question if empty.
    rates : Rates, optional
        The tables of soil and load.
    seen : Scene, optional
        The house's graph where it is at hand; its species and guess are then the true ones.

    Raises
    ------
    InputError
        If the plan has faults, or no species is called so.
    """
    rng = np.random.default_rng([seed, 2])
    chances = species_chances(job)
    name = species or str(rng.choice(list(chances), p=list(chances.values())))
    guesses = plan_step.hypotheses(job)
    which = int(rng.choice(len(guesses), p=[weight for _, weight, _ in guesses]))
    seen = seen or scene(job, name, guesses[which][0])
    return told(seen, seed, draw(seen.graph, rng, rates=rates))


def draw(graph: Graph, rng: np.random.Generator, *, rates: Rates = DEFAULT) -> State:
    """Return one state of a house, drawn from the model.

    Parameters
    ----------
    graph : Graph
        The voids.
    rng : numpy.random.Generator
        Source of randomness.
    rates : Rates, optional
        The tables of soil and load.
    """
    run = rng.random(len(graph.edges)) < graph.prior_open * graph.prior_run
    source = choose(graph.source_prior, rng)
    load = int(rng.choice(len(rates.load), p=rates.load))
    reach = reached(graph, run, source)
    return State(run, source, load, reach, choose(soil_prior(graph, rates)[:, load, :, :][
        np.arange(len(reach)), reach], rng))  # fmt: skip


def choose(chances: Floats, rng: np.random.Generator) -> Ints:
    """Return one column for each row, drawn by the row's chances: [n].

    Parameters
    ----------
    chances : Floats
        [n, k]; each row sums to 1. [1]
    rng : numpy.random.Generator
        Source of randomness.
    """
    edges = np.cumsum(chances, axis=1)
    picks = rng.random(len(chances)) * edges[:, -1]
    return np.asarray((picks[:, None] >= edges).sum(axis=1).clip(0, chances.shape[1] - 1), np.int32)


def reached(graph: Graph, run: Bools, source: Ints) -> Ints:
    """Return the latest way in that each void is joined to: [V] 0, 1 or 2.

    Parameters
    ----------
    graph : Graph
        The voids.
    run : Bools
        [P] passages open and run.
    source : Ints
        [E] 0 never, 1 past, 2 now.
    """
    part = parts(graph, run)
    latest = np.zeros(int(part.max(initial=-1)) + 1, dtype=np.int32)
    np.maximum.at(latest, part[graph.source_void], source.astype(np.int32))
    return latest[part]


def parts(graph: Graph, run: Bools) -> Ints:
    """Return the number of the joined part that each void lies in: [V].

    Parameters
    ----------
    graph : Graph
        The voids.
    run : Bools
        [P] passages open and run.
    """
    count = len(graph.keys)
    a, b = graph.edges[run].reshape(-1, 2).T
    joined = coo_array((np.ones(len(a)), (a, b)), shape=(count, count))
    return np.asarray(connected_components(joined, directed=False)[1], dtype=np.int32)


def soil_prior(graph: Graph, rates: Rates) -> Floats:
    """Return the chance of each cell in each void: [V, loads, 3, 6]. [1]

    Parameters
    ----------
    graph : Graph
        The voids.
    rates : Rates
        The tables of soil.
    """
    rows = {name: prior_row(one) for name, one in rates.classes.items()}
    found = [rows[name] for name in classes_of(graph, rates)]
    return np.stack(found) if found else np.zeros((0, len(rates.load), 3, CELLS))


def told(seen: Scene, seed: int, state: State) -> Truth:
    """Return a state by ids.

    Parameters
    ----------
    seen : Scene
        The house.
    seed : int
        Told with it.
    state : State
        The state.
    """
    graph = seen.graph
    return Truth(
        job=seen.job.id,
        seed=seed,
        species=seen.species,
        guess=seen.guess,
        load=state.load,
        voids={
            key: VoidTruth(REACH[reach], SOIL[cell // 2], bool(cell % 2))  # type: ignore[arg-type]  # states by number
            for key, reach, cell in zip(
                graph.keys, state.reach.tolist(), state.cell.tolist(), strict=True
            )
        },
        sources={
            key: STATES[one]  # type: ignore[misc]  # likewise
            for key, one in zip(graph.source_keys, state.source.tolist(), strict=True)
        },
        passages=tuple(
            key for key, on in zip(graph.passage_keys, state.run.tolist(), strict=True) if on
        ),
    )


def state_of(truth: Truth, graph: Graph) -> State:
    """Return a truth as arrays in the numbering of its graph.

    Parameters
    ----------
    truth : Truth
        The truth.
    graph : Graph
        The graph that it was drawn on.

    Raises
    ------
    KeyError
        If the graph holds a void or a way in that the truth does not know.
    """
    voids = [truth.voids[key] for key in graph.keys]
    on = set(truth.passages)
    return State(
        run=np.array([key in on for key in graph.passage_keys], dtype=np.bool_),
        source=np.array([STATES.index(truth.sources[key]) for key in graph.source_keys], np.int32),
        load=truth.load,
        reach=np.array([REACH.index(one.reach) for one in voids], dtype=np.int32),
        cell=np.array([2 * SOIL.index(one.soil) + one.nest for one in voids], dtype=np.int32),
    )
