"""The voids of a plan as a table."""

from __future__ import annotations

import numpy as np

from wainscot.cli.frame import Frame, printable
from wainscot.walk import Survey


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
        out.line(out.strong(f"{printable(name)}: {len(here)} hidden voids"))
        out.line(f"  {'label':<6}{'volume':>11}  {'ways':>4}  where")
        for v in sorted(here, key=lambda each: _natural(graph.labels[each])):
            words = graph.words[v].replace(f" {graph.labels[v]}", "", 1)
            volume = _volume(float(graph.volume[v]), feet)
            out.paragraph(words, f"  {graph.labels[v]:<6}{volume:>11}  {degree[v]:>4}  ")
        out.line()
    out.line(f"{int(graph.hidden.sum())} hidden voids, {len(graph.passage_keys)} ways between "
             f"voids, {len(surveyed.plan.assumptions)} facts assumed.")  # fmt: skip


def _natural(label: str) -> tuple[str, int]:
    letters = label.rstrip("0123456789")
    figures = label[len(letters) :]
    return letters, int(figures or 0)


def _volume(cubic_metres: float, feet: bool) -> str:
    if feet:
        return f"{cubic_metres / 0.3048**3:.1f} ft3"
    return f"{1000 * cubic_metres:.0f} L" if cubic_metres < 1 else f"{cubic_metres:.1f} m3"
