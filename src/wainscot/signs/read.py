"""Inspections to evidence: what every look and find says about voids, zones and ways in.

>>> from wainscot import plan, signs, voids                             # doctest: +SKIP
>>> evidence = signs.read(job, plan.read(job), graph, "norway rat")     # doctest: +SKIP

Each inspection becomes one or more statements; the statements multiply into the rows of the voids
(inside the sum over soil and nest), add zones, or weigh a way in.  They are kept, so that any
inspection can be left out again (:func:`wainscot.signs.evidence.without`).

Limits: time is not weighed beyond "fresh" and "old"; every inspection speaks of the same house.
"""

from __future__ import annotations

import numpy as np

from wainscot import voids as voids_step
from wainscot.job import Inspection, Job, typed
from wainscot.plan.model import Plan
from wainscot.signs.evidence import Evidence, Statement, Zone, assemble
from wainscot.signs.place import Placed, put
from wainscot.signs.rates import DEFAULT, Rates
from wainscot.signs.repeats import repeated
from wainscot.signs.soiling import class_of, prior_row
from wainscot.signs.speaker import Speaker
from wainscot.voids.graph import Graph


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
        The animal of this hypothesis.
    rates : Rates, optional
        The tables.
    """
    entities = typed(job)
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
        for key, entity in entities.items()
        if isinstance(entity, Inspection)
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
    placed = sorted(placed, key=lambda each: each.key)
    extra = repeated({each.key: each.inspection for each in placed})
    classes = list(rates.classes)
    class_index = np.array(
        [
            classes.index(class_of(graph.kinds[v], bool(graph.hidden[v]), graph.volume[v], rates))
            for v in range(len(graph.keys))
        ],
        dtype=np.int32,
    )
    priors = np.stack([prior_row(rates.classes[name]) for name in classes])
    statements: list[Statement] = []
    zones: list[Zone] = []
    for each in placed:
        if each.somewhere:
            speaker = Speaker(each, graph, species, rates, extra, priors[class_index])
            speaker.speak(statements, zones)
    return assemble(
        row_of=class_index,
        priors=priors,
        load=np.asarray(rates.load),
        sources=len(graph.source_keys),
        statements=tuple(statements),
        zones=tuple(zones),
        unplaced=tuple(each.key for each in placed if not each.somewhere),
    )
