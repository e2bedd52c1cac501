"""Marks of turned and bent rooms lie where they were put: never on the other side of a wall."""

from __future__ import annotations

import copy
import json
import math
import xml.etree.ElementTree as ElementTree
from typing import Any

import pytest
import shapely
from shapely.geometry import Point, Polygon

from wainscot import demos
from wainscot import job as jobs
from wainscot.picture import compose, tokens
from wainscot.picture.canvas import Canvas
from wainscot.picture.labels import Box
from wainscot.picture.panel import draw_panel
from wainscot.picture.sheet import Panel, Sheet
from wainscot.quantity import length
from wainscot.walk import survey

# At the smaller scale marks crowd, and have to give way.
PIXELS = (30.0, 60.0)
# Sides keep their names up to 45 degrees.
ANGLES = (-40, -20, 10, 30, 44)


def spun(house: dict[str, Any], degrees: float) -> dict[str, Any]:
    """Return a house turned about the origin; lengths become metres."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def turn(x: str | float, y: str | float) -> list[float]:
        return [c * length(x) - s * length(y), s * length(x) + c * length(y)]

    out = copy.deepcopy(house)
    for entity in out["entities"].values():
        if entity.get("polygon"):
            entity["polygon"] = [turn(*corner) for corner in entity["polygon"]]
        for name in ("path", "chambers"):
            if name in entity:
                entity[name] = [[*turn(x, y), z] for x, y, z in entity[name]]
        if "at" in entity.get("place", {}):
            entity["place"]["at"] = turn(*entity["place"]["at"])
        floor = entity.get("floor", {})
        if floor.get("joists_run") in ("x", "y"):
            floor["joists_run"] = degrees + {"x": 0.0, "y": 90.0}[floor["joists_run"]]
    return out


def sheet_of(house: dict[str, Any]) -> Sheet:
    seen = survey(jobs.read(json.dumps(house)))
    return compose(seen.job, seen.plan, seen.graph, seen.evidence)


def drawn(panel: Panel, pixels: float = PIXELS[0]) -> list[tuple[str, Point]]:
    """Words and centre of each mark as drawn. [m]"""
    canvas = Canvas(tokens.THEMES["day"], pixels, 0.0, 0.0)
    root = ElementTree.fromstring(draw_panel(panel, canvas, Box(0, 0, 1e5, 1e5)))
    said = {sign.words for sign in panel.signs}
    found = []
    for group in root.iter("g"):
        title = group.find("title")
        square = group.find("rect")
        if title is None or square is None or title.text not in said:
            continue
        half = float(square.get("width", "")) / 2
        x, y = float(square.get("x", "")) + half, float(square.get("y", "")) + half
        found.append((title.text or "", Point(x / pixels, -y / pixels)))
    return found


def building(panel: Panel) -> Any:
    rings = [*panel.walls, *(room.ring for room in panel.rooms)]
    return shapely.union_all([Polygon(ring) for ring in rings])


@pytest.mark.parametrize("pixels", PIXELS)
@pytest.mark.parametrize("degrees", [0, *ANGLES])
@pytest.mark.parametrize("name", ["corner_cafe", "terraced_cottage"])
def test_no_mark_of_a_turned_house_lands_outside_its_walls(
    name: str, degrees: int, pixels: float
) -> None:
    sheet = sheet_of(spun(json.loads(demos.text(name)), degrees))
    marks = 0
    for panel in sheet.panels:
        whole = building(panel)
        inside = {sign.words for sign in panel.signs if whole.distance(Point(sign.at)) < 0.01}
        for words, at in drawn(panel, pixels):
            marks += 1
            assert words not in inside or whole.distance(at) < 0.02, words
    assert marks >= 5


def one_room(polygon: list[list[float]], **fixture: Any) -> dict[str, Any]:
    house: dict[str, Any] = {"wainscot": 1, "id": "job_a", "entities": {
        "g": {"kind": "storey", "name": "Ground floor"},
        "r": {"kind": "room", "name": "Kitchen", "storey": "g", "polygon": polygon},
        "look": {"kind": "inspection", "place": {"of": "r"}, "finds": [{"kind": "droppings"}]},
    }}  # fmt: skip
    if fixture:
        house["entities"]["f"] = {"kind": "fixture", "room": "r", **fixture}
        house["entities"]["look"]["place"]["of"] = "f"
    return house


@pytest.mark.parametrize("degrees", [0, *ANGLES])
def test_the_mark_of_a_room_with_a_bend_lies_in_the_room(degrees: int) -> None:
    # The middle of its bounding box lies in the corner that is missing.
    house = spun(one_room([[0, 0], [6, 0], [6, 1], [1, 1], [1, 6], [0, 6]]), degrees)
    (panel,) = [panel for panel in sheet_of(house).panels if panel.signs]
    ((_, at),) = drawn(panel)
    assert Polygon(house["entities"]["r"]["polygon"]).contains(at)


@pytest.mark.parametrize("degrees", [0, *ANGLES])
@pytest.mark.parametrize("against", ["n1", "e1", "s1", "w1"])
def test_the_mark_of_a_fixture_lies_on_the_fixture(against: str, degrees: int) -> None:
    square = [[0, 0], [3, 0], [3, 3], [0, 3]]
    house = spun(one_room(square, type="bath", against=against, along=0), degrees)
    (panel,) = [panel for panel in sheet_of(house).panels if panel.signs]
    ((_, at),) = drawn(panel)
    assert Polygon(panel.fixtures[0].ring).distance(at) < 0.02
