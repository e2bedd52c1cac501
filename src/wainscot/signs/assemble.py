"""Statements put together: rows of voids, zones, weights on ways in.

Looks that repeat each other.  A second look by the same eye at the same place sees mostly the same
part, so it is not independent of the first.  Two extremes are easy: independent looks multiply;
looks of which one holds the other say no more than the more telling one.  What counts here lies
between them, on a log scale, by the method's ``repeat`` (a judgement, in ``tables/methods.toml``):
the most telling piece counts in full and every other one to the power 1 - repeat.  "Most telling"
is taken state by state: of finds the greatest ratio to the empty state, of silences the smallest,
so that one more look in vain never raises a chance.

>>> combined([np.array([1.0, 0.5]), np.array([1.0, 0.5])], 1, 0.7, found=False).round(3).tolist()
[1.0, 0.406]

Limits: looks by different methods count as independent; zones are joined only where their voids are
the same.
"""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot.arrays import Floats, Ints
from wainscot.signs.evidence import Evidence, Piece, Statement


class Zone(msgspec.Struct, frozen=True):
    """One noisy-or before it is packed: members [n], hits [n, 3], false rate, heard or not."""

    voids: Ints
    hits: Floats
    """[n, 3] by reach. [1]"""
    false: float
    """[1]"""
    heard: bool
    group: str = ""
    """Method and kind."""
    repeat: float = 0.0
    """How far it only repeats another zone of its group with the same voids. [1]"""


def combined(factors: list[Floats], axes: int, repeat: float, *, found: bool) -> Floats:
    """Return what pieces of one group say together. [1]

    Parameters
    ----------
    factors : list of Floats
        Likelihoods, all of one shape. [1]
    axes : int
        How many of their last axes are states; the first state of each is the empty one.
    repeat : float
        How far they repeat each other. [1]
    found : bool
        Whether they are finds.
    """
    if len(factors) == 1:
        return factors[0]
    stack = np.stack(factors)
    level = stack[..., :1, :1] if axes == 2 else stack[..., :1]
    ratio = stack / level
    most = ratio.max(axis=0) if found else ratio.min(axis=0)
    return np.asarray(np.prod(level * ratio ** (1.0 - repeat), axis=0) * most**repeat)


def _joined(pieces: list[Piece], axes: int) -> Floats:
    groups: dict[tuple[str, bool], list[Piece]] = {}
    for piece in pieces:
        groups.setdefault((piece.group, piece.found), []).append(piece)
    parts = [
        combined([one.factor for one in mine], axes, mine[0].repeat, found=found)
        for (_, found), mine in groups.items()
    ]
    return np.asarray(np.prod(parts, axis=0))


def tempered(zones: list[Zone]) -> list[Zone]:
    """Return the zones with those that repeat another one weakened, in the same order.

    A zone that was silent has its chances taken to the power 1 - repeat.  For one that was heard
    the false rate rises until the greatest ratio of its likelihoods is taken to that power.

    Parameters
    ----------
    zones : list of Zone
        All zones.
    """
    strongest: dict[tuple[str, bool, bytes], int] = {}
    for z, zone in enumerate(zones):
        key = _same(zone)
        if key not in strongest or _strength(zone) > _strength(zones[strongest[key]]):
            strongest[key] = z
    return [
        zone if strongest[_same(zone)] == z else _weakened(zone) for z, zone in enumerate(zones)
    ]


def _same(zone: Zone) -> tuple[str, bool, bytes]:
    return zone.group, zone.heard, zone.voids.tobytes()


def _strength(zone: Zone) -> float:
    hit = 1.0 - float(np.prod(1.0 - zone.hits.max(axis=1)))
    return hit / zone.false if zone.heard else hit


def _weakened(zone: Zone) -> Zone:
    power = 1.0 - zone.repeat
    if not zone.heard:
        hits = 1.0 - (1.0 - zone.hits) ** power
        return msgspec.structs.replace(zone, hits=hits, false=1.0 - (1.0 - zone.false) ** power)
    hit = 1.0 - float(np.prod(1.0 - zone.hits.max(axis=1)))
    ratio = ((1.0 - (1.0 - zone.false) * (1.0 - hit)) / zone.false) ** power
    if hit <= 0.0:
        return zone
    return msgspec.structs.replace(zone, false=float(min(1.0, hit / (ratio - 1.0 + hit))))


def assemble(
    *,
    row_of: Ints,
    priors: Floats,
    load: Floats,
    sources: int,
    statements: tuple[Statement, ...],
    zones: list[Zone],
    unplaced: tuple[str, ...] = (),
) -> Evidence:
    """Return the evidence that priors and statements make together, without linear readings.

    Parameters
    ----------
    row_of : Ints
        [V] class of each void, index into ``priors``.
    priors : Floats
        [classes, L, 3, 6] joint chance of soil and nest by class. [1]
    load : Floats
        [L] prior of the load levels. [1]
    sources : int
        Number of ways in.
    statements : tuple of Statement
        What each inspection says.
    zones : list of Zone
        The zones that statements refer to by index.
    unplaced : tuple of str
        Inspections without a place.
    """
    rows = row_of.copy()
    looked = np.zeros(len(row_of))
    at_void: dict[int, list[Piece]] = {}
    at_source: dict[int, list[Piece]] = {}
    for one in statements:
        looked[one.voids] = np.maximum(looked[one.voids], one.share)
        for piece in one.pieces:
            where = at_source if piece.source >= 0 else at_void
            where.setdefault(max(piece.source, piece.void), []).append(piece)
    detail = [*priors]
    for v in sorted(at_void):
        rows[v] = len(detail)
        detail.append(priors[row_of[v]] * _joined(at_void[v], 2))
    source_factor = np.ones((sources, 3))
    for e, pieces in at_source.items():
        source_factor[e] = _joined(pieces, 1)
    told = tempered(zones)
    offsets = np.cumsum([0, *(len(zone.voids) for zone in told)])
    return Evidence(
        row_of=rows,
        detail=np.stack(detail),
        load_prior=load,
        zone_offsets=offsets.astype(np.int32),
        zone_void=np.concatenate([np.zeros(0, np.int32), *(zone.voids for zone in told)]),
        zone_hit=np.concatenate([np.zeros((0, 3)), *(zone.hits for zone in told)]),
        zone_false=np.array([zone.false for zone in told]),
        zone_heard=np.array([zone.heard for zone in told], dtype=np.bool_),
        source_factor=source_factor,
        statements=statements,
        unplaced=unplaced,
        looked=looked,
    )
