"""The hypotheses of a diagnosis: each framing guess with each species in question.

A case is one such pair with its prior, its graph and what the signs say in it.

Limits: one species at a time.  Signs of two species weigh two cases against each other; "both" is
not a case yet.
"""

from __future__ import annotations

import msgspec

from wainscot import plan as plan_step
from wainscot import voids as voids_step
from wainscot.job import Job, Settings, Suspect, typed
from wainscot.signs import DEFAULT, Rates
from wainscot.signs import read as read_signs
from wainscot.signs.evidence import Evidence
from wainscot.species import SPECIES, weights
from wainscot.voids.graph import Graph


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


def species_of(job: Job) -> dict[str, float]:
    """Return the species in question and their chances, which sum to 1. [1]

    Those that the job names; if it names none, all of them.

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
    return {name: weight / total for name, weight in chosen.items()}


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
    for guess, share, choices in plan_step.hypotheses(job):
        guessed = plan_step.apply_guess(job, choices)
        drawn = plan_step.read(guessed, guess=guess)
        for species, weight in species_of(job).items():
            graph = voids_step.build(drawn, species)
            evidence = read_signs(guessed, drawn, graph, species, rates=rates)
            assumed = tuple(one.words for one in drawn.assumptions)
            found.append(Case(species, guess, share * weight, graph, evidence, assumed))
    return tuple(sorted(found, key=lambda case: (-case.prior, case.guess, case.species)))
