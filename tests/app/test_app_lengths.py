"""Measured lengths are locked, rooms beside follow, what cannot all be right is asked about."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hand import PHONE, Hand, fresh, job_of, written
from playwright.sync_api import Browser, Page

from wainscot import plan
from wainscot.job import faults, read


def tool(hand: Hand, words: str):  # type: ignore[no-untyped-def]
    return hand.page.locator(".tray").get_by_role("button", name=words, exact=True)


def brought_in(page: Page, entities: dict[str, Any]) -> Hand:
    """Open a job file of one storey on an empty device."""
    file = {
        "wainscot": 1, "id": "job_rooms", "title": "Rooms", "units": "m",
        "entities": {"ground": {"kind": "storey", "name": "Ground floor", "level": 0}, **entities},
    }  # fmt: skip
    page.get_by_role("button", name="Open a job file").wait_for()
    page.locator("input[type=file]").set_input_files(
        {"name": "rooms.json", "mimeType": "application/json", "buffer": json.dumps(file).encode()}
    )
    page.locator("path.room").first.wait_for()
    page.locator(".said").get_by_role("button").first.tap()
    return Hand(page)


def room(name: str, x0: float, y0: float, x1: float, y1: float, **lengths: str) -> dict[str, Any]:
    polygon = [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]
    more = {"lengths": lengths} if lengths else {}
    return {"kind": "room", "storey": "ground", "name": name, "polygon": polygon, **more}


def choose(hand: Hand, name: str) -> None:
    """Tap the middle of a room."""
    names = hand.page.locator("text.strong").all_text_contents()
    n = names.index(name)
    left, top, right, bottom = hand.shape("path.room", n)
    hand.tap_at((left + right) / 2, (top + bottom) / 2)
    hand.button("Set").wait_for()


def across(file: dict[str, Any]) -> dict[str, list[float]]:
    """Return the west and east ends of every room that the program reads. [m]"""
    job = read(json.dumps(file))
    assert faults(job) == []
    assert plan.faults(job) == []
    found = {}
    for one in plan.read(job).rooms:
        xs = [x for x, _ in one.polygon]
        found[one.name] = [round(min(xs), 3), round(max(xs), 3)]
    return found


def test_a_typed_length_is_locked_and_the_room_beside_follows(made: Browser, url: str) -> None:
    page = fresh(made, url, PHONE)
    rooms = {"a": room("Kitchen", 0, 0, 4, 3), "b": room("Hall", 4.1, 0, 6, 3, s1="1.9 m")}
    hand = brought_in(page, rooms)
    choose(hand, "Kitchen")
    hand.keys("4", ".", "2")
    hand.tap("Set")
    page.locator(".lock").first.wait_for()
    file = job_of(page)
    assert file["entities"]["a"]["lengths"] == {"s1": "4.2 m"}
    assert across(file) == {"Kitchen": [0.0, 4.2], "Hall": [4.3, 6.2]}
    walls = [one for one in plan.read(read(json.dumps(file))).walls if one.facing]
    assert [round(one.thickness, 4) for one in walls] == [0.1]
    hand.tap("Undo")
    written(page)
    assert across(job_of(page)) == {"Kitchen": [0.0, 4.0], "Hall": [4.1, 6.0]}
    page.context.close()


@pytest.mark.parametrize("where", ["tray", "plan"])
def test_lengths_that_do_not_meet_are_asked_about_and_the_least_sure_gives_way(
    made: Browser, url: str, where: str
) -> None:
    page = fresh(made, url, PHONE)
    rooms = {
        "a": room("Kitchen", 0, 0, 4, 2, s1="4 m"), "b": room("Hall", 4.1, 0, 6, 2, s1="1.9 m"),
        "c": room("Store", 0, 2.1, 6, 5), "w": room("West", -1.5, 0, -0.1, 5),
        "e": room("East", 6.1, 0, 7.5, 5),
    }  # fmt: skip
    hand = brought_in(page, rooms)
    before = job_of(page)["entities"]
    choose(hand, "Store")
    hand.keys("6", ".", "0", "4")
    hand.tap("Set")
    page.get_by_text("These miss by 40 mm. Which is least sure?").wait_for()
    assert job_of(page)["entities"] == before
    choose(hand, "Store")
    hand.keys("6", ".", "0", "4")
    hand.tap("Set")
    if where == "tray":
        hand.tap("Hall, south 1.90 m")
    else:
        left, _, right, bottom = hand.shape("path.unsure", 0)
        hand.tap_at((left + right) / 2, bottom - 2)
    page.get_by_text("These miss by").wait_for(state="detached")
    file = job_of(page)
    assert across(file) == {
        "Kitchen": [0.0, 4.0], "Hall": [4.1, 6.04], "Store": [0.0, 6.04], "West": [-1.5, -0.1],
        "East": [6.14, 7.5],
    }  # fmt: skip
    assert file["entities"]["c"]["lengths"] == {"s1": "6.04 m"}
    assert "lengths" not in file["entities"]["b"]
    page.context.close()


def test_a_piece_of_wall_is_pushed_out_by_two_taps_and_a_length(made: Browser, url: str) -> None:
    page = fresh(made, url, PHONE)
    hand = brought_in(page, {"a": room("Kitchen", 0, 0, 4, 3)})
    choose(hand, "Kitchen")
    hand.tap("Skip")
    hand.tap("Skip")
    hand.tap("Push a piece of wall")
    left, top, right, _ = hand.shape("path.room")
    metre = (right - left) / 4
    hand.tap_at(left + metre, top)
    page.get_by_text("Tap where it ends").wait_for()
    left, top, right, _ = hand.shape("path.room")
    metre = (right - left) / 4
    hand.tap_at(left + 3 * metre, top)
    hand.button("Set").wait_for()
    hand.keys("6", "0", "cm")
    hand.tap("Set")
    written(page)
    job = read(json.dumps(job_of(page)))
    assert plan.faults(job) == []
    (kitchen,) = plan.read(job).rooms
    lines = sorted((one.normal, round(one.level_line, 2)) for one in kitchen.sides)
    assert lines == [
        ("e", 3.0), ("e", 4.0), ("n", 3.0), ("n", 3.0), ("n", 3.6), ("s", 0.0), ("w", 0.0),
        ("w", 1.0),
    ]  # fmt: skip
    page.context.close()


def test_two_fingers_free_a_drag_of_every_snap_and_a_lens_shows_its_point(
    made: Browser, url: str
) -> None:
    page = fresh(made, url, PHONE)
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator(".plan").wait_for()
    left, top = hand._plan()
    start, stop = (left + 80, top + 80), (left + 243, top + 271)
    hand._touch("touchStart", [start])
    hand._touch("touchMove", [(start[0] + 40, start[1] + 60)])
    page.locator("circle.rim").wait_for()
    hand._touch("touchStart", [(start[0] + 40, start[1] + 60), (left + 30, top + 200)])
    hand._touch("touchMove", [stop, (left + 30, top + 200)])
    hand._touch("touchEnd", [])
    page.locator("path.room").wait_for()
    page.locator("circle.rim").wait_for(state="detached")
    file = job_of(page)
    (drawn,) = (one for one in file["entities"].values() if one["kind"] == "room")
    sizes = [float(str(value).split()[0]) for value in drawn["polygon"][2]]
    assert all(one % 50 > 0.1 for one in sizes), sizes
    page.context.close()
