"""The hypotheses of a diagnosis: each framing guess with each species in question.

A case is one such pair with its prior, its graph and what the signs say in it.  Two species at once
are a case only where the log holds a decisive sign of each: a catch, a carcass or a picture, not
only told, with its species.

Limits: in such a case the two live as one mixed population: what lets the smaller one through lets
both through, and each unnamed trace is of either with equal chance.
"""

from __future__ import annotations

from itertools import combinations

import msgspec

from wainscot import voids as voids_step
from wainscot.job import Inspection, Job, Settings, Suspect, typed
from wainscot.signs import DEFAULT, KINDS, Rates
from wainscot.signs import read as read_signs
from wainscot.signs.evidence import Evidence
from wainscot.sources import Cited, judged
from wainscot.species import SPECIES, together, weights
from wainscot.voids.graph import Graph

BOTH: Cited = judged(0.1, "1", "two species at once in one house; not rare, no figure was found")


class Case(msgspec.Struct, frozen=True):
    """One species under one framing guess."""

    species: str
    guess: str
    prior: float
    """Chance before the signs; all cases together 1. [1]"""
    graph: Graph
    evidence: Evidence
    assumptions: tuple[str, ...] = ()
    """Defaults that the plan took, in words."""


def decisive_species(job: Job) -> tuple[str, ...]:
    """Return the species that some decisive sign names, sorted.

    Parameters
    ----------
    job : Job
        The job.
    """
    looks = (one for one in typed(job).values() if isinstance(one, Inspection))
    return tuple(
        sorted(
            {
                find.species
                for look in looks
                if look.grade != "told"
                for find in look.finds
                if find.species
                and find.kind in KINDS
                and KINDS[find.kind].decisive
                and find.amount not in KINDS[find.kind].nothing
            }
        )
    )


def species_of(job: Job) -> dict[str, float]:
    """Return the species in question and their chances, which sum to 1. [1]

    Those that the job names; if it names none, all of them; and two at once where each left a
    decisive sign.

    Parameters
    ----------
    job : Job
        The job.
    """
    entities = typed(job).values()
    named = sorted({one.species for one in entities if isinstance(one, Suspect)})
    country = next((one.country for one in entities if isinstance(one, Settings)), "")
    prior = weights(country)
    chosen = {name: prior[name] for name in SPECIES if name in named or not named}
    total = sum(chosen.values())
    pairs = [together(pair) for pair in combinations(decisive_species(job), 2)]
    left = 1.0 - BOTH.value if pairs else 1.0
    alone = {name: left * weight / total for name, weight in chosen.items()}
    return alone | {pair: (1.0 - left) / len(pairs) for pair in pairs}


def cases(job: Job, *, rates: Rates = DEFAULT) -> tuple[Case, ...]:
    """Return every case of a job, the likeliest before the signs first.

    Parameters
    ----------
    job : Job
        A job without faults.
    rates : Rates, optional
        The tables of the signs.
    """
    found: list[Case] = []
    for one in voids_step.framings(job):
        for species, weight in species_of(job).items():
            graph = voids_step.build(one.plan, species)
            evidence = read_signs(one.job, one.plan, graph, species, rates=rates)
            assumed = tuple(assumption.words for assumption in one.plan.assumptions)
            prior = one.weight * weight
            found.append(Case(species, one.guess, prior, graph, evidence, assumed))
    return tuple(sorted(found, key=lambda case: (-case.prior, case.guess, case.species)))
