"""Draws written by hand, in the small house of ``small``, so that every sum can be done on paper.

Kernel ways in of that house: 0 the drain at f1, 1 an undrawn one at the kitchen, 2 the two at w1
merged, 3 the settled one at the bath.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from small import PASSAGES, evidence_of, graph
from wainscot.diagnosis import Case
from wainscot.diagnosis.kernel import Population
from wainscot.diagnosis.posterior import Sample
from wainscot.diagnosis.problem import make
from wainscot.diagnosis.thin import Thin
from wainscot.signs import Evidence
from wainscot.voids.graph import Graph

AT = (2, 0, 4, 6)
"""Void of each kernel way in."""
KITCHEN, SINK, F1, F2, W1, W2, BATH = range(7)


class Draw:
    """One draw: open passages, used ways in (kernel way in -> 1 past, 2 now), soil, nests, load."""

    def __init__(
        self, on: tuple[int, ...] = (), used: dict[int, int] | None = None,
        soil: dict[int, int] | None = None, nest: tuple[int, ...] = (), load: int = 0,
    ) -> None:  # fmt: skip
        self.on, self.used, self.load = on, used or {}, load
        self.soil = [(soil or {}).get(v, 0) for v in range(7)]
        self.nest = [int(v in nest) for v in range(7)]
        self.reach = [0] * 7
        for e, state in self.used.items():
            self.reach[AT[e]] = max(self.reach[AT[e]], state)
        for _ in range(7):  # nothing is further than the length of the house
            for p in on:
                a, b, _chance = PASSAGES[p]
                self.reach[a] = self.reach[b] = max(self.reach[a], self.reach[b])

    @property
    def source(self) -> list[int]:
        return [self.used.get(e, 0) for e in range(4)]


def bytes_of(rows: Any) -> Any:
    return np.array(rows, dtype=np.uint8)


def population(draws: list[Draw], log_evidence: float = 0.0, **changed: Any) -> Population:
    bits = bytes_of([[int(p in one.on) for p in range(len(PASSAGES))] for one in draws])
    fields: dict[str, Any] = {
        "log_evidence": log_evidence, "log_evidence_se": 0.0, "tilt": 0.0,
        "temperatures": np.ones(1), "source": bytes_of([one.source for one in draws]),
        "reach": bytes_of([one.reach for one in draws]),
        "soil": bytes_of([one.soil for one in draws]),
        "nest": bytes_of([one.nest for one in draws]),
        "run": np.packbits(bits, axis=1, bitorder="little"),
        "load": bytes_of([one.load for one in draws]), "log_likelihood": np.zeros(len(draws)),
        "chains": len(draws), "length": 1, "seed": 1, "number": 0, "digest": "a",
        "input_digest": "b", "module_digest": "c",
    }  # fmt: skip
    return Population(**{**fields, **changed})


def sample(
    *populations: Population, house: Graph | None = None, evidence: Evidence | None = None,
    prior: float = 1.0, species: str = "norway rat", guess: str = "",
    void_map: Any = range(7), source_map: Any = range(5), assumptions: tuple[str, ...] = (),
) -> Sample:  # fmt: skip
    house = house or graph()
    evidence = evidence or evidence_of([])
    problem, merged = make(house, evidence)
    case = Case(species, guess, prior, house, evidence, assumptions)
    index, ways = (np.array(one, dtype=np.int32) for one in (list(void_map), list(source_map)))
    return Sample(case, problem, merged, populations, index, ways)


def thin_of(draws: list[Draw], **options: Any) -> Thin:
    one = population(draws)
    on = np.array([[p in each.on for p in range(len(PASSAGES))] for each in draws])
    return Thin(sample(one, **options), one.source, one.reach, one.load, on)


def likelihood(evidence: Evidence, one: Draw) -> float:
    """What an evidence without smells gives one draw, written out; soil and nest summed over."""
    total = float(evidence.load_prior[one.load])
    for v, reach in enumerate(one.reach):
        total *= sum(evidence.detail[evidence.row_of[v]][one.load][reach].tolist())
    for z, heard in enumerate(evidence.zone_heard):
        silent = 1.0 - float(evidence.zone_false[z])
        for m in range(evidence.zone_offsets[z], evidence.zone_offsets[z + 1]):
            silent *= 1.0 - float(evidence.zone_hit[m][one.reach[evidence.zone_void[m]]])
        total *= 1.0 - silent if heard else silent
    return total * float(evidence.source_factor[0][one.source[0]])
