"""A row of floor bays with draws made by hand: what the choice of openings is tried on."""

from __future__ import annotations

import numpy as np

from wainscot.access import Access, Charge, Reach
from wainscot.checks import Pooled
from wainscot.voids.graph import Graph

BAYS = 6


def graph() -> Graph:
    """Return a room and six bays side by side, a passage between neighbours."""
    names = ("room", *(f"bay/{n}" for n in range(1, BAYS + 1)))
    count = len(names)
    square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    return Graph(
        keys=names, labels=("R", *(f"F{n}" for n in range(1, BAYS + 1))),
        kinds=("room", *("joist bay",) * BAYS), words=names, owners=names,
        storeys=("ground",) * count, hidden=np.array([False] + [True] * BAYS),
        polygon=(square,) * count, bottom=np.zeros(count), top=np.ones(count),
        volume=np.ones(count), faces=((),) * count,
        edges=np.array([(n, n + 1) for n in range(1, BAYS)], dtype=np.int32), passage_keys=(),
        passage_rule=(), passage_words=(), aperture=np.zeros((BAYS - 1, 2)),
        prior_open=np.ones(BAYS - 1), prior_run=np.ones(BAYS - 1),
        gnawable=np.zeros(BAYS - 1, dtype=np.bool_), passage_at=np.zeros((BAYS - 1, 3)),
        source_keys=(), source_words=(), source_sort=(), source_pool=(),
        source_void=np.zeros(0, dtype=np.int32), source_prior=np.zeros((0, 3)),
        source_at=np.zeros((0, 3)),
    )  # fmt: skip


def draws(
    chances: tuple[float, ...] = (0.9, 0.6, 0.3, 0.1, 0.05, 0.0), count: int = 2000
) -> Pooled:
    """Return draws where each bay is lightly soiled in exactly this share of them."""
    soil = np.zeros((count, BAYS + 1), dtype=np.uint8)
    rng = np.random.default_rng(5)
    for n, chance in enumerate(chances, 1):
        soil[rng.permutation(count)[: round(chance * count)], n] = 1
    zeros = np.zeros(count, dtype=np.int32)
    return Pooled(
        reach=np.where(soil > 0, 1, 0).astype(np.uint8), soil=soil,
        nest=np.zeros_like(soil), weight=np.full(count, 1.0 / count), species=("norway rat",),
        species_of=zeros, source=np.zeros((count, 0), dtype=np.uint8), choices=({},),
        guess_of=zeros,
    )  # fmt: skip


def opening(
    name: str, *voids: int, hours: float = 1.0, share: float = 1.0, **shared: float
) -> Access:
    """Return one opening of so many hours, with shared charges by key in hours."""
    return Access(
        id=name, act=name.partition("/")[0], words=f"Open by {name}: here",
        reaches=tuple(Reach(void, share) for void in voids), room="room", minutes=60.0 * hours,
        repair=0.0, finish="plasterboard", area=0.1, disturbance="cut", method="opened", nights=0,
        at=(0.0, 0.0, 0.0),
        charges=tuple(Charge(k, "finish", k, k, each) for k, each in sorted(shared.items())),
    )  # fmt: skip


def singles(hours: float = 1.0, **shared: float) -> tuple[Access, ...]:
    """Return one opening for each bay."""
    return tuple(opening(f"bay/{n}", n, hours=hours, **shared) for n in range(1, BAYS + 1))
