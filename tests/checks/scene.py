"""A synthetic row of bays under a floor, with draws of our own making: no plan, no sampler."""

from __future__ import annotations

import numpy as np

from wainscot.access import Access, HoldPoint, Reach
from wainscot.checks import Pooled
from wainscot.signs import Evidence
from wainscot.voids.graph import Graph

SPECIES = ("norway rat",)


def graph(bays: int = 6) -> Graph:
    """Return one room and ``bays`` hidden bays F1, F2, ... in a row."""
    count = bays + 1
    square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    none = np.zeros((0, 2))
    return Graph(
        keys=("kitchen", *(f"floor/bay/{i}" for i in range(1, count))),
        labels=("kitchen", *(f"F{i}" for i in range(1, count))),
        kinds=("room", *["joist bay"] * bays),
        words=("the kitchen", *(f"joist bay F{i}, kitchen floor" for i in range(1, count))),
        owners=("kitchen",) * count,
        storeys=("ground",) * count,
        hidden=np.array([False] + [True] * bays),
        polygon=(square,) * count,
        bottom=np.zeros(count),
        top=np.ones(count),
        volume=np.full(count, 0.2),
        faces=((),) * count,
        edges=none.astype(np.int32),
        passage_keys=(),
        passage_rule=(),
        passage_words=(),
        aperture=none,
        prior_open=np.zeros(0),
        prior_run=np.zeros(0),
        gnawable=np.zeros(0, dtype=np.bool_),
        passage_at=np.zeros((0, 3)),
        source_keys=("drain",),
        source_words=("broken drain",),
        source_sort=("entry point",),
        source_pool=("",),
        source_void=np.array([1], dtype=np.int32),
        source_prior=np.array([[0.5, 0.2, 0.3]]),
        source_at=np.zeros((1, 3)),
        species=SPECIES[0],
    )


def evidence(looked: np.ndarray | None = None, bays: int = 6) -> Evidence:
    """Return no signs at all, only what was looked at."""
    floats, ints = np.zeros(0), np.zeros(0, dtype=np.int32)
    return Evidence(
        row_of=np.zeros(bays + 1, dtype=np.int32),
        detail=np.ones((1, 3, 3, 6)),
        load_prior=np.array([0.35, 0.4, 0.25]),
        zone_offsets=np.zeros(1, dtype=np.int32),
        zone_void=ints,
        zone_hit=np.zeros((0, 3)),
        zone_false=floats,
        zone_heard=np.zeros(0, dtype=np.bool_),
        source_factor=np.ones((1, 3)),
        statements=(),
        looked=looked,
    )


def draws(count: int = 4096, bays: int = 6, seed: int = 1, used: float = 0.5) -> Pooled:
    """Return draws where animals come in at F1 and stop somewhere along the row."""
    rng = np.random.default_rng(seed)
    state = rng.choice(3, size=count, p=[1 - used, used / 3, 2 * used / 3]).astype(np.uint8)
    last = rng.geometric(0.35, size=count)
    reach = np.where(np.arange(bays + 1) <= last[:, None], state[:, None], 0).astype(np.uint8)
    soil = np.where(reach > 0, rng.choice(3, size=reach.shape, p=[0.3, 0.4, 0.3]), 0)
    guess = (last % 2).astype(np.int32)
    return Pooled(
        reach=reach,
        soil=soil.astype(np.uint8),
        nest=((soil == 2) & (rng.random(reach.shape) < 0.3)).astype(np.uint8),
        weight=np.full(count, 1.0 / count),
        species=SPECIES,
        species_of=np.zeros(count, dtype=np.int32),
        source=state[:, None],
        guess_of=guess,
        choices=({"joists": "along"}, {"joists": "across"}),
    )


def access(
    key: str,
    *voids: int,
    method: str = "borescope",
    minutes: float = 15.0,
    share: float = 0.8,
    **more: object,
) -> Access:
    """Return one way to look into some of the bays."""
    fields: dict[str, object] = {
        "id": key,
        "act": key.partition("/")[0],
        "words": f"Look by {key}",
        "reaches": tuple(Reach(void, share) for void in voids),
        "room": "kitchen",
        "minutes": minutes,
        "repair": 0.0,
        "finish": "",
        "area": 0.0,
        "disturbance": "none",
        "method": method,
        "nights": 0,
        "at": (0.0, 0.0, 0.0),
    }
    return Access(**{**fields, **more})


def unknown_hold() -> HoldPoint:
    """Return a hold point that nobody has settled."""
    return HoldPoint(
        key="services/here", hazard="services", standing="find out", words="unknown",
        first="sweep for cables", who="an electrician", evidence="readings",
        source="29 CFR 1926.416(a)", minutes=10.0,
    )  # fmt: skip
