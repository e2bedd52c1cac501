"""Every opening that a house offers makes a page that can be cut from, askew houses too."""

from __future__ import annotations

import math

import pytest
import shapely
from tests.houses import as_job, rectangle
from tests.papers import sheets

from wainscot.access import Access, site_of
from wainscot.access.scene import Scene
from wainscot.drawing import as_svg, mirrored
from wainscot.job import Job
from wainscot.openings import Opening
from wainscot.papers.opening_sheet.model import OpeningPage
from wainscot.papers.opening_sheet.one import Page
from wainscot.papers.opening_sheet.settled import Settled
from wainscot.simulate.house import house


def _askew(degrees: float, joists: float | str = "long") -> Job:
    """Two rooms and a bath, turned; all of it framed, over a crawl space."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def turned(ring: list[list[float]]) -> list[list[float]]:
        return [[c * x - s * y, s * x + c * y] for x, y in ring]

    entities = {
        "ground": {
            "kind": "storey", "name": "Ground", "height": 2.4, "ceiling": "loft",
            "floor": {"build": "joists", "below": "crawl space", "crawl_height": 0.8,
                      "joists_run": joists},
        },
        "kitchen": {"kind": "room", "name": "Kitchen", "storey": "ground",
                    "polygon": turned(rectangle(0.0, 0.0, 3.2, 3.6))},
        "bath": {"kind": "room", "name": "Bath", "storey": "ground",
                 "polygon": turned(rectangle(3.3, 0.0, 5.5, 3.6))},
        "tub": {"kind": "fixture", "type": "bath", "room": "bath", "against": "n1", "along": 0.2},
        "pipe": {
            "kind": "service", "type": "drain", "name": "waste", "diameter": 0.05,
            "path": [[c * 2.0 - s * 1.0, s * 2.0 + c * 1.0, 2.0],
                     [c * 2.0 - s * 1.0, s * 2.0 + c * 1.0, -1.0]],
        },
        # In the wall between the rooms, level, at knee height.
        "cold": {
            "kind": "service", "type": "supply", "diameter": 0.015,
            "path": [[*turned([[3.25, y]])[0], 0.5] for y in (0.4, 3.2)],
        },
    }  # fmt: skip
    return as_job({"id": "job_askew", "entities": entities})


def _page(scene: Scene, way: Access) -> OpeningPage:
    told = Opening(
        id=way.id, act=way.act, words=way.words, room=way.room, voids=(), partly=(), chance=0.5,
        cost=1.0, hours=1.0, status="planned", signed_by="", charges=way.charges, holds=way.holds,
        limits=way.limits, kept=(),
    )  # fmt: skip
    nothing = Settled(as_job({"id": "job_askew", "entities": {}}), [way])
    return Page(scene, "1", [(told, way)], {}, "", nothing).told()


JOBS = {
    "straight": lambda: _askew(0.0),
    "askew by 17": lambda: _askew(17.0),
    "askew by -40": lambda: _askew(-40.0),
    "joists askew": lambda: _askew(0.0, 30.0),
    "at random": lambda: house(0, 2, 4),
}


@pytest.mark.parametrize("name", JOBS)
def test_every_way_makes_a_page_that_can_be_cut_from(name: str) -> None:
    job = JOBS[name]()
    plan, graph, ways = sheets.parts(job)
    scene = Scene(plan, graph, site_of(job))
    sawn_ones = beside = 0
    for way in ways:
        page = _page(scene, way)
        assert page.stamp == "not authorised"
        for drawing in (page.where, *page.drawings):
            assert as_svg(drawing).endswith("</svg>\n")
        sawn = [cut for cut in way.cuts if cut.sawn]
        if not sawn:
            continue
        sawn_ones += 1
        drawing = mirrored(page.drawings[0]) if page.drawings[0].mirrored else page.drawings[0]
        cuts = [shapely.Polygon(one.points) for one in drawing.shapes if one.layer == "cut"]
        exact = sum(cut.area for cut in sawn)
        assert 0.5 * exact < sum(one.area for one in cuts) <= exact + 1e-6, way.id
        for cut, run in sheets.cut_across(drawing):
            assert not cut.intersects(run), way.id
            beside += 1
        window = shapely.box(*drawing.window).buffer(1e-6)
        assert all(window.covers(one) for one in cuts), way.id
    assert sawn_ones > 10
    assert beside >= (0 if name == "at random" else 3), "pipes were drawn beside cuts"


@pytest.mark.parametrize("degrees", [17.0, -40.0])
def test_a_house_askew_is_dimensioned_as_if_it_stood_straight(degrees: float) -> None:
    """Turning a house turns no tape: the marks of each wall cut stay what they were."""

    def marks(job: Job) -> dict[str, tuple[str, ...]]:
        plan, graph, ways = sheets.parts(job)
        scene = Scene(plan, graph, site_of(job))
        return {
            way.id: tuple(mark.first for mark in _page(scene, way).marks)
            for way in ways
            if way.act == "board between studs"
        }

    straight, turned = marks(_askew(0.0)), marks(_askew(degrees))
    assert straight
    assert turned == straight
