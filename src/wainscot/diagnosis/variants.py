"""Draws of a case joined and thinned, and what they say under other evidence.

Used where the same draws are weighed many times, under evidence that differs a little each time.

Limits: a case's populations count as one; their errors are not told.
"""

from __future__ import annotations

from typing import NamedTuple

import msgspec
import numpy as np

from wainscot.arrays import Bools, Bytes, Floats, Ints
from wainscot.diagnosis.draws import Draws
from wainscot.diagnosis.kernel import Population
from wainscot.diagnosis.posterior import Sample, smelt_voids
from wainscot.diagnosis.reweigh import changed_voids
from wainscot.signs import Evidence

FIELDS = ("light only", "heavy only", "nest")


class Drawn(NamedTuple):
    """One case with its draws joined to one population, thinned."""

    sample: Sample
    population: Population
    base: Floats
    """[N] log weight of each draw among all cases. [nat]"""
    values: Floats
    """[3, N, V of the answer] light only, heavy only, nest. [1]"""


def alike(own: Evidence, other: Evidence) -> bool:
    """Return True where two evidences on one graph say the same.

    Parameters
    ----------
    own, other : Evidence
        The evidences.
    """
    names = (
        "detail", "load_prior", "zone_hit", "zone_false", "source_factor", "linear_soil",
        "linear_log_likelihood", "linear_void",
    )  # fmt: skip
    return all(np.array_equal(getattr(own, name), getattr(other, name)) for name in names)


def join(sample: Sample, weight: Floats, step: int) -> Drawn:
    """Return all populations of a case as one, every ``step``-th draw.

    The steps run over each case by itself; :func:`thinned` takes the same draws.

    Parameters
    ----------
    sample : Sample
        The case with its draws.
    weight : Floats
        [populations] weight of each among all cases. [1]
    step : int
        Of how many draws one is kept.
    """
    parts = sample.populations
    arrays = {
        name: np.concatenate([getattr(one, name) for one in parts])[::step]
        for name in ("source", "reach", "soil", "nest", "run", "load", "log_likelihood")
    }
    sizes = [len(one.load) for one in parts]
    logs = np.repeat(np.log(np.maximum(weight, 1e-300)) - np.log(sizes), sizes)[::step]
    whole = msgspec.structs.replace(parts[0], **arrays)
    drawn = Drawn(sample, whole, np.asarray(logs), np.zeros(0))
    return drawn._replace(values=values_under(drawn, sample.case.evidence))


def thinned(draws: Draws, step: int) -> Draws:
    """Return the draws that :func:`join` keeps, with their soil as drawn.

    Parameters
    ----------
    draws : Draws
        All draws.
    step : int
        Of how many draws of a case one is kept.
    """
    keep = np.concatenate(
        [np.flatnonzero(draws.case == c)[::step] for c in range(len(draws.cases))]
    )
    weight = draws.weight[keep]
    names = ("case", "entry", "ever", "now", "soil", "nest", "run")
    parts = {name: getattr(draws, name)[keep] for name in names}
    return msgspec.structs.replace(draws, weight=weight / weight.sum(), **parts)


def values_under(one: Drawn, other: Evidence) -> Floats:
    """Return chances by field, draw and void of the answer under other evidence: [3, N, V]. [1]

    Parameters
    ----------
    one : Drawn
        The draws.
    other : Evidence
        The other evidence, on the case's graph.
    """
    sample, drawn = one.sample, one.population
    own = sample.case.evidence
    mapped = sample.void_map
    if one.values.size:
        values = one.values
        wanted = list(changed_voids(own, other).values())
        if not wanted:
            return values
        columns = np.flatnonzero(np.isin(mapped, np.concatenate(wanted)))
        values = values.copy()
    else:
        columns = np.flatnonzero(mapped >= 0)
        values = np.zeros((len(FIELDS), len(drawn.load), len(mapped)))
    voids = mapped[columns]
    detail = other.detail
    share = detail / np.maximum(detail.sum(axis=-1, keepdims=True), 1e-300)
    table = np.stack([share[..., 2], share[..., 4], share[..., 1::2].sum(axis=-1)])
    rows = other.row_of[voids][None, :]
    values[:, :, columns] = table[:, rows, drawn.load[:, None], drawn.reach[:, voids]]
    smelt = np.isin(voids, np.union1d(smelt_voids(sample), other.linear_void))
    soil, nest = drawn.soil[:, voids[smelt]], drawn.nest[:, voids[smelt]] > 0
    values[:, :, columns[smelt]] = np.stack([(soil == 1) & ~nest, (soil == 2) & ~nest, nest])
    return values


def redraw(one: Drawn, other: Evidence, soil: Bytes, nest: Bools, seed: int) -> None:
    """Draw the soil of voids with changed rows anew, as near to what was drawn as can be.

    Each cell's place in the old cumulative row is drawn and looked up in the new one, so that
    nothing changes where the rows are alike.

    Parameters
    ----------
    one : Drawn
        The draws.
    other : Evidence
        The other evidence, on the case's graph.
    soil, nest : arrays
        [N, V of the answer] as drawn; written to.
    seed : int
        Seed of the places.
    """
    sample, drawn = one.sample, one.population
    own = sample.case.evidence
    back = {int(v): column for column, v in enumerate(sample.void_map) if v >= 0}
    smelt = set(smelt_voids(sample).tolist())
    rng = np.random.default_rng(seed)
    for (a, b), voids in changed_voids(own, other).items():
        before, after = (_cumulative(each) for each in (own.detail[a], other.detail[b]))
        for v in voids.tolist():
            if v in back and v not in smelt:
                cell = drawn.soil[:, v].astype(np.int64) * 2 + drawn.nest[:, v]
                new = _moved(before, after, drawn.load, drawn.reach[:, v], cell, rng)
                soil[:, back[v]], nest[:, back[v]] = new // 2, new % 2 > 0


def _cumulative(row: Floats) -> Floats:
    total = np.cumsum(row, axis=-1)
    return np.asarray(total / np.maximum(total[..., -1:], 1e-300))


def _moved(
    before: Floats, after: Floats, load: Bytes, reach: Bytes, cell: Ints, rng: np.random.Generator
) -> Ints:
    upper = before[load, reach, cell]
    lower = np.where(cell > 0, before[load, reach, np.maximum(cell - 1, 0)], 0.0)
    place = lower + (upper - lower) * rng.random(len(cell))
    found = (after[load, reach] < place[:, None]).sum(axis=1)
    return np.asarray(np.minimum(found, before.shape[-1] - 1), dtype=np.int32)
