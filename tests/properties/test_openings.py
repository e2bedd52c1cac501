"""No opening's saw line crosses a stud, a joist or a drawn service, whatever the house.

Studs are counted here from the wall's first stud and spacing; services are followed point by point.
"""

from __future__ import annotations

import math
import sys
from itertools import pairwise
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from houses import as_job
from wainscot import plan, voids
from wainscot.access import CutAt, ways_to_open
from wainscot.openings import Problem, solve
from wainscot.plan.model import Plan, ServiceRun, Wall

sys.path.insert(0, str(Path(__file__).parents[1] / "voids"))
from random_house import houses

BETWEEN = ("board between studs", "access panel")


@st.composite
def piped(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a house with up to four pipes and cables anywhere in it."""
    document = draw(houses())
    for n in range(draw(st.integers(0, 4))):
        x, y = draw(st.integers(0, 90)) / 10, draw(st.integers(0, 60)) / 10
        low, length = draw(st.integers(-3, 20)) / 10, draw(st.integers(2, 30)) / 10
        way = draw(st.sampled_from(["x", "y", "up"]))
        end = {"x": [x + length, y, low], "y": [x, y + length, low], "up": [x, y, low + length]}
        document["entities"][f"run{n}"] = {
            "kind": "service", "type": draw(st.sampled_from(["cable", "supply", "drain"])),
            "path": [[x, y, low], end[way]],
        }  # fmt: skip
    return document


def saw_points(cut: CutAt) -> np.ndarray:
    """Return points along the saw line of a cut: [n, 3]."""
    if cut.part == "wall":
        (x, y), (u, v) = cut.outline
        ring = [(x, y, cut.bottom), (u, v, cut.bottom), (u, v, cut.top), (x, y, cut.top)]
    else:
        ring = [(x, y, cut.bottom) for x, y in cut.outline]
    return np.concatenate([np.linspace(a, b, 40) for a, b in pairwise([*ring, ring[0]])])


def run_points(run: ServiceRun) -> np.ndarray:
    return np.concatenate(
        [
            np.linspace(a, b, 2 + int(np.linalg.norm(np.subtract(b, a)) / 0.01))
            for a, b in pairwise(run.path)
        ]
    )


def across(wall: Wall, points: np.ndarray) -> np.ndarray:
    """Return how far points lie outward of a wall's inner face. [m]"""
    out = np.array(wall.side.direction)
    base = np.array(wall.side.point(0.0))
    return np.asarray((points[:, :2] - base) @ out)


def clear_of_services(drawn: Plan, cut: CutAt, depth: tuple[float, float]) -> bool:
    """Return whether no service behind the finish lies under the saw line."""
    saw = saw_points(cut)
    walls = [w for w in drawn.walls if w.id == cut.side]
    for run in drawn.services:
        points = run_points(run)
        if cut.part == "wall":
            wall = walls[0]
            inside = (across(wall, points) > 0) & (across(wall, points) < wall.thickness)
            flat = np.array([wall.side.direction[1], wall.side.direction[0]]) * np.array([1, -1])
            one = np.stack([points[inside][:, :2] @ flat, points[inside][:, 2]], axis=1)
            other = np.stack([saw[:, :2] @ flat, saw[:, 2]], axis=1)
        else:
            inside = (points[:, 2] > depth[0]) & (points[:, 2] < depth[1])
            one, other = points[inside][:, :2], saw[:, :2]
        if (
            len(one)
            and shapely.distance(shapely.MultiPoint(one), shapely.MultiPoint(other))
            < run.diameter / 2
        ):
            return False
    return True


def studs(wall: Wall) -> list[tuple[float, float]]:
    """Return both edges of each stud between the wall's ends, along its axis. [m]"""
    half, found = wall.stud_thickness / 2, []
    for n in range(-200, 200):
        centre = wall.side.coordinate(wall.first_stud + n * wall.spacing)
        if wall.low <= centre <= wall.high:
            found.append((centre - half, centre + half))
    return found


@settings(max_examples=25, deadline=None)
@given(piped())
def test_no_cut_crosses_a_drawn_member_or_service(document: dict[str, Any]) -> None:
    drawn = plan.read(as_job(document))
    graph = voids.build(drawn, "norway rat")
    for one in ways_to_open(drawn, graph):
        for cut in one.cuts:
            bay = one.reaches[-1].void
            low, high = float(graph.bottom[bay]), float(graph.top[bay])
            assert math.isfinite(cut.area)
            assert not cut.sawn or clear_of_services(drawn, cut, (low, high)), one.id
            if one.act in BETWEEN:
                walls = [w for w in drawn.walls if w.id == cut.side]
                ends = sorted(walls[0].side.on_axis(point) for point in cut.outline)
                for wall in walls:
                    assert not any(
                        a < ends[1] - 1e-6 and b > ends[0] + 1e-6 for a, b in studs(wall)
                    ), one.id
            elif cut.part in ("floor", "ceiling") and cut.sawn:
                shape = shapely.Polygon(graph.polygon[bay]).buffer(1e-5)
                assert shape.covers(shapely.Polygon(cut.outline)), one.id


def _drawn_problem(seed: int) -> Problem:
    rng = np.random.default_rng(seed)
    openings, voids, charges = 14, 18, 5
    pairs = [(o, int(v), float(rng.choice([0.4, 0.8, 1.0]))) for o in range(openings)
             for v in rng.choice(voids, size=int(rng.integers(1, 6)), replace=False)]  # fmt: skip
    links = [(o, int(rng.integers(charges))) for o in range(openings)]
    return Problem(
        ids=tuple(map(str, range(openings))), cost=rng.uniform(0.2, 3.0, openings),
        charges=tuple(map(str, range(charges))), charge=rng.uniform(0.0, 5.0, charges),
        link_opening=np.array([o for o, _ in links], dtype=np.int32),
        link_charge=np.array([c for _, c in links], dtype=np.int32),
        pair_opening=np.array([o for o, _, _ in pairs], dtype=np.int32),
        pair_void=np.array([v for _, v, _ in pairs], dtype=np.int32),
        share=np.array([share for _, _, share in pairs]), loss=rng.exponential(2.0, voids),
    )  # fmt: skip


def _without(problem: Problem, one: int) -> Problem:
    """Return the same choice as if this opening had never been offered."""
    link, pair = problem.link_opening != one, problem.pair_opening != one
    shift = np.arange(len(problem.ids)) - (np.arange(len(problem.ids)) > one)
    return msgspec.structs.replace(
        problem, ids=tuple(name for o, name in enumerate(problem.ids) if o != one),
        cost=np.delete(problem.cost, one),
        link_opening=shift[problem.link_opening[link]].astype(np.int32),
        link_charge=problem.link_charge[link],
        pair_opening=shift[problem.pair_opening[pair]].astype(np.int32),
        pair_void=problem.pair_void[pair], share=problem.share[pair],
    )  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**6), st.integers(0, 13), st.sampled_from([0.25, 1.0, 4.0]))
def test_another_candidate_never_raises_the_optimum(seed: int, one: int, weight: float) -> None:
    problem = _drawn_problem(seed)
    fewer = solve(_without(problem, one), weight, gap=0.0)
    more = solve(problem, weight, gap=0.0)
    assert more.objective <= fewer.objective + 1e-6


@settings(max_examples=40, deadline=None)
@given(
    st.integers(0, 10**6),
    st.sets(st.integers(0, 13), min_size=1),
    st.sampled_from([0.25, 1.0, 4.0]),
)
def test_forbidding_never_lowers_the_optimum(seed: int, barred: set[int], weight: float) -> None:
    problem = _drawn_problem(seed)
    mask = np.zeros(14, dtype=bool)
    mask[list(barred)] = True
    free = solve(problem, weight, gap=0.0)
    held = solve(problem, weight, forbidden=mask, gap=0.0)
    assert held.objective >= free.objective - 1e-6
    assert not barred & set(held.chosen)
    if len(barred) == 1:
        (one,) = barred
        left_out = solve(_without(problem, one), weight, gap=0.0)
        assert held.objective == pytest.approx(left_out.objective, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([0.25, 1.0, 4.0]))
def test_what_a_callback_counts_more_leaves_no_more_loss(seed: int, weight: float) -> None:
    problem = _drawn_problem(seed)
    low, high = solve(problem, weight, gap=0.0), solve(problem, 2 * weight, gap=0.0)
    assert high.loss_left <= low.loss_left + 1e-6
    assert high.cost >= low.cost - 1e-6
