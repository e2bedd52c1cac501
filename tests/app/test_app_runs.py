"""Runs of pipe with heights: from a fixture's outlet, along, and down a storey."""

from __future__ import annotations

import json

from hand import PHONE, fresh, job_of
from playwright.sync_api import Browser
from test_app_lengths import brought_in, room, tool

from wainscot import plan
from wainscot.job import faults, read
from wainscot.quantity import length


def test_a_waste_leaves_the_bath_runs_under_the_floor_and_falls_a_storey(
    made: Browser, url: str
) -> None:
    page = fresh(made, url, PHONE)
    upper = room("Bathroom", 0, 0, 4, 3)
    upper["storey"] = "first"
    entities = {
        "first": {"kind": "storey", "name": "First floor", "level": 1},
        "a": room("Kitchen", 0, 0, 4, 3),
        "b": upper,
        "bath": {"kind": "fixture", "type": "bath", "room": "b", "against": "w1", "along": 0.5},
    }
    hand = brought_in(page, entities)
    hand.tap(page.locator(".storeys").get_by_role("button", name="First"))
    page.locator("path.fixture").wait_for()
    taps = hand.taps
    hand.tap(tool(hand, "Run"))
    hand.tap("drain")
    hand.tap("50 mm")
    left, top, right, bottom = hand.shape("circle.outlet")
    hand.tap_at((left + right) / 2, (top + bottom) / 2)
    hand.button("Last point back").wait_for()
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at((left + right) / 2, (top + bottom) / 2)
    hand.tap("Down a storey")
    hand.tap("Run ends here")
    page.get_by_role("button", name="Take out").wait_for()
    assert hand.taps == taps + 7
    file = job_of(page)
    job = read(json.dumps(file))
    assert faults(job) == []
    assert plan.faults(job) == []
    drawn = plan.read(job)
    (run,) = (one for one in file["entities"].values() if one["kind"] == "service")
    assert run["diameter"] == "50 mm"
    heights = [length(point[2]) for point in run["path"]]
    # Heights are over level 0, and the floors lie where the program stacks them.
    floors = {one.id: one.elevation for one in drawn.storeys}
    expected = [
        floors["first"] + 0.05, floors["first"] - 0.1, floors["first"] - 0.1, floors["ground"] - 0.1
    ]  # fmt: skip
    assert [round(one, 3) for one in heights] == [round(one, 3) for one in expected]
    xs = [(round(length(x), 3), round(length(y), 3)) for x, y, _ in run["path"]]
    assert xs[0] == xs[1]
    assert xs[2] == xs[3]

    page.context.close()
