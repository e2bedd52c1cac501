"""With the office machine: what is drawn and logged goes there, figures come back."""

from __future__ import annotations

from hand import CALCULATED, Hand, cottage, fresh, job_id, wrong
from playwright.sync_api import Browser

from wainscot.chance import percent


def test_a_demo_house_is_sent_calculated_and_shown(made: Browser, office: str) -> None:
    page = fresh(made, office)
    page.get_by_role("button", name="Open a job file").wait_for()
    page.locator("input[type=file]").set_input_files(cottage())
    page.locator("path.room").first.wait_for()
    Hand(page).step("Find")
    Hand(page).tap("Calculate")
    page.get_by_text("What we think").wait_for(timeout=CALCULATED)
    page.get_by_text("all at the office").wait_for()
    answer = page.evaluate(
        """async (job) => {
          const walk = await (await fetch(`/api/jobs/${job}/walks`, {method: 'POST',
            body: '{}', headers: {'content-type': 'application/json'}})).json();
          return await (await fetch(`/api/jobs/${job}/walks/${walk.id}/answer`)).json();
        }""",
        job_id(page),
    )
    voids = [one for one in answer["diagnosis"]["voids"] if one["hidden"]]
    first = max(voids, key=lambda one: one["soiled"])
    page.get_by_role("button", name="More: ").tap()
    shown = page.locator(".find .voids li").first.inner_text()
    assert first["label"] in shown
    assert percent(first["soiled"]) in shown or not first["settled"]
    assert page.locator("path.void").count() > 10
    # What must be settled before the next check stands under it, in the office's words.
    check = answer["checks"]["checks"][0]
    stops = [one for one in check["holds"] if one["standing"] == "stop"]
    assert stops
    for one in stops:
        assert f"STOP: sign first, {one['hazard']}" in page.locator(".find").inner_text()
    # A log entry later the figures say that they are older.
    left, top, right, bottom = Hand(page).shape("path.room")
    hand = Hand(page)
    hand.tap_at((left + right) / 2, (top + bottom) / 2)
    hand.tap("droppings")
    hand.tap("a few")
    page.locator(".tray").get_by_role("button", name="Close", exact=True).tap()
    page.get_by_text("+ 1 since").wait_for()
    page.get_by_text("all at the office").wait_for()
    assert wrong(page) == []
    page.context.close()


def test_a_lost_answer_leaves_the_mark_empty(made: Browser, office: str) -> None:
    page = fresh(made, office)
    # The office writes, but its answer is lost on the way.
    page.route("**/api/jobs/*/events", lambda route: (route.fetch(), route.abort()))
    with page.expect_event("requestfailed", lambda one: one.url.endswith("/events")):
        Hand(page).tap("Draw a building")
    page.locator(".plan").wait_for()
    page.get_by_text("only here").wait_for()
    # One that is under way is seen through: to take the route from it would handle it twice.
    page.unroute_all(behavior="wait")
    page.keyboard.press("Escape")
    Hand(page).drag((80, 80), (250, 260))
    page.get_by_text("all at the office").wait_for()
    page.context.close()


def test_without_the_office_it_says_so_and_keeps_what_was_logged(made: Browser, url: str) -> None:
    page = fresh(made, url)
    hand = Hand(page)
    hand.tap("Draw a building")
    hand.step("Find")
    hand.tap("Calculate")
    page.get_by_text("Figures need the office machine").wait_for()
    page.get_by_text("only here").wait_for()
    page.context.close()
