"""Damaged job files for the property tests: a sound house with a few slips in it."""

from __future__ import annotations

import copy
from typing import Any

from hypothesis import strategies as st

import houses

HOUSES = [houses.bungalow, houses.semi, houses.ranch]

SCRAPS: list[Any] = [
    None, True, 0, -1, 3200, 0.5, 1e308, "", "?", "40", "10 ft", "x" * 70, "\u0000", "kitchen",
    [], [[0, 0]], {}, {"value": 1}, {"value": "2 m", "basis": "guess"}, float("nan"), 2**70,
]  # fmt: skip


def _paths(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = [path] if path else []
    if isinstance(value, dict):
        for name in value:
            found += _paths(value[name], (*path, name))
    elif isinstance(value, list):
        for n, inner in enumerate(value):
            found += _paths(inner, (*path, n))
    return found


def _ids(house: dict[str, Any]) -> list[Any]:
    entities = house.get("entities")
    return [house.get("id"), *(entities if isinstance(entities, dict) else ())]


@st.composite
def damaged(draw: st.DrawFn) -> dict[str, Any]:
    """A sound house with up to four values replaced, taken out, renamed or doubled."""
    house: dict[str, Any] = draw(st.sampled_from(HOUSES))()
    for _ in range(draw(st.integers(1, 4))):
        path = draw(st.sampled_from(_paths(house) or [("id",)]))
        parent: Any = house
        for step in path[:-1]:
            parent = parent[step]
        last, act = path[-1], draw(st.sampled_from(["replace", "take out", "rename", "swap"]))
        if act == "replace":
            parent[last] = copy.deepcopy(draw(st.sampled_from(SCRAPS)))
        elif act == "swap":
            parent[last] = draw(st.sampled_from(_ids(house)))
        elif act == "take out" or isinstance(parent, list):
            del parent[last]
        else:
            parent[draw(st.sampled_from(["nmae", "kind", "a.b", "room", "\ud800"]))] = parent.pop(
                last
            )
    return house
