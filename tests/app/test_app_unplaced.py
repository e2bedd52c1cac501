"""A first visit: names without outlines, finds without a place; both are placed later by a tap."""

from __future__ import annotations

import json

from hand import PHONE, Hand, fresh, job_of, written
from playwright.sync_api import Browser
from test_app_lengths import brought_in, choose, room, tool

from wainscot import plan
from wainscot.job import faults, read


def test_a_room_that_has_a_name_only_is_logged_to_drawn_later_and_its_find_placed(
    made: Browser, url: str
) -> None:
    page = fresh(made, url, PHONE)
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator("#name-rooms").fill("Pantry, Hall")
    hand.tap("Add names")
    hand.tap(page.get_by_role("button", name="Log: Pantry"))
    hand.tap("droppings")
    hand.tap(page.get_by_role("button", name="many", exact=True))
    page.get_by_text("On this device").wait_for()
    first = job_of(page)
    job = read(json.dumps(first))
    assert faults(job) == []
    assert plan.faults(job) == []
    names = [one["name"] for one in first["entities"].values() if one["kind"] == "room"]
    assert sorted(names) == ["Hall", "Pantry"]
    hand.tap("To place 1")
    page.get_by_text("Pantry, not drawn yet").wait_for()
    hand.tap("To place 1")
    hand.tap(page.get_by_role("button", name="Draw it: Pantry"))
    page.locator("#type-room").fill("2 m x 2 m")
    hand.tap("Add")
    hand.button("Set").wait_for()
    file = job_of(page)
    pantry = next(one for one in file["entities"].values() if one.get("name") == "Pantry")
    assert pantry["polygon"] == [[0, 0], ["2 m", 0], ["2 m", "2 m"], [0, "2 m"]]
    look = next(one for one in file["entities"].values() if one["kind"] == "inspection")
    assert file["entities"][look["place"]["of"]]["name"] == "Pantry"
    # Its room is drawn now, so that the find lies in it: nothing is left to place.
    hand.tap(tool(hand, "Room"))
    assert not page.get_by_role("button", name="To place").is_visible()
    page.context.close()


def test_what_a_moved_wall_lies_over_is_listed_and_placed_again_by_two_taps(
    made: Browser, url: str
) -> None:
    page = fresh(made, url, PHONE)
    looked = {"kind": "inspection", "finished": False, "grade": "seen"}
    rooms = {
        "a": room("Kitchen", 0, 0, 4, 3), "b": room("Hall", 4.1, 0, 7, 3),
        "bath": {"kind": "fixture", "type": "bath", "room": "a", "against": "n1", "along": 1},
        "rub": {
            **looked, "place": {"storey": "ground", "at": [4.25, 1.0], "part": "room"},
            "finds": [{"kind": "rub mark"}],
        },
    }  # fmt: skip
    hand = brought_in(page, rooms)
    assert not page.get_by_role("button", name="To place").is_visible()
    choose(hand, "Kitchen")
    hand.keys("4", ".", "2")
    hand.tap("Set")
    written(page)
    hand.tap(tool(hand, "Room"))
    hand.tap("To place 1")
    page.get_by_text("lies in solid wall now").wait_for()
    taps = hand.taps
    hand.tap(page.get_by_role("button", name="Place it: rub mark"))
    left, top, right, bottom = hand.shape("path.fixture")
    hand.tap_at((left + right) / 2, (top + bottom) / 2)
    page.get_by_text("It lies here now: bath, Kitchen").wait_for()
    assert hand.taps == taps + 2
    assert job_of(page)["entities"]["rub"]["place"] == {"of": "bath"}
    page.context.close()
