"""The office's screen at a desk, by keyboard and mouse's stand-in, on the program's own server."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hand import PASSWORD, Hand, cottage, fresh, office_machine, written, wrong
from measures import by_day_and_night, misfits
from playwright.sync_api import Browser, Page, expect

DESK = {"width": 1280, "height": 800}


@pytest.fixture(scope="module")
def page(made: Browser, url: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A screen at the office whose record holds one job, and which others change nothing of."""
    with office_machine(tmp_path_factory.mktemp("office")) as office:
        page = fresh(made, office, DESK)
        with page.expect_file_chooser() as chooser:
            page.get_by_role("button", name="Open a job file").tap()
        chooser.value.set_files(cottage())
        page.wait_for_url("**/#/job/**")
        written(page)
        page.get_by_text("all at the office").wait_for()
        page.goto(f"{office}#/")
        page.get_by_role("link", name="Office: jobs, rates, people, backup").tap()
        yield page
        page.context.close()


def test_jobs_stand_in_a_list_and_are_found_by_a_word_typed_in(page: Page) -> None:
    row = page.get_by_role("row", name="Demo house")
    expect(row).to_contain_text("none booked")
    expect(row).to_contain_text("in no backup")
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    page.get_by_role("searchbox").focus()
    page.keyboard.type("BATH terraced")
    page.get_by_role("columnheader", name="Where").wait_for()
    expect(page.get_by_role("row", name="Demo house")).to_contain_text("room")
    page.keyboard.type(" xyz")
    page.get_by_text("No job holds: BATH terraced xyz").wait_for()
    page.get_by_role("searchbox").fill("")
    page.get_by_role("columnheader", name="Record").wait_for()


def test_rates_are_tried_corrected_saved_and_taken_back(page: Page) -> None:
    hand = Hand(page)
    page.get_by_role("link", name="Our rates").tap()
    page.get_by_label("Our rate: hour").fill("85")
    page.get_by_label("Our rate: open bay").fill("-3")
    hand.tap("Save the rates")
    page.get_by_text("Rates to correct: 1. Nothing was saved.").wait_for()
    page.get_by_text("-3 is no rate in h").wait_for()
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    page.get_by_label("Our rate: open bay").fill("")
    page.get_by_label("Our rate: currency").fill("EUR")
    hand.tap("Try 2 changed")
    page.get_by_text("340 EUR").wait_for()  # four usual hours of an opening
    hand.tap("Save the rates")
    page.get_by_text("Rates saved.").wait_for()
    page.reload()
    expect(page.get_by_label("Our rate: hour")).to_have_value("85")
    page.get_by_label("Our rate: hour").fill("90")
    hand.tap("Save the rates")
    hand.tap(page.locator(".said").get_by_role("button", name="Undo"))
    expect(page.get_by_label("Our rate: hour")).to_have_value("85")


def test_somebody_is_added_shut_out_and_let_in_again(page: Page) -> None:
    hand = Hand(page)
    page.get_by_role("link", name="People and phones").tap()
    page.get_by_text("This machine serves one person").wait_for()
    page.get_by_label("Name").fill("Ann")
    page.get_by_label("Password, 12 letters or more").fill(PASSWORD)
    hand.tap("Add")
    page.get_by_role("rowheader", name="Ann").wait_for()
    page.get_by_label("Role of Ann").select_option("lead")
    page.get_by_text("Ann: role changed.").wait_for()
    hand.tap("Shut out: Ann")
    page.get_by_role("cell", name="shut out").wait_for()
    hand.tap(page.locator(".said").get_by_role("button", name="Undo"))
    page.get_by_role("cell", name="yes").wait_for()
    expect(page.get_by_label("Role of Ann")).to_have_value("lead")
    assert by_day_and_night(page) == []
    assert misfits(page) == []


def test_a_person_is_forgotten_only_where_the_name_is_typed_again(page: Page) -> None:
    hand = Hand(page)
    page.get_by_role("link", name="Forget a person").tap()
    page.get_by_label("Which job").select_option(index=1)
    page.get_by_label("Name, as it is written").fill("nobody of that name")
    hand.tap("Look what is there")
    page.get_by_text("The job holds nothing of nobody of that name.").wait_for()
    page.get_by_label("Name, as it is written").fill("surveyor")
    hand.tap("Look what is there")
    page.get_by_text("Found:").wait_for()
    page.get_by_label("Type the name again").fill("survey")
    hand.tap("Erase for good")
    page.get_by_text("That is another name. Nothing is erased.").wait_for()
    assert by_day_and_night(page) == []
    assert misfits(page) == []


def test_a_backup_is_taken_and_what_none_holds_is_named(page: Page) -> None:
    hand = Hand(page)
    page.get_by_role("link", name="Backup", exact=True).tap()
    page.get_by_text("There is no backup yet.").wait_for()
    page.get_by_role("row", name="Demo house").wait_for()
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    hand.tap("Back up now")
    page.get_by_text("A verified backup holds every entry and photo.").wait_for()
    page.context.set_offline(True)
    hand.tap("Back up now")
    page.get_by_text("Needs the office machine, and it is not reached.").wait_for()
    page.context.set_offline(False)
    page.get_by_role("link", name="All jobs").tap()
    expect(page.get_by_role("row", name="Demo house")).to_contain_text("all backed up")
    assert wrong(page) == []


def test_the_score_says_how_the_advice_did_and_what_is_still_to_come(page: Page) -> None:
    told = {
        "jobs": 7, "waiting": 0, "not_drawn": 2, "left_out": 1,
        "callbacks": {"hits": 1, "of": 7, "low": 0.026, "high": 0.513},
        "rows": [
            {"band": band, "right": {"hits": hits, "of": of, "low": low, "high": high},
             "claimed": claimed, "houses": houses}
            for band, hits, of, low, high, claimed, houses in (
                ("open", 31, 44, 0.56, 0.82, 0.66, 7), ("check first", 3, 9, 0.12, 0.65, 0.3, 4),
                ("leave", 11, 12, 0.65, 0.99, 0.95, 3), ("can't tell yet", 0, 0, 0.0, 1.0, None, 0),
            )
        ],
    }  # fmt: skip
    page.route("**/api/office/score", lambda route: route.fulfill(json=told))
    page.get_by_role("link", name="Our score").tap()
    row = page.get_by_role("row", name="leave, opened all the same")
    expect(row).to_contain_text("11 of 12 clean")
    expect(row).to_contain_text("65 to 99")
    expect(page.get_by_role("row", name="can't tell yet")).to_contain_text("none opened")
    expect(page.get_by_role("row", name="Called back")).to_contain_text("1 of 7 jobs")
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    page.unroute("**/api/office/score")


def test_what_went_is_told_and_when_backups_from_before_go(page: Page) -> None:
    """After the backup above, so that there is one from before."""
    hand = Hand(page)
    page.get_by_role("link", name="Forget a person").tap()
    page.get_by_label("Which job").select_option(index=1)
    page.get_by_label("Name, as it is written").fill("surveyor")
    hand.tap("Look what is there")
    page.get_by_label("Type the name again").fill("surveyor")
    hand.tap("Erase for good")
    page.get_by_text("Erased: ").wait_for()
    page.get_by_text("It stood in: ").wait_for()
    page.get_by_text("Backups from before, which hold it still: 1.").wait_for()
    assert by_day_and_night(page) == []
    assert misfits(page) == []
    assert wrong(page) == []
