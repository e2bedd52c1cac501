"""A house small enough to be counted out: seven voids, eight passages, five ways in.

Invented for the tests; its numbers stand for nothing.  ``exact`` counts every joint state with
numpy, without any of the project's own inference, and with every way in by itself.
"""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np

from wainscot.job import Find, Inspection, Place
from wainscot.signs import Evidence, weigh
from wainscot.signs.place import Placed
from wainscot.voids.graph import Graph

VOIDS = (
    ("kitchen", "Kitchen", "room", "kitchen", "kitchen", 28.0),
    ("sink", "C1", "under cabinet", "sink units C1, kitchen", "units", 0.3),
    ("f1", "F1", "joist bay", "joist bay F1, kitchen floor", "ground", 0.2),
    ("f2", "F2", "joist bay", "joist bay F2, kitchen floor", "ground", 0.2),
    ("w1", "W1", "stud bay", "stud bay W1, kitchen north wall", "wall_n", 0.08),
    ("w2", "W2", "stud bay", "stud bay W2, kitchen north wall", "wall_n", 0.08),
    ("bath", "B1", "under bath", "under the bath B1", "bath", 0.25),
)
PASSAGES = (
    (0, 1, 0.30), (1, 2, 0.40), (2, 3, 0.55), (3, 4, 0.25),
    (4, 5, 0.10), (5, 6, 0.45), (3, 6, 0.15), (0, 4, 0.05),
)  # fmt: skip
SOURCES = (
    ("drain", "broken drain under the sink units", "entry point", "drain", 2, (0.6, 0.1, 0.3)),
    ("u_w1", "a way in not drawn", "unknown", "outside, north side", 4, (0.95, 0.02, 0.03)),
    ("s_w1", "settled inside", "settled", "settled", 4, (0.996, 0.002, 0.002)),
    ("u_k", "a way in not drawn", "unknown", "outside, south side", 0, (0.97, 0.01, 0.02)),
    ("s_bath", "settled inside", "settled", "settled", 6, (0.99, 0.004, 0.006)),
)


def graph(**changed: Any) -> Graph:
    """Return the house as a graph; keywords replace fields."""
    keys, labels, kinds, words, owners, volumes = zip(*VOIDS, strict=True)
    count = len(VOIDS)
    squares = tuple(
        np.array([[v, 0.0], [v + 1.0, 0.0], [v + 1.0, 1.0], [v, 1.0]]) for v in range(count)
    )
    fields: dict[str, Any] = {
        "keys": keys,
        "labels": labels,
        "kinds": kinds,
        "words": words,
        "owners": owners,
        "storeys": ("ground",) * count,
        "hidden": np.array([kind != "room" for kind in kinds]),
        "polygon": squares,
        "bottom": np.zeros(count),
        "top": np.ones(count),
        "volume": np.array(volumes),
        "faces": ((),) * count,
        "edges": np.array([(a, b) for a, b, _ in PASSAGES], dtype=np.int32),
        "passage_keys": tuple(f"p{i}" for i in range(len(PASSAGES))),
        "passage_rule": ("gap",) * len(PASSAGES),
        "passage_words": ("gap",) * len(PASSAGES),
        "aperture": np.full((len(PASSAGES), 2), 0.02),
        "prior_open": np.array([p for _, _, p in PASSAGES]),
        "prior_run": np.ones(len(PASSAGES)),
        "gnawable": np.zeros(len(PASSAGES), dtype=bool),
        "passage_at": np.zeros((len(PASSAGES), 3)),
        "source_keys": tuple(row[0] for row in SOURCES),
        "source_words": tuple(row[1] for row in SOURCES),
        "source_sort": tuple(row[2] for row in SOURCES),
        "source_pool": tuple(row[3] for row in SOURCES),
        "source_void": np.array([row[4] for row in SOURCES], dtype=np.int32),
        "source_prior": np.array([row[5] for row in SOURCES]),
        "source_at": np.zeros((len(SOURCES), 3)),
        "species": "norway rat",
        "guess": "",
    }
    return Graph(**{**fields, **changed})


def tiny() -> Graph:
    """Return the first few voids alone: kitchen, sink units, two bays; four passages."""
    whole = graph()
    voids, passages, ways = [0, 1, 2, 4], [0, 1, 3, 7], [0, 1, 2, 3]
    place = {v: i for i, v in enumerate(voids)}
    ends = [(0, 1), (1, 2), (2, 4), (0, 4)]

    def pick(values: Any, index: list[int]) -> Any:
        return values[index] if isinstance(values, np.ndarray) else tuple(values[i] for i in index)

    by_void = ("keys", "labels", "kinds", "words", "owners", "storeys", "hidden", "polygon",
               "bottom", "top", "volume", "faces")  # fmt: skip
    by_passage = ("passage_keys", "passage_rule", "passage_words", "aperture", "prior_open",
                  "prior_run", "gnawable", "passage_at")  # fmt: skip
    by_source = ("source_keys", "source_words", "source_sort", "source_pool", "source_prior",
                 "source_at")  # fmt: skip
    changed = {name: pick(getattr(whole, name), voids) for name in by_void}
    changed |= {name: pick(getattr(whole, name), passages) for name in by_passage}
    changed |= {name: pick(getattr(whole, name), ways) for name in by_source}
    changed["edges"] = np.array([(place[a], place[b]) for a, b in ends], dtype=np.int32)
    changed["source_void"] = np.array([place[SOURCES[e][4]] for e in ways], dtype=np.int32)
    return graph(**changed)


def look(
    key: str, voids: tuple[int, ...], *finds: Find, zone: tuple[int, ...] = (), source: int = -1,
    nearest: int | None = None, **fields: Any,
) -> Placed:  # fmt: skip
    """Return one inspection that was already put in its place."""
    middle = (voids[0] if len(voids) == 1 else -1) if nearest is None else nearest
    inspection = Inspection(place=Place(of="somewhere"), finds=list(finds), **fields)
    where = VOIDS[voids[0]][3] if voids else "here"
    return Placed(key, inspection, voids, middle, zone, source, where)


def finds(kind: str, amount: str = "", **fields: Any) -> Find:
    """Return one find."""
    return Find(kind, amount, **fields)


def usual() -> list[Placed]:
    """Return a handful of inspections with every form of evidence."""
    return [
        look("i1", (1,), finds("droppings", "many", freshness="fresh"), share_seen=0.5),
        look("i2", (5,), method="borescope", share_seen=0.7),
        look("i3", (), finds("sound"), zone=(4, 5, 6), method="ear", finished=False, grade="told"),
        look("i4", (), finds("rub mark", "clear"), source=0, share_seen=1.0),
        look("i5", (6,), finds("droppings", "few", freshness="old"), share_seen=0.4),
        look("i6", (0,), finds("trap night", "nothing"), method="trap", nights=6),
        look("i7", (2, 3), finds("urine stain", "few"), method="borescope", share_seen=0.6),
    ]


def evidence_of(placed: list[Placed], species: str = "norway rat") -> Evidence:
    """Return what the inspections say in this house."""
    return weigh(placed, graph(), species)


def exact(house: Graph, evidence: Evidence) -> dict[str, np.ndarray]:
    """Return the exact posterior by counting every state of passages, ways in, load, soil, nest."""
    count, ways = len(house.keys), len(house.source_keys)
    part = find_parts(house)
    states = np.array(list(product(range(3), repeat=ways)))
    source_weight = np.prod(
        (house.source_prior * evidence.source_factor)[np.arange(ways), states], axis=1
    )
    chance = house.prior_open * house.prior_run
    on = np.array(list(product((0, 1), repeat=len(chance))))
    passage_weight = np.prod(np.where(on, chance, 1.0 - chance), axis=1)
    rows = evidence.detail[evidence.row_of]
    total = 0.0
    fields = {name: np.zeros(count) for name in ("ever", "now", "soiled", "heavy", "nest")}
    used = np.zeros((ways, 3))
    for config in range(len(on)):
        same = part[config][:, None] == part[config][house.source_void][None, :]
        reach = np.max(np.where(same[None], states[:, None, :], 0), axis=2)
        zones = _zones(evidence, reach)
        for level, prior in enumerate(evidence.load_prior):
            cells = rows[np.arange(count)[None, :], level, reach]
            sums = cells.sum(axis=2)
            weight = prior * passage_weight[config] * source_weight * zones * sums.prod(axis=1)
            total += weight.sum()
            fields["ever"] += weight @ (reach > 0)
            fields["now"] += weight @ (reach == 2)
            fields["soiled"] += weight @ (1.0 - cells[..., 0] / sums)
            fields["heavy"] += weight @ (cells[..., 4:].sum(axis=2) / sums)
            fields["nest"] += weight @ (cells[..., 1::2].sum(axis=2) / sums)
            for e in range(ways):
                used[e] += np.bincount(states[:, e], weights=weight, minlength=3)
    answer = {name: values / total for name, values in fields.items()}
    return {**answer, "source": used / total, "log_evidence": np.log(total)}


def find_parts(house: Graph) -> np.ndarray:
    """Connected part of each void, for every choice of open passages."""
    labels = []
    for on in product((0, 1), repeat=len(house.edges)):
        label = list(range(len(house.keys)))
        for (a, b), open_ in zip(house.edges.tolist(), on, strict=True):
            if open_:
                low, high = sorted((label[a], label[b]))
                label = [low if each == high else each for each in label]
        labels.append(label)
    return np.array(labels)


def _zones(evidence: Evidence, reach: np.ndarray) -> np.ndarray:
    chance = np.ones(len(reach))
    for z, false in enumerate(evidence.zone_false):
        miss = np.full(len(reach), 1.0 - false)
        for m in range(evidence.zone_offsets[z], evidence.zone_offsets[z + 1]):
            miss = miss * (1.0 - evidence.zone_hit[m][reach[:, evidence.zone_void[m]]])
        chance = chance * ((1.0 - miss) if evidence.zone_heard[z] else miss)
    return chance
