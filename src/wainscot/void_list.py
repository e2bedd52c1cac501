"""The voids of a plan as a list: what ``wainscot voids --json`` prints.

    as_json(survey(job))

Limits: the graph under one framing guess for one species.
"""

from __future__ import annotations

import msgspec

from wainscot.walk import Survey


class PassageRow(msgspec.Struct, frozen=True):
    """A way between two voids."""

    id: str
    between: tuple[str, str]
    words: str
    rule: str
    aperture: tuple[float, float]
    """Least and greatest hole size. [m]"""
    open: float
    """Chance that the species can pass. [1]"""


class VoidRow(msgspec.Struct, frozen=True):
    """One void."""

    id: str
    label: str
    kind: str
    words: str
    storey: str
    hidden: bool
    outline: tuple[tuple[float, float], ...]
    """[m]"""
    bottom: float
    """[m]"""
    top: float
    """[m]"""
    volume: float
    """[m3]"""


class VoidList(msgspec.Struct, frozen=True):
    """The graph of a plan under one framing guess for one species."""

    job: str
    species: str
    guess: str
    voids: tuple[VoidRow, ...]
    passages: tuple[PassageRow, ...]
    assumptions: tuple[str, ...]


def rows(surveyed: Survey) -> VoidList:
    """Return the voids and passages of a survey."""
    graph = surveyed.graph
    voids = tuple(
        VoidRow(
            graph.keys[v], graph.labels[v], graph.kinds[v], graph.words[v], graph.storeys[v],
            bool(graph.hidden[v]), tuple((float(x), float(y)) for x, y in graph.polygon[v]),
            float(graph.bottom[v]), float(graph.top[v]), float(graph.volume[v]),
        )
        for v in range(len(graph.keys))
    )  # fmt: skip
    passages = tuple(
        PassageRow(
            graph.passage_keys[p], (graph.keys[a], graph.keys[b]), graph.passage_words[p],
            graph.passage_rule[p], (float(graph.aperture[p, 0]), float(graph.aperture[p, 1])),
            float(graph.prior_open[p]),
        )
        for p, (a, b) in enumerate(graph.edges)
    )  # fmt: skip
    return VoidList(
        surveyed.job.id, surveyed.species, surveyed.guess, voids, passages,
        tuple(each.words for each in surveyed.plan.assumptions),
    )  # fmt: skip


def as_json(surveyed: Survey) -> str:
    """Return :func:`rows` as indented JSON text."""
    packed = msgspec.json.encode(rows(surveyed), order="deterministic")
    return msgspec.json.format(packed, indent=2).decode() + "\n"
