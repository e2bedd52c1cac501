"""Following the sheet with a tape leads to the cut on the plan.

The tape is done here by hand, from the corners of rectangular rooms and from what the marks say in
words: which wall, which corner as one faces it, which wind from the pin.  Nothing of the sheet's
own geometry is used.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

import pytest
from tests.papers import sheets

from wainscot.access import CutAt
from wainscot.openings import Wanted
from wainscot.papers.opening_sheet.model import Mark, OpeningPage, SheetView
from wainscot.plan.model import Room
from wainscot.quantity import length

HOUSES = ("bungalow", "semi", "ranch")
STEP = 0.005
"""Greatest step of rounding. [m]"""
OUTWARD = {"north": (0, 1), "south": (0, -1), "east": (1, 0), "west": (-1, 0)}


def _bounds(points) -> tuple[float, float, float, float]:  # type: ignore[no-untyped-def]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def _rectangular(room: Room) -> bool:
    return len(room.polygon) == 4


@cache
def _without_whole_faces(name: str) -> SheetView:
    """Return a sheet on which floors and ceilings are cut bay by bay."""
    job = sheets.house(name)
    whole = tuple(way.id for way in sheets.parts(job)[2] if way.act.startswith("whole "))
    return sheets.sheet(job, wanted=Wanted(without=whole))


def _pages(name: str, view: SheetView) -> Iterator[tuple[OpeningPage, list[CutAt], Room]]:
    plan, _, ways = sheets.parts(sheets.house(name))
    cuts = {way.id: way.cuts for way in ways}
    for page in view.pages:
        some = [cut for key in page.ids for cut in cuts[key]]
        if some and all(cut.sawn for cut in some) and page.marks:
            room = plan.room(some[0].room)
            if _rectangular(room):
                yield page, some, room


def _from_wall(distance: float, wind: str, room: Room) -> tuple[str, float]:
    """Return the axis and the coordinate at a distance from a wall into the room."""
    west, south, east, north = _bounds(room.polygon)
    return {
        "west": ("x", west + distance),
        "east": ("x", east - distance),
        "south": ("y", south + distance),
        "north": ("y", north - distance),
    }[wind]


def _saw_lines(page: OpeningPage, number: int) -> list[Mark]:
    of = f", cut {number}" if any(", cut" in mark.what for mark in page.marks) else ""
    pattern = rf"\w+ (saw line|edge){of}"
    return [mark for mark in page.marks if re.fullmatch(pattern, mark.what)]


def _inside(printed: tuple[float, float], exact: tuple[float, float]) -> None:
    low, high = min(printed), max(printed)
    assert exact[0] - 1e-6 <= low <= exact[0] + STEP + 1e-6
    assert exact[1] - STEP - 1e-6 <= high <= exact[1] + 1e-6


@pytest.mark.parametrize("name", ["bungalow", "semi"])
def test_floors_and_ceilings_measured_from_their_walls(name: str) -> None:
    seen = set()
    for page, cuts, room in _pages(name, _without_whole_faces(name)):
        if cuts[0].part == "wall" or "wall" not in page.marks[0].where:
            continue
        for n, cut in enumerate(cuts, 1):
            places: dict[str, list[float]] = {"x": [], "y": []}
            for mark in _saw_lines(page, n):
                wind = re.fullmatch(r"from the (\w+) wall", mark.where)
                assert wind, mark
                axis, at = _from_wall(length(mark.first), wind.group(1), room)
                places[axis].append(at)
            west, south, east, north = _bounds(cut.outline)
            _inside((places["x"][0], places["x"][1]), (west, east))
            _inside((places["y"][0], places["y"][1]), (south, north))
            seen.add(cut.part)
    assert seen == ({"floor"} if name == "bungalow" else {"floor", "ceiling"})


def _corner(which: str, wind: str, room: Room) -> tuple[str, float, int]:
    """Return axis, coordinate of a corner as one faces a wall, and the way along from it."""
    west, south, east, north = _bounds(room.polygon)
    left = {
        "north": ("x", west, 1),
        "east": ("y", north, -1),
        "south": ("x", east, -1),
        "west": ("y", south, 1),
    }[wind]
    if which == "left":
        return left
    right = {"north": east, "east": south, "south": west, "west": north}[wind]
    return left[0], right, -left[2]


@pytest.mark.parametrize("name", HOUSES)
def test_walls_measured_from_the_corner_as_one_faces_them(name: str) -> None:
    plan = sheets.parts(sheets.house(name))[0]
    seen = 0
    for page, cuts, room in _pages(name, sheets.sheet_of(name)):
        if cuts[0].part != "wall":
            continue
        wind = re.search(r", (\w+) wall, from the room", page.drawings[0].title)
        assert wind, page.drawings[0].title
        floor = plan.storey(room.storey).elevation
        found = []
        for n in range(1, len(cuts) + 1):
            left, right, lower, upper = _saw_lines(page, n)
            which = re.fullmatch(r"from the (left|right)-hand corner", left.where)
            assert which
            axis, start, way = _corner(which.group(1), wind.group(1), room)
            ends = [start + way * length(mark.first) for mark in (left, right)]
            found.append(
                (axis, sorted(ends), floor + length(lower.first), floor + length(upper.first))
            )
        exact = []
        for cut in cuts:
            west, south, east, north = _bounds(cut.outline)
            axis = "x" if east - west > north - south else "y"
            ends = (west, east) if axis == "x" else (south, north)
            exact.append((axis, ends, cut.bottom, cut.top))
        for printed, judged in zip(
            sorted(found, key=lambda one: one[1]),
            sorted(exact, key=lambda one: one[1]),
            strict=True,
        ):
            assert printed[0] == judged[0]
            _inside((printed[1][0], printed[1][1]), judged[1])
            _inside((printed[2], printed[3]), (judged[2], judged[3]))
            seen += 1
    assert seen


def test_a_cut_from_below_measured_from_the_pin_that_was_drilled_above() -> None:
    page, cuts, room = next(
        one
        for one in _pages("semi", sheets.sheet_of("semi"))
        if "Cut the subfloor from the crawl space" in one[0].title
    )
    pin: dict[str, float] = {}
    for metric, wind in re.findall(
        r"(\d+) mm \(.*?\) from the (\w+) wall", dict(page.facts)["Pin"]
    ):
        axis, at = _from_wall(int(metric) / 1000, wind, room)
        pin[axis] = at
    places: dict[str, list[float]] = {"x": [], "y": []}
    for mark in _saw_lines(page, 1):
        wind = re.fullmatch(r"(\w+) of the pin", mark.where)
        assert wind, mark
        across, up = OUTWARD[wind.group(1)]
        axis = "x" if across else "y"
        places[axis].append(pin[axis] + (across or up) * length(mark.first))
    west, south, east, north = _bounds(cuts[0].outline)
    # Pin and saw line are each rounded to the millimetre.
    assert sorted(places["x"]) == pytest.approx([west, east], abs=0.0025)
    assert sorted(places["y"]) == pytest.approx([south, north], abs=0.0025)
