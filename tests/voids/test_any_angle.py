"""Walls at any angle: turning a house changes coordinates only; slants cut bays, and nothing more."""

from __future__ import annotations

import copy
import math
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from random_house import houses

from houses import as_job, bungalow, semi
from wainscot import plan, voids
from wainscot.voids import Graph
from wainscot.voids.building import all_spaces
from wainscot.voids.contacts import contacts

Document = dict[str, Any]
QUICK = settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def build(document: Document, species: str = "norway rat") -> Graph:
    return voids.build(plan.read(as_job(document)), species)


def spun(document: Document, degrees: float) -> Document:
    """Return the house turned about the origin, its joists, runs and places with it."""
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def turn(x: float, y: float) -> list[float]:
        return [cosine * x - sine * y, sine * x + cosine * y]

    out = copy.deepcopy(document)
    for entity in out["entities"].values():
        if "polygon" in entity:
            entity["polygon"] = [turn(x, y) for x, y in entity["polygon"]]
        if "path" in entity:
            entity["path"] = [[*turn(x, y), z] for x, y, z in entity["path"]]
        if "at" in entity.get("place", {}):
            entity["place"]["at"] = turn(*entity["place"]["at"])
        floor = entity.get("floor", {})
        if floor.get("joists_run") in ("x", "y"):
            floor["joists_run"] = degrees + {"x": 0.0, "y": 90.0}[floor["joists_run"]]
        for name, value in entity.get("choices", {}).items():
            if name.endswith("joists_run"):
                entity["choices"][name] = degrees + {"x": 0.0, "y": 90.0}[value]
    return out


def alike(one: Graph, other: Graph) -> None:
    """Two graphs agree in all but coordinates."""
    assert one.keys == other.keys
    assert one.labels == other.labels
    assert one.passage_keys == other.passage_keys
    assert one.passage_rule == other.passage_rule
    np.testing.assert_allclose(one.prior_open, other.prior_open, atol=1e-4)
    np.testing.assert_allclose(one.prior_run, other.prior_run, atol=1e-4)
    np.testing.assert_allclose(one.volume, other.volume, rtol=1e-4, atol=1e-6)
    np.testing.assert_allclose(one.bottom, other.bottom)
    assert one.source_keys == other.source_keys
    np.testing.assert_allclose(one.source_prior, other.source_prior, atol=1e-4)


@QUICK
@given(houses(), st.integers(-44, 44))
def test_turning_the_house_changes_coordinates_only(document: Document, degrees: int) -> None:
    one, other = build(document), build(spun(document, degrees))
    assert one.keys == other.keys
    assert one.labels == other.labels
    assert one.passage_keys == other.passage_keys
    np.testing.assert_allclose(one.prior_open, other.prior_open, atol=1e-4)
    np.testing.assert_allclose(one.volume, other.volume, rtol=1e-4, atol=1e-6)


@pytest.mark.parametrize("house", [bungalow, semi])
def test_turning_by_nothing_changes_no_bit(house: Any) -> None:
    one, other = build(house()), build(spun(house(), 0.0))
    assert one.keys == other.keys
    np.testing.assert_array_equal(one.prior_open, other.prior_open)
    np.testing.assert_array_equal(one.volume, other.volume)
    for a, b in zip(one.polygon, other.polygon, strict=True):
        np.testing.assert_array_equal(a, b)


@pytest.mark.parametrize("degrees", [17.0, -20.0])
def test_a_house_with_fixtures_drains_and_ways_in_may_stand_askew(degrees: float) -> None:
    alike(build(bungalow()), build(spun(bungalow(), degrees)))
