"""A case as the numeric problem that the kernel solves, and the way back.

The kernel knows one implicit source a void.  A graph may have two there, a way in that nobody drew
and a colony settled inside; given what the void is reached by, the signs cannot tell them apart.
So they are merged (the void is reached as the later of the two) and parted again afterwards,
exactly, by their priors.

Limits: chances of passages are kept between 1e-6 and 1 - 1e-6.
"""

from __future__ import annotations

import functools

import msgspec
import numpy as np

from wainscot.arrays import Bools, Floats, Ints
from wainscot.diagnosis.kernel import Problem
from wainscot.signs.evidence import Evidence
from wainscot.voids.graph import Graph

_LEAST = 1e-6


class Merged(msgspec.Struct, frozen=True):
    """Which graph sources stand behind each kernel source."""

    members: tuple[Ints, ...]
    """By kernel source: indices of graph sources."""
    group: Ints
    """[E] the kernel source that each graph source belongs to."""
    parting: Floats
    """[E, 3, 3] chance of a graph source's state (last axis) given the merged state. [1]"""

    def apart(self, merged: Floats) -> Floats:
        """Return the chance of each state by graph source: [..., E, 3]. [1]

        Parameters
        ----------
        merged : Floats
            [..., kernel sources, 3] chance of each state. [1]
        """
        return np.asarray(np.einsum("...em,ems->...es", merged[..., self.group, :], self.parting))


def _part(prior: Floats) -> tuple[Floats, Floats]:
    """Merged prior [3] of independent sources [n, 3], and the way back [n, 3, 3]."""
    return _parted(np.ascontiguousarray(prior, dtype=np.float64).tobytes())


@functools.lru_cache(maxsize=4096)
def _parted(numbers: bytes) -> tuple[Floats, Floats]:
    """As :func:`_part`; the voids of a house have few priors that differ."""
    prior = np.frombuffer(numbers).reshape(-1, 3)
    below = np.cumsum(prior, axis=1)
    merged = np.diff(np.prod(below, axis=0), prepend=0.0)
    parting = np.zeros((len(prior), 3, 3))
    for i in range(len(prior)):
        others = np.prod(np.delete(below, i, axis=0), axis=0)
        for m in range(3):
            for s in range(m + 1):
                # the latest of the others: at most m if this one is m, else exactly m
                rest = others[m] if s == m else others[m] - (others[m - 1] if m else 0.0)
                parting[i, m, s] = prior[i, s] * rest
            total = parting[i, m].sum()
            parting[i, m] = parting[i, m] / total if total > 0.0 else np.eye(3)[m]
    return merged, parting


def _groups(graph: Graph) -> list[tuple[bool, Ints]]:
    """Kernel sources: each entry point alone, then the implicit ones void by void."""
    named = [e for e, sort in enumerate(graph.source_sort) if sort == "entry point"]
    by_void: dict[int, list[int]] = {}
    for e, sort in enumerate(graph.source_sort):
        if sort != "entry point":
            by_void.setdefault(int(graph.source_void[e]), []).append(e)
    groups = [(True, np.array([e], dtype=np.int32)) for e in named]
    groups += [(False, np.array(by_void[v], dtype=np.int32)) for v in sorted(by_void)]
    return groups


def passage_prior(graph: Graph) -> Floats:
    """Return the chance that each passage is open and run. [1]

    Parameters
    ----------
    graph : Graph
        The voids.
    """
    return np.asarray(np.clip(graph.prior_open * graph.prior_run, _LEAST, 1.0 - _LEAST))


def make(graph: Graph, evidence: Evidence) -> tuple[Problem, Merged]:
    """Return the kernel's problem and how its sources belong to those of the graph.

    Parameters
    ----------
    graph : Graph
        The voids.
    evidence : Evidence
        What the signs say.
    """
    weighted = graph.source_prior * evidence.source_factor
    priors: list[Floats] = []
    groups = _groups(graph)
    group = np.zeros(len(graph.source_keys), dtype=np.int32)
    parting = np.broadcast_to(np.eye(3), (len(group), 3, 3)).copy()
    for e, (named, members) in enumerate(groups):
        group[members] = e
        if named:
            priors.append(weighted[members[0]])
        else:
            merged, parting[members] = _part(graph.source_prior[members])
            priors.append(merged)
    flags: Bools = np.array([named for named, _ in groups], dtype=np.bool_)
    problem = Problem(
        passage_ends=graph.edges.astype(np.int32).reshape(-1, 2),
        passage_prior=passage_prior(graph),
        source_void=np.array(
            [graph.source_void[members[0]] for _, members in groups], dtype=np.int32
        ),
        source_prior=np.stack(priors) if priors else np.zeros((0, 3)),
        source_named=flags,
        load_prior=evidence.load_prior,
        row_of=evidence.row_of,
        detail=evidence.detail,
        zone_offsets=evidence.zone_offsets,
        zone_void=evidence.zone_void,
        zone_hit=evidence.zone_hit,
        zone_false=evidence.zone_false,
        zone_heard=evidence.zone_heard,
        linear_offsets=evidence.linear_offsets,
        linear_void=evidence.linear_void,
        linear_emission=evidence.linear_emission,
        linear_grid=evidence.linear_grid,
        linear_log_likelihood=evidence.linear_log_likelihood,
        linear_soil=evidence.linear_soil,
    )
    return problem, Merged(tuple(members for _, members in groups), group, parting)
