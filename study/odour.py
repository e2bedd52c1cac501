"""What the transfer of smells would be if the air of the house were solved, beside the one in use.

The transfer in use mixes every void with its neighbours at a fixed speed through the passages.
Here the same house is a network with stack effect, windows and a fan, under four kinds of weather.
It is compared void by void, and by what a smell in one room then says of the demo houses.

    python -m study odour
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import msgspec
import numpy as np
from scipy import stats
from scipy.sparse.linalg import splu

from wainscot import demos, voids
from wainscot.air import OUTDOORS, Fan, Network, Path, effective_area, exchange_of, orifice, solve
from wainscot.air.spread import _matrix
from wainscot.arrays import Floats, Ints
from wainscot.containment.house import TIGHTNESS, House
from wainscot.diagnosis import diagnose
from wainscot.job import Job, read
from wainscot.plan import Plan
from wainscot.signs import smell
from wainscot.signs.rates import DEFAULT, Rates
from wainscot.voids.graph import Graph
from wainscot.walk import Survey, survey

INSIDE = 293.15
WEATHER = {"mild, shut": (288.15, False, False), "cold night": (268.15, False, False),
           "windows open": (288.15, True, False), "fan on": (288.15, False, True)}  # fmt: skip
"""Outdoors [K], windows open, a kitchen fan on."""
_WINDOW, _FAN = 0.2, 0.05
HOUSES = ("corner_cafe", "semi_1930s", "terraced_cottage")
"""The demo houses that the committed result speaks of."""
DRAWS = 4096
_LEAST = 1e-6
"""A void that sends less to a room sends nothing. [unit]"""


def transfers(plan: Plan, graph: Graph, outside: float, windows: bool, fan: bool) -> Floats:
    """Return what a unit of emission in each void makes in each room: [R, V]. [unit]"""
    house = House(plan, graph, (), effective_area(0.01), INSIDE, outside, TIGHTNESS.value,
                   frozenset())  # fmt: skip
    network = house.network(0.0)
    paths, fans = list(network.paths), list(network.fans)
    if windows:
        glazed = {wall.side.room for wall in plan.walls
                  if any(one.type == "window" for one in wall.openings)}  # fmt: skip
        paths += [
            Path(room.id, OUTDOORS, orifice(_WINDOW), plan.storey(room.storey).elevation + 1.2)
            for room in plan.rooms if room.id in glazed
        ]  # fmt: skip
    if fan:
        busiest = max(
            plan.rooms, key=lambda room: sum(one.room == room.id for one in plan.fixtures)
        )
        fans.append(Fan(busiest.id, OUTDOORS, _FAN))
    whole = Network(network.zones, tuple(paths), tuple(fans), outside)
    room = exchange_of(whole, solve(whole))
    at = {name: i for i, name in enumerate(room.names)}
    rooms = [at[graph.keys[v]] for v in _rooms(graph)]
    unit = np.zeros((len(room.names), len(rooms)))
    unit[rooms, np.arange(len(rooms))] = -1.0
    found = splu(_matrix(room)).solve(unit, trans="T").T
    return np.asarray(found[:, [at[key] for key in graph.keys]]).clip(min=0.0)


def _rooms(graph: Graph) -> list[int]:
    return [v for v, hidden in enumerate(graph.hidden) if not hidden]


def _compared(seen: Survey) -> dict[str, Any]:
    graph = seen.graph
    rooms = _rooms(graph)
    now = smell.transfer(graph, np.array(rooms, dtype=np.int32))
    hidden = np.asarray(graph.hidden)
    each = np.stack([transfers(seen.plan, graph, *one) for one in WEATHER.values()])
    told: dict[str, Any] = {}
    for name, one in zip(WEATHER, each, strict=True):
        ranks = [float(stats.spearmanr(now[r, hidden], one[r, hidden]).statistic)
                 for r in range(len(rooms))]  # fmt: skip
        told[name] = {
            "rank_correlation_by_room": [round(rank, 2) for rank in ranks],
            "silent_share": round(float((one[:, hidden] < _LEAST).mean()), 3),
        }  # fmt: skip
    heard = each[:, :, hidden].clip(min=_LEAST)
    told["spread_of_log_between_weathers"] = round(float(np.median(np.log(heard).std(axis=0))), 2)
    told["silent_share_in_use"] = round(float((now[:, hidden] < _LEAST).mean()), 3)
    return told


def mixture(plan: Plan, graph: Graph) -> Floats:
    """Return the mean over the weathers, at the scale of the transfer in use: [R, V]. [unit]

    The scale is a judgement of the tables either way, so that only the pattern differs.
    """
    now = smell.transfer(graph, np.array(_rooms(graph), dtype=np.int32))
    mean = np.mean([transfers(plan, graph, *one) for one in WEATHER.values()], axis=0)
    hidden = np.asarray(graph.hidden)
    ratio = np.log(now[:, hidden].clip(min=_LEAST)) - np.log(mean[:, hidden].clip(min=_LEAST))
    return np.asarray(mean * np.exp(ratio.mean()))


@contextmanager
def _instead(job: Job) -> Iterator[None]:
    """Take the mixture in place of the transfer in use, for every graph of the job."""
    before = smell.transfer
    made: dict[int, tuple[Graph, Floats]] = {}

    def other(graph: Graph, wanted: Ints, rates: Rates = DEFAULT) -> Floats:
        if id(graph) not in made:
            smell.transfer = before
            plan = voids.framed(job, graph.guess).plan
            made[id(graph)] = (graph, mixture(plan, graph))
            smell.transfer = other
        rooms = _rooms(graph)
        return made[id(graph)][1][[rooms.index(v) for v in wanted.tolist()]]

    smell.transfer = other
    try:
        yield
    finally:
        smell.transfer = before


def _smelt(job: Job, seen: Survey, room: str) -> Job:
    """Return the job with a strong smell in one room and none in the others."""
    added = {
        f"nose_{one.id}": {
            "kind": "inspection", "place": {"of": one.id}, "method": "nose",
            "finds": [{"kind": "odour", "amount": "strong" if one.id == room else "none"}],
        }
        for one in seen.plan.rooms
    }  # fmt: skip
    return msgspec.structs.replace(job, entities={**job.entities, **added})


def _moved(job: Job, seen: Survey, draws: int) -> dict[str, Any]:
    """Return what the other transfer moves where one room smells, and what another seed does."""
    rooms = _rooms(seen.graph)
    room = seen.graph.keys[rooms[0]]
    smelt = _smelt(job, seen, room)
    soiled = []
    for seed, other in ((1, False), (2, False), (1, True)):
        if other:
            with _instead(smelt):
                answer, _ = diagnose(smelt, seed=seed, draws=draws)
        else:
            answer, _ = diagnose(smelt, seed=seed, draws=draws)
        soiled.append({one.id: (one.soiled, one.band) for one in answer.voids if one.hidden})
    base, again, changed = soiled

    def most(other: dict[str, Any]) -> float:
        return round(
            max(abs(base[key][0] - other[key][0]) for key in base.keys() & other.keys()), 3
        )

    return {
        "smells": room, "most_moved": most(changed), "most_moved_by_another_seed": most(again),
        "bands_changed": sum(base[key][1] != changed[key][1] for key in base),
        "bands_changed_by_another_seed": sum(base[key][1] != again[key][1] for key in base),
        "voids": len(base),
    }  # fmt: skip


def compared(draws: int = DRAWS) -> dict[str, Any]:
    """Return the comparison on the demo houses of :data:`HOUSES`."""
    found: dict[str, Any] = {}
    for name in HOUSES:
        job = read(demos.text(name))
        seen = survey(job)
        found[name] = {**_compared(seen), **_moved(job, seen, draws)}
    return found


def premise_holds(houses: dict[str, Any]) -> bool:
    """Whether weathers differ by more than the scale's error in most houses (decision 0004)."""
    error = DEFAULT.kind("smell").number("scale_spread")
    wider = [one["spread_of_log_between_weathers"] > error for one in houses.values()]
    return 2 * sum(wider) > len(wider)
