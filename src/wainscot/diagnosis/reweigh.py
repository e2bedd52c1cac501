"""Draws under other evidence: what each would weigh if the signs had said something else.

A draw's weight is the ratio of what the other evidence and the evidence it was drawn under give it:
row sums of soil and nest given load and reach, zones, ways in, smells.  Voids that a smell depends
on are weighed by the soil that was drawn in them, because a smell ties their soils together.

    logs, most = log_ratio(sample, population, without(evidence, key))

Limits: draws cannot weigh what they never visit; ``most``, the greatest possible ratio, helps to
see that.
"""

from __future__ import annotations

from collections import Counter

import numpy as np

from wainscot.arrays import Bools, Bytes, Floats, Ints
from wainscot.diagnosis.kernel import Population
from wainscot.diagnosis.posterior import Sample, smelt_voids
from wainscot.signs.evidence import Evidence

_LEAST = 1e-300


def log_ratio(sample: Sample, one: Population, other: Evidence) -> tuple[Floats, float]:
    """Return the log weight of each draw under other evidence, [N], and its upper bound. [nat]

    Parameters
    ----------
    sample : Sample
        The case that was drawn from.
    one : Population
        Its draws.
    other : Evidence
        The other evidence, on the same graph.
    """
    own = sample.case.evidence
    load = np.log(np.maximum(other.load_prior, _LEAST) / np.maximum(own.load_prior, _LEAST))
    logs, most = load[one.load], float(load.max())
    for part, bound in (
        _rows(sample, one, other),
        _zones(own, other, one.reach),
        _sources(sample, one, other),
        _smells(own, other, one),
    ):
        logs, most = logs + part, most + bound
    return logs, most


def changed_voids(own: Evidence, other: Evidence) -> dict[tuple[int, int], Ints]:
    """Return the voids whose rows differ, by the pair of rows (own, other).

    Parameters
    ----------
    own, other : Evidence
        Evidence on the same graph.
    """
    wide = len(other.detail)
    pair_of = own.row_of.astype(np.int64) * wide + other.row_of
    found: list[tuple[tuple[int, int], Ints]] = []
    for pair in np.unique(pair_of).tolist():
        a, b = divmod(pair, wide)
        if not np.array_equal(own.detail[a], other.detail[b]):
            found.append(((a, b), np.flatnonzero(pair_of == pair).astype(np.int32)))
    return dict(sorted(found, key=lambda one: one[1][0]))


def _rows(sample: Sample, one: Population, other: Evidence) -> tuple[Floats, float]:
    own = sample.case.evidence
    logs, most = np.zeros(len(one.load)), 0.0
    drawn = np.union1d(smelt_voids(sample), other.linear_void)
    for (a, b), voids in changed_voids(own, other).items():
        before, after = own.detail[a], other.detail[b]
        ratio = _log_of(after.sum(axis=-1)) - _log_of(before.sum(axis=-1))
        by_cell = np.where(after > 0.0, _log_of(after) - _log_of(before), np.log(_LEAST))
        known = np.isin(voids, drawn)
        for v in voids[~known]:
            logs += ratio[one.load, one.reach[:, v]]
        for v in voids[known]:
            logs += by_cell[one.load, one.reach[:, v], one.soil[:, v] * 2 + one.nest[:, v]]
        most += float(ratio.max()) * int((~known).sum()) + float(by_cell.max()) * int(known.sum())
    return logs, most


def _log_of(values: Floats) -> Floats:
    return np.asarray(np.log(np.maximum(values, _LEAST)))


def _keys(evidence: Evidence) -> Counter[tuple[bytes, bytes, float, bool]]:
    offsets = evidence.zone_offsets
    return Counter(
        (
            evidence.zone_void[offsets[z] : offsets[z + 1]].astype(np.int32).tobytes(),
            evidence.zone_hit[offsets[z] : offsets[z + 1]].tobytes(),
            float(evidence.zone_false[z]),
            bool(evidence.zone_heard[z]),
        )
        for z in range(len(evidence.zone_false))
    )


def _zones(own: Evidence, other: Evidence, reach: Bytes) -> tuple[Floats, float]:
    logs, most = np.zeros(len(reach)), 0.0
    before, after = _keys(own), _keys(other)
    for sign, zones in ((-1.0, before - after), (1.0, after - before)):
        for zone, times in zones.items():
            members = np.frombuffer(zone[0], np.int32)
            hit = np.frombuffer(zone[1]).reshape(-1, 3)
            said = _zone_log(hit[np.arange(len(members))[None, :], reach[:, members]], *zone[2:])
            uniform = _zone_log(hit.T, *zone[2:])
            logs += sign * times * said
            most += times * float((sign * uniform).max())
    return logs, most


def _zone_log(hit: Floats, false: float, heard: bool) -> Floats:
    """Log chance of what a zone said, from the hit chance of each member: [..., members]."""
    silent = (1.0 - false) * np.prod(1.0 - hit, axis=1)
    return _log_of(1.0 - silent if heard else silent)


def _sources(sample: Sample, one: Population, other: Evidence) -> tuple[Floats, float]:
    ratio = _log_of(other.source_factor) - _log_of(sample.case.evidence.source_factor)
    logs, most = np.zeros(len(one.load)), 0.0
    for e in np.flatnonzero(np.abs(ratio).max(axis=1) > 0.0):
        if sample.case.graph.source_sort[e] == "entry point":
            logs += ratio[e][one.source[:, sample.merged.group[e]]]
            most += float(ratio[e].max())
    return logs, most


def smell_log(evidence: Evidence, one: Population) -> Floats:
    """Return the log-likelihood of all smells given the soil that was drawn: [N]. [nat]

    Parameters
    ----------
    evidence : Evidence
        The evidence.
    one : Population
        The draws.
    """
    logs = np.zeros(len(one.load))
    for r, curve in enumerate(evidence.linear_log_likelihood):
        span = slice(int(evidence.linear_offsets[r]), int(evidence.linear_offsets[r + 1]))
        voids = evidence.linear_void[span]
        cell = one.soil[:, voids] * 2 + one.nest[:, voids]
        sent = evidence.linear_soil[span][np.arange(len(voids))[None, :], cell].sum(axis=1)
        logs += np.interp(np.log(np.maximum(sent, 1e-12)), evidence.linear_grid, curve)
    return logs


def _smells(own: Evidence, other: Evidence, one: Population) -> tuple[Floats, float]:
    same = np.array_equal(own.linear_log_likelihood, other.linear_log_likelihood)
    if same and np.array_equal(own.linear_soil, other.linear_soil):
        return np.zeros(len(one.load)), 0.0
    most = sum(float(curve.max()) for curve in other.linear_log_likelihood)
    least = sum(float(curve.min()) for curve in own.linear_log_likelihood)
    return smell_log(other, one) - smell_log(own, one), most - least


def soiled(sample: Sample, one: Population, other: Evidence, voids: Ints) -> Floats:
    """Return the chance of soil or nest by draw under other evidence: [N, len(voids)]. [1]

    Parameters
    ----------
    sample : Sample
        The case.
    one : Population
        Its draws.
    other : Evidence
        The other evidence, on the same graph.
    voids : Ints
        Voids of the case's graph.
    """
    detail = other.detail
    table = 1.0 - detail[..., 0] / np.maximum(detail.sum(axis=-1), _LEAST)
    values = table[other.row_of[voids][None, :], one.load[:, None], one.reach[:, voids]]
    drawn: Bools = np.isin(voids, np.union1d(smelt_voids(sample), other.linear_void))
    return np.asarray(
        np.where(drawn[None, :], (one.soil[:, voids] > 0) | (one.nest[:, voids] > 0), values)
    )
