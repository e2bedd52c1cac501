"""Calibration where looks go over several voids at once and nobody writes in which a find lay.

That form of evidence is an approximation (``signs/several.py``), so it has a study of its own: the
same ranks, with four looks in ten over the whole floor or a whole wall of a room.
"""

from __future__ import annotations

import msgspec
import numpy as np

from study.houses import Lived, answered, small_house
from study.ranks import ranks
from wainscot import signs
from wainscot.arrays import Ints
from wainscot.job import Inspection
from wainscot.signs import DEFAULT
from wainscot.simulate import scene, spread, state_of
from wainscot.simulate.looking import LOOKS, Visitor
from wainscot.simulate.other import OtherVisitor

SHARE = 0.4
"""Share of the looks that go over several voids. [1]"""
VISITS = 2


class _Sweeping(OtherVisitor):
    """Looks over several voids often, and hears nothing from occupants."""

    def _look(self, sort: str, near: Ints) -> Inspection | None:
        if self.rng.random() < SHARE:
            return self._over_several()
        return Visitor._look(self, sort, near)


def ranks_of(seed: int) -> list[float]:
    """Return the rank of the truth in every statistic for one house.

    Parameters
    ----------
    seed : int
        Of all randomness.
    """
    empty = small_house(seed)
    truth = spread(empty, seed)
    seen = scene(empty, truth.species)
    state = state_of(truth, seen.graph)
    visitor = _Sweeping(seen, state, DEFAULT, np.random.default_rng([seed, 3]))
    entities = dict(empty.entities)
    for day in range(1, VISITS + 1):
        for key, one in visitor.visit(day, LOOKS).items():
            entities[key] = msgspec.json.decode(msgspec.json.encode(one))
    job = msgspec.structs.replace(empty, entities=entities)
    evidence = signs.read(job, seen.plan, seen.graph, truth.species)
    return ranks(answered(Lived(seed, job, truth, seen, state, evidence)))
