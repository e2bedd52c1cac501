"""From a plan and what is known of it to a sheet: what goes into which panel, and with what words.

    sheet = compose(job, plan, graph, evidence, diagnosis, shows="soiled", date="12 May 2026")

Without a diagnosis the voids stand as outlines, "not calculated".

Limits: at most three likely runs are drawn; ways in that nobody drew have no place, so they are
listed beside the plan, not on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec
import numpy as np

from wainscot import chance
from wainscot.checks import Result
from wainscot.diagnosis.answer import Diagnosis
from wainscot.job import Job
from wainscot.picture.layers import Layer, layers_of
from wainscot.picture.marks import place_signs
from wainscot.picture.places import starts_of
from wainscot.picture.routes import draw_runs
from wainscot.picture.sheet import (
    EntryShape,
    Line,
    Panel,
    Point,
    RibbonShape,
    Sheet,
    Shows,
    SignShape,
)  # fmt: skip
from wainscot.picture.views import inward, panel_of
from wainscot.picture.wording import alike, entry_labels, named, paying, stops, terms
from wainscot.plan.model import Plan
from wainscot.signs.evidence import Evidence
from wainscot.voids.graph import Graph

_FIRST = 7
_CHECKS = 2


def compose(
    job: Job,
    plan: Plan,
    graph: Graph,
    evidence: Evidence | None = None,
    diagnosis: Diagnosis | None = None,
    *,
    checks: Result | None = None,
    shows: Shows = "soiled",
    date: str = "",
) -> Sheet:
    """Return the sheet of a job.

    Parameters
    ----------
    job : Job
        For its title, units and inspections.
    plan : Plan
        For rooms, walls, fixtures and services.
    graph : Graph
        The voids; the same that the diagnosis speaks of.
    evidence : Evidence, optional
        For the marks of what was seen and where somebody looked.
    diagnosis : Diagnosis, optional
        For the chances; without it nothing is filled.
    checks : Result, optional
        The ranked checks, for the list beside the plan.
    shows : str
        What the fill shows.
    date : str
        What stands as the date, in words.
    """
    answers = {each.id: each for each in diagnosis.voids} if diagnosis else {}
    layers = layers_of(plan, graph)
    panels = [panel_of(job, plan, graph, layer, answers, shows) for layer in layers]
    by_void = {v: i for i, layer in enumerate(layers) for v in layer.voids}
    rooms_at = {layer.storey: i for i, layer in enumerate(layers) if layer.where == "view"}
    for v in np.flatnonzero(~graph.hidden):
        if graph.storeys[v] in rooms_at:
            by_void[int(v)] = rooms_at[graph.storeys[v]]
    starts = starts_of(plan, graph)
    entries, ways_in = _entries(plan, graph, diagnosis, by_void, starts)
    signs = place_signs(job, plan, graph, evidence, diagnosis, by_void)
    ribbons, runs = draw_runs(graph, diagnosis, by_void, starts)
    panels = [
        _filled(panel, entries.get(i, ()), signs.get(i, ()), ribbons.get(i, ()))
        for i, panel in enumerate(panels)
    ]
    return Sheet(
        title=job.title or job.id, shows=shows, date=date, calculated=diagnosis is not None,
        panels=arranged(panels, layers), verdict=diagnosis.verdict if diagnosis else "",
        next=_next(checks), first=_first(diagnosis), ways_in=ways_in, runs=runs,
        unplaced=len(evidence.unplaced) if evidence else 0, units=plan.units,
    )  # fmt: skip


def _filled(
    panel: Panel,
    entries: Iterable[EntryShape],
    signs: Iterable[SignShape],
    ribbons: Iterable[RibbonShape],
) -> Panel:
    return msgspec.structs.replace(
        panel, entries=tuple(entries), signs=tuple(signs), ribbons=tuple(ribbons)
    )


def _entries(
    plan: Plan,
    graph: Graph,
    diagnosis: Diagnosis | None,
    by_void: dict[int, int],
    starts: dict[str, Point],
) -> tuple[dict[int, list[EntryShape]], tuple[Line, ...]]:
    """Wedges by panel, and the list of ways in: the drawn ones by label, then the pools."""
    used = {each.id: each for each in diagnosis.entries} if diagnosis else {}
    drawn = {key: e for e, key in enumerate(graph.source_keys)
             if graph.source_sort[e] == "entry point"}  # fmt: skip
    labels = entry_labels(used.values()) if used else {
        key: f"E{place}" for place, key in enumerate(sorted(drawn), start=1)
    }  # fmt: skip
    shapes: dict[int, list[EntryShape]] = {}
    lines: list[Line] = []
    for key in sorted(drawn, key=lambda each: int(labels.get(each, "E999")[1:])):
        e, answer, label = drawn[key], used.get(key), labels.get(key, "")
        v = int(graph.source_void[e])
        at = starts[key]
        shape = EntryShape(label, graph.source_words[e], at, inward(plan, graph.storeys[v], at),
                           answer.used if answer else None)  # fmt: skip
        shapes.setdefault(by_void[v], []).append(shape)
        lines.append(Line(label, chance.percent(answer.used) if answer else "", shape.words))
    if diagnosis:
        pools = sorted((a for a in diagnosis.entries if a.sort != "entry point" and a.used >= 0.05),
                       key=lambda a: -a.used)  # fmt: skip
        lines += [Line("", chance.percent(pool.used), _pool_words(pool.words, pool.near))
                  for pool in pools[:3]]  # fmt: skip
    return shapes, tuple(lines)


def _next(checks: Result | None) -> tuple[Line, ...]:
    """The best check or two, or that it is time to open."""
    best = paying(checks, _CHECKS)
    if checks is not None and not best:
        return (Line("", "", "no look pays for itself: time to open"),)
    said = [
        Line(str(place), "", f"{check.doing}: {terms(check, checks)}")
        for place, check in enumerate(best, 1)
        if checks is not None
    ]
    return (*said, *(Line("", "", words) for words in stops(best)))


def _first(diagnosis: Diagnosis | None) -> tuple[Line, ...]:
    """What to open, then what to check, likeliest first; bays that are alike in one line."""
    if diagnosis is None:
        return ()
    chosen = [
        (band, group)
        for band in ("open", "check first")
        for group in alike(each for each in diagnosis.voids if each.band == band)
    ]
    return tuple(
        Line(group[0].label if group[0].hidden else "", chance.percent(group[0].soiled),
             f"{band}: {named(group)}")
        for band, group in chosen[:_FIRST]
    )  # fmt: skip


def _pool_words(words: str, near: tuple[str, ...]) -> str:
    return f"{words}; likeliest near {near[0]}" if near else words


def arranged(panels: Sequence[Panel], layers: Sequence[Layer]) -> tuple[Panel, ...]:
    """Return panels in their places: storeys side by side, each over what is under its floor.

    What is left goes into a last column; a layer without voids is left out.

    Parameters
    ----------
    panels : sequence of Panel
        One a layer.
    layers : sequence of Layer
        What they show.
    """
    storeys = list(dict.fromkeys(layer.storey for layer in layers))
    last, spare = len(storeys), 0
    placed: list[Panel] = []
    order = sorted(range(len(layers)), key=lambda i: layers[i].where != "over")
    for i in order:
        layer, panel = layers[i], panels[i]
        if layer.where != "view" and not layer.voids:
            continue
        column, row = storeys.index(layer.storey), 0 if layer.where == "view" else 1
        if layer.where == "over" or layer.depth > 0:
            column, row, spare = last + spare // 2, spare % 2, spare + 1
        placed.append(msgspec.structs.replace(panel, column=column, row=row))
    return tuple(sorted(placed, key=lambda panel: (panel.row, panel.column)))
