"""The step Open: three sets, what waits for a signature, the owner's word, the sheet."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hand import CALCULATED, PHONE, TABLET, Hand, cottage, fresh, job_id, job_of, written, wrong
from measures import by_day_and_night, sideways
from playwright.sync_api import Browser, Page, expect

from wainscot.job import Job, faults, read
from wainscot.openings.signed import signed


def opened(made: Browser, office: str, size: dict[str, int] = PHONE, theme: str = "light") -> Hand:
    """Open the demo house and have its openings calculated."""
    page = fresh(made, office, size, theme)
    page.get_by_role("button", name="Open a job file").wait_for()
    page.locator("input[type=file]").set_input_files(cottage())
    page.locator("path.room").first.wait_for()
    page.locator(".said").get_by_role("button").first.tap()
    hand = Hand(page)
    hand.step("Open")
    page.get_by_text("Not enough is known to open").wait_for()
    hand.tap(page.locator(".tray").get_by_role("button", name="Calculate"))
    page.locator(".sum").wait_for(timeout=CALCULATED)
    return hand


def answer_of(page: Page) -> dict[str, Any]:
    told: dict[str, Any] = page.evaluate(
        """async (job) => {
          const walk = await (await fetch(`/api/jobs/${job}/walks`, {method: 'POST',
            body: '{}', headers: {'content-type': 'application/json'}})).json();
          for (;;) {
            const path = `/api/jobs/${job}/walks/${walk.id}`;
            const now = await (await fetch(path)).json();
            if (now.state === 'done') return await (await fetch(`${path}/answer`)).json();
            await new Promise((done) => setTimeout(done, 200));
          }
        }""",
        job_id(page),
    )
    return told


def job_here(page: Page) -> Job:
    job = read(json.dumps(job_of(page)))
    assert not faults(job)
    return job


def button(hand: Hand, words: str) -> None:
    hand.tap(hand.page.locator(".tray").get_by_role("button", name=words, exact=True).first)


def test_the_sets_are_those_of_the_office_and_each_cut_lies_on_the_plan(
    made: Browser, office: str
) -> None:
    hand = opened(made, office)
    page = hand.page
    answer = answer_of(page)
    for name, key in (("Least", "least"), ("Open it all", "all_of_it"), ("Balanced", "balanced")):
        button(hand, name)
        told = answer["openings"][key]
        hours = told["cost"]
        shown = f"{len(told['openings'])} openings · {hours:.{1 if hours < 10 else 0}f} hours"
        expect(page.locator(".sum")).to_have_text(shown)
        assert f"in {round(100 * told['missed'])} of 100" in page.locator(".open").inner_text()
    # Every opening of the set stands in the list; those of this storey on the plan.
    laid = {one["id"]: one for one in answer["find"]["openings"]}
    chosen = answer["openings"]["balanced"]["openings"]
    cuts = sum(len(laid[one]["cuts"]) for one in chosen if laid[one]["storey"] == "ground")
    assert page.locator("path.cut").count() == cuts
    page.locator("li .line").first.tap()
    page.locator("li .line[aria-expanded=true]").wait_for()
    assert page.get_by_text("nobody cuts").first.is_visible()
    assert wrong(page) == []
    page.context.close()


def test_a_hold_point_is_settled_by_name_and_evidence_and_taken_back(
    made: Browser, office: str
) -> None:
    hand = opened(made, office, TABLET)
    page = hand.page
    first = page.locator("li.stop").first
    named = first.locator("strong").inner_text().rsplit(": ", 1)[-1]
    hand.tap(first.get_by_role("button", name="Sign it off"))
    first.get_by_label("who settled it").fill("A. Tester")
    first.get_by_label("on what evidence").fill("written classification of 12 May")
    hand.tap(first.get_by_role("button", name="Sign", exact=True))
    page.locator(f"li.stop.settled:has-text('{named}')").wait_for()
    job = job_here(page)
    [release] = [one for one in job.entities.values() if one["kind"] == "release"]
    assert (release["by"], release["evidence"]) == ("A. Tester", "written classification of 12 May")
    page.locator(".said").get_by_role("button", name="Undo").tap()
    page.get_by_text("Taken back").wait_for()
    assert not any(one["kind"] == "release" for one in job_here(page).entities.values())
    page.context.close()


def test_the_owner_signs_declines_and_keeps(made: Browser, office: str) -> None:
    hand = opened(made, office)
    page = hand.page
    chosen = answer_of(page)["openings"]["balanced"]["openings"]
    # One is declined, with who and why.
    page.locator("li .line").first.tap()
    button(hand, "Owner declines")
    page.get_by_label("who declines").fill("the owner")
    page.get_by_label("why").fill("new parquet")
    button(hand, "Declined")
    page.get_by_text("Declined: the owner").first.wait_for()
    # The rest is signed for, with a finger.
    button(hand, "Owner signs")
    page.get_by_label("name of who signs").fill("the owner")
    page.get_by_label("price that was told").fill("1,150")
    pad = page.locator(".sign svg")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 20, box["y"] + 60)
    page.mouse.down()
    for n in range(1, 12):
        page.mouse.move(box["x"] + 20 + 20 * n, box["y"] + 60 + 20 * (n % 3 - 1))
    page.mouse.up()
    hand.tap(page.locator("form").get_by_role("button", name="Sign", exact=True))
    written(page)
    job = job_here(page)
    [word] = [one for one in job.entities.values() if one["kind"] == "authorisation"]
    declined = signed(job).declined
    assert set(word["openings"]) == set(chosen) - set(declined)
    assert word["price"] == "1,150"
    assert word["signature"].count("L") >= 5
    told = signed(job)
    assert len(told.declined) == 1
    assert set(told.authorised) | set(told.declined) == set(chosen)
    page.get_by_text("All of these openings are authorised").wait_for()
    # What is kept is tapped on the plan, and let go by its switch.
    button(hand, "Keep something")
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at((left + right) / 2, (top + bottom) / 2)
    written(page)
    kept = [one for one in job_here(page).entities.values() if one["kind"] == "kept"]
    assert len(kept) == 2  # the demo's cornice, and this
    hand.tap(page.locator(".chips button[aria-pressed=true]", has_text=kept[-1]["name"]))
    written(page)
    assert len([1 for one in job_here(page).entities.values() if one["kind"] == "kept"]) == 1
    page.context.close()


def test_what_is_not_wanted_is_left_out_and_the_sheet_is_a_paper(
    made: Browser, office: str
) -> None:
    hand = opened(made, office, TABLET)
    page = hand.page
    before = page.locator(".sum").inner_text()
    page.locator("li .line").nth(1).tap()
    button(hand, "Not this one")
    page.get_by_text("put back").wait_for()
    page.wait_for_function(
        "(old) => document.querySelector('.sum')?.textContent !== old", arg=before
    )
    button(hand, "Make the sheet")
    link = page.get_by_role("link", name="Open the sheet")
    link.wait_for(timeout=CALCULATED)
    head = page.evaluate(
        "async (path) => (await (await fetch(path)).text()).slice(0, 4)", link.get_attribute("href")
    )
    assert head == "%PDF"
    page.context.close()


def test_without_the_office_it_says_what_it_needs(made: Browser, url: str) -> None:
    page = fresh(made, url)
    hand = Hand(page)
    hand.tap("Draw a building")
    hand.step("Open")
    hand.tap(page.locator(".tray").get_by_role("button", name="Calculate"))
    page.get_by_text("Figures need the office machine").wait_for()
    page.context.close()


@pytest.mark.parametrize("size", [PHONE, TABLET], ids=["phone", "tablet"])
def test_axe_finds_nothing(made: Browser, office: str, size: dict[str, int]) -> None:
    hand = opened(made, office, size)
    page = hand.page
    page.locator("li .line").first.tap()
    button(hand, "Owner signs")
    assert by_day_and_night(page) == []
    assert sideways(page) == 0
    page.context.close()
