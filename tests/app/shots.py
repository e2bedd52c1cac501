"""Pictures of every screen in both sizes and themes: ``python tests/app/shots.py FOLDER``."""

from __future__ import annotations

import re
import sys
import tempfile
from pathlib import Path

from hand import (
    CALCULATED,
    PHONE,
    ROOT,
    TABLET,
    Hand,
    browser,
    fresh,
    office_machine,
    served,
    wrong,
)
from playwright.sync_api import Page

DEMO = ROOT / "src" / "wainscot" / "demos" / "terraced_cottage.json"


def small_house(hand: Hand) -> None:
    """Draw two rooms with a bath and a door, as a person would."""
    hand.tap("Draw a building")
    hand.page.locator(".plan").wait_for()
    box = hand.page.locator(".plan").bounding_box()
    assert box is not None
    wide, high = box["width"], box["height"]
    hand.drag((wide * 0.2, high * 0.2), (wide * 0.65, high * 0.6 + 56))


def main(folder: Path) -> None:
    """Write all pictures."""
    folder.mkdir(parents=True, exist_ok=True)
    with browser() as made, served() as url:
        for name, size in (("phone", PHONE), ("tablet", TABLET)):
            for theme in ("light", "dark"):
                page = fresh(made, url, size, theme)
                _walk(page, folder, f"{name}-{'day' if theme == 'light' else 'night'}")
                print(wrong(page))
                page.context.close()
        with tempfile.TemporaryDirectory() as record, office_machine(Path(record)) as office:
            for name, size in (("phone", PHONE), ("tablet", TABLET)):
                for theme in ("light", "dark"):
                    page = fresh(made, office, size, theme)
                    _find(page, folder, f"{name}-{'day' if theme == 'light' else 'night'}")
                    page.context.close()


def _find(page: Page, folder: Path, name: str) -> None:
    page.get_by_role("button", name="Open a job file").wait_for()
    page.locator("input[type=file]").set_input_files(DEMO)
    page.locator("path.room").first.wait_for()
    page.locator("div.said").get_by_role("button", name="Close").tap()
    Hand(page).step("Find")
    Hand(page).tap("Calculate")
    page.get_by_text("What we think").wait_for(timeout=CALCULATED)

    def shot(what: str) -> None:
        page.wait_for_timeout(300)
        page.screenshot(path=folder / f"{name}-{what}.png")

    page.locator(".storeys").get_by_role("button", name="First").tap()
    shot("d-figures")
    for n, level in enumerate(("under/0", "over/1")):
        page.get_by_label("Level").select_option(level)
        shot(f"e{n}-level")
    page.get_by_label("Level").select_option("view")
    for shows in ("now", "nest", "entries"):
        page.get_by_label("The plan shows").select_option(shows)
        shot(f"f-{shows}")
    page.get_by_label("The plan shows").select_option("soiled")
    more = page.get_by_role("button", name="More: ")
    if more.count():
        more.tap()
    page.locator(".voids button").nth(1).tap()
    shot("g-place")
    page.get_by_role("button", name="Why", exact=True).tap()
    page.locator(".sign").first.tap()
    shot("h-why")
    page.locator(".why .head button").tap()
    page.locator(".place .head button").tap()
    if more.count():
        more.tap()
    page.get_by_role("button", name=re.compile(r"^All \d+ checks")).tap()
    page.locator(".check").first.tap()
    shot("i-checks")
    page.locator(".checks .head button").tap()
    list_or_plan = page.locator("header").get_by_role("button", name="List")
    list_or_plan.tap()
    shot("j-list")
    list_or_plan.tap()
    Hand(page).tap("Cutaway")
    page.locator(".cutaway svg .plate").first.wait_for()
    shot("k-cutaway")
    page.get_by_role("button", name=re.compile("^(Plan|Cutaway)$")).locator(
        "visible=true"
    ).last.tap()
    page.locator(".plan svg").wait_for()
    Hand(page).step("Open")
    page.get_by_text("Cuts of your own").wait_for()
    shot("l-open")
    Hand(page).tap("Draw a cut")
    Hand(page).tap("By lengths")
    page.locator("ul.own li").first.scroll_into_view_if_needed()
    shot("m-own-cut")


def _walk(page: Page, folder: Path, name: str) -> None:
    hand = Hand(page)

    def shot(what: str) -> None:
        page.screenshot(path=folder / f"{name}-{what}.png")

    hand.button("Draw a building").wait_for()
    shot("1-start")
    small_house(hand)
    hand.button("Set").wait_for()
    hand.keys("4", ".", "2", "m")
    shot("2-length")
    hand.tap("Set")
    hand.keys("3", ".", "6")
    hand.tap("Set")
    shot("3-room")
    page.locator("#type-room").count() or hand.tap(
        page.locator(".tray").get_by_role("button", name="Room", exact=True)
    )
    page.locator("#type-room").fill("2.4 m x 3.6 m")
    hand.tap("Add")
    hand.tap("Skip")
    hand.tap("Skip")
    hand.tap(page.locator(".tray").get_by_role("button", name="Fixture", exact=True))
    shot("4-palette")
    hand.tap("bath")
    hand.tap(page.get_by_role("button", name="All", exact=True))
    page.locator("path.room").nth(1).wait_for()
    _, top, right, bottom = hand.shape("path.room", 1)
    hand.tap_at(right - 4, (top + bottom) / 2)
    page.get_by_role("button", name="Turn 90").wait_for()
    shot("5-fixture")
    hand.tap(page.locator(".tray").get_by_role("button", name="Wall", exact=True))
    _, top, right, bottom = hand.shape("path.room", 0)
    hand.tap_at(right + 3, (top + bottom) / 2)
    hand.button("Door").wait_for()
    shot("6-wall")
    hand.tap("Door")
    hand.tap(page.locator(".elevation"))
    page.locator(".gap").first.wait_for(state="attached")
    hand.step("Find")
    page.wait_for_timeout(200)
    shot("7-find")
    _, top, right, bottom = hand.shape("path.room", 0)
    hand.tap_at(right + 3, top + 0.8 * (bottom - top))
    hand.button("droppings").wait_for()
    shot("8-place")
    hand.tap("droppings")
    shot("9-amount")
    hand.tap(page.get_by_role("button", name="many", exact=True))
    page.get_by_text("On this device").wait_for()
    shot("a-saved")
    hand.tap("List")
    shot("b-list")
    page.locator("header .job").tap()
    shot("c-job")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
