"""The app for everyone: by keyboard alone, in Spanish, with what people type, after a crash."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import suppress

import pytest
from hand import (
    CALCULATED,
    PATIENCE,
    PHONE,
    TABLET,
    Hand,
    cottage,
    fresh,
    job_of,
    launched,
    written,
    wrong,
)
from measures import NARROW, by_day_and_night, cut_words, misfits, sideways
from playwright.sync_api import Browser, Error, Locator, Page
from test_app_screens import screens

from wainscot import plan, signs
from wainscot.job import faults, read

MOST_TABS = 160
"""More keys than any screen has things to stop at: past it, the thing cannot be reached."""


# --- by keyboard alone -------------------------------------------------------


def reach(what: Locator) -> None:
    """Press Tab until the keyboard stands on something that is seen, as its ring shows."""
    what.wait_for()
    for _ in range(MOST_TABS):
        what.page.keyboard.press("Tab")
        if what.evaluate("(one) => one === document.activeElement"):
            ring = what.evaluate("(one) => getComputedStyle(one).outlineStyle")
            assert ring != "none"
            return
    raise AssertionError(f"{what} is not reached by Tab")


def enter(page: Page, words: str, within: str = "body") -> None:
    reach(page.locator(within).get_by_role("button", name=words, exact=True).first)
    page.keyboard.press("Enter")


@pytest.mark.parametrize("size", [PHONE, TABLET], ids=["phone", "tablet"])
def test_a_keyboard_alone_draws_a_room_and_logs_in_a_wall_and_nothing_seen_in_another(
    made: Browser, url: str, size: dict[str, int]
) -> None:
    page = fresh(made, url, size)
    enter(page, "Draw a building")
    page.locator("#type-room").wait_for()
    page.keyboard.press("r")
    page.keyboard.type("4 m x 3 m")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Skip").wait_for()
    page.keyboard.press("Escape")
    # To Find: by the list of steps on a phone, by the rail elsewhere.
    if page.locator("nav.bar").is_visible():
        reach(page.locator("nav.bar .step"))
        page.keyboard.press("Enter")
        enter(page, "Find", ".steps")
    else:
        enter(page, "Find", ".rail")
    enter(page, "List", "header")
    for wall, kind, amount in (
        ("Kitchen, north wall", "droppings", "many"),
        ("Kitchen, east wall", "Looked, saw nothing", "all of it"),
    ):
        enter(page, wall, "table")
        enter(page, kind, ".tiles")
        enter(page, amount, ".amounts")
        page.get_by_text("On this device").wait_for()
        page.keyboard.press("Escape")
    job = read(json.dumps(job_of(page)))
    assert (faults(job), plan.faults(job), signs.faults(job)) == ([], [], [])
    looks = [one for one in job.entities.values() if one["kind"] == "inspection"]
    assert sorted((one["finds"][0]["kind"], one["finds"][0]["amount"]) for one in looks) == [
        ("droppings", "many"),
        ("looked and saw nothing", "all"),
    ]
    assert wrong(page) == []
    page.context.close()


# --- whatever somebody types -------------------------------------------------

HOSTILE = (
    "<img src=x onerror=\"document.title='run'\"><script>document.title='run'</script>",
    "\u202egnp.elif\u202c \u05d0\u05d1\u05d2 \u2067x\u2069",
    "\U0001f400\U0001f469\u200d\U0001f527" * 40,
    "A" * 10_000,
    "a word " * 1_400,
)


@pytest.mark.parametrize("size", [PHONE, NARROW], ids=["phone", "narrow"])
def test_whatever_is_typed_in_any_field_is_text_and_breaks_no_screen(
    made: Browser, url: str, size: dict[str, int]
) -> None:
    page = fresh(made, url, size)
    page.on("dialog", lambda _: wrong(page).append("a dialog came up"))
    fields, seen = 0, []
    for name in screens(Hand(page)):
        count = page.locator("input:visible:not([type=date]):not([type=file])").count()
        for n in range(count):
            field = page.locator("input:visible:not([type=date]):not([type=file])").nth(n)
            if not field.count():
                break  # what was typed before took it away
            field.fill(HOSTILE[fields % len(HOSTILE)])
            field.press("Tab")
            if page.locator("main.work").count():
                written(page)
            fields += 1
        seen.append((name, sideways(page)))
    assert fields >= 12
    assert [one for one in seen if one[1]] == []
    assert page.title() != "run"
    assert page.locator("img, .frame script").count() == 0
    job = read(json.dumps(job_of(page)))
    assert faults(job) == []
    assert wrong(page) == []
    page.context.close()


@pytest.mark.parametrize(
    "words", HOSTILE, ids=["markup", "both ways", "faces", "one word", "words"]
)
def test_a_name_is_kept_to_the_last_letter_and_shown_as_text(
    made: Browser, url: str, words: str
) -> None:
    page = fresh(made, url)
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator(".plan").wait_for()
    hand.drag((80, 80), (250, 260))
    hand.tap("Skip")
    hand.tap("Skip")
    page.get_by_role("textbox", name="Name", exact=True).fill(words)
    page.get_by_role("textbox", name="Name", exact=True).press("Enter")
    written(page)
    [room] = [one for one in job_of(page)["entities"].values() if one["kind"] == "room"]
    assert room["name"] == words.strip()
    hand.tap("List")
    page.get_by_role("table").wait_for()
    assert words.strip() in page.locator("table").first.inner_text().replace("\n", "")
    assert (sideways(page), page.title() == "run") == (0, False)
    page.context.close()


# --- Spanish -----------------------------------------------------------------


def test_spanish_fits_the_bar_and_every_button_at_320(made: Browser, url: str) -> None:
    page = fresh(made, url, NARROW)
    page.get_by_role("button", name="Español").tap()
    page.get_by_role("button", name="Dibujar un edificio").tap()
    page.locator(".plan").wait_for()
    hand = Hand(page)
    cut: list[tuple[str, list[str]]] = []
    tools = page.locator(".tools > .chips").first.locator("button")
    tools.first.wait_for()  # the tray is loaded after the plan
    for n in range(tools.count()):
        tools.nth(n).tap()
        cut.append((tools.nth(n).inner_text(), cut_words(page)))
    hand.tap(tools.first)
    hand.drag((60, 40), (240, 190))
    page.locator(".pad").wait_for()
    cut.append(("pad", cut_words(page)))
    for n in range(page.locator(".rail button").count() - 1):
        page.locator("nav.bar .step").tap()
        cut.append(("steps", cut_words(page)))
        page.locator(".steps button").nth(n).tap()
        cut.append((page.locator("nav.bar .step").inner_text(), cut_words(page)))
    assert len(cut) >= 12
    assert [one for one in cut if one[1]] == []
    page.context.close()


# --- text at twice its size, the reader's own colours ------------------------


def test_with_text_at_twice_its_size_a_sign_is_logged_and_corrected_and_no_word_is_cut(
    made: Browser, url: str
) -> None:
    large = launched(made.browser_type, "--blink-settings=defaultFontSize=32")
    page = fresh(large, url)
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator("#type-room").fill("4 m x 3 m")
    hand.tap("Add")
    hand.tap("Skip")
    hand.tap("Skip")
    assert page.evaluate("getComputedStyle(document.body).fontSize") == "32px"
    seen = [("room", cut_words(page), sideways(page))]
    hand.step("Find")
    left, top, _, bottom = hand.shape("path.room")
    for n, words in enumerate(("", "droppings", "many", "Correct this", "Save the correction")):
        hand.tap(words) if words else hand.tap_at(left - 2, (top + bottom) / 2)
        page.locator((".tiles", ".amounts", ".place ul", ".correct", ".place ul")[n]).wait_for()
        seen.append((words, cut_words(page), sideways(page)))
    assert [one for one in seen if any(one[1:])] == []
    assert wrong(page) == []
    large.close()


def test_with_the_readers_own_colours_fills_go_and_hatch_and_outlines_stay(
    made: Browser, office: str
) -> None:
    page = fresh(made, office)
    for name in calculated(page):
        if name == "find":
            break
    Hand(page).tap("First")
    page.locator("path.void.fill-5").first.wait_for()
    told = """(what) => { const one = document.querySelector(what);
      const { fill, stroke } = getComputedStyle(one); return [fill, stroke]; }"""
    for scheme in ("light", "dark"):
        page.emulate_media(forced_colors="active", color_scheme=scheme)
        paper, ink = page.evaluate(
            """() => { const one = document.createElement("p");
              one.style.cssText = "background: Canvas; color: CanvasText";
              document.body.append(one);
              const { backgroundColor, color } = getComputedStyle(one);
              one.remove(); return [backgroundColor, color]; }"""
        )
        assert paper != ink
        assert page.evaluate(told, "path.void.fill-1") == [paper, ink]
        assert page.evaluate(told, "path.void.fill-5") == [ink, ink]
        assert page.evaluate(told, "rect.fill-3")[0] == paper
        assert page.evaluate(told, ".hatch-3")[1] == ink
    page.context.close()


# --- with the office's figures ----------------------------------------------


def calculated(page: Page) -> Iterator[str]:
    """Walk the screens that need the office's figures; no word of a language is needed."""
    page.locator("input[type=file]").wait_for(state="attached")
    page.locator("input[type=file]").set_input_files(cottage())
    page.locator("path.room").first.wait_for()
    page.locator(".said").get_by_role("button").first.tap()
    yield "a house from a file"
    page.locator("nav.bar .step").tap()
    yield "steps"
    page.locator(".steps button").nth(1).tap()
    page.locator("nav.bar .act").tap()
    page.wait_for_function(HELD, arg="figures/", timeout=CALCULATED)
    page.locator("nav.bar .act:not([disabled])").wait_for(timeout=CALCULATED)
    yield "find"
    page.locator("nav.bar .act").tap()
    page.locator(".checks .check").first.wait_for()
    yield "checks"
    page.keyboard.press("Escape")
    page.locator("header button[aria-pressed]").last.tap()
    page.get_by_role("table").first.wait_for()
    yield "list by chance"
    page.get_by_role("table").first.get_by_role("button").first.tap()
    page.locator(".thought .why").wait_for()
    yield "place"
    page.locator(".thought .why").tap()
    page.locator(".why .sides").wait_for()
    yield "why"
    page.keyboard.press("Escape")
    page.keyboard.press("Escape")
    page.locator("header button[aria-pressed=true]").tap()
    page.locator("nav.bar .step").tap()
    page.locator(".steps button").nth(2).tap()
    page.locator("li .line").first.wait_for()
    yield "open"
    page.locator("li .line").first.tap()
    page.locator("li .line[aria-expanded=true]").wait_for()
    yield "an opening"
    page.locator("header .job").tap()
    page.locator(".tray .job").wait_for()
    yield "job"
    page.locator(".tray a.button").first.tap()
    page.locator("ul a.button").first.wait_for()
    yield "jobs"


def test_no_screen_with_figures_has_a_violation_a_small_target_or_goes_sideways(
    made: Browser, office: str
) -> None:
    page = fresh(made, office)
    seen = [(name, by_day_and_night(page), misfits(page)) for name in calculated(page)]
    assert [one for one in seen if any(one[1:])] == []
    assert len(seen) == 11
    assert wrong(page) == []
    page.context.close()


def test_spanish_with_figures_cuts_no_word_at_320(made: Browser, office: str) -> None:
    page = fresh(made, office, NARROW)
    page.get_by_role("button", name="Español").tap()
    page.locator("html[lang=es]").wait_for()
    seen = []
    for name in calculated(page):
        seen.append((name, cut_words(page), sideways(page)))
        if name == "find":  # the office's own sentences are said in Spanish too
            page.locator(".find", has_text="aquí ahora: muy probable").wait_for()
    assert [one for one in seen if any(one[1:])] == []
    assert len(seen) == 11
    page.context.close()


# --- killed, and a store that is full ---------------------------------------


FULL = """() => { IDBObjectStore.prototype.put = () => {
  throw new DOMException("the disk is full", "QuotaExceededError"); }; }"""
HELD = """(wanted) => new Promise((told) => {
  const opened = indexedDB.open("wainscot");
  opened.onsuccess = () => {
    const keys = opened.result.transaction("settings").objectStore("settings").getAllKeys();
    keys.onsuccess = () => {
      opened.result.close();
      told(keys.result.some((one) => String(one).startsWith(wanted)));
    };
  };
})"""
"""Whether the device holds a setting of this name: the place that was tapped, the figures."""
AT_STEP = """(wanted) => new Promise((told) => {
  const opened = indexedDB.open("wainscot");
  opened.onsuccess = () => {
    const lines = opened.result.transaction("jobs").objectStore("jobs").getAll();
    lines.onsuccess = () => {
      opened.result.close();
      told(lines.result.some((one) => one.step === wanted));
    };
  };
})"""
"""Whether the device holds that a job was left at this step."""


def killed(page: Page) -> Page:
    """Kill the page as a phone does that needs its memory, and open the app where it was."""
    address, context = page.url, page.context
    with page.expect_event("crash"), suppress(Error):
        page.goto("chrome://crash")  # nothing of the page is told that it ends
    again = context.new_page()
    again.set_default_timeout(PATIENCE)
    again.goto(address)
    again.locator("main.work").wait_for()
    return again


def one_room(made: Browser, url: str) -> Hand:
    page = fresh(made, url)
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator(".plan").wait_for()
    hand.drag((60, 70), (260, 260))
    page.locator(".pad").wait_for()
    return hand


def test_killed_while_drawing_the_room_and_its_undo_are_there(made: Browser, url: str) -> None:
    hand = one_room(made, url)
    hand.keys("4", ".", "2")  # typed, not set
    written(hand.page)
    again = Hand(killed(hand.page))
    again.page.locator("path.room").wait_for()
    again.tap("Undo")
    again.page.get_by_text("Drag out the first room").wait_for()
    again.tap("Redo")
    again.page.locator("path.room").wait_for()
    again.page.context.close()


def test_killed_while_logging_the_place_is_open_and_the_next_taps_save(
    made: Browser, url: str
) -> None:
    hand = one_room(made, url)
    hand.tap("Skip")
    hand.tap("Skip")
    hand.step("Find")
    left, top, _, bottom = hand.shape("path.room")
    hand.tap_at(left - 2, (top + bottom) / 2)
    hand.button("droppings").wait_for()
    named = hand.page.locator(".place h2").inner_text()
    hand.page.wait_for_function(HELD, arg="draft/")
    again = Hand(killed(hand.page))
    again.page.locator(".place h2").wait_for()
    assert again.page.locator(".place h2").inner_text() == named
    again.tap("droppings")
    again.tap("many")
    again.page.get_by_text("On this device").wait_for()
    last = killed(again.page)  # a moment after it was said to be written
    last.locator("rect.found").wait_for()
    looks = [one for one in job_of(last)["entities"].values() if one["kind"] == "inspection"]
    assert [one["finds"] for one in looks] == [[{"kind": "droppings", "amount": "many"}]]
    last.context.close()


def test_killed_at_find_and_at_open_the_figures_are_there_without_the_office(
    made: Browser, office: str
) -> None:
    page = fresh(made, office)
    for name in calculated(page):
        if name == "find":
            break
    count = page.locator("path.void").count()
    page.get_by_text("all at the office").wait_for()
    page.wait_for_function(AT_STEP, arg="find")
    page.context.route("**/api/**", lambda route: route.abort())
    again = killed(page)
    again.locator("nav.bar .step", has_text="Find").wait_for()
    again.locator("path.void").first.wait_for()
    assert again.locator("path.void").count() == count
    Hand(again).step("Open")
    again.locator("li .line").first.wait_for()
    again.wait_for_function(AT_STEP, arg="open")
    last = killed(again)
    last.locator("nav.bar .step", has_text="Open").wait_for()
    last.locator("li .line").first.wait_for()
    last.context.close()


def test_a_full_store_is_told_where_it_is_logged_and_the_place_stays_open(
    made: Browser, url: str
) -> None:
    hand = one_room(made, url)
    hand.tap("Skip")
    hand.tap("Skip")
    hand.step("Find")
    left, top, _, bottom = hand.shape("path.room")
    hand.tap_at(left - 2, (top + bottom) / 2)
    hand.tap("droppings")
    hand.page.evaluate(FULL)
    hand.tap("many")
    hand.page.get_by_text("could not be written").wait_for()
    assert hand.page.locator("rect.found").count() == 0  # shown is only what was written
    assert hand.page.locator(".place").is_visible()
    hand.page.context.close()


def test_a_full_store_is_told_where_a_name_is_typed_and_the_words_stay(
    made: Browser, url: str
) -> None:
    hand = one_room(made, url)
    hand.tap("Skip")
    hand.tap("Skip")
    hand.page.evaluate(FULL)
    name = hand.page.get_by_role("textbox", name="Name", exact=True)
    name.fill("Scullery")
    name.press("Enter")
    hand.page.get_by_text("could not be written").wait_for()
    assert name.input_value() == "Scullery"
    hand.page.context.close()
