"""Work and Watch by a hand: stops, contact times over kill and a set clock, gloves, trap rounds."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hand import PHONE, TABLET, Hand, cottage, fresh, job_of, office_machine, written, wrong
from measures import by_day_and_night, misfits
from playwright.sync_api import Browser, Page, expect


@pytest.fixture(scope="module")
def page(made: Browser, office: str) -> Iterator[Page]:
    page = fresh(made, office, PHONE)
    page.clock.install(time="2026-05-20T12:00:00Z")
    page.reload()
    opened(page)
    yield page
    page.context.close()


def opened(page: Page) -> None:
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Open a job file").tap()
    chooser.value.set_files(cottage())
    page.wait_for_url("**/#/job/**")
    written(page)


def of(page: Page, kind: str) -> list[dict[str, Any]]:
    return [one for one in job_of(page)["entities"].values() if one["kind"] == kind]


def sign(page: Page) -> None:
    """Sign the stop that is shown first."""
    hand = Hand(page)
    hand.tap("Sign it off")
    page.get_by_label("who settled it").fill("E. Volt")
    page.get_by_label("on what evidence").fill("kitchen ring, shown dead 11:50")
    hand.tap("Sign")
    page.get_by_text("E. Volt, 2026-05-20: kitchen ring").wait_for()


def test_nothing_is_wetted_before_the_circuits_stop_is_signed(page: Page) -> None:
    hand = Hand(page)
    hand.step("Work")
    page.get_by_text("Wet start: waits for STOP 1: live parts").wait_for()
    assert page.get_by_role("button", name="Wet start", exact=True).count() == 0
    hand.tap("See the STOPs")
    page.get_by_text("STOP 1: sign first").wait_for()
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    sign(page)
    hand.tap("Now")
    page.get_by_text("No label is typed in").wait_for()  # what it waits for now


def test_a_contact_time_outlives_a_killed_page_and_a_clock_that_was_set(page: Page) -> None:
    hand = Hand(page)
    hand.tap("Type in a label")
    page.get_by_label("registration number").fill("none")
    page.get_by_label("contact time").fill("10 min")
    form = page.locator("form", has=page.get_by_label("contact time"))
    hand.tap(form.get_by_role("button", name="bare wood"))
    hand.tap("Keep the label")
    page.get_by_role("button", name="Wet start", exact=True).wait_for()
    before = hand.taps
    page.clock.set_fixed_time("2026-05-20T12:00:00Z")  # however long the taps take here
    hand.tap("Wet start")
    assert hand.taps == before + 1, "a wet start is one tap"
    page.get_by_text("10 min left").wait_for()
    assert page.locator("time").inner_text() == "13:10"  # in London
    written(page)
    address = page.url
    page.goto("about:blank")  # killed: what is left is told from the stored start
    page.clock.set_fixed_time("2026-05-20T12:03:00Z")
    page.goto(address)
    page.get_by_text("7 min left").wait_for()
    page.clock.set_fixed_time("2026-05-20T14:04:00Z")  # the clock is set two hours on
    page.clock.run_for(2000)
    page.get_by_text("The clock of this device was set").wait_for()
    page.get_by_text("7 min left").wait_for()  # and nothing of it is trusted
    page.context.set_offline(True)
    hand.tap("Wet end")
    page.get_by_text("wet for 3 of 10 min. Apply it again.").wait_for()
    page.clock.set_system_time("2026-05-20T14:04:10Z")  # it runs again
    (end,) = of(page, "contact")
    assert (end["what"], end["at"][:16]) == ("end", "2026-05-20T13:03")
    assert "clock was set" in end["note"]
    assert by_day_and_night(page) == []
    assert misfits(page) == []


def test_a_failed_time_is_done_again_by_one_tap_and_wetted_again_in_gloves(page: Page) -> None:
    """Without signal from here on."""
    hand = Hand(page)
    hand.tap("Wet start again here")
    page.locator("time").wait_for()
    written(page)
    hand.tap(page.locator("nav.bar .step"))
    hand.tap("Gloves view")
    assert page.locator(".gloves button").count() == 6
    hand.tap(page.get_by_role("button", name="Wet until"))  # the strip over the actions
    hand.tap("Wet again")
    written(page)
    hand.tap("Close")
    before = hand.taps
    hand.tap("Wet end")
    hand.tap("Wet start")
    assert hand.taps - before == 2, "one tap each"
    written(page)
    page.get_by_role("button", name="Wet until").wait_for()
    moments = [one["what"] for one in of(page, "contact")]
    assert sorted(moments) == ["end", "end", "wet again"]
    assert len(of(page, "application")) == 3
    assert by_day_and_night(page) == []
    hand.tap(page.locator("nav.bar .step"))
    hand.tap("Gloves view")


def test_a_trap_round_takes_three_taps_a_trap_and_works_without_signal(page: Page) -> None:
    hand = Hand(page)
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
    hand.tap(page.locator("nav.bar .step"))
    hand.tap(page.get_by_role("button", name="Watch · 1 due"))
    hand.tap("Sprung")
    page.get_by_text("3 of 3 looked at today").wait_for()
    assert hand.taps - before == 6, "the next trap comes up by itself"
    hand.tap("in 3 days")
    page.get_by_text("Booked:").first.wait_for()
    page.context.set_offline(False)
    found = {one["state"]: one.get("species") for one in of(page, "trap_check")}
    assert found == {"set": None, "caught": "house mouse", "sprung": None}
    assert [one["next_at"] for one in of(page, "visit")] == ["2026-05-23"]
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    assert wrong(page) == []


def test_two_phones_on_one_round_see_what_the_other_found(
    made: Browser, url: str, tmp_path: Path
) -> None:
    with office_machine(tmp_path) as office:
        one = fresh(made, office)
        opened(one)
        hand = Hand(one)
        hand.step("Watch")
        for n, (x, y) in enumerate(((150, 130), (240, 150)), 1):
            hand.tap("Set a trap")
            hand.tap_at(x, y)
            one.get_by_role("button", name=f"T{n}", exact=True).wait_for()
        one.get_by_text("all at the office").wait_for()
        two = fresh(made, office, TABLET)
        two.locator(".fetch").tap()
        two.locator("path.room").first.wait_for()
        other = Hand(two)
        other.step("Watch")
        for page in (one, two):
            page.context.set_offline(True)
        first = (
            "T1" if one.get_by_role("button", name="T1", exact=True, pressed=True).count() else "T2"
        )
        second = "T2" if first == "T1" else "T1"
        hand.tap("Set, nothing")  # both look at the first of the round
        other.tap("Sprung")
        one.get_by_text("1 of 2 looked at today").wait_for()
        hand.tap("Set, nothing")  # and one goes on to the second
        one.get_by_text("2 of 2 looked at today").wait_for()
        two.get_by_text("1 of 2 looked at today").wait_for()
        for page in (one, two):
            page.context.set_offline(False)
            page.evaluate("dispatchEvent(new Event('online'))")
            page.get_by_text("all at the office").wait_for()
        two.get_by_text("2 of 2 looked at today").wait_for()
        one.evaluate("dispatchEvent(new Event('online'))")
        for page in (one, two):
            expect(page.get_by_role("button", name=f"{second} ✓")).to_be_visible()
            page.get_by_role("button", name=f"{first} ✓ ?").tap()  # two said otherwise: both stand
            told = page.get_by_text("Told in more than one way today")
            expect(told).to_contain_text("Set, nothing")
            expect(told).to_contain_text("Sprung")
        checks = [of(page, "trap_check") for page in (one, two)]
        assert checks[0] == checks[1]
        assert len(checks[0]) == 3
        for page in (one, two):
            assert wrong(page) == []
            page.context.close()
