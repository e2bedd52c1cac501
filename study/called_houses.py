"""Houses as a firm is called to them: nothing of what is true decides which of them are kept.

Animals and both visits are drawn *together* from the model, again and again, until the visits log
two finds.  What is kept hangs on the log alone, and the log is what the diagnosis reads; so if
house, animals and looks follow the model, its chances must come true in these houses.  They are the
control of the hard sets (:mod:`study.hard_houses`), whose houses are chosen by their truth.

Limits: houses, looks and rates as in the hard sets; two animals at once are mice and norway rats,
each by the model alone, as often as the judged share of :data:`wainscot.diagnosis.cases.BOTH`.
"""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

import numpy as np

from study.hard_houses import (
    LEAST_REACHED,
    PAIR,
    TRIES,
    VERY_FAR,
    Hard,
    as_hard,
    first_that_fits,
    hops,
    visits,
    without_species,
)
from study.houses import small_house
from wainscot.arrays import Bools
from wainscot.diagnosis.cases import BOTH
from wainscot.simulate import Scene, scene
from wainscot.simulate.truth import draw, species_chances

AS_CALLED, NOT_SAID, BY_LOT = "as called", "animal not said", "looks far, by lot"
SETS = {
    AS_CALLED: "as the model has it: two visits with two finds, nothing else asked",
    NOT_SAID: "the same, nobody said which animal; one house in ten has two",
    BY_LOT: "looks only 6 passages away from ways in that are drawn by lot, used or not",
}


class Where(NamedTuple):
    """Which voids may be looked into, and whether ways in are."""

    away: Bools
    """[V]"""
    holes: bool


def called_house(name: str, seed: int) -> Hard:
    """Return a house of a set.

    Parameters
    ----------
    name : str
        The set.
    seed : int
        Of all randomness in it.
    """
    return first_that_fits(partial(_in_one_house, name), np.random.default_rng([seed, 61]))


def _in_one_house(name: str, inner: int, rng: np.random.Generator) -> Hard | None:
    """Return the first animals and visits with two finds; None where the tries give none."""
    job = small_house(inner)
    job = without_species(job) if name == NOT_SAID else job
    chances = species_chances(job)
    seen = {each: scene(job, each) for each in chances}
    if name == NOT_SAID and seen[PAIR[0]].graph.keys != seen[PAIR[1]].graph.keys:
        return None  # two at once need the same voids: decided by the house, not by its truth
    where = {each: _where(name, one, rng) for each, one in seen.items()}
    for _ in range(TRIES):
        both = name == NOT_SAID and rng.random() < BOTH.value
        animals = PAIR if both else (str(rng.choice(list(chances), p=list(chances.values()))),)
        first, others = seen[animals[0]], [seen[each] for each in animals[1:]]
        states = tuple(draw(one.graph, rng) for one in (first, *others))
        look = where[animals[0]]
        logged = visits(job, first, states, look.away, rng, holes=look.holes)
        if logged is not None:
            return as_hard(logged, first, states, animals)
    return None


def _where(name: str, seen: Scene, rng: np.random.Generator) -> Where:
    """Return where is looked: everywhere, or far from ways in of animals that are not there."""
    every = np.ones(len(seen.graph.keys), dtype=np.bool_)
    if name != BY_LOT:
        return Where(every, True)
    for _ in range(TRIES):
        other = draw(seen.graph, rng)
        away = hops(seen.graph, other.source) >= VERY_FAR
        if int(((other.reach > 0) & seen.graph.hidden).sum()) >= LEAST_REACHED and away.any():
            return Where(np.asarray(away), False)
    return Where(every, False)
