"""Inspections to evidence: what every look and find says about voids, zones, rooms and ways in.

>>> from wainscot import plan, signs, voids                             # doctest: +SKIP
>>> evidence = signs.read(job, plan.read(job), graph, "norway rat")     # doctest: +SKIP

Each inspection becomes one or more statements; the statements multiply into the rows of the voids
(inside the sum over soil and nest), add zones and smells, or weigh a way in.  What they were made
of is kept, so that the evidence can be made again with one inspection less (:func:`without`) or
with other rates (:func:`again`).

Limits: every inspection speaks of the same house; what was cleaned or sealed in between is a new
plan.
"""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot import voids as voids_step
from wainscot.arrays import Floats, Ints
from wainscot.job import Find, Inspection, Job, typed
from wainscot.plan.model import Plan
from wainscot.signs.ageing import latest
from wainscot.signs.assemble import assemble
from wainscot.signs.evidence import Evidence, Statement
from wainscot.signs.floors import floors
from wainscot.signs.place import Placed, put
from wainscot.signs.rates import DEFAULT, Rates
from wainscot.signs.repeats import traces
from wainscot.signs.smell import linear
from wainscot.signs.soiling import classes_of, prior_row
from wainscot.signs.speaker import Said, Setting, Speaker
from wainscot.voids.graph import Graph


class Recipe(msgspec.Struct, frozen=True):
    """What evidence is made of."""

    placed: tuple[Placed, ...]
    """By inspection id."""
    graph: Graph
    species: str
    rates: Rates
    classes: Ints
    """[V] class of each void, index into ``rates.classes``."""
    as_of: str
    joined: dict[bytes, Floats] = {}
    """Which voids of a look are joined; filled as it is asked for, shared by copies. [1]"""
    said: dict[str, tuple[list[Find], Said]] = {}
    """What each inspection said by itself, with its finds that counted; filled and shared alike."""


def read(job: Job, plan: Plan, graph: Graph, species: str, *, rates: Rates = DEFAULT) -> Evidence:
    """Return what a job's inspections say, for one graph and one species.

    Parameters
    ----------
    job : Job
        The job; :func:`wainscot.signs.faults` must find nothing wrong with it.
    plan : Plan
        Its plan, of which the graph was made.
    graph : Graph
        The voids.
    species : str
        The animal of this hypothesis, or two joined by "and".
    rates : Rates, optional
        The tables.
    """
    entities = typed(job)
    looks = {key: one for key, one in entities.items() if isinstance(one, Inspection)}
    placed = [
        put(
            key,
            entity,
            entities,
            graph,
            lambda place: voids_step.locate(graph, plan, place),
            lambda place: voids_step.locate_zone(graph, plan, place),
            rates,
        )
        for key, entity in {**floors(job, rates), **looks}.items()
    ]
    return weigh(placed, graph, species, rates=rates)


def weigh(placed: list[Placed], graph: Graph, species: str, *, rates: Rates = DEFAULT) -> Evidence:
    """Return the evidence of inspections whose places are known.

    Parameters
    ----------
    placed : list of Placed
        Inspections; their order changes nothing.
    graph : Graph
        The voids.
    species : str
        The animal of this hypothesis.
    rates : Rates, optional
        The tables.
    """
    names = list(rates.classes)
    classes = [names.index(name) for name in classes_of(graph, rates)]
    return _made(
        Recipe(
            placed=tuple(sorted(placed, key=lambda each: each.key)),
            graph=graph,
            species=species,
            rates=rates,
            classes=np.array(classes, dtype=np.int32),
            as_of=latest(each.inspection.at for each in placed),
        )
    )


def without(evidence: Evidence, key: str) -> Evidence:
    """Return the evidence as if one inspection had not been made; the day it is of stays.

    Parameters
    ----------
    evidence : Evidence
        The evidence.
    key : str
        Id of the inspection.
    """
    recipe: Recipe = evidence.recipe
    left = tuple(each for each in recipe.placed if each.key != key)
    return _made(msgspec.structs.replace(recipe, placed=left))


def again(evidence: Evidence, rates: Rates) -> Evidence:
    """Return the same inspections weighed with other rates.

    Parameters
    ----------
    evidence : Evidence
        The evidence.
    rates : Rates
        Tables with the same classes of voids.
    """
    return _made(msgspec.structs.replace(evidence.recipe, rates=rates, said={}))


def told(recipe: Recipe) -> Said:
    """Return what every inspection says, before it is put together.

    Parameters
    ----------
    recipe : Recipe
        The inspections, the graph and the tables.
    """
    priors = _priors(recipe.rates)
    setting = Setting(
        graph=recipe.graph,
        species=recipe.species,
        rates=recipe.rates,
        traces=traces({each.key: each.inspection for each in recipe.placed}),
        priors=priors[recipe.classes],
        as_of=recipe.as_of,
        joined=recipe.joined,
    )
    said = Said([], [], [], [])
    for each in recipe.placed:
        if each.somewhere:
            said.add(_alone(Speaker(each, setting), recipe))
    return said


def _alone(speaker: Speaker, recipe: Recipe) -> Said:
    """What one inspection says; of the others it hangs on no more than which finds still count."""
    key = speaker.placed.key
    finds, own = recipe.said.get(key, ([], None))
    if own is None or finds != speaker.finds:
        own = Said([], [], [], [])
        speaker.speak(own)
        recipe.said[key] = (speaker.finds, own)
    return own


def _priors(rates: Rates) -> Floats:
    return np.stack([prior_row(one) for one in rates.classes.values()])


def _made(recipe: Recipe) -> Evidence:
    rates, graph = recipe.rates, recipe.graph
    said, priors = told(recipe), _priors(rates)
    evidence = assemble(
        row_of=recipe.classes,
        priors=priors,
        load=np.asarray(rates.load),
        sources=len(graph.source_keys),
        statements=tuple(said.statements),
        zones=said.zones,
        unplaced=tuple(each.key for each in recipe.placed if not each.somewhere),
    )
    rows = evidence.detail[evidence.row_of] if said.readings else priors
    fields, part_of = linear(said.readings, graph, rows, said.carcasses, rates)
    return msgspec.structs.replace(
        evidence,
        **fields,
        statements=tuple(_smelt(one, part_of.get(s)) for s, one in enumerate(said.statements)),
        recipe=recipe,
    )


def _smelt(one: Statement, reading: int | None) -> Statement:
    return one if reading is None else msgspec.structs.replace(one, reading=reading)
