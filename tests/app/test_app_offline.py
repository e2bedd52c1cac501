"""Opened without the server, after it was opened once; files that go out and come in."""

from __future__ import annotations

import json
from pathlib import Path

from hand import ROOT, Hand, fresh, job_of, written, wrong
from playwright.sync_api import Browser

from wainscot.job import read

DEMOS = ROOT / "src" / "wainscot" / "demos"


def test_the_app_opens_and_keeps_its_jobs_without_the_server(made: Browser, url: str) -> None:
    context = made.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    page = context.new_page()
    page.goto(url)
    page.get_by_role("button", name="Draw a building").wait_for()
    # On the very first visit, without loading it again: every part that comes late is kept.
    page.wait_for_function("() => navigator.serviceWorker.controller")
    context.set_offline(True)
    page.get_by_role("button", name="Draw a building").tap()
    page.locator(".plan").wait_for()
    Hand(page).step("Hand over")
    Hand(page).button("Papers").wait_for()
    page.goto(url)
    page.get_by_role("link", name="New job").tap()
    page.locator(".plan").wait_for()
    page.get_by_text("only here").wait_for()
    context.close()


def test_the_demo_houses_come_in_and_go_out_unchanged(made: Browser, url: str) -> None:
    page = fresh(made, url)
    for path in sorted(DEMOS.glob("*.json")):
        wanted = read(path.read_text(encoding="utf-8"))
        page.goto(url)
        page.get_by_role("button", name="Open a job file").wait_for()
        page.locator("input[type=file]").set_input_files(path)
        page.locator(".plan").wait_for()
        page.locator("path.room").first.wait_for()
        got = read(json.dumps(job_of(page)))
        assert got.entities == wanted.entities
        assert (got.id, got.title, got.units) == (wanted.id, wanted.title, wanted.units)
    assert wrong(page) == []
    page.context.close()


def test_a_file_that_is_no_job_changes_nothing_and_says_so(
    made: Browser, url: str, tmp_path: Path
) -> None:
    bad = tmp_path / "bad.json"
    bad.write_text('{"wainscot": 1, "id": "a", "entities": {"r": 1}}')
    page = fresh(made, url)
    page.get_by_role("button", name="Open a job file").wait_for()
    page.locator("input[type=file]").set_input_files(bad)
    page.get_by_text("no job file").wait_for()
    page.context.close()


def test_hostile_text_is_shown_as_text(made: Browser, url: str) -> None:
    page = fresh(made, url)
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator("header .job").tap()
    nasty = "<img src=x onerror=alert(1)>\u202e'\""
    page.locator(".tray input").first.fill(nasty)
    page.locator(".tray input").first.press("Tab")
    written(page)
    assert page.locator("header .title").text_content() == nasty
    assert page.locator("img").count() == 0
    assert wrong(page) == []
    page.context.close()


def test_a_store_that_is_full_is_told_and_nothing_typed_is_lost(made: Browser, url: str) -> None:
    page = fresh(made, url)
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator(".plan").wait_for()
    page.evaluate(
        """() => { IDBObjectStore.prototype.put = () => {
          throw new DOMException("the disk is full", "QuotaExceededError"); }; }"""
    )
    hand.drag((80, 80), (250, 260))
    page.get_by_text("could not be written").wait_for()
    assert page.locator("path.room").count() == 0  # shown is only what was written
    page.context.close()


def test_what_one_window_draws_the_other_shows_and_keeps(made: Browser, url: str) -> None:
    page = fresh(made, url)
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator(".plan").wait_for()
    other = page.context.new_page()
    other.goto(page.url)
    other.locator(".plan").wait_for()
    hand.drag((80, 80), (250, 260))
    other.locator("path.room").wait_for()
    other.locator("#type-room").fill("2 m x 2 m")
    other.get_by_role("button", name="Add", exact=True).tap()
    page.locator("path.room").nth(1).wait_for()
    assert len(job_of(page)["entities"]) == 3
    page.context.close()
