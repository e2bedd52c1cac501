"""Work and Watch by a hand: contact times over kill and a clock that was set; a trap round."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from hand import PHONE, Hand, cottage, fresh, job_of, written, wrong
from measures import by_day_and_night, misfits
from playwright.sync_api import Browser, Page


@pytest.fixture(scope="module")
def page(made: Browser, office: str) -> Iterator[Page]:
    page = fresh(made, office, PHONE)
    page.clock.install(time="2026-05-20T12:00:00Z")
    page.reload()
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Open a job file").tap()
    chooser.value.set_files(cottage())
    page.wait_for_url("**/#/job/**")
    written(page)
    yield page
    page.context.close()


def of(page: Page, kind: str) -> list[dict[str, Any]]:
    return [one for one in job_of(page)["entities"].values() if one["kind"] == kind]


def test_a_contact_time_outlives_a_killed_page_and_a_clock_that_was_set(page: Page) -> None:
    hand = Hand(page)
    hand.step("Work")
    hand.tap("Type in a label")
    page.get_by_label("registration number").fill("none")
    page.get_by_label("contact time").fill("10 min")
    form = page.locator("form", has=page.get_by_label("contact time"))
    hand.tap(form.get_by_role("button", name="bare wood"))
    hand.tap("Keep the label")
    page.get_by_role("button", name="Wet start", exact=True).wait_for()
    before = hand.taps
    hand.tap("Wet start")
    assert hand.taps == before + 1, "a wet start is one tap"
    page.get_by_text("10 min left").wait_for()
    assert page.locator("time").inner_text() == "13:10"  # in London
    written(page)
    page.clock.fast_forward("03:00")
    page.reload()  # killed: what is left is told from the stored start
    page.get_by_text("7 min left").wait_for()
    page.clock.set_system_time("2026-05-20T14:04:00Z")  # the clock is set two hours on
    page.clock.run_for(2000)
    page.get_by_text("The clock of this device was set").wait_for()
    page.get_by_text("7 min left").wait_for()  # and nothing of it is trusted
    page.context.set_offline(True)
    hand.tap("Wet end")
    page.get_by_text("wet for 3 of 10 min. Apply it again.").wait_for()
    (end,) = of(page, "contact")
    assert (end["what"], end["at"][:16]) == ("end", "2026-05-20T13:03")
    assert "clock was set" in end["note"]
    page.context.set_offline(False)
    assert by_day_and_night(page) == []
    assert misfits(page) == []


def test_a_trap_round_takes_three_taps_a_trap_and_works_without_signal(page: Page) -> None:
    hand = Hand(page)
    page.context.set_offline(True)
    hand.step("Watch")
    page.get_by_text("No trap set. Tap a place.").wait_for()
    for n, (x, y) in enumerate(((150, 130), (240, 150), (200, 190)), 1):
        hand.tap("Set a trap")
        hand.tap_at(x, y)
        page.get_by_role("button", name=f"T{n}", exact=True).wait_for()
        written(page)
    before = hand.taps
    hand.tap("Set, nothing")
    page.get_by_text("1 of 3 looked at today").wait_for()
    hand.tap("Caught")
    hand.tap("mouse")
    page.get_by_text("2 of 3 looked at today").wait_for()
    hand.tap("Sprung")
    page.get_by_text("3 of 3 looked at today").wait_for()
    assert hand.taps - before == 4, "the next trap comes up by itself"
    hand.tap("in 3 days")
    page.get_by_text("Booked:").first.wait_for()
    page.context.set_offline(False)
    found = {one["state"]: one.get("species") for one in of(page, "trap_check")}
    assert found == {"set": None, "caught": "house mouse", "sprung": None}
    assert [one["next_at"] for one in of(page, "visit")] == ["2026-05-23"]
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    assert wrong(page) == []
