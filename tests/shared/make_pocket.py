"""A small pocket with looks since, and what the program says of them; this file writes it.

    python tests/shared/make_pocket.py

The answers are the program's own rows and weights (``signs``, ``reweigh``, ``pareto``), which have
oracles of their own elsewhere; the app must come to the same numbers in its own language.
"""

from __future__ import annotations

import base64
import json
from pathlib import Path
from typing import Any

import msgspec
import numpy as np

from wainscot import voids as voids_step
from wainscot.arrays import Ints
from wainscot.book import DEFAULT
from wainscot.diagnosis import diagnose
from wainscot.diagnosis.cases import Case, cases
from wainscot.diagnosis.kernel import Population
from wainscot.diagnosis.pareto import effective, smooth
from wainscot.diagnosis.posterior import Sample, weights
from wainscot.diagnosis.reweigh import log_ratio, soiled
from wainscot.job import (
    EntryPoint,
    Find,
    Fixture,
    Inspection,
    Job,
    Place,
    Room,
    Service,
    typed,
)
from wainscot.job import Storey as StoreyEntity
from wainscot.pocket.making import make, picked_draws
from wainscot.pocket.sayings import key_of
from wainscot.pocket.shapes import Pocket, packed
from wainscot.signs import DEFAULT as RATES
from wainscot.signs.place import put
from wainscot.simulate import house, inspect, spread
from wainscot.voids.graph import Graph

FILE = Path(__file__).parent / "pocket.json"
CARRIED = 512
SEED = 3

Looks = dict[str, dict[str, Any] | None]


def base() -> Job:
    """Return the house with its looks of before."""
    job = house(seed=SEED, storeys=1, rooms=2)
    return inspect(job, spread(job, seed=SEED), seed=SEED, visits=1)


def looks(job: Job, as_of: str, point: tuple[float, float], height: float) -> dict[str, Looks]:
    """Return sets of looks that were logged since, by name; None takes one back."""
    of = {one["kind"]: key for key, one in job.entities.items()}
    old = next(key for key, one in sorted(job.entities.items()) if one["kind"] == "inspection")
    fixture, entry, room = of["fixture"], of["entry_point"], of["room"]
    storey = of["storey"]
    at = [f"{value:.4f} m" for value in point]

    def look(place: dict[str, Any], find: dict[str, Any], **more: Any) -> dict[str, Any]:
        fields = {"kind": "inspection", "place": place, "method": "eye and lamp", "at": as_of,
                  "grade": "seen", "finished": False, "finds": [find]}  # fmt: skip
        return fields | more

    few = {"kind": "droppings", "amount": "few"}
    quiet = {"kind": "looked and saw nothing", "amount": "part"}
    wall = {"storey": storey, "at": at, "part": "wall"}
    inside = {"storey": storey, "at": at, "height": f"{height:.4f} m"}
    return {
        "a find in a wall": {"n1": look(wall, few | {"freshness": "fresh"})},
        "a find in a void that was tapped": {"n1": look(inside, few, method="eye and lamp")},
        "a sound round a void that was tapped": {
            "n1": look(inside | {"radius": "1 m"}, {"kind": "sound", "amount": "clear"},
                       method="ear"),
        },
        "a second look at the same place": {
            "n1": look(wall, few), "n2": look(wall, few, grade="photographed"),
        },
        "a find somewhere about a fixture": {"n1": look({"of": fixture}, few, grade="told")},
        "nothing, three weeks before": {
            "n1": look({"of": room, "part": "room"}, quiet, finished=True,
                       at="2026-02-10T07:00:00+00:00"),
        },
        "rub marks at a way in": {
            "n1": look({"of": entry}, {"kind": "rub mark", "amount": "clear"}),
        },
        "a sound, twice": {
            key: look({"storey": storey, "at": at, "part": "floor", "radius": "1.5 m"},
                      {"kind": "sound", "amount": "clear"}, method="ear")
            for key in ("n1", "n2")
        },
        "a trap that stood for four nights": {
            "n1": look(wall, {"kind": "trap night", "amount": "nothing"}, method="trap",
                       finished=True, nights=4),
        },
        "one taken back": {old: None},
    }  # fmt: skip


def changed(job: Job, looked: Looks) -> Job:
    """Return the job with looks put in or taken back."""
    entities = job.entities | {key: one for key, one in looked.items() if one is not None}
    kept = {key: one for key, one in entities.items() if looked.get(key, one) is not None}
    return msgspec.structs.replace(job, entities=kept)


def made() -> Any:
    """Return the pocket and every set of looks with what the program says of it."""
    job = base()
    _, drawn = diagnose(job, seed=SEED, draws=1024)
    pocket = make(job, drawn, DEFAULT, seed=SEED, carried=CARRIED)
    assert pocket is not None
    picked = picked_draws(drawn.samples, CARRIED)
    graph = drawn.samples[0].case.graph
    v = next(v for v, kind in enumerate(graph.kinds) if kind == "stud bay")
    point = graph.polygon[v].mean(axis=0)
    # Heights count from the floor of the only storey, which lies at nought.
    height = float(graph.bottom[v] + graph.top[v]) / 2
    found = []
    used: set[str] = set()
    for name, looked in looks(
        job, pocket.as_of, (float(point[0]), float(point[1])), height
    ).items():
        after = {(one.species, one.guess): one for one in cases(changed(job, looked))}
        others = [after[one.case.species, one.case.guess] for one in drawn.samples]
        used |= {key_of(msgspec.convert(one, Inspection)) for one in looked.values() if one}
        found.append({
            "name": name, "looks": looked, "once": _once(drawn.samples, picked, others),
            "cases": [_evidence(one) for one in others],
        })  # fmt: skip
    return {
        "pocket": _trimmed(pocket, used), "entities": job.entities, "cases": found,
        "placings": placings(job, graph),
    }  # fmt: skip


def placings(job: Job, graph: Graph) -> Any:
    """Return looks with what the program says of their places: points of every part, and names."""
    framed = voids_step.framings(job)[0]
    entities = typed(framed.job)
    storey = next(key for key, one in entities.items() if isinstance(one, StoreyEntity))
    rng = np.random.default_rng(11)
    low = np.min([one.min(axis=0) for one in graph.polygon], axis=0)
    high = np.max([one.max(axis=0) for one in graph.polygon], axis=0)
    found = []
    for n in range(160):
        at = [f"{value:.3f} m" for value in rng.uniform(low, high)]
        part = ("wall", "floor", "ceiling")[n % 3]
        radius = None if n % 2 else ("1.5 m", "0.7 m")[n % 4 // 2]
        found.append(Place(storey=storey, at=(at[0], at[1]), part=part, radius=radius))
    middles = [one.mean(axis=0) for v, one in enumerate(graph.polygon) if graph.hidden[v]]
    for n, (x, y) in enumerate(middles):
        at = (f"{x:.4f} m", f"{y:.4f} m")
        found.append(Place(storey=storey, at=at, part=("wall", "floor", "ceiling")[n % 3]))
    named = [
        key for key, one in entities.items() if isinstance(one, (EntryPoint, Fixture, Service))
    ]
    found += [Place(of=key, radius=radius) for key in named for radius in (None, "1.5 m")]
    rooms = [key for key, one in entities.items() if isinstance(one, Room)]
    found += [
        Place(of=key, part="room", radius=radius) for key in rooms for radius in (None, "1.5 m")
    ]
    return [_placing(place, framed, graph) for place in found]


def _placing(place: Place, framed: voids_step.framed.Framed, graph: Graph) -> Any:
    zones = [Find("sound"), Find("stain from above"), Find("occupant's report")]
    look = Inspection(place=place, finished=False, finds=zones)
    put_at = put(
        "n1", look, typed(framed.job), graph,
        lambda one: voids_step.locate(graph, framed.plan, one),
        lambda one: voids_step.locate_zone(graph, framed.plan, one), RATES,
    )  # fmt: skip
    return {
        "look": msgspec.to_builtins(look), "voids": list(put_at.voids), "nearest": put_at.nearest,
        "zone": list(put_at.zone), "above": list(put_at.above), "source": put_at.source,
        "somewhere": put_at.somewhere,
    }  # fmt: skip


def _evidence(case: Case) -> Any:
    """Rows of voids that differ from their class, zones, weights of drawn ways in."""
    graph, evidence = case.graph, case.evidence
    rows = {
        key: evidence.detail[evidence.row_of[v]].ravel().tolist()
        for v, key in enumerate(graph.keys)
        if evidence.row_of[v] >= len(evidence.recipe.rates.classes)
    }
    offsets = evidence.zone_offsets
    zones = sorted(
        [
            evidence.zone_void[offsets[z] : offsets[z + 1]].tolist(),
            evidence.zone_hit[offsets[z] : offsets[z + 1]].ravel().tolist(),
            float(evidence.zone_false[z]), bool(evidence.zone_heard[z]),
        ]
        for z in range(len(evidence.zone_false))
    )  # fmt: skip
    weighted = graph.source_prior * evidence.source_factor
    entries = {
        key: weighted[e].tolist()
        for e, (key, sort) in enumerate(zip(graph.source_keys, graph.source_sort, strict=True))
        if sort == "entry point"
    }
    return {"rows": rows, "zones": zones, "entries": entries}


def _thinned(one: Population, k: Ints) -> Population:
    return msgspec.structs.replace(
        one, source=one.source[k], reach=one.reach[k], soil=one.soil[k], nest=one.nest[k],
        run=one.run[k], load=one.load[k], log_likelihood=one.log_likelihood[k],
    )  # fmt: skip


def _once(samples: tuple[Sample, ...], picked: list[list[Ints]], others: list[Case]) -> Any:
    """What the draws that the phone carries say under the new evidence."""
    logs, values, now = [], [], []
    for sample, chosen, other in zip(samples, picked, others, strict=True):
        for one, k in zip(sample.populations, chosen, strict=True):
            few = _thinned(one, k)
            logs.append(log_ratio(sample, few, other.evidence)[0])
            inside = soiled(sample, few, other.evidence, np.maximum(sample.void_map, 0))
            values.append(np.where(sample.void_map >= 0, inside, 0.0))
            reach = few.reach[:, np.maximum(sample.void_map, 0)]
            now.append(np.where(sample.void_map >= 0, reach == 2, 0.0))
    smoothed, k = smooth(np.concatenate(logs))
    weight = np.exp(smoothed)
    weight /= weight.sum()
    keys = samples[0].case.graph.keys
    return {
        "k": k if np.isfinite(k) else None, "effective": effective(smoothed),
        "soiled": dict(zip(keys, (weight @ np.concatenate(values)).tolist(), strict=True)),
        "now": dict(zip(keys, (weight @ np.concatenate(now)).tolist(), strict=True)),
    }  # fmt: skip


def full() -> Any:
    """Return what the program says of its own draws, drawn as a phone draws them."""
    from wainscot.diagnosis import kernel
    from wainscot.diagnosis.posterior import void_chances

    _, drawn = diagnose(base(), seed=SEED, draws=1024)
    pocket = make(base(), drawn, DEFAULT, seed=SEED, carried=CARRIED)
    assert pocket is not None
    again = tuple(
        msgspec.structs.replace(
            sample,
            populations=tuple(
                kernel.run(
                    sample.problem, seed=int(case.seed), populations=pocket.populations,
                    chains=pocket.draws // pocket.populations // 8, length=8,
                )
            ),
        )
        for sample, case in zip(drawn.samples, pocket.cases, strict=True)
    )  # fmt: skip
    keys = again[0].case.graph.keys
    chances = void_chances(again)
    return {
        "digests": [[one.digest for one in sample.populations] for sample in again],
        "weights": [each.tolist() for each in weights(again)],
        "voids": {
            name: {
                key: [float(one.mean[v]), float(one.error[v]), bool(one.settled[v])]
                for v, key in enumerate(keys)
            }
            for name, one in chances.items()
        },
    }


def _trimmed(pocket: Pocket, used: set[str]) -> Any:
    """The pocket with the sayings that the cases use, and their factors alone."""
    whole = msgspec.to_builtins(pocket)
    for said in whole["sayings"].values():
        said["entries"] = {key: one for key, one in said["entries"].items() if key in used}
        for parts, table, size in (("cell", "factors", 54), ("way", "ways", 3)):
            factors = np.frombuffer(base64.b64decode(said[table])).reshape(-1, size)
            kept: list[int] = []
            for one in said["entries"].values():
                told = [(part, factor) for *part, factor in one.get(parts, ())]
                one[parts] = [[*part, len(kept) + n] for n, (part, _) in enumerate(told)]
                kept += [factor for _, factor in told]
            said[table] = packed(factors[kept], "<f8")
    return whole


def text() -> str:
    """Return the text of the file."""
    whole = made() | {"full": full()}
    return json.dumps(whole, ensure_ascii=False, sort_keys=True, separators=(",", ":")) + "\n"


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
