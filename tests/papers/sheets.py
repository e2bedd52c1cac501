"""Opening sheets of small houses, from a few draws at random: quick, and no answer of anything."""

from __future__ import annotations

from functools import cache, lru_cache

import msgspec
import numpy as np
import shapely
from tests import houses

from wainscot import voids as voids_step
from wainscot.access import Access, site_of, ways_to_open
from wainscot.book import DEFAULT
from wainscot.checks import Pooled
from wainscot.drawing import Drawing
from wainscot.job import Job
from wainscot.openings import Choice, Known, Signed, Wanted, choose
from wainscot.papers.opening_sheet import SheetView, VoidSaid, sheet_view
from wainscot.plan.model import Plan
from wainscot.voids.graph import Graph

DRAWS = 64


@cache
def house(name: str) -> Job:
    """Return one of the shared small houses as a job."""
    return houses.as_job(getattr(houses, name)())


def parts(job: Job) -> tuple[Plan, Graph, tuple[Access, ...]]:
    """Return the plan of a job, its voids and every opening."""
    return _parts(msgspec.msgpack.encode(job))


@lru_cache(maxsize=16)
def _parts(packed: bytes) -> tuple[Plan, Graph, tuple[Access, ...]]:
    job = msgspec.msgpack.decode(packed, type=Job)
    plan = voids_step.framed(job).plan
    graph = voids_step.build(plan, "norway rat")
    return plan, graph, ways_to_open(plan, graph, site_of(job))


def draws_at_random(graph: Graph, chance: float) -> Pooled:
    """Return draws in which every void is soiled with the same chance."""
    random = np.random.default_rng(7)
    size = (DRAWS, len(graph.keys))
    soil = (random.random(size) < chance).astype(np.uint8) * 2
    sources = (DRAWS, len(graph.source_keys))
    return Pooled(
        reach=np.ones(size, dtype=np.uint8),
        soil=soil,
        nest=np.zeros(size, dtype=np.uint8),
        weight=np.full(DRAWS, 1 / DRAWS),
        source=np.zeros(sources, dtype=np.uint8),
        species=("norway rat",),
        species_of=np.zeros(DRAWS, dtype=np.int32),
        choices=({},),
        guess_of=np.zeros(DRAWS, dtype=np.int32),
    )


def choice_of(
    job: Job, chance: float = 0.5, signed: Signed | None = None, wanted: Wanted | None = None
) -> Choice:
    """Return a choice for a job from draws at random."""
    key = msgspec.msgpack.encode((job, chance, signed, wanted))
    if key not in _CHOICES:
        _, graph, ways = parts(job)
        known = Known(signed=signed or Signed(), site=site_of(job))
        drawn = draws_at_random(graph, chance)
        _CHOICES[key] = choose(drawn, graph, ways, DEFAULT, known=known, wanted=wanted)
    return _CHOICES[key]


_CHOICES: dict[bytes, Choice] = {}


def sheet(
    job: Job,
    chance: float = 0.5,
    signed: Signed | None = None,
    wanted: Wanted | None = None,
    which: str = "all",
    date: str = "2026-05-12",
) -> SheetView:
    """Return the opening sheet of a job from draws at random."""
    plan, graph, ways = parts(job)
    choice = choice_of(job, chance, signed, wanted)
    said = {key: VoidSaid(chance, "nobody looked") for key in graph.keys}
    return sheet_view(job, choice, plan, graph, ways, which=which, date=date, said=said)  # type: ignore[arg-type]


@cache
def sheet_of(name: str) -> SheetView:
    """Return the sheet of one of the shared small houses."""
    return sheet(house(name))


def cut_across(drawing: Drawing) -> list[tuple[shapely.Geometry, shapely.Geometry]]:
    """Return every drawn cut with every drawn pipe and cable at its true width, as pairs."""
    cuts = [shapely.Polygon(one.points) for one in drawing.shapes if one.layer == "cut"]
    runs = [
        shapely.LineString(one.points).buffer(one.width / 2)
        for one in drawing.shapes
        if one.layer == "service"
    ] + [
        shapely.Point(one.centre).buffer(one.radius)
        for one in drawing.discs
        if one.layer == "service"
    ]
    return [(cut, run) for cut in cuts for run in runs]
