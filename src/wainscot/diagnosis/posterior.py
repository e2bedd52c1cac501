"""The draws of all cases together, and chances with errors from them.

A chunk is one population of one case; its weight is the case's prior times the evidence that the
population found, shared among the populations of the case.  A chance is the weighted mean over the
chunks.  Soil and nest are averaged over what the rows say given load and reach, not over drawn
cells, which is the same on average and less noisy; but where a smell ties voids together, their
drawn cells count.

Draws of a population have ancestors in common, so that the spread inside populations understates
the error.  A few populations say little about the spread of one chance between them, but much about
that ratio on the whole: it is taken over all voids at once.  An error is the larger of the spread
inside made up by the ratio and the spread between; what is rare comes in families of draws, so none
is told to be smaller than four draws' share.  Two halves of the populations are compared by these
errors (:func:`~wainscot.diagnosis.populations.agree`).

Limits: a mode that every population missed cannot be seen.

Source: Rao-Blackwell averaging as in Gelfand & Smith 1990 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import numpy as np

from wainscot.arrays import Bools, Bytes, Floats, Ints
from wainscot.diagnosis.cases import Case
from wainscot.diagnosis.kernel import Population, Problem
from wainscot.diagnosis.populations import FAMILY, agree
from wainscot.diagnosis.problem import Merged

WEIGHT_DIFFERENCE = 0.10


class Sample(msgspec.Struct, frozen=True):
    """One case with its draws."""

    case: Case
    problem: Problem
    merged: Merged
    populations: tuple[Population, ...]
    void_map: Ints
    """[V of the answer] index of that void in this case's graph, -1 where it has none."""
    source_map: Ints
    """[E of the answer] the same for ways in."""


class Chances(msgspec.Struct, frozen=True):
    """Means with Monte Carlo errors and the means by the two halves; all [V] or [E]. [1]"""

    mean: Floats
    error: Floats
    halves: Floats
    """[2, ...]"""
    settled: Bools


def weights(samples: tuple[Sample, ...], keep: slice = slice(None)) -> list[Floats]:
    """Return each sample's population weights, all together 1. [1]

    Parameters
    ----------
    samples : tuple of Sample
        The cases.
    keep : slice
        Populations to count.
    """
    logs = [
        np.log(sample.case.prior)
        + np.array([one.log_evidence for one in sample.populations[keep]])
        - np.log(len(sample.populations[keep]))
        for sample in samples
    ]
    top = max(float(each.max()) for each in logs)
    raw = [np.exp(each - top) for each in logs]
    total = sum(float(each.sum()) for each in raw)
    return [each / total for each in raw]


def conditional(sample: Sample) -> dict[str, Floats]:
    """Return what each row says given load and reach: field -> [rows, L, 3]. [1]"""
    detail = sample.problem.detail
    total = detail.sum(axis=-1)
    safe = np.where(total > 0.0, total, 1.0)
    return {
        "soiled": 1.0 - detail[..., 0] / safe,
        "light only": detail[..., 2] / safe,
        "heavy only": detail[..., 4] / safe,
        "heavy": detail[..., 4:].sum(axis=-1) / safe,
        "nest": detail[..., 1::2].sum(axis=-1) / safe,
    }


def by_draw(table: Floats, rows: Ints, population: Population, voids: Ints) -> Floats:
    """Return a conditional chance for each draw and void: [N, len(voids)]. [1]

    Parameters
    ----------
    table : Floats
        [rows, L, 3] from :func:`conditional`. [1]
    rows : Ints
        [V] row of each void.
    population : Population
        The draws.
    voids : Ints
        Voids of the case's graph.
    """
    reach = population.reach[:, voids]
    return np.asarray(table[rows[voids][None, :], population.load[:, None], reach])


def smelt_voids(sample: Sample) -> Ints:
    """Return the voids that some smell depends on, in the case's graph.

    Parameters
    ----------
    sample : Sample
        The case.
    """
    return np.asarray(np.unique(sample.case.evidence.linear_void), dtype=np.int32)


def _drawn_cells(population: Population, voids: Ints) -> dict[str, Floats]:
    """Fields of :func:`conditional` from the cells that were drawn: [N, len(voids)]."""
    soil, nest = population.soil[:, voids], population.nest[:, voids] > 0
    flags = {
        "soiled": (soil > 0) | nest,
        "light only": (soil == 1) & ~nest,
        "heavy only": (soil == 2) & ~nest,
        "heavy": soil == 2,
        "nest": nest,
    }
    return {name: flag.astype(np.float64) for name, flag in flags.items()}


class _Parts(msgspec.Struct):
    """Mean and within-population variance of each population: [J, n]."""

    mean: Floats
    variance: Floats


def _chain_parts(values: Floats, chains: int) -> tuple[Floats, Floats]:
    by_chain = values.reshape(len(values) // chains, chains, values.shape[-1]).mean(axis=0)
    return by_chain.mean(axis=0), by_chain.var(axis=0, ddof=min(1, chains - 1)) / chains


def _parts_of_codes(codes: Bytes, table: Floats, chains: int) -> tuple[Floats, Floats]:
    """As :func:`_chain_parts` for values that hang on a code alone, from how often each is drawn.

    ``codes`` is [N, n], ``table`` [fields, codes, n]; both results are [fields, n].  Where a chain
    has more than one draw, its draws are averaged first.
    """
    if chains != len(codes):
        columns = np.arange(codes.shape[1])
        each = [_chain_parts(one[codes, columns], chains) for one in table]
        return np.stack([mean for mean, _ in each]), np.stack([spread for _, spread in each])
    share = np.stack([np.count_nonzero(codes == code, axis=0) for code in range(table.shape[1])])
    share = share / len(codes)
    mean = (share * table).sum(axis=1)
    spread = (share * (table - mean[:, None]) ** 2).sum(axis=1)
    return mean, spread / max(len(codes) - 1, 1)


def _mix(parts: list[_Parts], weight: list[Floats]) -> tuple[Floats, Floats, Floats]:
    """Mean, variance from within, variance from between populations."""
    mean = sum(w @ part.mean for w, part in zip(weight, parts, strict=True))
    within = sum(w**2 @ part.variance for w, part in zip(weight, parts, strict=True))
    between = np.zeros_like(mean)
    for w, part in zip(weight, parts, strict=True):
        off = w[:, None] * (part.mean - mean)
        count = len(w)
        if count > 1:
            between = between + ((off - off.mean(axis=0)) ** 2).sum(axis=0) * count / (count - 1)
    return np.asarray(mean), np.asarray(within), np.asarray(between)


def _ratio(weight: list[Floats], parts: list[_Parts]) -> float:
    """How far the spread inside populations understates the one between those of the same case."""
    between, within = 0.0, 0.0
    for w, part in zip(weight, parts, strict=True):
        count, total = len(w), float(w.sum())
        if count < 2 or total <= 0.0:
            continue
        off = w[:, None] * (part.mean - w @ part.mean / total)
        between += float((off**2).sum()) * count / (count - 1)
        within += float((w**2 @ part.variance).sum())
    return max(1.0, between / within) if within > 0.0 else 1.0


def _reach_ratio(samples: tuple[Sample, ...]) -> float:
    """The ratio over what is reached at all."""
    parts: list[_Parts] = []
    for sample in samples:
        reached = np.array([[[0.0], [1.0], [1.0]]])
        rows = [_parts_of_codes(one.reach, reached, one.chains) for one in sample.populations]
        parts.append(
            _Parts(np.concatenate([r[0] for r in rows]), np.concatenate([r[1] for r in rows]))
        )
    return _ratio(weights(samples), parts)


def _chances(samples: tuple[Sample, ...], parts: list[_Parts], ratio: float) -> Chances:
    mean, within, between = _mix(parts, weights(samples))
    mean = np.clip(mean, 0.0, 1.0)  # weights sum to one but for rounding
    chains = sum(one.chains for sample in samples for one in sample.populations)
    error = np.sqrt(np.maximum(ratio * within, between))
    told = np.maximum(error, FAMILY * ratio / chains)
    halves = []
    for k in (0, 1):
        keep = slice(k, None, 2)
        half = [_Parts(part.mean[keep], part.variance[keep]) for part in parts]
        if any(len(part.mean) == 0 for part in half):
            return Chances(mean, told, np.stack([mean, mean]), np.zeros(len(mean), np.bool_))
        halves.append(_mix(half, weights(samples, keep))[0])
    return Chances(mean, told, np.stack(halves), agree(halves[0], halves[1], error))


def _spread(values: Floats, index: Ints) -> Floats:
    """Values on the answer's voids or ways in; 0 where the case has none."""
    return np.asarray(np.where(index >= 0, values[..., np.maximum(index, 0)], 0.0))


FIELDS = ("soiled", "light only", "heavy only", "heavy", "nest", "ever", "now")


def _void_parts(sample: Sample, one: Population) -> tuple[Floats, Floats]:
    """Mean and variance of every field of every void in one population: [fields, V] each."""
    tables = conditional(sample)
    rows, loads = sample.problem.row_of, len(sample.problem.load_prior)
    plain = {"ever": [0.0, 1.0, 1.0], "now": [0.0, 0.0, 1.0]}
    by_code = [
        tables[name][rows].reshape(len(rows), -1).T
        if name in tables
        else np.broadcast_to(np.tile(plain[name], loads)[:, None], (3 * loads, len(rows)))
        for name in FIELDS
    ]
    codes = (one.reach + 3 * one.load[:, None]).astype(np.uint8)
    mean, variance = _parts_of_codes(codes, np.stack(by_code), one.chains)
    smelt = smelt_voids(sample)
    drawn = _drawn_cells(one, smelt)
    for k, name in enumerate(FIELDS):
        if name in drawn:
            mean[k, smelt], variance[k, smelt] = _chain_parts(drawn[name], one.chains)
    return mean, variance


def void_chances(samples: tuple[Sample, ...]) -> dict[str, Chances]:
    """Return the chances of every void of the answer, by field.

    ``soiled`` is soil or nest; "light only" and "heavy only" are soil without a nest.

    Parameters
    ----------
    samples : tuple of Sample
        The cases with their draws.
    """
    parts: dict[str, list[_Parts]] = {name: [] for name in FIELDS}
    for sample in samples:
        rows = [_void_parts(sample, one) for one in sample.populations]
        for k, name in enumerate(FIELDS):
            parts[name].append(
                _Parts(
                    np.stack([_spread(mean[k], sample.void_map) for mean, _ in rows]),
                    np.stack([_spread(variance[k], sample.void_map) for _, variance in rows]),
                )
            )
    weight = weights(samples)
    together = [
        _Parts(
            np.concatenate([parts[name][k].mean for name in FIELDS], axis=1),
            np.concatenate([parts[name][k].variance for name in FIELDS], axis=1),
        )
        for k in range(len(samples))
    ]
    ratio = _ratio(weight, together)
    return {name: _chances(samples, parts[name], ratio) for name in FIELDS}


def source_chances(samples: tuple[Sample, ...]) -> tuple[Chances, Chances]:
    """Return the chances that each way in of the answer was used (past or now), and is used now.

    Parameters
    ----------
    samples : tuple of Sample
        The cases with their draws.
    """
    parts: tuple[list[_Parts], list[_Parts]] = ([], [])
    for sample in samples:
        rows: tuple[list[tuple[Floats, Floats]], list[tuple[Floats, Floats]]] = ([], [])
        # What each state of a kernel source says of the ways in behind it.
        states = np.eye(3)[:, None].repeat(len(sample.problem.source_void), axis=1)
        apart = sample.merged.apart(states)
        table = np.stack([1.0 - apart[..., 0], apart[..., 2]])
        for one in sample.populations:
            drawn = one.source[:, sample.merged.group]
            mean, variance = _parts_of_codes(drawn, table, one.chains)
            for k in (0, 1):
                rows[k].append((mean[k], variance[k]))
        for k in (0, 1):
            parts[k].append(
                _Parts(
                    np.stack([_spread(mean, sample.source_map) for mean, _ in rows[k]]),
                    np.stack([_spread(variance, sample.source_map) for _, variance in rows[k]]),
                )
            )
    ratio = _reach_ratio(samples)
    return _chances(samples, parts[0], ratio), _chances(samples, parts[1], ratio)


def weights_settled(samples: tuple[Sample, ...]) -> bool:
    """Return whether two halves of the populations weigh the cases alike."""
    if min(len(sample.populations) for sample in samples) < 2:
        return False
    first, second = (
        np.array([float(each.sum()) for each in weights(samples, slice(k, None, 2))])
        for k in (0, 1)
    )
    return bool(np.abs(first - second).max() <= WEIGHT_DIFFERENCE)


def pooled_chances(
    samples: tuple[Sample, ...], of_draws: Callable[[Sample, Population], Floats]
) -> Chances:
    """Return chances over all cases from a function of the draws.

    Parameters
    ----------
    samples : tuple of Sample
        The cases with their draws.
    of_draws : callable
        Gives chances for each draw of a population: [N, n]. [1]
    """
    parts: list[_Parts] = []
    for sample in samples:
        rows = [_chain_parts(of_draws(sample, one), one.chains) for one in sample.populations]
        parts.append(
            _Parts(np.stack([mean for mean, _ in rows]), np.stack([inside for _, inside in rows]))
        )
    return _chances(samples, parts, _reach_ratio(samples))
