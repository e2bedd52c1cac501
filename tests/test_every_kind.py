"""Every fixture type and every passage rule, found by walking their folders, keeps the contract."""

from __future__ import annotations

import inspect
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from houses import as_job, rectangle
from wainscot import plan, voids
from wainscot.plan import Kind, kinds
from wainscot.plan.kind import Target
from wainscot.sources import Cited
from wainscot.voids import building, contacts, finder, passages, piercing, sources
from wainscot.voids.site import rules

TARGETS = set(Target.__args__)  # type: ignore[attr-defined]
EVERY = sorted(kinds())


def house(kind: str, side: str, country: str, **fields: Any) -> dict[str, Any]:
    """Return one room on each of two floors with one fixture, walls of studs all round."""
    entities: dict[str, Any] = {
        "settings": {"kind": "settings", "country": country},
        "low": {"kind": "storey", "name": "Low", "level": 0, "height": 2.4},
        "high": {"kind": "storey", "name": "High", "level": 1, "height": 2.4},
        "room": {"kind": "room", "name": "Room", "storey": "low",
                 "polygon": rectangle(0, 0, 4.0, 4.4)},
        "above": {"kind": "room", "name": "Above", "storey": "high",
                  "polygon": rectangle(0, 0, 4.0, 4.4)},
        "it": {"kind": "fixture", "type": kind, "room": "room", "against": side, "along": 0.3,
               **fields},
    }  # fmt: skip
    for name in ("n1", "e1", "s1", "w1"):
        entities[f"wall_{name}"] = {
            "kind": "wall", "room": "room", "side": name, "build": "stud",
        }  # fmt: skip
    return {"wainscot": 1, "id": "job_kind", "entities": entities}


def build(document: dict[str, Any]) -> voids.Graph:
    return voids.build(plan.read(as_job(document)), "norway rat")


@pytest.mark.parametrize("name", EVERY)
def test_a_fixture_type_states_its_words_sizes_and_options_with_their_standing(name: str) -> None:
    kind: Kind = kinds()[name]
    assert kind.name == name == name.lower()
    assert kind.words
    assert 1 <= len(kind.letter) <= 2
    assert kind.letter.isalpha() and kind.letter.isupper()  # noqa: PT018
    assert set(kind.sizes) == {"width", "depth", "height"}
    for pair in kind.sizes.values():
        assert all(isinstance(one, Cited) and one.unit == "m" and 0 < one.value < 6 for one in pair)
    for option in kind.options:
        assert option.words
        if option.type == "word":
            assert option.default in option.choices
        elif option.type == "flag":
            assert isinstance(option.default, bool)
        else:
            assert isinstance(option.default, tuple)
            assert len(option.default) == 2
    module = inspect.getmodule(kind.cavities)
    assert module is not None
    assert "Limits" in (module.__doc__ or "")


def test_no_two_fixture_types_share_a_letter_or_a_name() -> None:
    letters = [kind.letter for kind in kinds().values()]
    framing = ["W", "F", "E", "C", "G", "U", "L"]
    assert len({*letters, *framing}) == len(letters) + len(framing)


@pytest.mark.parametrize("country", ["UK", "US"])
@pytest.mark.parametrize("side", ["n1", "e1", "s1", "w1"])
@pytest.mark.parametrize("name", EVERY)
def test_a_fixture_makes_its_voids_within_its_footprint_and_joins_them(
    name: str, side: str, country: str
) -> None:
    document = house(name, side, country)
    at = plan.read(as_job(document)).fixtures[0]
    graph = build(document)
    own = [v for v, owner in enumerate(graph.owners) if owner == "it"]
    assert own
    west, south, east, north = at.rectangle
    for v in own:
        assert graph.hidden[v]
        low, high = graph.polygon[v].min(axis=0), graph.polygon[v].max(axis=0)
        assert np.all(low >= np.array([west, south]) - 1e-9)
        assert np.all(high <= np.array([east, north]) + 1e-9)
        assert -1e-9 <= graph.bottom[v] < graph.top[v] <= at.height + 1e-9
        box = float(np.prod(high - low) * (graph.top[v] - graph.bottom[v]))
        assert 0 < graph.volume[v] <= box * (1 + 1e-9)
        reached = {p for p, ends in enumerate(graph.edges.tolist()) if v in ends}
        assert reached, graph.words[v]
        best = max(float(graph.prior_open[p]) for p in reached)
        assert best > 0.05, f"nothing but bare faces leads to {graph.words[v]}"


@pytest.mark.parametrize("name", EVERY)
def test_every_join_names_a_void_and_a_target_that_exist_and_is_sourced(name: str) -> None:
    for flip in (False, True):
        at = plan.read(as_job(house(name, "n1", "UK", flip=flip))).fixtures[0]
        roles = {cavity.role for cavity in kinds()[name].cavities(at)}
        joins = kinds()[name].joins(at)
        assert roles
        # A void called like a wall would take that wall's ways.
        assert not roles & TARGETS
        assert joins
        for join in joins:
            assert join.role in roles | {"room"}
            assert join.to in TARGETS | roles
            assert join.rule
            assert join.words
            assert 0 <= join.low.value <= join.high.value < 1
            assert join.low.unit == join.high.unit == "m"
            assert 0 < join.presence.value <= 1
            assert 0 < join.run.value <= 1
            assert all(one.source for one in (join.low, join.high, join.presence, join.run))


@pytest.mark.parametrize("name", EVERY)
def test_turning_the_house_by_a_quarter_keeps_every_passage_of_a_fixture(name: str) -> None:
    north = plan.read(as_job(house(name, "n1", "UK", width=0.9, depth=0.7, height=1.0)))
    counts = []
    for side in ("n1", "e1", "s1", "w1"):
        document = house(name, side, "UK", width=0.9, depth=0.7, height=1.0)
        # A square room, and joists that turn with the fixture.
        for key in ("room", "above"):
            document["entities"][key]["polygon"] = rectangle(0, 0, 4.2, 4.2)
        run = "x" if side in ("n1", "s1") else "y"
        for key in ("low", "high"):
            document["entities"][key]["floor"] = {"joists_run": run}
        graph = build(document)
        own = {v for v, owner in enumerate(graph.owners) if owner == "it"}
        found = [p for p, ends in enumerate(graph.edges.tolist()) if own & set(ends)]
        # Rounded sums: bays stand a little differently behind each side.
        counts.append(sorted({graph.passage_rule[p] for p in found} - {"shared face"}))
    assert north.fixtures
    assert all(one == counts[0] for one in counts)


def test_no_engine_names_a_fixture_type() -> None:
    words = set(kinds()) | {kind.replace(" ", "_") for kind in kinds()}
    for module in (building, contacts, finder, passages, piercing, sources):
        source = inspect.getsource(module)
        assert not [word for word in words if f'"{word}"' in source], module.__name__
    for rule in rules():
        module = inspect.getmodule(rule.propose)
        assert module is not None
        source = inspect.getsource(module)
        assert not [word for word in words if f'"{word}"' in source], module.__name__


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.name)
def test_a_passage_rule_has_words_and_a_docstring(rule: Any) -> None:
    assert rule.name
    assert rule.words
    module = inspect.getmodule(rule.propose)
    assert module is not None
    assert module.__doc__
    assert rule.propose.__doc__


def test_the_manual_pages_are_written_from_the_kinds_and_the_table() -> None:
    script = Path(__file__).resolve().parent.parent / "scripts" / "build_pages.py"
    done = subprocess.run(
        [sys.executable, str(script), "--check"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
