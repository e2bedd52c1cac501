"""Hand over by a hand: papers asked for without signal, read, signed; a job closed and reopened."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from hand import CALCULATED, PHONE, Hand, fresh, job_of, written, wrong
from measures import by_day_and_night, misfits
from playwright.sync_api import Browser, FilePayload, Page, expect

from wainscot import job as jobs
from wainscot.papers.example import house


@pytest.fixture(scope="module")
def page(made: Browser, office: str) -> Iterator[Page]:
    """A phone with the house that every paper has something to say of, calculated once."""
    page = fresh(made, office, PHONE)
    page.get_by_role("button", name="Open a job file").wait_for()
    content = jobs.write(house()).encode()
    file = FilePayload(name="house.json", mimeType="application/json", buffer=content)
    page.locator("input[type=file]").set_input_files(file)
    page.wait_for_url("**/#/job/**")
    written(page)
    yield page
    page.context.close()


def of(page: Page, kind: str) -> list[dict[str, Any]]:
    return [one for one in job_of(page)["entities"].values() if one["kind"] == kind]


def away(page: Page) -> None:
    """Let the office be out of reach; the app's own files are there, as on a phone."""
    page.route("**/api/**", lambda route: route.abort())


def back(page: Page) -> None:
    page.unroute("**/api/**")


def sign(hand: Hand, name: str) -> None:
    page = hand.page
    hand.tap("Sign here")
    page.get_by_label("name of who signs").fill(name)
    pad = page.locator(".sign svg")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    assert box is not None
    x, y = box["x"] + 30, box["y"] + 60
    page.mouse.move(x, y)
    page.mouse.down()
    for n in range(1, 6):
        page.mouse.move(x + 20 * n, y + 10 * (n % 3))
    page.mouse.up()
    hand.tap(page.locator("form").get_by_role("button", name="Sign", exact=True))


def test_without_figures_every_paper_says_what_it_lacks(page: Page) -> None:
    hand = Hand(page)
    page.context.set_offline(True)
    hand.step("Hand over")
    page.get_by_text("What each still lacks").wait_for()
    assert page.locator(".lacks li").count() == 14
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    page.context.set_offline(False)
    hand.tap("Calculate")
    page.get_by_text("Can be made now").wait_for(timeout=CALCULATED)


def test_what_bars_closing_names_the_stop_as_its_card_does(page: Page) -> None:
    hand = Hand(page)
    hand.step("Work")
    hand.tap("Readings")
    bars = page.locator(".told").filter(has_text="Not to be closed")
    expect(bars).to_contain_text("STOP 1: sign first: live parts")
    expect(bars).not_to_contain_text("circuits/")
    hand.step("Hand over")


def test_a_change_order_from_opened_bays_is_read_and_signed_in_six_taps(page: Page) -> None:
    hand = Hand(page)
    away(page)
    hand.tap("Make the change order")
    page.get_by_text("Asked for, will come.").wait_for()
    page.reload()  # killed: what was asked for stays asked
    page.get_by_text("Asked for, will come.").wait_for()
    back(page)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.get_by_text("Change order: made.").wait_for(timeout=CALCULATED)
    hand.tap(page.locator(".said").get_by_role("button", name="Read", exact=True))
    page.locator(".pages img").first.wait_for()
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    hand.tap(page.locator(".reader").get_by_role("button", name="Close", exact=True))
    away(page)
    page.reload()  # once read it is there without signal
    hand.tap(page.locator("button.paper"))
    page.wait_for_function("() => document.querySelector('.pages img')?.naturalWidth > 300")
    sign(hand, "R. Okafor")
    page.get_by_text("Signed by R. Okafor").wait_for()
    assert hand.taps == 6, "four, and two more to close and open it again for this test"
    (one,) = of(page, "signature")
    assert (one["paper"], one["by"], one["role"]) == ("change-order", "R. Okafor", "owner")
    assert len(one["digest"]) == 64
    back(page)


def test_a_job_is_closed_and_called_back_by_hand_without_signal(page: Page) -> None:
    hand = Hand(page)
    page.context.set_offline(True)
    hand.step("Hand over")
    parts = page.locator(".parts")
    hand.tap(parts.get_by_role("button", name="Price"))
    page.get_by_text("No rates of the firm").wait_for()
    hand.tap(parts.get_by_role("button", name="Days"))
    page.get_by_text("A plan, no promise").wait_for()
    assert by_day_and_night(page) == []
    hand.tap(parts.get_by_role("button", name="Close"))
    page.get_by_label("Also not inspected").fill("loft over the bathroom\n")
    word = page.get_by_role("group", name="The owner lets us learn")
    expect(word.get_by_role("button", name="no")).to_have_attribute("aria-pressed", "true")
    hand.tap(word.get_by_role("button", name="yes"))
    page.get_by_label("Who closes it").fill("L. Brandt")
    hand.tap("Close the job")
    page.get_by_text("Closed ", exact=False).first.wait_for()
    before = hand.taps
    hand.tap(parts.get_by_role("button", name="Close"))
    hand.tap("Smell")
    page.get_by_text("Callbacks: 1").wait_for()
    assert hand.taps - before == 2
    assert misfits(page) == []
    (closed,) = of(page, "closed")
    assert (closed["by"], closed["not_seen"]) == ("L. Brandt", ["loft over the bathroom"])
    assert [one["because"] for one in of(page, "callback")] == ["smell"]
    assert [one["by"] for one in of(page, "closing_terms") if one.get("may_learn")] == ["L. Brandt"]
    page.context.set_offline(False)
    page.evaluate("location.hash = '#/'")
    page.get_by_role("link", name="called back ").wait_for()
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    assert wrong(page) == []
