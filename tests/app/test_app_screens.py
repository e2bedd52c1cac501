"""Every screen: no violation that axe-core finds, targets large enough, nothing sideways."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from hand import PHONE, ROOT, TABLET, Hand, fresh, wrong
from measures import NARROW, by_day_and_night, misfits, sideways, small_targets, violations
from playwright.sync_api import Browser

FIRST_SCRIPT = 60_000
"""Most bytes of the first script, packed (the issue's own figure)."""


def screens(hand: Hand) -> Iterator[str]:
    """Walk through every screen; each is looked at where it is named."""
    page = hand.page
    hand.button("Draw a building").wait_for()
    yield "start"
    hand.tap("Draw a building")
    page.locator(".plan").wait_for()
    yield "draw, empty"
    wide = page.viewport_size["width"] if page.viewport_size else 390
    hand.drag((wide * 0.15, 70), (wide * 0.6, 230))
    hand.button("Set").wait_for()
    yield "length pad"
    hand.tap("Skip")
    hand.tap("Skip")
    yield "room"
    for tool in ("Run", "Fixture"):
        hand.tap(page.locator(".tray").get_by_role("button", name=tool, exact=True))
        yield tool
    hand.tap("stair")
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at((left + right) / 2, top + 4)
    page.get_by_role("button", name="Turn 90").wait_for()
    yield "fixture"
    hand.tap(page.locator(".tray").get_by_role("button", name="Entry", exact=True))
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at(left - 2, bottom - 12)
    page.get_by_text("made of").wait_for()
    yield "entry"
    hand.tap(page.locator(".tray").get_by_role("button", name="Wall", exact=True))
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at((left + right) / 2, bottom + 3)
    page.locator(".elevation").wait_for()
    hand.tap("Window")
    hand.tap(page.locator(".elevation"))
    page.get_by_role("button", name="Window 1").wait_for()
    yield "wall"
    page.locator("header .job").tap()
    yield "job"
    hand.tap(page.locator(".tray").get_by_role("button", name="Close", exact=True))
    hand.step("Find")
    yield "find, empty"
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at(left - 2, (top + bottom) / 2)
    hand.button("droppings").wait_for()
    yield "place"
    hand.tap("droppings")
    yield "amount"
    hand.tap("many")
    page.get_by_text("On this device").wait_for()
    yield "saved"
    hand.tap(page.locator(".tray").get_by_role("button", name="Close", exact=True))
    hand.tap("List")
    yield "list"


@pytest.mark.parametrize("size", [PHONE, TABLET], ids=["phone", "tablet"])
def test_no_screen_has_a_violation_or_a_small_target(
    made: Browser, url: str, size: dict[str, int]
) -> None:
    page = fresh(made, url, size)
    seen = [(name, by_day_and_night(page), misfits(page)) for name in screens(Hand(page))]
    assert [one for one in seen if any(one[1:])] == []
    assert len(seen) == 15
    assert wrong(page) == []
    page.context.close()


def test_the_measure_of_targets_would_tell(made: Browser, url: str) -> None:
    page = fresh(made, url)
    page.get_by_role("button", name="Draw a building").wait_for()
    page.evaluate("document.querySelector('button.act').style.setProperty('min-height', '40px')")
    page.evaluate("document.querySelector('button.act').style.setProperty('height', '40px')")
    assert len(small_targets(page)) == 1
    page.context.close()


def test_the_first_script_is_small(url: str) -> None:
    import gzip

    # What the page names: the first script and the parts that it cannot do without.
    folder = ROOT / "src" / "wainscot" / "static"
    named = set(re.findall(r"assets/[^\"]+\.js", (folder / "index.html").read_text("utf-8")))
    assert any("index-" in one for one in named)
    assert sum(len(gzip.compress((folder / one).read_bytes())) for one in named) <= FIRST_SCRIPT


@pytest.mark.parametrize("words", ["Dibujar un edificio"])
def test_the_first_screen_speaks_spanish(made: Browser, url: str, words: str) -> None:
    page = fresh(made, url)
    page.get_by_role("button", name="Español").tap()
    page.get_by_role("button", name=words).wait_for()
    assert page.evaluate("document.documentElement.lang") == "es"
    page.context.close()


@pytest.mark.parametrize("size", [TABLET, NARROW], ids=["tablet", "narrow"])
def test_every_part_has_no_violation_in_either_theme(
    made: Browser, url: str, size: dict[str, int]
) -> None:
    page = fresh(made, f"{url}#/parts", size)
    page.get_by_role("region", name="night").wait_for()
    page.get_by_role("button", name="Strip").tap()
    page.locator(".said p").wait_for()
    assert violations(page) == []
    assert small_targets(page) == []
    assert sideways(page) == 0
    assert wrong(page) == []
    page.context.close()


def test_the_page_of_parts_names_every_part() -> None:
    folder = ROOT / "web" / "src" / "screens" / "parts"
    text = (folder / "Every.svelte").read_text(encoding="utf-8")
    parts = {one.stem for one in folder.glob("*.svelte")} - {"Every", "Lazy"}
    assert {one for one in parts if f"<{one}" not in text} == set()
