"""Visits to a simulated house: where they look follows a rule that never sees the truth.

    looked = inspect(job, truth, seed=7, visits=2)

The first visit looks at places drawn at random among what a person would look at: rooms, fixtures,
ways in, a few bays through a borescope or opened, traps, an ear to the wall.  A later visit spends
half its looks next to what was found before, as people do; it follows the log, not the truth, so
the answer needs no correction for it.  Nobody looks twice in one void by one method, because that
shows the same traces again; all visits are on one day, because nothing moves meanwhile.

Limits: every look is into one void, at one way in, or into one zone; words of occupants and looks
over several voids at once are left to :mod:`wainscot.simulate.other`.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np

from wainscot.arrays import Ints
from wainscot.job import EntryPoint, Find, Inspection, Job, Place, typed
from wainscot.signs import DEFAULT, KINDS, Rates
from wainscot.simulate.outcomes import (
    Circumstances,
    heard_in_zone,
    kinds_shown,
    seen_at_entry,
    seen_in_void,
)
from wainscot.simulate.truth import Scene, State, Truth, scene, state_of
from wainscot.voids.finder import Finder

LOOKS = 9
"""Looks of one visit."""
RADIUS = 1.5
"""Of a zone that is listened to. [m]"""
_SPREAD = {"room": 1.0, "fixture": 2.0, "bay": 2.0, "entry": 1.5, "zone": 0.7, "trap": 1.0}
"""How often each sort of look is made, relative to the others."""
_DAY = "2026-03-02T10:00:00+00:00"
"""One day for all visits, so that nothing ages between them."""


class Visitor:
    """Looks at one house, one look after another.

    Parameters
    ----------
    seen : Scene
        The house as it truly is.
    state : State
        What is really there.
    rates : Rates
        The tables that outcomes are drawn by.
    rng : numpy.random.Generator
        Source of randomness.
    """

    def __init__(self, seen: Scene, state: State, rates: Rates, rng: np.random.Generator) -> None:
        self.graph = seen.graph
        self.plan = seen.plan
        self.species = seen.species
        self.state = state
        self.rates = rates
        self.rng = rng
        self.finder = Finder(seen.graph, seen.plan)
        entities = typed(seen.job)
        self.entries = [
            e
            for e, key in enumerate(seen.graph.source_keys)
            if isinstance(entities.get(key), EntryPoint)
        ]
        owners = {one.id for one in seen.plan.fixtures}
        hidden = seen.graph.hidden
        self.voids = {
            "room": np.flatnonzero(~hidden),
            "fixture": np.array([v for v, o in enumerate(seen.graph.owners) if o in owners], int),
            "bay": np.array(
                [v for v, o in enumerate(seen.graph.owners) if hidden[v] and o not in owners], int
            ),
        }
        self.voids["trap"] = np.arange(len(hidden))
        self.done: set[tuple[str, int]] = set()
        """Method and void (or way in) of every look so far."""
        self.found: list[int] = []
        """Voids in which something was found so far."""

    def visit(self, day: int, looks: int) -> dict[str, Inspection]:
        """Return the inspections of one visit by id.

        Parameters
        ----------
        day : int
            Number of the visit, from 1.
        looks : int
            Looks to make.
        """
        made: dict[str, Inspection] = {}
        near = self._near_finds()
        for n in range(looks):
            sort = self._sort()
            one = self._look(sort, near if n % 2 else np.zeros(0, dtype=np.int64))
            if one is not None:
                made[f"look_{day:02d}_{n:03d}"] = one
        return made

    def _sort(self) -> str:
        weights = np.array(list(_SPREAD.values()))
        return str(self.rng.choice(list(_SPREAD), p=weights / weights.sum()))

    def _near_finds(self) -> Ints:
        """Voids within one passage of those in which something was found."""
        ends = self.graph.edges
        inside = np.isin(ends, self.found).any(axis=1)
        return np.unique(ends[inside])

    def _look(self, sort: str, near: Ints) -> Inspection | None:
        if sort == "entry":
            return self._at_entry()
        if sort == "zone":
            return self._in_zone()
        choices = self.voids[sort]
        if len(near):
            choices = np.intersect1d(choices, near)
        if len(choices) == 0:
            return None
        return self._in_void(int(choices[self.rng.integers(len(choices))]), sort)

    def _again(self, what: str, where: int) -> bool:
        """Whether that look was made before; it counts as made from now on."""
        before = (what, where) in self.done
        self.done.add((what, where))
        return before

    def _circumstances(self, method: str, share: float = 1.0, nights: int = 1) -> Circumstances:
        return Circumstances(
            method=method,
            species=self.species,
            share=share,
            nights=nights,
            grade="photographed" if self.rng.random() < 0.2 else "seen",
            ages=bool(self.rng.random() < 0.7),
            names=bool(self.rng.random() < 0.3),
        )

    def _method(self, sort: str) -> tuple[str, float, int]:
        """Method, share seen and nights of a look of one sort."""
        part = round(float(self.rng.uniform(0.2, 0.9)), 2)
        if sort == "trap":
            return "trap", 1.0, int(self.rng.integers(2, 11))
        if sort == "room":
            return ("eye and lamp" if self.rng.random() < 0.8 else "uv lamp"), part, 1
        chance = self.rng.random()
        if chance < 0.15:
            return "opened", 1.0, 1
        return ("eye and lamp" if sort == "fixture" and chance < 0.6 else "borescope"), part, 1

    def _in_void(self, v: int, sort: str) -> Inspection | None:
        place = place_in(self.finder, v)
        method, share, nights = self._method(sort)
        if place is None or self._again(method, v):
            return None
        look = self._circumstances(method, share, nights)
        finds = self.shown_in(v, look)
        if any(find.amount not in KINDS[find.kind].nothing for find in finds):
            self.found.append(v)
        return logged(place, look, finds)

    def _at_entry(self) -> Inspection | None:
        if not self.entries:
            return None
        e = self.entries[int(self.rng.integers(len(self.entries)))]
        if self._again("entry", e):
            return None
        look = self._circumstances("eye and lamp", round(float(self.rng.uniform(0.4, 1.0)), 2))
        finds = self.shown_at(e, look)
        if finds:
            self.found.append(int(self.graph.source_void[e]))
        return logged(Place(of=self.graph.source_keys[e]), look, finds)

    def _in_zone(self) -> Inspection | None:
        room = int(self.voids["room"][self.rng.integers(len(self.voids["room"]))])
        if self._again("ear", room):
            return None
        x, y = self.graph.polygon[room].mean(axis=0)
        place = Place(
            storey=self.graph.storeys[room],
            at=(round(float(x), 3), round(float(y), 3)),
            height=round(float(self.rng.choice([0.0, 1.2, 2.4])), 2),
            radius=RADIUS,
        )
        zone = self.finder.zone(place, RADIUS)
        look = self._circumstances("ear")
        if not zone or not any(kind.form == "zone" for kind in kinds_shown("ear", self.rates)):
            return None
        return logged(place, look, self.heard(zone, look))

    def shown_in(self, v: int, look: Circumstances) -> list[Find]:
        """Return what a look into a void shows.

        Parameters
        ----------
        v : int
            The void.
        look : Circumstances
            How it is done.
        """
        at = (self.state.load, int(self.state.reach[v]), int(self.state.cell[v]))
        return seen_in_void(look, at, self.rates, self.rng)

    def shown_at(self, e: int, look: Circumstances) -> list[Find]:
        """Return what a look at a way in shows.

        Parameters
        ----------
        e : int
            The way in.
        look : Circumstances
            How it is done.
        """
        return seen_at_entry(look, int(self.state.source[e]), self.rates, self.rng)

    def heard(self, zone: Sequence[int], look: Circumstances) -> list[Find]:
        """Return what is heard from a zone.

        Parameters
        ----------
        zone : sequence of int
            Its voids.
        look : Circumstances
            How it is done.
        """
        hidden = [bool(self.graph.hidden[v]) for v in zone]
        reach = [int(self.state.reach[v]) for v in zone]
        return heard_in_zone(look, hidden, reach, self.rates, self.rng)


def logged(place: Place, look: Circumstances, finds: list[Find]) -> Inspection:
    """Return a look as a crew logs it.

    Parameters
    ----------
    place : Place
        Where.
    look : Circumstances
        How it was done.
    finds : list of Find
        What it showed; none says that nothing was there to see.
    """
    return Inspection(
        place=place,
        method=look.method,
        share_seen=look.share,
        at=_DAY,
        by="simulated",
        grade=look.grade,
        finds=finds,
        nights=look.nights if look.method == "trap" else None,
    )


def place_in(finder: Finder, v: int) -> Place | None:
    """Return a place that lies in one void and in no other; None if there is none.

    Parameters
    ----------
    finder : Finder
        Looks places up in the graph.
    v : int
        The void.
    """
    graph, plan = finder.graph, finder.plan
    if not graph.hidden[v]:
        place = Place(of=graph.keys[v])
        return place if finder.find(place) == (v,) else None
    storey = plan.storey(graph.storeys[v])
    point = finder.shapes[v].representative_point()
    height = 0.5 * float(graph.bottom[v] + graph.top[v]) - storey.elevation
    place = Place(
        storey=storey.id,
        at=(round(point.x, 4), round(point.y, 4)),
        height=round(height, 4),
    )
    return place if finder.find(place) == (v,) else None


def inspect(
    job: Job,
    truth: Truth,
    seed: int,
    visits: int,
    *,
    rates: Rates = DEFAULT,
    seen: Scene | None = None,
) -> Job:
    """Return a job with the inspections of so many visits.

    Parameters
    ----------
    job : Job
        The house.
    truth : Truth
        What is really there: outcomes follow it, places do not.
    seed : int
        Of all randomness in it.
    visits : int
        Visits, of nine looks each.
    rates : Rates, optional
        The tables of the signs.
    seen : Scene, optional
        The true house's graph where it is at hand.

    Raises
    ------
    InputError
        If the plan has faults.
    KeyError
        If the truth belongs to another house.
    """
    rng = np.random.default_rng([seed, 3])
    seen = seen or scene(job, truth.species, truth.guess)
    visitor = Visitor(seen, state_of(truth, seen.graph), rates, rng)
    entities = dict(job.entities)
    for day in range(1, visits + 1):
        for key, one in visitor.visit(day, LOOKS).items():
            entities[key] = msgspec.json.decode(msgspec.json.encode(one))
    return msgspec.structs.replace(job, entities=entities)
