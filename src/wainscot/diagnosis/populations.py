"""Populations of posterior draws, and how several of them are mixed into one answer.

Each population is a run of the sampler of its own.  They are mixed by the evidence each found, and
two halves of them are compared: where the halves differ by more than chance allows, or where the
error itself is too large for an answer, it is "not settled" and says what differs.

Limits: a mode that every population missed cannot be seen by comparing them.
"""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot.arrays import Bools, Bytes, Floats


class Population(msgspec.Struct, frozen=True):
    """N equally weighted draws of one run.  Draw n belongs to chain n mod ``chains``."""

    log_evidence: float
    """Log of the normalising constant. [nat]"""
    log_evidence_se: float
    """Its standard error, as far as this population can tell. [nat]"""
    tilt: float
    """Log-odds added to the corridor at the start. [1]"""
    temperatures: Floats
    """[T] the exponents of the likelihood, the last is 1. [1]"""
    source: Bytes
    """[N, E] 0 never, 1 past, 2 now."""
    reach: Bytes
    """[N, V] 0 unreached, 1 past, 2 now."""
    soil: Bytes
    """[N, V] 0 none, 1 light, 2 heavy."""
    nest: Bytes
    """[N, V] 0 or 1."""
    run: Bytes
    """[N, ceil(P / 8)] passages that are run, one bit each, lowest bit first."""
    load: Bytes
    """[N] load level."""
    log_likelihood: Floats
    """[N] log likelihood of the signs. [nat]"""
    chains: int
    """Chains, as many as draws unless every state was kept."""
    length: int
    """States kept of each chain."""
    seed: int
    number: int
    """Number of this population, from 0."""
    digest: str
    """SHA-256 over all results of this population."""
    input_digest: str
    """SHA-256 of the input bytes."""
    module_digest: str
    """SHA-256 of the kernel module."""
    correction_share: float = 1.0
    """Effective share of the draws when the linear readings were put right for the soil drawn;
    1 where there are none. [1]"""


class Disagreement(msgspec.Struct, frozen=True):
    """A value on which two halves of the populations differ too much, or that none know well."""

    what: str
    """``log_evidence``, or the field of :class:`Marginals`."""
    index: tuple[int, ...]
    first: float
    second: float
    error: float
    """Standard error of the value by all populations. [1]"""


class Marginals(msgspec.Struct, frozen=True):
    """Chances mixed over the populations by their evidence, each with its Monte Carlo error."""

    source: Floats
    """[E, 3] [1]"""
    ever: Floats
    """[V] chance of reach past or now. [1]"""
    now: Floats
    """[V] [1]"""
    soil: Floats
    """[V, 3] [1]"""
    nest: Floats
    """[V] [1]"""
    source_se: Floats
    ever_se: Floats
    now_se: Floats
    soil_se: Floats
    nest_se: Floats
    log_evidence: float
    log_evidence_se: float
    weights: Floats
    """[K] weight of each population. [1]"""
    settled: bool
    """False when two halves of the populations disagree."""
    disagreements: tuple[Disagreement, ...]


FIELDS = ("source", "ever", "now", "soil", "nest")
LEAST_DIFFERENCE = 0.05
"""Differences up to this never count as disagreement. [1]"""
LEAST_LOG_DIFFERENCE = 0.5
"""The same for the log evidence. [nat]"""
FAMILY = 4.0
"""Draws that a rare state is likely to be seen in, if at all. [1]"""
TOLERANCE = 4.5
"""Standard errors that two halves may differ by. [1]"""
MOST_DIFFERENCE = 0.15
"""Differences above this always count as disagreement, however large the error: a judgement. [1]"""
MOST_LOG_DIFFERENCE = 1.0
"""The same for the log evidence. [nat]"""
MOST_ERROR = 0.04
"""With a larger standard error nothing is settled, even where the halves happen to agree: a
judgement. [1]"""


def combine(populations: list[Population]) -> Marginals:
    """Mix the populations by their evidence and say whether two halves of them agree.

    The error of a chance is the larger of what the spread between the populations and the spread
    between the chains within them say.
    Halves agree when they differ by no more than 0.05, or 4.5 standard errors but never more than
    0.15; the log evidence by no more than 0.5 nats, or 4.5 standard errors but never more than
    one nat.  A standard error above 0.04 is not settled either.

    Parameters
    ----------
    populations : list of Population
        At least one; with fewer than two nothing can be compared and ``settled`` is False.

    Returns
    -------
    Marginals
    """
    parts = [_chances(population) for population in populations]
    means, variances, weights = _mix(populations, parts)
    errors, least = _errors(populations, parts, means, variances)
    log_evidence, inside = _evidence(populations)
    evidence_error = float(np.sqrt(max(inside, _evidence_between(populations))))
    disagreements = _compare(populations, parts, errors, evidence_error)
    return Marginals(
        **means,
        **{f"{name}_se": np.maximum(errors[name], least) for name in FIELDS},
        log_evidence=log_evidence,
        log_evidence_se=evidence_error,
        weights=weights,
        settled=len(populations) > 1 and not disagreements,
        disagreements=disagreements,
    )


def agree(first: Floats, second: Floats, error: Floats) -> Bools:
    """Return where two halves of the populations agree well enough for an answer.

    Two halves have twice the variance each, so that their difference has twice the error.

    Parameters
    ----------
    first, second : Floats
        Chances by each half. [1]
    error : Floats
        Standard error of the chance by all populations. [1]
    """
    allowed = np.clip(2.0 * TOLERANCE * error, LEAST_DIFFERENCE, MOST_DIFFERENCE)
    return np.asarray((np.abs(first - second) <= allowed) & (error <= MOST_ERROR))


Chances = dict[str, tuple[Floats, Floats]]
_STATES = np.arange(3, dtype=np.uint8)
"""Of a way in: never, past, now.  Of soil: none, light, heavy."""


def _chances(population: Population) -> Chances:
    """Mean of every field and its variance from the spread between chains."""
    soil = population.soil[:, :, None] == _STATES
    source = population.source[:, :, None] == _STATES
    flags = {
        "source": source,
        "ever": population.reach > 0,
        "now": population.reach == 2,
        "soil": soil,
        "nest": population.nest > 0,
    }
    return {name: _chain_mean(flag, population.chains) for name, flag in flags.items()}


def _chain_mean(flag: Bools, chains: int) -> tuple[Floats, Floats]:
    by_chain = flag.reshape(len(flag) // chains, chains, *flag.shape[1:]).mean(axis=0)
    return by_chain.mean(axis=0), by_chain.var(axis=0, ddof=min(1, chains - 1)) / chains


def _weights(populations: list[Population]) -> Floats:
    logs = np.array([population.log_evidence for population in populations])
    weights = np.exp(logs - logs.max())
    return np.asarray(weights / weights.sum())


def _mix(
    populations: list[Population], parts: list[Chances]
) -> tuple[dict[str, Floats], dict[str, Floats], Floats]:
    """Mixed chances, their variance from the spread between chains, and the weights."""
    weights = _weights(populations)
    means: dict[str, Floats] = {}
    variances: dict[str, Floats] = {}
    for name in FIELDS:
        means[name] = np.tensordot(weights, np.stack([part[name][0] for part in parts]), 1)
        inside = np.stack([part[name][1] for part in parts])
        variances[name] = np.tensordot(weights**2, inside, 1)
    return means, variances, weights


def _errors(
    populations: list[Population],
    parts: list[Chances],
    means: dict[str, Floats],
    variances: dict[str, Floats],
) -> tuple[dict[str, Floats], float]:
    """Standard errors, and the least that is told.

    They are what lies between populations, or the spread inside them made up to it.

    Eight populations say little about the spread of one value, but much about how far the chains
    inside a population understate it on the whole: that ratio is taken over all values at once.
    What is rare comes in families of draws with a common ancestor, so no error is taken to be
    smaller than four draws' share (a judgement).
    """
    weights = _weights(populations)
    count = len(populations)
    between: dict[str, Floats] = {}
    for name in FIELDS:
        off = np.stack([part[name][0] for part in parts]) - means[name]
        between[name] = np.tensordot(weights**2, off**2, 1) * count / max(count - 1, 1)
    spread = sum(float(between[name].sum()) for name in FIELDS)
    inside = sum(float(variances[name].sum()) for name in FIELDS)
    ratio = max(1.0, spread / inside) if inside > 0 else 1.0
    least = FAMILY * ratio / sum(population.chains for population in populations)
    errors = {name: np.sqrt(np.maximum(ratio * variances[name], between[name])) for name in FIELDS}
    return errors, least


def _evidence(populations: list[Population]) -> tuple[float, float]:
    """Log of the mean evidence and its variance as the populations themselves tell it."""
    logs = np.array([population.log_evidence for population in populations])
    inside = np.array([population.log_evidence_se for population in populations]) ** 2
    variance = float((_weights(populations) ** 2 * inside).sum())
    return float(logs.max() + np.log(np.exp(logs - logs.max()).mean())), variance


def _evidence_between(populations: list[Population]) -> float:
    """Variance of the log of the mean evidence from the spread between populations."""
    count = len(populations)
    relative = _weights(populations) * count
    return float(((relative - 1.0) ** 2).sum()) / (count * max(count - 1, 1))


def _compare(
    populations: list[Population],
    parts: list[Chances],
    errors: dict[str, Floats],
    evidence_error: float,
) -> tuple[Disagreement, ...]:
    if len(populations) < 2:
        return ()
    found: list[Disagreement] = []
    one, two = (_evidence(populations[k::2])[0] for k in (0, 1))
    allowed = 2.0 * TOLERANCE * evidence_error
    limit = min(max(LEAST_LOG_DIFFERENCE, allowed), MOST_LOG_DIFFERENCE)
    if abs(one - two) > limit:
        found.append(Disagreement("log_evidence", (), one, two, evidence_error))
    first, second = (_mix(populations[k::2], parts[k::2])[0] for k in (0, 1))
    for name in FIELDS:
        a, b, error = first[name], second[name], errors[name]
        for index in np.argwhere(~agree(a, b, error)):
            at = tuple(int(i) for i in index)
            found.append(Disagreement(name, at, float(a[at]), float(b[at]), float(error[at])))
    return tuple(found)
