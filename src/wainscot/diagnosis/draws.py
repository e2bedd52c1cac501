"""All draws of a diagnosis in one frozen value, for the steps that read them.

K draws with weights; columns are the voids, ways in and passages of the answer's graph (that of the
likeliest case).  ``run`` holds one bit a passage, lowest bit first.

Limits: where several undrawn ways in open into one void, the state stands at the likeliest one; a
passage that the answer's graph has not is left out.
"""

from __future__ import annotations

import hashlib
from typing import Literal

import msgspec
import numpy as np

from wainscot.arrays import Bools, Bytes, Floats, Ints
from wainscot.diagnosis.kernel import Population
from wainscot.diagnosis.posterior import Sample, weights
from wainscot.diagnosis.why import Whys

CARRIED = 2000
"""Most voids of a house whose draws a phone carries."""


class Draws(msgspec.Struct, frozen=True):
    """Posterior draws: K draws, V voids, E ways in, P passages."""

    key: str
    """SHA-256 over the results that they come from."""
    void_ids: tuple[str, ...]
    entry_ids: tuple[str, ...]
    passage_ids: tuple[str, ...]
    weight: Floats
    """[K], sums to 1. [1]"""
    case: Ints
    """[K] index into ``cases``."""
    cases: tuple[tuple[str, str], ...]
    """Species and framing guess."""
    entry: Bytes
    """[K, E] 0 never, 1 past, 2 now."""
    ever: Bools
    """[K, V]"""
    now: Bools
    """[K, V]"""
    soil: Bytes
    """[K, V] 0 none, 1 light, 2 heavy."""
    nest: Bools
    """[K, V]"""
    run: Bytes
    """[K, ceil(P / 8)]"""
    log_evidence: Floats
    """[cases] log of the evidence. [nat]"""
    status: Literal["settled", "not settled"]
    mcse: Floats
    """[V] Monte Carlo standard error of the chance of soil. [1]"""
    why: Whys | None = None
    """The reasons of each void, where they were asked for."""
    samples: tuple[Sample, ...] = ()
    """The cases with all that was drawn, for a phone; none above :data:`CARRIED` voids."""


def digest_of(samples: tuple[Sample, ...]) -> str:
    """Return SHA-256 over the results of every population, in the order of the cases' names."""
    ordered = sorted(samples, key=lambda one: (one.case.guess, one.case.species))
    joined = "".join(one.digest for sample in ordered for one in sample.populations)
    return hashlib.sha256(joined.encode("ascii")).hexdigest()


def log_evidence(sample: Sample) -> float:
    """Return the log of a case's evidence, averaged over its populations. [nat]"""
    logs = np.array([one.log_evidence for one in sample.populations])
    return float(logs.max() + np.log(np.exp(logs - logs.max()).mean()))


def _columns(values: np.ndarray, index: Ints) -> np.ndarray:
    """Columns in the answer's numbering; 0 where the case has none."""
    if np.array_equal(index, np.arange(values.shape[1])):
        return values
    if values.shape[1] == 0:
        return np.zeros((len(values), len(index)), dtype=values.dtype)
    return np.where(index >= 0, values[:, np.maximum(index, 0)], 0).astype(values.dtype)


def _entries(sample: Sample, one: Population) -> Bytes:
    graph = sample.case.graph
    active = graph.source_prior[:, 1:].sum(axis=1)
    likeliest = [members[int(np.argmax(active[members]))] for members in sample.merged.members]
    state = np.zeros((len(one.load), len(graph.source_keys)), dtype=np.uint8)
    state[:, likeliest] = one.source
    return state


def _runs(sample: Sample, one: Population, passages: Ints) -> Bytes:
    count = len(sample.problem.passage_prior)
    if np.array_equal(passages, np.arange(count)):
        return one.run
    bits = np.unpackbits(one.run, axis=1, bitorder="little")[:, :count]
    return np.packbits(_columns(bits, passages), axis=1, bitorder="little")


def gather(samples: tuple[Sample, ...], settled: bool, mcse: Floats) -> Draws:
    """Return the draws of all cases; the answer's graph is that of the first.

    Parameters
    ----------
    samples : tuple of Sample
        The cases with their draws.
    settled : bool
        Whether the populations agree.
    mcse : Floats
        [V] Monte Carlo standard error of the chance of soil. [1]
    """
    graph = samples[0].case.graph
    parts: dict[str, list[np.ndarray]] = {
        name: [] for name in ("weight", "case", "entry", "ever", "now", "soil", "nest", "run")
    }
    for k, (sample, weight) in enumerate(zip(samples, weights(samples), strict=True)):
        other = {key: p for p, key in enumerate(sample.case.graph.passage_keys)}
        passages = np.array([other.get(key, -1) for key in graph.passage_keys], dtype=np.int32)
        for one, share in zip(sample.populations, weight, strict=True):
            count = len(one.load)
            parts["weight"].append(np.full(count, share / count))
            parts["case"].append(np.full(count, k, dtype=np.int32))
            parts["entry"].append(_columns(_entries(sample, one), sample.source_map))
            parts["ever"].append(_columns(one.reach > 0, sample.void_map))
            parts["now"].append(_columns(one.reach == 2, sample.void_map))
            parts["soil"].append(_columns(one.soil, sample.void_map))
            parts["nest"].append(_columns(one.nest > 0, sample.void_map))
            parts["run"].append(_runs(sample, one, passages))
    joined = {name: np.concatenate(part) for name, part in parts.items()}
    return Draws(
        key=digest_of(samples),
        void_ids=graph.keys,
        entry_ids=graph.source_keys,
        passage_ids=graph.passage_keys,
        cases=tuple((sample.case.species, sample.case.guess) for sample in samples),
        log_evidence=np.array([log_evidence(sample) for sample in samples]),
        status="settled" if settled else "not settled",
        mcse=mcse,
        why=None,
        samples=samples if len(graph.keys) <= CARRIED else (),
        **joined,
    )


def no_draws() -> Draws:
    """Return the draws of a job in which nothing is drawn: none."""
    bits = np.zeros((0, 0), dtype=np.uint8)
    flags = np.zeros((0, 0), dtype=np.bool_)
    none = np.zeros(0)
    return Draws(
        key=digest_of(()),
        void_ids=(),
        entry_ids=(),
        passage_ids=(),
        weight=none,
        case=np.zeros(0, dtype=np.int32),
        cases=(),
        entry=bits,
        ever=flags,
        now=flags,
        soil=bits,
        nest=flags,
        run=bits,
        log_evidence=none,
        status="settled",
        mcse=none,
    )
