"""Bay after bay at one tap each, two people, cautions, the zone of a sound, gloves, left hand."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hand import CALCULATED, PHONE, Hand, cottage, fresh, written, wrong
from measures import sideways, violations
from playwright.sync_api import Browser, Page
from test_app_log import drawn, looks, tap_wall

LARGE = 72
"""Least height of a button for gloves. [px]"""


def no_violation(page: Page) -> None:
    """Nothing that axe-core finds, and nothing sideways."""
    assert violations(page) == []
    assert sideways(page) == 0


def amounts(found: list[dict[str, Any]]) -> list[tuple[str, str]]:
    return [(one["finds"][0]["kind"], one["finds"][0]["amount"]) for one in found]


def in_round(page: Page, n: int) -> None:
    """Wait until the place of this number is asked for."""
    page.locator(".round").get_by_text(re.compile(rf"^{n} of \d+\.")).wait_for()


def test_each_further_bay_takes_one_tap_until_the_row_ends(made: Browser, url: str) -> None:
    page, hand = drawn(made, url)
    tap_wall(hand)
    hand.tap("Opened and seen")
    hand.tap("soiled")
    hand.tap("Next bay, one tap each")
    page.locator(".round").wait_for()
    assert hand.taps == 4
    row = page.locator(".round .column")
    begin = int(page.locator(".round p.quiet-text").first.inner_text().split()[0])
    rest = row.count() - begin + 1
    assert rest >= 2
    no_violation(page)
    boxes = [one.bounding_box() for one in page.locator(".answers button").all()]
    assert all(box and box["height"] >= LARGE for box in boxes)
    for n in range(rest):
        in_round(page, begin + n)
        hand.tap("nest" if n == 0 else "clean")
    page.get_by_text(f"The end. {rest} logged.").wait_for()
    assert hand.taps == 4 + rest
    found = looks(page)
    assert len(found) == 1 + rest
    assert sorted(amounts(found)) == sorted(
        [("opened and seen", "soiled"), ("opened and seen", "nest")]
        + [("opened and seen", "clean")] * (rest - 1)
    )
    spots = {tuple(one["place"]["at"]) for one in found}
    assert len(spots) == 1 + rest  # each bay has its own
    assert {one["method"] for one in found} == {"opened"}
    assert wrong(page) == []
    page.context.close()


def test_the_last_bay_is_taken_back_and_an_earlier_one_answered_again(
    made: Browser, url: str
) -> None:
    page, hand = drawn(made, url)
    tap_wall(hand)
    hand.tap("Opened and seen")
    hand.tap("clean")
    hand.tap("Next bay, one tap each")
    page.locator(".round").wait_for()
    begin = int(page.locator(".round p.quiet-text").first.inner_text().split()[0])
    hand.tap("soiled")
    page.locator(".round").get_by_text("soiled").first.wait_for()
    hand.tap(page.get_by_role("button", name=re.compile(r"^Undo \d+$")))
    in_round(page, begin)
    written(page)
    hand.tap("nest")
    page.locator(".round [role=status]").get_by_text("no dry sweeping").wait_for()
    hand.tap(page.locator(".round .column").nth(begin - 1))
    in_round(page, begin)
    hand.tap("clean")
    page.locator(".last").get_by_text("clean").wait_for()
    assert amounts(looks(page)) == [("opened and seen", "clean")] * 2
    page.context.close()


def test_one_calls_and_one_taps_each_place_once(made: Browser, url: str) -> None:
    page, hand = drawn(made, url)
    hand.tap(page.locator("nav.bar").get_by_role("button", name="Log", exact=True))
    hand.tap("Two people: one calls, one taps")
    page.locator(".round").wait_for()
    no_violation(page)
    hand.taps = 0
    names = page.locator(".round .column").all_inner_texts()
    assert names == ["in the room", "under floor", "over ceiling"]
    in_round(page, 1)
    hand.tap("nothing")
    in_round(page, 2)
    hand.tap("heaps")
    in_round(page, 3)
    hand.tap("Can't see")
    page.get_by_text("The end. 2 logged.").wait_for()
    assert hand.taps == len(names)
    found = looks(page)
    assert sorted(amounts(found)) == [("droppings", "heaps"), ("looked and saw nothing", "part")]
    [heaps] = [one for one in found if one["finds"][0]["kind"] == "droppings"]
    assert heaps["place"]["part"] == "floor"
    page.context.close()


def test_the_last_that_was_called_is_corrected(made: Browser, url: str) -> None:
    page, hand = drawn(made, url)
    hand.tap(page.locator("nav.bar").get_by_role("button", name="Log", exact=True))
    hand.tap("Two people: one calls, one taps")
    in_round(page, 1)
    hand.tap("many")
    in_round(page, 2)
    hand.tap(page.get_by_role("button", name=re.compile(r"^Undo \d+$")))
    in_round(page, 1)
    assert looks(page) == []
    page.context.close()


@pytest.mark.parametrize(
    ("kind", "amount", "words"),
    [
        ("gnawing", "cable", "licensed electrician"),
        ("nest material", "many", "no dry sweeping"),
        ("carcass", "one", "bag it twice"),
    ],
)
def test_a_caution_stands_in_the_tray_after_the_find(
    made: Browser, url: str, kind: str, amount: str, words: str
) -> None:
    page, hand = drawn(made, url)
    tap_wall(hand)
    hand.tap("gnawing")
    hand.tap("wood")
    page.get_by_text("On this device").wait_for()
    assert page.locator(".place [role=status]").count() == 0
    hand.tap(kind)
    hand.tap(amount)
    told = page.locator(".place [role=status]")
    told.get_by_text(words).wait_for()
    assert "local code" in told.inner_text()
    page.context.close()


def test_the_zone_of_a_sound_grows_and_shrinks_by_half_a_metre(made: Browser, url: str) -> None:
    page, hand = drawn(made, url)
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at((left + right) / 2, (top + bottom) / 2)
    hand.tap("sound")
    page.locator("circle.asked").wait_for()
    before = hand.shape("circle.asked")
    for one in ("larger", "larger", "smaller"):
        hand.tap(page.get_by_role("button", name=one, exact=True))
    page.get_by_text("within 2 m of here").wait_for()
    after = hand.shape("circle.asked")
    grown = (after[2] - after[0]) / (before[2] - before[0])
    assert grown == pytest.approx(2 / 1.5, rel=0.02)
    hand.tap("clear")
    page.get_by_text("On this device").wait_for()
    assert page.locator("circle.asked").count() == 0
    [look] = looks(page)
    assert look["place"]["radius"] == "2 m"
    page.context.close()


GLOVES = {390: (111, 88), 320: (88, 88)}
"""Least width and height of the six actions by the width of the screen (the design). [px]"""
APART = 12
BRUSH, FIRM = 0.03, 0.2
"""A touch on each side of 60 ms. [s]"""
TWO_FRAMES = "() => new Promise((told) => requestAnimationFrame(() => requestAnimationFrame(told)))"


def in_gloves(hand: Hand) -> None:
    hand.tap(hand.page.locator("nav.bar .step"))
    hand.tap("Gloves view")
    hand.page.locator(".gloves").wait_for()


def test_gloves_view_has_six_large_actions_and_stays_until_it_is_switched_off(
    made: Browser, url: str
) -> None:
    page, hand = drawn(made, url)
    in_gloves(hand)
    assert hand.taps == 2
    for width, (wide, high) in GLOVES.items():
        page.set_viewport_size({"width": width, "height": PHONE["height"]})
        boxes = page.evaluate(
            "() => [...document.querySelectorAll('.gloves button')].map((one) => "
            "{ const at = one.getBoundingClientRect(); "
            "return [at.left, at.top, at.width, at.height]; })"
        )
        assert len(boxes) == 6
        assert all(w >= wide and h >= high for _, _, w, h in boxes)
        assert len({round(x) for x, *_ in boxes}) == 3
        first, second, fourth = boxes[0], boxes[1], boxes[3]
        assert second[0] - first[0] - first[2] >= APART
        assert fourth[1] - first[1] - first[3] >= APART
        no_violation(page)
    page.set_viewport_size(PHONE)
    written(page)
    page.reload()
    page.locator(".gloves").wait_for()
    hand = Hand(page)
    hand.tap(page.locator("nav.bar .step"))
    hand.tap("Gloves view")
    page.get_by_text("Nothing logged. Tap where").wait_for()
    assert page.locator(".gloves").count() == 0
    assert wrong(page) == []
    page.context.close()


def test_in_gloves_a_brush_is_no_tap_and_one_finger_does_not_move_the_plan(
    made: Browser, url: str
) -> None:
    page, hand = drawn(made, url)
    in_gloves(hand)
    before = hand.shape("path.room")
    left, top, right, bottom = before
    hand.drag((left + 30, top + 30), (left + 90, top + 60))
    assert hand.shape("path.room") == before
    middle = ((left + right) / 2, (top + bottom) / 2)
    hand.touch_for(*middle, BRUSH)
    page.evaluate(TWO_FRAMES)
    assert page.locator(".place").count() == 0
    hand.touch_for(*middle, FIRM)
    page.locator(".place").wait_for()
    page.context.close()


def test_without_gloves_a_brush_is_a_tap_and_one_finger_moves_the_plan(
    made: Browser, url: str
) -> None:
    page, hand = drawn(made, url)
    left, top, *_ = before = hand.shape("path.room")
    hand.drag((left + 30, top + 30), (left + 90, top + 60))
    moved = hand.shape("path.room")
    assert moved[0] > before[0] + 20
    hand.touch_for((moved[0] + moved[2]) / 2, (moved[1] + moved[3]) / 2, BRUSH)
    page.locator(".place").wait_for()
    page.context.close()


@pytest.mark.parametrize(
    ("action", "amount", "find"),
    [
        ("Trap check", "nothing", ("trap night", "nothing")),
        ("Looked, nothing", "all of it", ("looked and saw nothing", "all")),
    ],
)
def test_in_gloves_the_action_comes_first_and_three_taps_save(
    made: Browser, url: str, action: str, amount: str, find: tuple[str, str]
) -> None:
    page, hand = drawn(made, url)
    in_gloves(hand)
    hand.taps = 0
    hand.tap(action)
    page.get_by_text("Tap the place.").wait_for()
    left, top, right, bottom = hand.shape("path.room")
    hand.touch_for((left + right) / 2, (top + bottom) / 2, FIRM)
    hand.tap(amount)
    page.get_by_text("On this device").wait_for()
    assert hand.taps == 3
    hand.tap(page.locator(".place").get_by_role("button", name="Close", exact=True))
    page.locator(".gloves").wait_for()
    hand.tap("Here again")
    hand.button("droppings").wait_for()
    hand.tap(page.locator(".place").get_by_role("button", name="Close", exact=True))
    page.locator(".gloves").wait_for()
    left, top, right, bottom = hand.shape("path.room")
    hand.touch_for((left + right) / 2, (top + bottom) / 2, FIRM)
    hand.button("droppings").wait_for()  # what was asked for is asked for once
    assert amounts(looks(page)) == [find]
    page.context.close()


def test_in_gloves_a_note_goes_to_what_was_logged_last(made: Browser, url: str) -> None:
    page, hand = drawn(made, url)
    tap_wall(hand)
    hand.tap("droppings")
    hand.tap("many")
    page.get_by_text("On this device").wait_for()
    hand.tap(page.locator(".place").get_by_role("button", name="Close", exact=True))
    in_gloves(hand)
    page.get_by_text("Photo and note go to the last: droppings, many.").wait_for()
    hand.tap(page.locator(".gloves").get_by_role("button", name="Note"))
    page.locator("textarea").fill("behind the pipe")
    no_violation(page)
    hand.tap("Save the note")
    page.get_by_text("Note kept").wait_for()
    [look] = looks(page)
    assert look["note"] == "behind the pipe"
    page.context.close()


def test_the_left_hand_finds_bar_and_rail_mirrored(made: Browser, url: str) -> None:
    page, hand = drawn(made, url)
    hand.tap(page.locator("nav.bar .step"))
    hand.tap("Left hand")

    def order() -> list[str]:
        found: list[str] = page.evaluate(
            "() => [...document.querySelectorAll('nav.bar button')].sort((a, b) => "
            "a.getBoundingClientRect().left - b.getBoundingClientRect().left)"
            ".map((one) => one.innerText.trim().split('\\n').pop())"
        )
        return found

    page.locator(".frame.left-hand").wait_for()
    assert order()[0] == "Log"
    assert order()[2] == "Find"
    page.set_viewport_size({"width": 820, "height": 1180})
    rail, work = page.locator(".rail").bounding_box(), page.locator("main.work").bounding_box()
    assert rail is not None
    assert work is not None
    assert rail["x"] >= work["x"] + work["width"]
    page.context.close()


def test_with_figures_the_voids_of_the_level_and_of_the_row_come_up(
    made: Browser, office: str
) -> None:
    page = fresh(made, office)
    page.get_by_role("button", name="Open a job file").wait_for()
    page.locator("input[type=file]").set_input_files(cottage())
    page.locator("path.room").first.wait_for()
    page.locator(".said").get_by_role("button").first.tap()
    hand = Hand(page)
    hand.step("Find")
    page.get_by_role("button", name="Calculate").locator("visible=true").first.tap()
    page.get_by_text("What we think").wait_for(timeout=CALCULATED)
    before = {str(one.get("place")) for one in looks(page)}
    hand.tap(page.locator("nav.bar").get_by_role("button", name="Log", exact=True))
    hand.tap("Two people: one calls, one taps")
    in_round(page, 1)
    names = page.locator(".round .column").all_inner_texts()
    assert len(names) == len(set(names)) > 5  # each void once, by its label
    first = page.locator(".round h2").inner_text()
    assert first.startswith(f"{names[0]},")
    hand.tap("a few")
    in_round(page, 2)
    hand.tap("Close")
    [look] = [one for one in looks(page) if str(one.get("place")) not in before]
    assert look["finds"] == [{"kind": "droppings", "amount": "few"}]
    assert set(look["place"]) == {"storey", "at", "height"}
    page.context.close()
