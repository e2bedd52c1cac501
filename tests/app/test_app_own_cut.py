"""A cut of one's own: by hand or by keyboard, refused, moved by one tap, kept without signal."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from hand import CALCULATED, PHONE, Hand, fresh, job_of, office_machine, written, wrong
from measures import sideways, small_targets, violations
from playwright.sync_api import Browser, Page

from houses import as_job, ranch
from wainscot import job as jobs
from wainscot.access import own_cuts, site_of
from wainscot.walk import survey


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with office_machine(tmp_path_factory.mktemp("record")) as address:
        yield address


@pytest.fixture(scope="module")
def page(made: Browser, office: str, url: str, tmp_path_factory: pytest.TempPathFactory) -> Page:
    """Give a page with a house whose studs were measured, at the step Open."""
    document = ranch()
    document["entities"]["partition"]["first_stud"] = {"value": 0, "basis": "measured"}
    file = tmp_path_factory.mktemp("house") / "ranch.json"
    file.write_text(jobs.write(as_job(document)), encoding="utf-8")
    page: Page = fresh(made, office, PHONE)
    page.get_by_role("button", name="Open a job file").wait_for()
    page.locator("input[type=file]").set_input_files(file)
    page.locator("path.room").first.wait_for()
    page.locator(".said").get_by_role("button").first.tap()
    Hand(page).step("Open")
    page.get_by_text("Cuts of your own").wait_for()
    return page


def told_here(page: Page) -> list[str]:
    """Return what the program itself says of the cuts that the page holds."""
    job = jobs.read(json.dumps(job_of(page)))
    assert not jobs.faults(job)
    seen = survey(job)
    return [one.standing for one in own_cuts(seen.plan, seen.graph, site_of(job))]


def lengths(page: Page, **values: str) -> None:
    for label, value in values.items():
        field = page.locator("ul.own").get_by_label(label.replace("_", " "), exact=True)
        field.fill(value)
        field.press("Enter")
        field.evaluate("(it) => it.blur()")
        written(page)


def test_by_keyboard_a_cut_is_drawn_refused_and_moved(page: Page) -> None:
    press = page.keyboard.press
    page.get_by_role("button", name="Draw a cut").focus()
    press("Enter")
    page.get_by_role("button", name="By lengths").focus()
    press("Enter")
    page.locator("ul.own li").wait_for()
    for group, choice in (("Room", "Bath"), ("Measured from the wall to the", "west")):
        page.get_by_role("group", name=group).get_by_role("button", name=choice).focus()
        press("Enter")
        written(page)
    lengths(page, from_left_corner="6 in", width="12 in", over_the_floor="2 ft 4 in",
            height="16 in")  # fmt: skip
    page.locator("li[data-cut=refused]").wait_for()
    assert page.get_by_text("It would cut or touch: stud.").is_visible()
    assert told_here(page) == ["refused"]
    assert violations(page) == []
    assert sideways(page) == 0
    assert small_targets(page) == []
    page.get_by_role("button", name="Use the moved cut").focus()
    press("Enter")
    page.locator("li[data-cut=allowed]").wait_for()
    assert told_here(page) == ["allowed"]
    page.locator(".said").get_by_role("button", name="Undo").tap()
    page.locator("li[data-cut=refused]").wait_for()
    Hand(page).tap("Use the moved cut")
    page.locator("li[data-cut=allowed]").wait_for()
    assert wrong(page) == []


def test_without_signal_it_is_kept_and_checked_when_the_office_is_reached(page: Page) -> None:
    page.context.set_offline(True)
    face = page.locator("ul.own svg")
    face.evaluate("(it) => it.scrollIntoView({block: 'start'})")
    box = face.bounding_box()
    assert box
    # Dragged from corner to corner; the middle of the wall, over two bays.
    page.mouse.move(box["x"] + 0.62 * box["width"], box["y"] + 0.7 * box["height"])
    page.mouse.down()
    page.mouse.move(box["x"] + 0.7 * box["width"], box["y"] + 0.4 * box["height"])
    page.mouse.up()
    page.locator("li[data-cut=unchecked]").wait_for()
    assert page.get_by_text("Nobody cuts before the office machine has checked it").is_visible()
    page.context.set_offline(False)
    page.locator("li[data-cut=refused], li[data-cut=allowed]").wait_for()
    assert page.locator("li[data-cut]").get_attribute("data-cut") == told_here(page)[0]


def test_a_tap_on_the_plan_names_the_wall_and_nobody_saw_its_studs(page: Page) -> None:
    hand = Hand(page)
    hand.tap("Draw a cut")
    walls = page.locator("path.room").first.bounding_box()
    assert walls
    page.touchscreen.tap(walls["x"] + walls["width"] / 2, walls["y"] + walls["height"] - 2)
    page.locator("li[data-cut='not known']").wait_for()
    assert page.get_by_text("Find the stud or joist first").is_visible()
    assert "not known" in told_here(page)
    assert page.locator("path.own").count() == 2


def test_calculated_it_is_in_the_set_signed_and_what_is_kept_is_picked_by_keyboard(
    page: Page,
) -> None:
    tray = page.locator(".tray")
    tray.get_by_role("button", name="Calculate", exact=True).focus()
    page.keyboard.press("Enter")
    page.locator(".sum").wait_for(timeout=CALCULATED)
    tray.get_by_role("button", name="Least", exact=True).focus()
    page.keyboard.press("Enter")
    mine = page.locator("li .line").filter(has_text="drawn by you")
    assert mine.count() >= 1
    tray.get_by_role("button", name="Owner signs").focus()
    page.keyboard.press("Enter")
    page.get_by_label("name of who signs").fill("the owner")
    page.get_by_label("name of who signs").press("Enter")
    page.get_by_text("All of these openings are authorised").wait_for()
    job = job_of(page)["entities"]
    (signed,) = [one for one in job.values() if one["kind"] == "authorisation"]
    fits = [key for key, one in job.items() if one["kind"] == "own_cut"]
    assert any(f"/{key}|" in one for key in fits for one in signed["openings"])
    tray.get_by_role("button", name="Keep something").focus()
    page.keyboard.press("Enter")
    tray.get_by_role("button", name="Den", exact=True).last.focus()
    page.keyboard.press("Enter")
    tray.get_by_role("group", name="What the owner wants kept").get_by_text("Den").wait_for()
    written(page)
    (kept,) = [one for one in job_of(page)["entities"].values() if one["kind"] == "kept"]
    assert kept["place"] == {"of": "den"}
    assert wrong(page) == []
    page.context.close()
