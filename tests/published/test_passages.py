"""Gaps round pipes, cut-outs and fixture voids against figures with their source beside them."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from houses import as_job, bungalow, ranch
from wainscot import plan, voids
from wainscot.plan import kinds
from wainscot.voids import Graph

INCH = 0.0254
CUBIC_FOOT = (12 * INCH) ** 3

# Outside diameters: NPS schedule 40 in the Python library fluids 1.3.1 (opened and read).
# Hole sizes: trade pages for 1-1/2 in pipe, common practice for the rest.  The gap is hole minus
# outside diameter, because a pipe may rest on one side.  "Admits" compares it with 1/4 in (mouse)
# and 1/2 in (rat), the openings that exclusion guides ask to be sealed (CDC; state extension).
PIPES = [
    # OD in, hole in, gap in as printed, mouse passes, rat passes
    ("1.900 in", "2-1/8 in", 0.225, False, False),
    ("1.900 in", "2-9/16 in", 0.66, True, True),
    ("2.375 in", "2-9/16 in", 0.19, False, False),
    ("2.375 in", "3 in", 0.625, True, True),
    ("3.500 in", "4-1/4 in", 0.75, True, True),
    ("40 mm", "51 mm", 11 / 25.4, True, False),
    ("50 mm", "60 mm", 10 / 25.4, True, False),
    ("110 mm", "117 mm", 7 / 25.4, True, False),
    ("110 mm", "127 mm", 17 / 25.4, True, True),
    ("36 mm", "40 mm", 4 / 25.4, False, False),
    ("43 mm", "50 mm", 7 / 25.4, True, False),
    ("56 mm", "64 mm", 8 / 25.4, True, False),
]


def pipe_house(diameter: str, hole: str, species: str) -> tuple[Graph, int]:
    """Return the graph of the house with one pipe through the sole plate, and that passage."""
    document = ranch()
    entities: dict[str, Any] = document["entities"]
    entities["supply"] |= {"type": "drain", "diameter": diameter, "hole": hole}
    graph = voids.build(plan.read(as_job(document)), species)
    ends = {graph.keys.index("bath_room/w1/bay/2")}
    found = [
        p
        for p, (a, b) in enumerate(graph.edges.tolist())
        if ends & {a, b} and graph.passage_rule[p] == "pipe through"
    ]
    others = [p for p, (a, b) in enumerate(graph.edges.tolist())
              if ends & {a, b} and graph.passage_at[p, 2] < 0.05]  # fmt: skip
    return graph, (found or others)[0]


@pytest.mark.parametrize(("diameter", "hole", "printed", "mouse", "rat"), PIPES)
def test_the_gap_beside_a_pipe_is_hole_minus_pipe_and_admits_whom_the_table_says(
    diameter: str, hole: str, printed: float, mouse: bool, rat: bool
) -> None:
    for species, passes in (("house mouse", mouse), ("norway rat", rat)):
        graph, p = pipe_house(diameter, hole, species)
        if passes:
            assert graph.passage_rule[p] == "pipe through"
            # The tolerance is half of the last digit printed, 0.66 and 0.19 being the coarsest.
            assert graph.aperture[p] / INCH == pytest.approx([printed, printed], abs=0.005)
            assert graph.prior_open[p] >= 0.9
        else:
            assert graph.passage_rule[p] != "pipe through"
            assert graph.prior_open[p] < 0.5


def test_the_trap_cut_out_is_nine_by_twelve_inches() -> None:
    # 9 in wide, at least 12 in from the end wall: fixture reference pages (two agreeing), 108 in2.
    at = plan.read(as_job(ranch())).fixtures[0]
    join = next(one for one in kinds()["bath"].joins(at) if one.rule == "trap cut-out")
    window = join.window
    assert window is not None
    area = (window.u_high - window.u_low) * (window.v_high - window.v_low)
    assert area / INCH**2 == pytest.approx(108, abs=0.5)
    assert join.high.value / INCH == pytest.approx(9, abs=0.05)


def test_the_void_under_a_tub_is_about_six_point_eight_cubic_feet() -> None:
    # 60 x 30 x 14 in is 14.6 ft3 less 58 gal of water (7.75 ft3): about 6.8, rough (derived).
    document = ranch()
    document["entities"]["tub"] |= {"width": "60 in", "depth": "30 in", "height": "14 in"}
    graph = voids.build(plan.read(as_job(document)), "norway rat")
    v = graph.keys.index("tub/under")
    assert graph.volume[v] / CUBIC_FOOT == pytest.approx(6.8, abs=0.05)


def cabinets(options: dict[str, Any], width: str) -> Graph:
    document = ranch()
    document["entities"]["run"] = {
        "kind": "fixture", "type": "base cabinet run", "room": "den", "against": "n1",
        "along": 0, "width": width, "options": options,
    }  # fmt: skip
    return voids.build(plan.read(as_job(document)), "norway rat")


def test_a_thirty_six_inch_base_cabinet_stands_on_two_cubic_feet() -> None:
    # Kick 4-1/2 in high, box 24 in deep less a 3 in kick: 4-1/2 x 21 x 36 in is 1.97 ft3 (56 L).
    # Heights from fixture reference pages; the kick's depth is from memory.
    graph = cabinets({}, "36 in")
    v = graph.keys.index("run/under")
    assert graph.volume[v] / CUBIC_FOOT == pytest.approx(1.97, abs=0.005)
    assert graph.volume[v] * 1000 == pytest.approx(56, abs=0.5)


def test_an_unused_corner_is_eleven_and_a_half_cubic_feet() -> None:
    # 24 x 24 x 34-1/2 in is 11.5 ft3 (325 L): derived from the box sizes of the same pages.
    graph = cabinets({"corner": "left"}, "8 ft")
    v = graph.keys.index("run/corner")
    assert graph.volume[v] / CUBIC_FOOT == pytest.approx(11.5, abs=0.05)
    assert graph.volume[v] * 1000 == pytest.approx(325, abs=2.0)


def test_the_wc_flange_stands_twelve_inches_off_the_finished_wall() -> None:
    # Rough-in 12 in from the finished wall: fixture reference pages.
    document = ranch()
    document["entities"]["pan"] = {
        "kind": "fixture", "type": "wc", "room": "bath_room", "against": "e1", "along": "1 ft",
    }  # fmt: skip
    graph = voids.build(plan.read(as_job(document)), "norway rat")
    v = graph.keys.index("pan/foot")
    wall = (20 * 12 + 4.5) * INCH
    middle = float(np.mean(graph.polygon[v][:, 0]))
    assert (wall - middle) / INCH == pytest.approx(12, abs=0.05)


def test_the_joist_void_over_ground_is_at_least_150_mm_deep() -> None:
    # Approved Document C: at least 150 mm below a suspended timber floor (second-hand).
    graph = voids.build(plan.read(as_job(bungalow())), "norway rat")
    v = graph.kinds.index("underfloor void")
    assert graph.top[v] - graph.bottom[v] == pytest.approx(0.15, abs=0.0005)


# Sizes as printed in home-improvement reference pages (several agreeing); from memory where said.
SIZES = [
    ("dishwasher", {"width": 24, "depth": 24, "height": 34.5}),
    ("cooker", {"width": 30}),
    ("corner base cabinet", {"width": 36, "depth": 36, "height": 34.5}),
    ("shower base", {"width": 36, "depth": 36}),  # 32 x 32, 36 x 36, 30 x 60: from memory
]


@pytest.mark.parametrize(("name", "printed"), SIZES)
def test_an_american_fixture_has_its_printed_size(name: str, printed: dict[str, float]) -> None:
    for size, inches in printed.items():
        assert kinds()[name].size(size, "US").value / INCH == pytest.approx(inches, abs=0.05)


def test_sizes_told_as_a_range_lie_within_it() -> None:
    # Refrigerator 30 to 48 x 24 to 31 in (reference pages); wash-basin cabinet 30 to 36 high, 18 to
    # 21 deep, soffit 12 to 14 deep (both from memory).
    for name, size, low, high in (
        ("refrigerator", "width", 30, 48),
        ("refrigerator", "depth", 24, 31),
        ("wash-basin cabinet", "height", 30, 36),
        ("wash-basin cabinet", "depth", 18, 21),
        ("dropped soffit", "depth", 12, 14),
    ):
        assert low - 0.01 <= kinds()[name].size(size, "US").value / INCH <= high + 0.01


def fixture(name: str, **fields: Any) -> tuple[Graph, Any]:
    document = ranch()
    document["entities"]["it"] = {
        "kind": "fixture", "type": name, "room": "den", "against": "n1", "along": 0, **fields,
    }  # fmt: skip
    found = plan.read(as_job(document))
    own = next(one for one in found.fixtures if one.id == "it")
    return voids.build(found, "norway rat"), own


def test_a_shower_trap_leaves_what_its_hole_has_over_the_pipe() -> None:
    # Hole 5 to 6 in across (common practice) for a 2 in pipe, outside 2.375 in (NPS schedule 40 in
    # the library fluids): 2.625 to 3.625 in beside it.
    _, at = fixture("shower base")
    join = next(one for one in kinds()["shower base"].joins(at) if one.to == "floor")
    assert join.low.value / INCH == pytest.approx(2.625, abs=0.0005)
    assert join.high.value / INCH == pytest.approx(3.625, abs=0.0005)


def test_an_unused_corner_cabinet_seals_off_24_by_24_inches() -> None:
    # 24 x 24 x 34-1/2 in is 11.5 ft3 (derived from box sizes); here less the 4-1/2 in kick space,
    # which is a void of its own: 10.0 ft3.
    graph, _ = fixture("corner base cabinet", options={"corner": "unused"})
    v = graph.keys.index("it/corner")
    assert graph.volume[v] / CUBIC_FOOT == pytest.approx(24 * 24 * 30 / 12**3, abs=0.01)


def test_a_chimney_keeps_two_inches_from_the_timbers() -> None:
    # Air space of 2 in to a chimney inside or in an outside wall: IRC R1003.18 (read).
    graph, _ = fixture("chimney breast")
    v = graph.keys.index("it/clearance")
    assert float(np.ptp(graph.polygon[v], axis=0).min()) / INCH == pytest.approx(2, abs=1e-6)


def test_a_dishwasher_line_passes_an_inch_and_a_half_hole_into_the_next_cabinet() -> None:
    # Line hole 1-1/2 in through the side: common practice.
    document = ranch()
    document["entities"] |= {
        "it": {"kind": "fixture", "type": "dishwasher", "room": "den", "against": "n1",
               "along": "36 in"},
        "run": {"kind": "fixture", "type": "base cabinet run", "room": "den", "against": "n1",
                "along": 0, "width": "36 in"},
    }  # fmt: skip
    graph = voids.build(plan.read(as_job(document)), "norway rat")
    ends = {graph.keys.index("it/back"), graph.keys.index("run/under")}
    p = next(p for p, pair in enumerate(graph.edges.tolist()) if set(pair) == ends)
    assert graph.passage_rule[p] == "hose hole"
    assert graph.aperture[p, 1] / INCH == pytest.approx(1.5)


def test_a_doubled_2x10_closes_nine_and_a_quarter_inches_over_a_window() -> None:
    # 2x10 dressed is 9-1/4 in deep: PS 20 (from memory); solid headers close the bay above.
    document = ranch()
    document["entities"]["window"] = {
        "kind": "opening", "room": "den", "side": "n1", "type": "window", "along": "40 in",
        "width": "40 in", "head": "80 in",
    }  # fmt: skip
    graph = voids.build(plan.read(as_job(document)), "norway rat")
    v = next(v for v, key in enumerate(graph.keys) if key.endswith("above-head"))
    assert graph.bottom[v] / INCH == pytest.approx(80 + 9.25, abs=1e-6)
