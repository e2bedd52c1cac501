"""Without signal the figures follow on the phone; the office runs the phone's bytes again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import msgspec
import pytest
from hand import CALCULATED, PHONE, Hand, cottage, job_id, job_of
from playwright.sync_api import Browser, Page

from wainscot.job import Job
from wainscot.pocket import PhoneResult, differences, replay

RECEIPT = """async (job) => {
  const open = indexedDB.open("wainscot");
  const db = await new Promise((done) => { open.onsuccess = () => done(open.result); });
  const ask = db.transaction("settings").objectStore("settings").get(`receipt/${job}`);
  const kept = await new Promise((done) => { ask.onsuccess = () => done(ask.result); });
  db.close();
  const text = (bytes) => btoa(Array.from(bytes, (one) => String.fromCharCode(one)).join(""));
  return { ...kept, cases: kept.cases.map((one) => ({ ...one, input: text(one.input) })) };
}"""


@pytest.fixture
def calculated(made: Browser, office: str) -> Iterator[Page]:
    """A demo house with the office's figures, then out of reach of the office."""
    context = made.new_context(viewport=PHONE, has_touch=True)
    page = context.new_page()
    page.goto(office)
    page.evaluate("navigator.serviceWorker.ready")
    page.reload()
    page.locator("input[type=file]").set_input_files(cottage())
    page.locator("path.room").first.wait_for()
    with page.expect_response("**/pocket", timeout=CALCULATED):
        Hand(page).step("Find")
        Hand(page).tap("Calculate")
    page.get_by_text("What we think").wait_for(timeout=CALCULATED)
    context.set_offline(True)
    yield page
    context.close()


def _logs(page: Page, kind: str, amount: str) -> None:
    left, top, right, bottom = Hand(page).shape("path.room")
    hand = Hand(page)
    hand.tap_at((left + right) / 2, (top + bottom) / 2)
    hand.tap(kind)
    hand.tap(amount)
    page.locator(".tray").get_by_role("button", name="Close", exact=True).tap()


def _result(page: Page) -> PhoneResult:
    told: Any = page.evaluate(RECEIPT, job_id(page))
    return msgspec.convert(told, PhoneResult)


def test_what_is_logged_without_signal_is_calculated_in_full_on_the_phone(
    calculated: Page,
) -> None:
    page = calculated
    _logs(page, "droppings", "a few")
    full = page.locator('[data-phone="full"][data-signs="1"]')
    full.wait_for(state="attached", timeout=CALCULATED)
    page.get_by_text("calculated in full on this phone").wait_for()
    Hand(page).tap(page.locator(".find > button[aria-expanded=false]"))
    page.locator(".find .told").get_by_text("Ranked by the office").wait_for()
    result = _result(page)
    assert replay(result) == result.digest
    job = msgspec.convert(job_of(page) | {"conflicts": ()}, Job)
    later = [one for one in job.entities.values() if one["kind"] == "inspection"]
    # The office ages older looks to the day of the new one, which a phone says it does not.
    assert page.get_by_text("More than a day later").count() == 1
    days = msgspec.structs.replace(job, entities=job.entities | _of_one_day(job))
    assert len(later) > 1
    assert max(differences(result, days).values()) <= 1e-9


def _of_one_day(job: Job) -> dict[str, Any]:
    """The new look as of the day of the last one before it."""
    looks = {k: one for k, one in job.entities.items() if one["kind"] == "inspection"}
    new = max(looks, key=lambda key: looks[key]["at"])
    before = max(one["at"] for key, one in looks.items() if key != new)
    return {new: looks[new] | {"at": before}}


def test_a_smell_waits_for_the_office_and_is_said_to(calculated: Page) -> None:
    page = calculated
    _logs(page, "odour", "faint")
    page.get_by_text("1 wait for the office machine: a smell").wait_for()
    assert page.locator('[data-phone="full"][data-signs="0"]').count() == 1
