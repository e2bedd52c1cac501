"""Jobs in which bays are opened because they were suspected, for whoever learns from them.

A house is drawn and lived in by the model; a borescope is put into many of its bays.  A bay in
which anything was seen is opened, and so are some beside it; others only where control bays are
asked for.  So the openings are no fair sample: this is the bias that learning has to stand.

Limits: the reason to open is always in the log; one visit.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np

from wainscot.job import Find, Inspection, Job, typed
from wainscot.signs import KINDS, Rates
from wainscot.signs.kind import in_view
from wainscot.simulate import Scene, State, house, scene, spread, state_of
from wainscot.simulate.looking import logged, place_in
from wainscot.simulate.outcomes import Circumstances, seen_in_void
from wainscot.voids.finder import Finder

LOOKED = 0.6
"""Share of the hidden voids into which a borescope is put. [1]"""
BESIDE = 1
"""Bays beside a suspected one that are opened too, at most so many for each find."""
METHOD = "borescope"


def suspected(seed: int, rates: Rates, *, rooms: int = 2, control: int = 0) -> Job:
    """Return a job with looks, and with openings where something was suspected.

    Parameters
    ----------
    seed : int
        Of all randomness in it.
    rates : Rates
        The rates that are true.
    rooms : int
        Of the house.
    control : int
        Bays opened by lot, suspected or not.
    """
    rng = np.random.default_rng([seed, 80])
    empty = house(seed, 1, rooms)
    truth = spread(empty, seed, rates=rates)
    seen = scene(empty, truth.species, truth.guess)
    crew = _Crew(seen, state_of(truth, seen.graph), rates, rng)
    hidden = np.flatnonzero(seen.graph.hidden)
    looked = rng.choice(hidden, int(LOOKED * len(hidden)), replace=False)
    found = [int(v) for v in looked if crew.look(int(v), round(float(rng.uniform(0.5, 0.9)), 2))]
    beside = _beside(seen, found, rng)
    by_lot = rng.choice(hidden, min(control, len(hidden)), replace=False).tolist()
    for v in sorted({*found, *beside, *by_lot}):
        crew.open(v)
    plain = {key: msgspec.json.decode(msgspec.json.encode(one)) for key, one in crew.made.items()}
    return msgspec.structs.replace(empty, entities={**empty.entities, **plain})


def _beside(seen: Scene, found: list[int], rng: np.random.Generator) -> list[int]:
    ends = seen.graph.edges
    near = np.unique(ends[np.isin(ends, found).any(axis=1)])
    near = near[seen.graph.hidden[near] & ~np.isin(near, found)]
    return rng.permutation(near)[: BESIDE * len(found)].tolist()


class _Crew:
    """Looks and opens, and keeps the log."""

    def __init__(self, seen: Scene, state: State, rates: Rates, rng: np.random.Generator) -> None:
        self.seen, self.state, self.rates, self.rng = seen, state, rates, rng
        self.finder = Finder(seen.graph, seen.plan)
        self.made: dict[str, Inspection] = {}

    def look(self, v: int, share: float) -> bool:
        """Put a borescope into a void; whether anything was seen."""
        finds = self._log(f"look_{v:03d}", v, METHOD, share)
        return any(find.amount not in KINDS[find.kind].nothing for find in finds)

    def open(self, v: int) -> None:
        """Lay a void open."""
        self._log(f"opened_{v:03d}", v, "opened", 1.0)

    def _log(self, key: str, v: int, method: str, share: float) -> list[Find]:
        place = place_in(self.finder, v)
        if place is None:
            return []
        look = Circumstances(method, self.seen.species, share)
        at = (self.state.load, int(self.state.reach[v]), int(self.state.cell[v]))
        finds = seen_in_void(look, at, self.rates, self.rng)
        self.made[key] = logged(place, look, finds)
        return finds


def naive_counts(jobs: Sequence[Job], rates: Rates, kind: str = "droppings") -> tuple[int, float]:
    """Return in how many soiled bays that were opened a look had noticed a kind, and could have.

    What could be in view is allowed for; why a bay was opened is not.  This is what a firm would
    count on paper, and it is wrong.

    Parameters
    ----------
    jobs : sequence of Job
        From :func:`suspected`.
    rates : Rates
        For how much of a void's traces lie in view.
    kind : str
        The sign.
    """
    seen, could = 0, 0.0
    spots = rates.kind(kind).numbers("spots")[:1]
    for job in jobs:
        looks = {key: one for key, one in typed(job).items() if isinstance(one, Inspection)}
        for key, one in looks.items():
            look = looks.get(key.replace("opened", "look"))
            if one.method != "opened" or look is None or not _soiled(one):
                continue
            could += float(in_view(look.share_seen, spots)[0])
            seen += any(find.kind == kind for find in look.finds)
    return seen, could


def _soiled(one: Inspection) -> bool:
    return any(find.kind == "opened and seen" and find.amount != "clean" for find in one.finds)
