"""The first call by a hand: without signal, killed in the middle; what stands in the job then."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from hand import PHONE, Hand, fresh, job_of, written, wrong
from measures import by_day_and_night, misfits
from playwright.sync_api import Browser, Page

from wainscot.job import faults, read


@pytest.fixture(scope="module")
def page(made: Browser, office: str) -> Iterator[Page]:
    page = fresh(made, office, PHONE)
    page.clock.install(time="2026-05-20T12:00:00Z")
    page.reload()
    yield page
    page.context.close()


def next_question(hand: Hand, words: str) -> None:
    hand.tap("Next question")
    hand.page.get_by_role("heading", name=words).wait_for()


def test_a_call_without_signal_makes_a_job_and_outlives_a_killed_page(page: Page) -> None:
    hand = Hand(page)
    hand.tap("New job: a call")
    page.get_by_role("heading", name="Who is calling, and from where?").wait_for()
    kept = page.url
    page.context.set_offline(True)
    page.get_by_label("caller").fill("a tenant")
    page.get_by_label("address, floor, bell, parking").fill("4 Weir Lane, second bell")
    next_question(hand, "Is there a smell of gas")
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    hand.tap("No, none of these")
    next_question(hand, "Who may authorise work?")
    hand.tap(page.get_by_role("group", name="Who may authorise work?").get_by_text("tenant"))
    hand.tap(page.get_by_role("group", name="Who pays?").get_by_text("insurer"))
    next_question(hand, "Since when?")
    page.get_by_role("textbox", name="Since when?").fill("three weeks")
    next_question(hand, "What have you seen")
    before = hand.taps
    hand.tap("Kitchen")
    hand.tap("droppings")
    hand.tap(page.get_by_role("group", name="How much").get_by_text("many"))
    assert hand.taps == before + 3, "a sign that is told takes three taps"
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    written(page)
    page.context.set_offline(False)
    page.reload()  # killed: the same question, and what was said stands under it
    page.get_by_role("region", name="droppings, Kitchen").wait_for()
    page.context.set_offline(True)
    next_question(hand, "What do you hear")
    hand.tap("sound")
    page.get_by_role("region", name="sound, no room said").get_by_text("at night").tap()
    for words in ("Has anybody seen", "Was poison"):
        next_question(hand, words)
    hand.tap("Kitchen")
    page.get_by_label("What it is, off the label").fill("blue blocks")
    hand.tap("Keep: bait in Kitchen")
    next_question(hand, "Which pets")
    hand.tap("cat")
    next_question(hand, "Pregnancy, small children")
    hand.tap("small children")
    hand.tap("Español")
    next_question(hand, "How old is the house")
    page.get_by_label("Year built, as told").fill("34")
    page.get_by_label("Year built, as told").blur()
    page.get_by_text("Say the year in four figures").wait_for()
    page.get_by_label("Year built, as told").fill("1934")
    next_question(hand, "Gnawed cables")
    hand.tap("Gnawed cable")
    next_question(hand, "How do we get in")
    hand.tap("with the agent")
    next_question(hand, "First visit")
    hand.tap("within two days")
    hand.tap("Fri 22 May")
    hand.tap("09:30")
    page.get_by_text("Booked: Friday").wait_for()
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    page.get_by_role(
        "button", name="13 of 14 answered"
    ).wait_for()  # of no animal was anything told
    assert page.url == kept
    page.context.set_offline(False)  # the page has no worker here that would keep the plan's files
    hand.tap("To the plan")
    job = job_of(page)
    assert faults(read(json.dumps(job))) == []
    told = _by_kind(job)
    (call,) = told["call"]
    assert job["title"] == "4 Weir Lane"
    assert call["address"] == "4 Weir Lane, second bell"
    assert (call["stops"], call["may_order"], call["pays"]) == ("no", "tenant", "insurer")
    assert (call["people"], call["reads"], call["keys"]) == (
        ["small children"],
        "Español",
        "with the agent",
    )
    (room,) = told["room"]
    assert room["name"] == "Kitchen"
    looks = {
        (one["finds"][0]["kind"], one["finds"][0].get("amount"), one.get("note")): one
        for one in told["inspection"]
    }
    assert looks.keys() == {
        ("droppings", "many", None),
        ("sound", None, "at night"),
        ("gnawing", "cable", None),
    }
    assert all((one["grade"], one["finished"]) == ("told", False) for one in looks.values())
    assert "place" not in looks["sound", None, "at night"]
    assert told["bait_left"][0]["what"] == "blue blocks"
    assert told["settings"][0]["year_built"] == {"value": 1934, "basis": "told"}
    assert told["visit"][0]["at"][:16] == "2026-05-22T09:30"
    # Nothing has to be written twice: what was told waits in Draw to be placed.
    hand.tap("To place 3")
    page.get_by_text("Kitchen, not drawn yet").first.wait_for()
    assert wrong(page) == []


def _by_kind(job: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    found: dict[str, list[dict[str, Any]]] = {}
    for one in job["entities"].values():
        found.setdefault(one["kind"], []).append(one)
    return found
