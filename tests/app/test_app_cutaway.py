"""The cutaway: loaded when asked for, the same figures and the same tray as the plan."""

from __future__ import annotations

import io
import re

import numpy as np
import pytest
from hand import CALCULATED, DRAWS_DEEP, PHONE, TABLET, Hand, cottage, fresh, launched, wrong
from PIL import Image
from playwright.sync_api import Browser, Page

from wainscot.picture.tokens import DAY, NIGHT

NO_WEBGL = "HTMLCanvasElement.prototype.getContext = () => null"


def calculated(page: Page) -> Hand:
    """Open the demo house, have it calculated and go to its upper storey."""
    page.get_by_role("button", name="Open a job file").wait_for()
    page.locator("input[type=file]").set_input_files(cottage())
    page.locator("path.room").first.wait_for()
    hand = Hand(page)
    hand.step("Find")
    hand.tap("Calculate")
    page.get_by_text("What we think").wait_for(timeout=CALCULATED)
    page.locator(".storeys").get_by_role("button", name="First").tap()
    return hand


def loaded(page: Page) -> bool:
    names: list[str] = page.evaluate(
        "performance.getEntriesByType('resource').map((one) => one.name)"
    )
    return any("/Shown-" in one for one in names)


def share(page: Page, colour: str) -> float:
    """Return how much of the picture has a colour, to a few steps of 255. [1]"""
    shown = Image.open(io.BytesIO(page.locator(".cutaway canvas").screenshot())).convert("RGB")
    wanted = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
    off = np.abs(np.asarray(shown, int) - wanted).max(axis=-1)
    return float((off <= 4).mean())


@pytest.mark.parametrize("size", [PHONE, TABLET], ids=["phone", "tablet"])
def test_it_comes_when_asked_turns_and_opens_the_same_tray(
    made: Browser, office: str, size: dict[str, int]
) -> None:
    deep = launched(made.browser_type, drawing=DRAWS_DEEP)
    page = fresh(deep, office, size)
    hand = calculated(page)
    assert not loaded(page)
    hand.tap("Cutaway")
    page.locator(".cutaway svg .plate").first.wait_for()
    assert loaded(page)
    before = page.locator(".cutaway canvas").screenshot()
    plates = page.locator(".cutaway svg").inner_html()
    hand.tap("Left")
    page.wait_for_function(
        "(old) => document.querySelector('.cutaway svg').innerHTML !== old", arg=plates
    )
    assert page.locator(".cutaway canvas").screenshot() != before
    # Loft and boxed pipes of this house are very likely soiled, so says the office.
    hand.tap("Ceiling")
    plate = page.locator(".cutaway svg text", has_text=">95").first
    plate.wait_for()
    # Faces, not the ground alone, turn with the phone's own day and night.
    day, night = (theme.fills[4] for theme in (DAY, NIGHT))
    assert share(page, day) > 0.005 > share(page, night)
    page.emulate_media(color_scheme="dark")
    page.wait_for_function("() => document.documentElement.dataset.theme === 'night'")
    assert share(page, night) > 0.005 > share(page, day)
    box = plate.bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.locator(".place h2", has_text=re.compile("loft|boxed pipe")).wait_for()
    hand.tap("List")
    page.get_by_role("table").wait_for()
    assert wrong(page) == []
    deep.close()


def test_without_webgl_it_says_so_and_the_plan_is_a_tap_away(made: Browser, office: str) -> None:
    page = fresh(made, office, TABLET)
    hand = calculated(page)
    page.evaluate(NO_WEBGL)
    hand.tap("Cutaway")
    page.get_by_text("no WebGL").wait_for()
    hand.tap("Cutaway")
    page.locator(".plan svg").wait_for()
    page.context.close()
