"""Assumed facts, which way joists run, and ready-made pieces: each one tap, one gesture."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hand import PHONE, TABLET, Hand, fresh, job_of, written
from playwright.sync_api import Browser

from wainscot import plan
from wainscot.job import faults, read

READY = (
    ("Bathroom back to back with kitchen", {"bath", "wc", "base cabinet run", "dishwasher"}),
    ("Kitchen corner", {"corner base cabinet", "base cabinet run"}),
    ("Stair with cupboard", {"stair"}),
    ("Chimney breast, cupboards beside", {"chimney breast", "built-in wardrobe"}),
    ("Soil pipe, boxed in", {"boxed pipe run"}),
)


def kitchen(hand: Hand, typed: str = "4.2 m x 3.6 m") -> None:
    """Draw one room by typing."""
    hand.tap("Draw a building")
    hand.page.locator(".plan").wait_for()
    hand.page.locator("#type-room").fill(typed)
    hand.tap("Add")
    hand.tap("Skip")
    hand.tap("Skip")


def tool(hand: Hand, words: str):  # type: ignore[no-untyped-def]
    return hand.page.locator(".tray").get_by_role("button", name=words, exact=True)


def sound(file: dict[str, Any]) -> plan.Plan:
    """Return the plan of a file that the program finds nothing wrong with."""
    job = read(json.dumps(file))
    assert faults(job) == []
    assert plan.faults(job) == []
    return plan.read(job)


def assumed_fields(drawn: plan.Plan) -> set[str]:
    """Return the fields that the program took a default for."""
    return {path.split(".", 2)[-1] for one in drawn.assumptions for path, _ in one.uses}


def test_what_is_assumed_is_what_the_program_assumes_and_goes_by_one_tap(
    made: Browser, url: str
) -> None:
    page = fresh(made, url)
    hand = Hand(page)
    kitchen(hand)
    hand.tap(tool(hand, "Room"))
    before = assumed_fields(sound(job_of(page)))
    hand.tap(page.get_by_role("button", name="Assumed"))
    rows = page.locator(".assumed .fact")
    rows.first.wait_for()
    told = rows.count()
    taps = hand.taps
    for left in range(told - 1, -1, -1):
        hand.tap(rows.first.get_by_role("button", name="It is so"))
        page.wait_for_function(
            "n => document.querySelectorAll('.assumed .fact').length === n", arg=left
        )
    assert hand.taps == taps + told
    page.get_by_text("Nothing is assumed on this storey").wait_for()
    after = assumed_fields(sound(job_of(page)))
    gone = {
        "height", "floor.build", "floor.below", "floor.joist_spacing", "floor.joist_depth",
        "floor.crawl_height", "ceiling", "loft_height",
    }  # fmt: skip
    assert gone <= before
    assert not gone & after
    assert not any("build" in one or "stud_spacing" in one for one in after)
    page.context.close()


def test_which_way_joists_run_is_one_question_and_its_shares_reach_the_calculation(
    made: Browser, url: str
) -> None:
    page = fresh(made, url)
    hand = Hand(page)
    kitchen(hand)
    hand.tap(tool(hand, "Room"))
    hand.tap(page.get_by_role("button", name="Assumed"))
    hand.tap("Probably east-west")
    page.get_by_text("east-west 75 in 100, north-south 25 in 100").wait_for()
    ways = plan.hypotheses(read(json.dumps(job_of(page))))
    assert sorted(weight for _, weight, _ in ways) == [0.25, 0.75]
    hand.tap(page.get_by_role("button", name="Assumed"))
    hand.tap("North-south, seen")
    page.get_by_text("in 100, north-south").wait_for(state="detached")
    file = job_of(page)
    assert not [one for one in file["entities"].values() if one["kind"] == "framing_guess"]
    assert file["entities"]["ground"]["floor"]["joists_run"] == {"value": "y", "basis": "seen"}
    hand.tap("Undo")
    written(page)
    assert len(plan.hypotheses(read(json.dumps(job_of(page))))) == 2
    page.context.close()


@pytest.mark.parametrize("units", ["m", "ft-in"])
def test_a_ready_made_piece_stands_in_three_taps_and_goes_by_one_undo(
    made: Browser, url: str, units: str
) -> None:
    page = fresh(made, url, TABLET)
    hand = Hand(page)
    if units == "ft-in":
        hand.tap("ft-in")
    kitchen(hand, "4.2 m x 3.6 m")
    for name, types in READY:
        taps = hand.taps
        hand.tap(tool(hand, "Ready-made"))
        hand.tap(name)
        left, top, right, _ = hand.shape("path.room")
        hand.tap_at((left + right) / 2 - 20, top + 6)
        page.get_by_text(f"{name} stands").wait_for()
        assert hand.taps == taps + 3
        drawn = sound(job_of(page))
        assert types <= {one.type for one in drawn.fixtures}
        hand.tap(page.locator(".tools").get_by_role("button", name="Undo", exact=True))
        written(page)
        assert sound(job_of(page)).fixtures == ()
    page.context.close()


def test_a_ready_made_piece_too_long_for_its_wall_says_so_and_changes_nothing(
    made: Browser, url: str
) -> None:
    page = fresh(made, url, PHONE)
    hand = Hand(page)
    kitchen(hand, "2 m x 2 m")
    before = job_of(page)["entities"]
    hand.tap(tool(hand, "Ready-made"))
    hand.tap("Chimney breast, cupboards beside")
    left, top, right, _ = hand.shape("path.room")
    hand.tap_at((left + right) / 2, top + 6)
    page.get_by_text("needs 2.15 m of free wall; there is 2.00 m").wait_for()
    assert job_of(page)["entities"] == before
    page.context.close()
