"""Ways in: drawn ones by their size, undrawn ones in proportion to the edge, colonies inside."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from houses import as_job, bungalow, ranch, semi
from wainscot import plan, voids
from wainscot.job import Place
from wainscot.plan.model import Entry
from wainscot.species import species
from wainscot.voids import Graph
from wainscot.voids.passages import _merge
from wainscot.voids.priors import chance_open
from wainscot.voids.site import Proposal
from wainscot.voids.sources import entry_odds


def build(document: dict[str, Any], animal: str = "norway rat") -> Graph:
    return voids.build(plan.read(as_job(document)), animal)


def prior(graph: Graph, sort: str) -> np.ndarray:
    rows = [n for n, one in enumerate(graph.source_sort) if one == sort]
    return graph.source_prior[rows]


def entry(**fields: Any) -> Entry:
    return Entry(
        **{
            "id": "e", "name": "hole", "place": Place(), "size": 0.05, "size_basis": "measured",
            "material": "masonry", "beyond": "outside", "sealed": False, **fields,
        }
    )  # fmt: skip


@pytest.mark.parametrize("house", [bungalow, semi, ranch])
def test_undrawn_ways_in_are_worth_three_tenths_and_colonies_inside_three_hundredths(
    house: Any,
) -> None:
    # Both totals are judgement, whatever the size of the drawn part.
    graph = build(house())
    assert prior(graph, "unknown")[:, 2].sum() == pytest.approx(0.3)
    assert prior(graph, "settled")[:, 2].sum() == pytest.approx(0.03)
    assert len(prior(graph, "settled")) == int(graph.hidden.sum())


def test_every_edge_of_the_plan_is_a_possible_way_in() -> None:
    pools = set(build(bungalow()).source_pool)
    assert {
        "outside, north side", "outside, west side", "neighbour, east side",
        "not drawn yet, south side", "ground", "outside, roof", "drain", "settled inside",
    } <= pools  # fmt: skip


def test_a_hole_counts_by_its_size_against_the_animal() -> None:
    # Thresholds 6 mm and 13 mm: exclusion guides (CDC; state extension).
    rat, mouse = species("norway rat"), species("house mouse")

    def now(animal: Any, **fields: Any) -> float:
        return entry_odds(entry(**fields), animal)[1]

    assert now(rat, size=0.02) > now(rat, size=0.009)
    assert now(mouse, size=0.009) == now(rat, size=0.02)
    assert now(rat, size=0.010, material="wood") > now(rat, size=0.010)
    assert now(rat, size=None) > now(rat, size=0.005)
    assert now(rat, size=0.02, size_basis="estimated") < now(rat, size=0.02)


def test_a_sealed_hole_may_have_been_used_but_hardly_is_now() -> None:
    past, now = entry_odds(entry(sealed=True), species("norway rat"))
    assert past > 10 * now > 0


def test_an_entry_point_on_a_disused_drain_opens_where_the_drain_ends() -> None:
    graph = build(bungalow())
    e = graph.source_keys.index("broken_drain")
    assert graph.source_sort[e] == "entry point"
    assert graph.kinds[graph.source_void[e]] == "underfloor void"


def test_an_open_drain_end_without_an_entry_point_is_a_way_in_by_itself() -> None:
    document = bungalow()
    assert "old_drain" not in build(document).source_keys
    document["entities"].pop("broken_drain")
    graph = build(document)
    e = graph.source_keys.index("old_drain")
    assert graph.source_sort[e] == "entry point"
    assert graph.source_words[e] == "open end of Disused drain"
    assert graph.kinds[graph.source_void[e]] == "underfloor void"


def test_an_entry_point_far_from_everything_is_left_out_and_said() -> None:
    document = bungalow()
    place = {"storey": "ground", "at": [30.0, 30.0]}
    document["entities"]["broken_drain"]["place"] = place
    found = plan.read(as_job(document))
    graph = voids.build(found, "norway rat")
    assert "broken_drain" not in graph.source_keys
    assert "outside what is drawn" in voids.why_lost(graph, found, found.entries[0].place)


def test_chance_open_by_hand() -> None:
    # Uniform from 0 to 20 mm: 13 mm is exceeded in 7 of 20; there at all in half of the cases.
    assert chance_open(0.0, 0.020, 0.013, 0.5) == pytest.approx(0.5 * 7 / 20)
    assert chance_open(0.02, 0.03, 0.013, 0.5) == 0.5
    assert chance_open(0.0, 0.005, 0.006, 1.0) == 0.0
    assert chance_open(0.017, 0.017, 0.013, 0.9) == 0.9


def test_parallel_ways_join_as_independent_ones_and_the_strongest_gives_the_words() -> None:
    def way(rule: str, presence: float, run: float) -> Proposal:
        return Proposal(0, 1, rule, rule, 0.05, 0.06, presence, run, False, (0, 0, 0))

    found = _merge(0, 1, [(way("a", 0.5, 0.4), False), (way("b", 0.2, 0.5), True)], 0.013)
    assert found.open == pytest.approx(1 - 0.5 * 0.8)
    assert found.open * found.run == pytest.approx(1 - (1 - 0.2) * (1 - 0.1))
    assert found.rule == found.words == "a"
    # One that follows from what was drawn is enough; the strongest here is not drawn.
    assert found.drawn
    assert not _merge(0, 1, [(way("a", 0.5, 0.4), False)], 0.013).drawn


def test_splitting_a_way_into_shares_changes_nothing() -> None:
    def way(presence: float) -> Proposal:
        return Proposal(0, 1, "a", "a", 0.05, 0.06, presence, 1.0, False, (0, 0, 0))

    whole = _merge(0, 1, [(way(0.6), True)], 0.013)
    shares = [(way(1 - (1 - 0.6) ** share), True) for share in (0.2, 0.3, 0.5)]
    assert _merge(0, 1, shares, 0.013).open == pytest.approx(whole.open)


def test_the_waste_pipe_joins_the_void_under_the_bath_to_the_ground() -> None:
    graph = build(bungalow(), "norway rat")
    bath = graph.keys.index("bath/under")
    near = {graph.kinds[a + b - bath] for a, b in graph.edges.tolist() if bath in (a, b)}
    assert "joist bay" in near
    rules = {
        graph.passage_rule[p] for p, (a, b) in enumerate(graph.edges.tolist()) if bath in (a, b)
    }
    assert "trap cut-out" in rules
