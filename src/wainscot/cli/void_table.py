"""The voids of a plan as a table and as JSON."""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot.cli.frame import Frame, printable
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


def show(surveyed: Survey, out: Frame) -> None:
    """Write a line for each hidden void, by storey and label."""
    graph = surveyed.graph
    degree = np.bincount(graph.edges.ravel(), minlength=len(graph.keys))
    names = {storey.id: storey.name for storey in surveyed.plan.storeys}
    feet = surveyed.plan.units == "ft-in"
    for key, name in names.items():
        here = [v for v in range(len(graph.keys)) if graph.storeys[v] == key and graph.hidden[v]]
        if not here:
            continue
        out.line(out.strong(f"{printable(name)}: {len(here)} hidden spaces"))
        out.line(f"  {'label':<6}{'volume':>11}  {'ways':>4}  where")
        for v in sorted(here, key=lambda each: _natural(graph.labels[each])):
            words = graph.words[v].replace(f" {graph.labels[v]}", "", 1)
            volume = _volume(float(graph.volume[v]), feet)
            out.paragraph(words, f"  {graph.labels[v]:<6}{volume:>11}  {degree[v]:>4}  ")
        out.line()
    out.line(f"{int(graph.hidden.sum())} hidden spaces, {len(graph.passage_keys)} ways between "
             f"spaces, {len(surveyed.plan.assumptions)} facts assumed.")  # fmt: skip


def _natural(label: str) -> tuple[str, int]:
    letters = label.rstrip("0123456789")
    figures = label[len(letters) :]
    return letters, int(figures or 0)


def _volume(cubic_metres: float, feet: bool) -> str:
    if feet:
        return f"{cubic_metres / 0.3048**3:.1f} ft3"
    return f"{1000 * cubic_metres:.0f} L" if cubic_metres < 1 else f"{cubic_metres:.1f} m3"
