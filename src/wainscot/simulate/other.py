"""A second generator that breaks the model on purpose: other shapes, wrong framing, rates off.

    pair = other_house(seed=7)
    pair.true, pair.drawn       # the house as it is, the house as the job draws it
    lived = live(pair, seed=7, visits=2)

The shapes are L-shaped houses, rooms along a corridor and long terraces.  The job that the
diagnosis gets has the joists the other way, another spacing, another blocking, and lacks a service
or an entry point.  Every judged rate is off by its own factor between 0.5 and 2 (log-uniform) when
animals spread and when finds are made.  Occupants tell things; some looks cover several voids.

Limits: the kinds of voids and of passages are the model's own; what the model cannot imagine is not
here either.
"""

from __future__ import annotations

from typing import Any, Literal

import msgspec
import numpy as np

from wainscot.arrays import Floats, Ints
from wainscot.job import Find, Inspection, Job, Place
from wainscot.signs import DEFAULT, KINDS, Rates
from wainscot.signs.rates import Section
from wainscot.simulate.house import assemble, style
from wainscot.simulate.layout import WALL, Cell, split
from wainscot.simulate.looking import LOOKS, Visitor, logged
from wainscot.simulate.outcomes import Circumstances, seen_in_void, told_chance
from wainscot.simulate.truth import Scene, State, Truth, draw, scene, told
from wainscot.voids.graph import Graph

FACTOR = 2.0
"""Rates are off by at most this factor, up or down. [1]"""
MOST = 0.97
"""No chance is raised above this. [1]"""
Shape = Literal["L", "corridor", "terrace"]


class Pair(msgspec.Struct, frozen=True):
    """A house as it is, and as the job draws it."""

    shape: Shape
    true: Job
    drawn: Job


class Lived(msgspec.Struct, frozen=True):
    """A house of the second generator with animals and visits."""

    pair: Pair
    seen: Scene
    """The true house, with chances off."""
    state: State
    truth: Truth
    job: Job
    """What the diagnosis gets: the drawn house with the inspections."""


def other_house(seed: int) -> Pair:
    """Return a house of another shape, and the wrong drawing of it.

    Parameters
    ----------
    seed : int
        Of all randomness in it.
    """
    rng = np.random.default_rng([seed, 4])
    look = style(rng)
    shape: Shape = ("L", "corridor", "terrace")[int(rng.integers(3))]
    cells = {"L": _l_shape, "corridor": _corridor, "terrace": _terrace}[shape](rng)
    floors = [cells] if rng.random() < 0.6 else [cells, cells]
    true = assemble(f"other_{seed}", look, floors, rng)
    return Pair(shape, true, _misdrawn(true, rng))


def _l_shape(rng: np.random.Generator) -> list[Cell]:
    wide, deep = (round(float(rng.uniform(3.5, 6.0)), 2) for _ in range(2))
    wing, long = round(float(rng.uniform(2.0, 3.0)), 2), round(float(rng.uniform(2.0, 3.5)), 2)
    north = round(deep + WALL, 3)
    body = split(Cell(0.0, 0.0, wide, deep), 2, rng)
    return [*body, Cell(0.0, north, wing, round(north + long, 3))]


def _corridor(rng: np.random.Generator) -> list[Cell]:
    rooms = int(rng.integers(1, 3))
    size = round(float(rng.uniform(2.2, 3.2)), 2)
    long = round(rooms * size + (rooms - 1) * WALL, 3)
    hall = Cell(0.0, 0.0, long, 1.1)
    above = [
        Cell(
            round(n * (size + WALL), 3), round(1.1 + WALL, 3),
            round(n * (size + WALL) + size, 3), round(1.1 + WALL + 2.6, 3),
        )
        for n in range(rooms)
    ]  # fmt: skip
    below = [Cell(0.0, round(-WALL - 2.4, 3), long, round(-WALL, 3))]
    return [hall, *above, *below]


def _terrace(rng: np.random.Generator) -> list[Cell]:
    units = int(rng.integers(2, 5))
    wide = round(float(rng.uniform(1.9, 2.6)), 2)
    cells = []
    for n in range(units):
        west = round(n * (wide + WALL), 3)
        cells += split(Cell(west, 0.0, round(west + wide, 3), 3.2), 1 + n % 2, rng)
    return cells


def _misdrawn(true: Job, rng: np.random.Generator) -> Job:
    """Return the job with wrong framing and something left out."""
    swap: dict[str, dict[Any, Any]] = {
        "stud_spacing": {0.4: 0.6, 0.6: 0.4},
        "blocked": {"yes": "no", "no": "unknown", "unknown": "yes"},
        "framing": {"platform": "balloon", "balloon": "platform"},
    }
    wrong = {field: bool(rng.random() < 0.6) for field in swap}
    entities: dict[str, dict[str, Any]] = {}
    for key, one in true.entities.items():
        drawn = dict(one)
        for field, other in swap.items():
            if field in drawn and wrong[field]:
                drawn[field] = other[drawn[field]]
        if drawn["kind"] == "storey" and "joists_run" in drawn["floor"]:
            run = {"x": "y", "y": "x"}[drawn["floor"]["joists_run"]]
            drawn["floor"] = {**drawn["floor"], "joists_run": run}
        entities[key] = drawn
    for start in ("service_", "entry_"):
        keys = [key for key in entities if key.startswith(start)]
        if len(keys) > 1 and rng.random() < 0.5:
            del entities[keys[int(rng.integers(len(keys)))]]
    return msgspec.structs.replace(true, entities=entities)


def _factor(rng: np.random.Generator) -> float:
    return float(FACTOR ** rng.uniform(-1.0, 1.0))


def off_rates(rng: np.random.Generator, rates: Rates = DEFAULT) -> Rates:
    """Return the tables with every judged rate off by a factor of its own.

    Lists that sum to one still do; other lists share one factor, so that they keep their order.

    Parameters
    ----------
    rng : numpy.random.Generator
        Source of randomness.
    rates : Rates, optional
        The tables as judged.
    """
    return msgspec.structs.replace(
        rates,
        sections={name: _off_section(one, rng) for name, one in rates.sections.items()},
        methods={
            name: msgspec.structs.replace(
                one, shows={kind: _off(value, rng) for kind, value in one.shows.items()}
            )
            for name, one in rates.methods.items()
        },
        classes={
            name: msgspec.structs.replace(
                one,
                soil=tuple(tuple(_off(list(row), rng)) for row in one.soil),
                nest=tuple(_off(list(one.nest), rng)),
            )
            for name, one in rates.classes.items()
        },
        load=tuple(_off(list(rates.load), rng)),
    )


def _off_section(section: Section, rng: np.random.Generator) -> Section:
    values = {
        key: value if key == "published" or section.name == "floor" else _off(value, rng)
        for key, value in section.values.items()
    }
    return msgspec.structs.replace(section, values=values)


def _off(value: Any, rng: np.random.Generator) -> Any:
    """A number, a list or a table of them, off by factors; chances stay chances."""
    if isinstance(value, dict):
        return {key: _off(inner, rng) for key, inner in value.items()}
    if isinstance(value, list) and value and isinstance(value[0], list):
        return [_off(row, rng) for row in value]
    if isinstance(value, list):
        return _off_list(np.asarray(value, dtype=np.float64), rng)
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        changed = float(value) * _factor(rng)
        return changed if value > 1.0 else min(changed, MOST if value < 1.0 else 1.0)
    return value


def _off_list(value: Floats, rng: np.random.Generator) -> list[float]:
    if abs(value.sum() - 1.0) < 1e-6:
        changed = value * np.array([_factor(rng) for _ in value])
        return [float(one) for one in changed / changed.sum()]
    changed = value * _factor(rng)
    if value.max() < 1.0:
        # Amounts of one kind exclude each other: together they stay a chance.
        whole = changed.sum() if value.sum() <= 1.0 else changed.max()
        changed *= min(1.0, MOST / max(float(whole), 1e-12))
    return [float(one) for one in changed]


def off_graph(graph: Graph, rng: np.random.Generator) -> Graph:
    """Return the graph with the chances of each passage rule and each sort of way in off.

    Parameters
    ----------
    graph : Graph
        The voids as the model has them.
    rng : numpy.random.Generator
        Source of randomness.
    """
    by_rule = {rule: _factor(rng) for rule in sorted(set(graph.passage_rule))}
    rule = np.array([by_rule[one] for one in graph.passage_rule])
    by_sort = {sort: (_factor(rng), _factor(rng)) for sort in sorted(set(graph.source_sort))}
    active = graph.source_prior[:, 1:] * np.array([by_sort[one] for one in graph.source_sort])
    active *= np.minimum(1.0, MOST / np.maximum(active.sum(axis=1), 1e-12))[:, None]
    return msgspec.structs.replace(
        graph,
        prior_open=np.minimum(graph.prior_open * rule, MOST),
        source_prior=np.column_stack([1.0 - active.sum(axis=1), active]),
    )


class OtherVisitor(Visitor):
    """Looks as people do: sometimes over several voids at once, and occupants tell things."""

    def _look(self, sort: str, near: Ints) -> Inspection | None:
        chance = self.rng.random()
        if chance < 0.15:
            return self._over_several()
        if chance < 0.30:
            return self._told()
        return super()._look(sort, near)

    def _over_several(self) -> Inspection | None:
        """One look under the floor or into a wall of a room; only the most of a kind is logged."""
        room = self.graph.keys[int(self.rng.choice(self.voids["room"]))]
        part = str(self.rng.choice(["floor", "wall"]))
        place = Place(of=room, part="floor") if part == "floor" else Place(of=f"{room}/n1")
        voids = self.finder.find(place)
        again = [self._again("borescope", v) for v in voids]
        if not voids or any(again):
            return None
        look = self._circumstances("borescope", round(float(self.rng.uniform(0.2, 0.6)), 2))
        most: dict[str, Find] = {}
        for v in voids:
            at = (self.state.load, int(self.state.reach[v]), int(self.state.cell[v]))
            for find in seen_in_void(look, at, self.rates, self.rng):
                amounts = KINDS[find.kind].amounts
                known = most.get(find.kind)
                if known is None or amounts.index(find.amount) > amounts.index(known.amount):
                    most[find.kind] = find
        self.found += list(voids) if most else []
        return logged(place, look, list(most.values()))

    def _told(self) -> Inspection | None:
        """An occupant reports something, or has nothing to report and nothing is logged."""
        v = int(self.rng.choice(np.concatenate([self.voids["room"], self.voids["fixture"]])))
        owner = self.graph.owners[v]
        place = Place(of=self.graph.keys[v] if not self.graph.hidden[v] else owner)
        if self.finder.find(place) != (v,):
            return None
        kinds = [one for one in KINDS.values() if one.shown is not None and one.ordered]
        kind = kinds[int(self.rng.integers(len(kinds)))]
        look = Circumstances("eye and lamp", self.species, grade="told")
        at = (self.state.load, int(self.state.reach[v]), int(self.state.cell[v]))
        if self.rng.random() >= told_chance(kind, look, at, self.rates):
            return None
        one = logged(place, look, [Find(kind.name, kind.amounts[0])])
        return msgspec.structs.replace(one, finished=False)


def live(pair: Pair, seed: int, visits: int) -> Lived:
    """Return a house of the second generator with animals spread and visits made.

    Parameters
    ----------
    pair : Pair
        The house.
    seed : int
        Of all randomness in it.
    visits : int
        Visits, of nine looks each.
    """
    rng = np.random.default_rng([seed, 5])
    rates = off_rates(rng)
    plain = scene(pair.true)
    seen = msgspec.structs.replace(plain, graph=off_graph(plain.graph, rng))
    state = draw(seen.graph, rng, rates=rates)
    visitor = OtherVisitor(seen, state, rates, rng)
    visitor.entries = [
        e for e in visitor.entries if seen.graph.source_keys[e] in pair.drawn.entities
    ]
    entities = dict(pair.drawn.entities)
    for day in range(1, visits + 1):
        for key, one in visitor.visit(day, LOOKS).items():
            if one.place is not None and _drawn(one.place, pair.drawn):
                entities[key] = msgspec.json.decode(msgspec.json.encode(one))
    job = msgspec.structs.replace(pair.drawn, entities=entities)
    return Lived(pair, seen, state, told(seen, seed, state), job)


def _drawn(place: Place, job: Job) -> bool:
    return not place.of or place.of.partition("/")[0] in job.entities
