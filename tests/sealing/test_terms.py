"""Closing terms that name what is not there are told with their place, and only those."""

from __future__ import annotations

from typing import Any

import pytest

from houses import as_job, bungalow
from wainscot import voids
from wainscot.sealing import terms_faults, ways_in


def _faults(**terms: Any) -> list[tuple[str, str]]:
    house = bungalow()
    house["entities"]["terms"] = {"kind": "closing_terms", **terms}
    return [(one.code, one.path) for one in terms_faults(as_job(house))]


@pytest.fixture(scope="module")
def keys() -> list[str]:
    """Return keys of ways: a passage, the entry point, a whole edge."""
    plan = voids.framed(as_job(bungalow())).plan
    ways = ways_in(plan, voids.build(plan, "house mouse"), offered=())
    first = {one.sort: one for one in reversed(ways)}
    return [
        first["passage"].key,
        first["entry point"].key,
        f"edge/{first['edge to go along'].pool}",
    ]


def test_terms_that_name_what_is_there_are_sound(keys: list[str]) -> None:
    assert _faults() == []
    assert _faults(given_up=["loft"], twice=["loft"], cannot_wait=["loft"], declined=keys) == []


@pytest.mark.parametrize("field", ["given_up", "twice", "cannot_wait"])
def test_a_void_that_is_not_there_is_told_with_its_place(field: str) -> None:
    ((code, path),) = _faults(**{field: ["loft", "lift shaft"]})
    assert (code, path) == ("unknown-void", f"entities.terms.{field}[1]")


def test_a_way_that_is_not_there_is_told_with_its_place(keys: list[str]) -> None:
    assert _faults(declined=[*keys, keys[0] + "x"]) == [
        ("unknown-way", "entities.terms.declined[3]")
    ]


def test_before_a_room_is_drawn_nothing_is_told() -> None:
    house = bungalow()
    kept = ("settings", "suspect", "ground")
    house["entities"] = {key: house["entities"][key] for key in kept}
    house["entities"]["terms"] = {"kind": "closing_terms", "given_up": ["lift shaft"]}
    assert terms_faults(as_job(house)) == ()
