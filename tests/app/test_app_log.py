"""A sign in three taps, nothing seen as quick, and what the program reads of it."""

from __future__ import annotations

import json
from typing import Any

from hand import Hand, fresh, job_of, written, wrong
from playwright.sync_api import Browser, Page

from wainscot import signs
from wainscot.job import faults, read

DRAFT_KEPT = """() => new Promise((told) => {
  const opened = indexedDB.open("wainscot");
  opened.onsuccess = () => {
    const keys = opened.result.transaction("settings").objectStore("settings").getAllKeys();
    keys.onsuccess = () => {
      opened.result.close();
      told(keys.result.some((one) => String(one).startsWith("draft/")));
    };
  };
})"""
"""Whether the device holds the place that was tapped."""


def drawn(made: Browser, url: str) -> tuple[Page, Hand]:
    """Open a device on which one room is drawn and Find is shown."""
    page = fresh(made, url)
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator(".plan").wait_for()
    hand.drag((60, 70), (260, 260))
    hand.tap("Skip")
    hand.tap("Skip")
    hand.step("Find")
    page.get_by_text("Nothing logged").wait_for()
    hand.taps = 0
    return page, hand


def looks(page: Page) -> list[dict[str, Any]]:
    """Return what was logged, after the program has found no fault in it."""
    file = job_of(page)
    job = read(json.dumps(file))
    assert faults(job) == []
    assert signs.faults(job) == []
    return [one for one in file["entities"].values() if one["kind"] == "inspection"]


def tap_wall(hand: Hand) -> None:
    left, top, _, bottom = hand.shape("path.room")
    hand.tap_at(left - 2, (top + bottom) / 2)


def test_droppings_in_a_bay_take_three_taps(made: Browser, url: str) -> None:
    page, hand = drawn(made, url)
    tap_wall(hand)
    hand.tap("droppings")
    hand.tap("many")
    page.get_by_text("On this device").wait_for()
    assert hand.taps == 3
    [look] = looks(page)
    assert look["finds"] == [{"kind": "droppings", "amount": "many"}]
    assert look["place"]["part"] == "wall"
    assert look["finished"] is False
    assert page.locator("rect.found").count() == 1
    assert wrong(page) == []
    page.context.close()


def test_what_was_logged_is_corrected_in_three_taps_and_the_old_word_stays(
    made: Browser, url: str
) -> None:
    page, hand = drawn(made, url)
    tap_wall(hand)
    hand.tap("droppings")
    hand.tap("many")
    page.get_by_text("On this device").wait_for()
    [before] = looks(page)
    hand.step("Find")
    tap_wall(hand)
    hand.taps = 0
    hand.tap("Correct this")
    form = page.locator(".correct")
    assert form.get_by_role("button", name="many").get_attribute("aria-pressed") == "true"
    hand.tap("a few")
    hand.tap("Save the correction")
    assert hand.taps == 3
    said = page.locator("div.said")
    said.get_by_text("Corrected: droppings, a few. Before: droppings, many.").wait_for()
    line = page.locator(".place .before")
    assert "Before: droppings, many." in line.inner_text()
    [after] = looks(page)
    assert after["finds"] == [{"kind": "droppings", "amount": "few"}]
    assert {**after, "finds": before["finds"]} == before
    page.reload()
    tap_wall(hand)
    hand.tap("Correct this")
    hand.tap("heaps")
    hand.tap("Save the correction")
    hand.tap(said.get_by_role("button", name="Undo"))
    said.get_by_text("Taken back. Again: droppings, a few").wait_for()
    assert looks(page) == [after]
    assert wrong(page) == []
    page.context.close()


def test_looked_and_saw_nothing_takes_three_taps_and_counts_as_finished(
    made: Browser, url: str
) -> None:
    page, hand = drawn(made, url)
    tap_wall(hand)
    hand.tap("Looked, saw nothing")
    hand.tap("part of it")
    page.get_by_text("On this device").wait_for()
    assert hand.taps == 3
    [look] = looks(page)
    assert look["finds"] == [{"kind": "looked and saw nothing", "amount": "part"}]
    assert look.get("finished", True) is True
    page.context.close()


def test_a_trap_takes_three_taps_and_its_method_and_nights_are_stored_unasked(
    made: Browser, url: str
) -> None:
    page, hand = drawn(made, url)
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at((left + right) / 2, (top + bottom) / 2)
    hand.tap("trap")
    hand.tap("nothing")
    page.get_by_text("On this device").wait_for()
    assert hand.taps == 3
    [look] = looks(page)
    assert (look["method"], look["nights"]) == ("trap", 1)
    page.context.close()


def test_undo_takes_the_entry_back_by_a_new_event(made: Browser, url: str) -> None:
    page, hand = drawn(made, url)
    tap_wall(hand)
    hand.tap("droppings")
    hand.tap("many")
    page.locator(".said").get_by_role("button", name="Undo").tap()
    page.get_by_text("Taken back").wait_for()
    assert looks(page) == []
    page.context.close()


def test_fresh_is_one_more_tap(made: Browser, url: str) -> None:
    page, hand = drawn(made, url)
    tap_wall(hand)
    hand.tap("droppings")
    hand.tap("heaps")
    hand.tap("Fresh")
    written(page)
    assert looks(page)[0]["finds"][0]["freshness"] == "fresh"
    page.context.close()


def test_a_page_that_was_killed_comes_back_at_the_same_place(made: Browser, url: str) -> None:
    page, hand = drawn(made, url)
    tap_wall(hand)
    hand.button("droppings").wait_for()
    named = page.locator(".place h2").inner_text()
    page.wait_for_function(DRAFT_KEPT)  # a moment after it is shown
    page.reload()
    page.locator(".place h2").wait_for()
    assert page.locator(".place h2").inner_text() == named
    # Another place begins at the top of the tray, however far down this one was read.
    page.evaluate("document.querySelector('.tray').scrollTo(0, 200)")
    page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    assert page.evaluate("document.querySelector('.tray').scrollTop") > 0
    page.locator(".column[aria-pressed=false]").first.evaluate("(it) => it.click()")
    page.wait_for_function("() => document.querySelector('.tray').scrollTop === 0")
    assert page.locator(".place h2").inner_text() != named
    page.context.close()


def test_every_kind_of_sign_and_amount_is_read_without_fault(made: Browser, url: str) -> None:
    page, hand = drawn(made, url)
    tap_wall(hand)
    hand.tap("more")
    names = page.locator(".tiles button").all_inner_texts()
    for name in [one for one in names if one != "fewer"]:
        hand.tap(name)
        page.locator(".amounts button").last.tap()
        page.locator(".tiles").wait_for()
    assert len(looks(page)) == len(names) - 1 == len(signs.KINDS) - 1  # not the occupant's report
    page.context.close()
