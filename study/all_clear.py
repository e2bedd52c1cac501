"""Houses trapped until the tool says 95 %: how many of them are truly free?

Each house is a demo house with twelve traps at voids drawn at random and homes drawn from a
Dirichlet; in half of them one survivor lives somewhere.  Every night it is caught by the chance of
its home; a catch ends the trial without a claim.  A house whose empty nights lead to the chance is
called free.  Where the model holds, the number truly free must lie in the band of the claims.

Beside it, judged and not to be passed: animals that shun traps, and a neighbour that the tool is
not told of.  ``as used`` is what the statement prints: the low end of the range of chances to
catch, while each house has one of the three at random.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from study.first_three import band
from wainscot import demos, voids
from wainscot import job as jobs
from wainscot.all_clear.cover import centres, falling
from wainscot.all_clear.outcome import (
    AT_TRAP,
    RETURN_NEIGHBOUR,
    RETURN_SHUT,
    SPREAD,
    SURE,
    course_by_void,
)
from wainscot.arrays import Floats
from wainscot.voids.graph import Graph

HOUSES, SEED, TRAPS, NIGHTS, PRIOR = 500, 90000, 12, 400, 0.5
SHY_SHARE, SHY = 0.3, 0.1
"""Share of animals that shun traps, and how much of the chance to catch is left. Judged. [1]"""
SPECIES = "house mouse"


class Conditions(NamedTuple):
    """What is true of the houses."""

    shy: float = 0.0
    """Share of animals that shun traps. [1]"""
    back: float = RETURN_SHUT.value
    """True chance a night that one comes back; the tool takes that of a house all shut. [1]"""
    used: bool = False
    """Whether the tool reckons with the low end, and the house has any of the three."""


NEXT_DOOR = RETURN_NEIGHBOUR.value
CONDITIONS = {
    "model holds": Conditions(),
    "trap shy": Conditions(shy=SHY_SHARE),
    "return from a neighbour": Conditions(back=NEXT_DOOR),
    "as used": Conditions(used=True),
    "as used, trap shy": Conditions(used=True, shy=SHY_SHARE),
    "as used, return from a neighbour": Conditions(used=True, back=NEXT_DOOR),
    "as used, both": Conditions(used=True, shy=SHY_SHARE, back=NEXT_DOOR),
}


def run(count: int) -> dict[str, Any]:
    """Return the share truly free among the houses called free, under each set of conditions."""
    framed = voids.framed(jobs.read(demos.text("semi_1930s")))
    graph = voids.build(framed.plan, SPECIES)
    found = {}
    for name, conditions in CONDITIONS.items():
        trials = [trial(graph, SEED + n, conditions) for n in range(count)]
        found[name] = _summed([one for one in trials if one is not None], count)
    holds = found["model holds"]
    low, high = holds["band_99"]
    return {"conditions": found, "houses": count, "first_seed": SEED,
            "passes": low <= holds["free"] <= high}  # fmt: skip


def _summed(claims: list[tuple[float, bool, int]], count: int) -> dict[str, Any]:
    claimed = np.array([one for one, _, _ in claims])
    free = sum(is_free for _, is_free, _ in claims)
    low, high = band(claimed)
    return {
        "called free": len(claims), "free": free, "share": round(free / len(claims), 4),
        "claimed": round(float(claimed.mean()), 4), "band_99": [low, high],
        "median nights": float(np.median([nights for _, _, nights in claims])), "of": count,
    }  # fmt: skip


def trial(graph: Graph, seed: int, conditions: Conditions) -> tuple[float, bool, int] | None:
    """Return claim, whether it is free, and nights of one house; None where it is never called so.

    Parameters
    ----------
    graph : Graph
        The voids.
    seed : int
        Of the house.
    conditions : Conditions
        What is true of it.
    """
    rng = np.random.default_rng(seed)
    where = np.where(graph.hidden, rng.dirichlet(np.full(len(graph.keys), 0.2)), 0.0)
    where = where / where.sum()
    traps = rng.choice(np.flatnonzero(graph.hidden), TRAPS, replace=False)
    missed = np.ones(len(where))
    middles = centres(graph)
    for at in middles[traps]:
        missed *= 1.0 - AT_TRAP[1].value * falling(middles, at, SPREAD[SPECIES].value)
    middle = 1.0 - missed
    scale, reckoned = 1.0, middle
    if conditions.used:
        scale = rng.choice([one.value for one in AT_TRAP]) / AT_TRAP[1].value
        reckoned = middle * AT_TRAP[0].value / AT_TRAP[1].value
    told = course_by_void(PRIOR, where, np.tile(reckoned, (NIGHTS, 1)), RETURN_SHUT.value)
    enough = np.flatnonzero(told >= SURE.value)
    if not len(enough):
        return None
    nights = int(enough[0]) + 1
    caught = np.clip(middle * scale, 0.0, 1.0)
    free = _nights(rng, where, caught, nights, conditions)
    return None if free is None else (float(told[enough[0]]), free, nights)


def _nights(
    rng: np.random.Generator, where: Floats, nightly: Floats, nights: int, conditions: Conditions
) -> bool | None:
    """Return whether the house is free after so many empty nights; None if one was caught."""

    def settle() -> tuple[int, float]:
        home = int(rng.choice(len(where), p=where))
        return home, SHY if rng.random() < conditions.shy else 1.0

    lives = settle() if rng.random() >= PRIOR else None
    for _ in range(nights):
        if lives is None and rng.random() < conditions.back:
            lives = settle()
        if lives is not None and rng.random() < nightly[lives[0]] * lives[1]:
            return None
    return lives is None
