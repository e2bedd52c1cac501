"""Find with figures: every void by level, why, checks, answers, the list, the changes."""

from __future__ import annotations

import io
import json
import re
import urllib.request
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hand import CALCULATED, PHONE, ROOT, TABLET, Hand, fresh, job_id, job_of, office_machine, wrong
from measures import misfits, violations
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from houses import bungalow
from wainscot.chance import percent

DEMO = ROOT / "src" / "wainscot" / "demos" / "semi_1930s.json"
JOB = json.loads(DEMO.read_text(encoding="utf-8"))["id"]


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory, url: str) -> Iterator[str]:
    """Run the program's own server on a record of its own."""
    with office_machine(Path(tmp_path_factory.mktemp("record"))) as address:
        yield address


@pytest.fixture(scope="module")
def state(made: Browser, office: str) -> Any:
    """Calculate the demo house once; every test goes on from a copy of that device."""
    page = calculated(made, office)
    kept = page.context.storage_state(indexed_db=True)
    page.context.close()
    return kept


@pytest.fixture
def page(made: Browser, office: str, state: Any) -> Iterator[Page]:
    """Open the demo house on a phone with its figures, all of Find unfolded."""
    page = copied(made, office, state, PHONE)
    yield page
    assert wrong(page) == []
    page.context.close()


def copied(
    made: Browser, office: str, state: Any, size: dict[str, int], theme: str = "light"
) -> Page:
    page = fresh(made, office, size, theme, state)
    page.goto(f"{office}#/job/{JOB}")
    page.get_by_text("What we think").wait_for()
    unfold(page)
    return page


def calculated(made: Browser, office: str, file: Path = DEMO) -> Page:
    page = fresh(made, office, PHONE)
    page.get_by_role("button", name="Open a job file").wait_for()
    page.locator("input[type=file]").set_input_files(file)
    page.locator("path.room").first.wait_for()
    page.locator("div.said").get_by_role("button", name="Close").tap()
    Hand(page).step("Find")
    Hand(page).tap("Calculate")
    page.get_by_text("What we think").wait_for(timeout=CALCULATED)
    unfold(page)
    return page


def unfold(page: Page) -> None:
    """Show all of the tray: on a phone it is folded so that the plan has the room."""
    more = page.get_by_role("button", name="More: ")
    if more.count():
        more.tap()
    page.locator(".voids li").first.wait_for()


@pytest.fixture
def small(made: Browser, office: str, tmp_path: Path) -> Iterator[Page]:
    """Open a house of two rooms and have it calculated, for what is not asked of the demo house."""
    file = tmp_path / "bungalow.json"
    file.write_text(json.dumps(bungalow() | {"id": f"job_{tmp_path.name}"}), encoding="utf-8")
    page = calculated(made, office, file)
    yield page
    assert wrong(page) == []
    page.context.close()


def under_cabinets(page: Page) -> dict[str, Any]:
    """Return what is known of the void under the cabinets of the small house."""
    voids: list[dict[str, Any]] = answer_of(page)["diagnosis"]["voids"]
    return next(one for one in voids if one["label"] == "K2")


def answer_of(page: Page) -> dict[str, Any]:
    """Return what the device keeps as the office's answer."""
    answer: dict[str, Any] = page.evaluate(
        """(job) => new Promise((done, bad) => {
          const asked = indexedDB.open("wainscot");
          asked.onerror = () => bad(asked.error);
          asked.onsuccess = () => {
            const got = asked.result.transaction("settings").objectStore("settings")
              .get(`figures/${job}`);
            got.onsuccess = () => { asked.result.close(); done(got.result.answer); };
          };
        })""",
        job_id(page),
    )
    return answer


def shown(page: Page) -> dict[str, str]:
    """Return the voids that the plan shows, by id, with their classes."""
    found = page.eval_on_selector_all(
        "path.void", "all => all.map((one) => [one.dataset.void, one.getAttribute('class')])"
    )
    return {key: words for key, words in found if key}


def test_every_hidden_void_is_on_the_plan_at_its_level_with_its_chance(page: Page) -> None:
    answer = answer_of(page)
    chance = {one["id"]: one for one in answer["diagnosis"]["voids"]}
    shapes = answer["find"]["shapes"]
    level = page.get_by_label("Level")
    seen: dict[str, str] = {}
    for storey in ("First", "Ground"):
        button = page.locator(".storeys").get_by_role("button", name=storey)
        button.tap()
        expect(button).to_have_attribute("aria-pressed", "true")
        for value in level.locator("option").evaluate_all("all => all.map((one) => one.value)"):
            level.select_option(value)
            here = shown(page)
            assert here
            seen |= here
    assert set(seen) == {one["id"] for one in shapes["voids"]}
    bounds = (0.10, 0.33, 0.66, 0.90)  # IPCC AR4 likelihood table, outer classes joined (brief)
    for key, words in seen.items():
        one = chance[key]
        if one["settled"] and not one["seen"]:
            n = 1 + sum(one["soiled"] >= bound for bound in bounds)
            assert f"fill-{n}" in words.split(), (key, one["soiled"])


def test_the_plan_shows_one_of_four_and_says_whether_it_speaks_of_now(page: Page) -> None:
    answer = answer_of(page)
    by_id = {one["id"]: one for one in answer["diagnosis"]["voids"]}
    shows = page.get_by_label("The plan shows")
    for value, field, words in (
        ("soiled", "soiled", "Soiled: then or now."),
        ("now", "now", "In use: now."),
        ("nest", "nest", "Nest: then or now."),
    ):
        shows.select_option(value)
        page.get_by_text(words).wait_for()
        first = max((one for one in by_id.values() if one["hidden"]), key=lambda one: one[field])
        told = page.locator(".voids li").first.inner_text()
        assert first["label"] in told
        assert percent(first[field]) in told
    shows.select_option("entries")
    page.get_by_text("Ways in: then or now.").wait_for()
    assert page.locator("path.void:not(.bare)").count() == 0
    for one in answer["find"]["shapes"]["entries"]:
        used = next(each for each in answer["diagnosis"]["entries"] if each["id"] == one["id"])
        if used["used"] >= 0.05:
            assert f"{one['label']} {one['words']}" in page.locator(".voids").inner_text()


def test_why_tells_signs_by_side_the_way_and_answers_at_one_tap(page: Page) -> None:
    page.route("**/api/**", lambda route: route.abort())  # what is answered stays on this device
    hand = Hand(page)
    answer = answer_of(page)
    page.locator(".voids button", has_text="K2").tap()
    hand.tap("Why")
    key = next(one["id"] for one in answer["find"]["shapes"]["voids"] if one["label"] == "K2")
    told = answer["find"]["voids"][key]
    words = {one["id"]: one["words"] for one in answer["find"]["signs"]}
    raised, lowered = (page.locator(".why section").nth(n) for n in (0, 1))
    for side, of in ((raised, 1), (lowered, -1)):
        wanted = [one for one in told["weighs"] if one["log_odds"] * of > 0][:5]
        lines = side.locator(".sign").all_inner_texts()
        assert len(lines) == len(wanted)
        for line, one in zip(lines, wanted, strict=True):
            assert words[one["inspection"]] in line
    assert told["way"]["words"] in page.locator(".why .path").inner_text()
    # A sign that is tapped pulses on the plan and tells who, how and when.
    raised.locator(".sign").first.tap()
    page.locator("circle.pulse").wait_for()
    assert page.locator(".why .opened").count() == 1
    # One tap answers; it is an event, and undo takes it back.
    fact = page.locator(".fact", has_text="above the ceiling")
    fact.get_by_role("button", name="It is so").tap()
    fact.get_by_text("Answered").wait_for()
    page.get_by_role("button", name=re.compile("^Undo")).tap()
    fact.get_by_role("button", name="It is so").tap()
    fact.get_by_text("Answered").wait_for()
    hand.tap("Back")
    file = job_of(page)
    assert file["entities"]["ground"]["ceiling"] == {"value": "storey", "basis": "seen"}


def test_a_range_comes_when_it_is_asked_for(small: Page) -> None:
    page, void = small, under_cabinets(small)
    page.locator(".voids button", has_text="K2").tap()
    Hand(page).tap("Why")
    page.get_by_role("button", name="What if our judged rates").tap()
    page.locator(".range").wait_for(timeout=CALCULATED)
    told = answer_of(page)["find"]["voids"][void["id"]]["range"]
    low, high = (round(100 * told[end]) for end in ("low", "high"))
    assert low < high
    assert f"{low} to {high} if any one" in page.locator(".why").inner_text()


def test_a_question_of_framing_is_settled_by_one_tap(page: Page) -> None:
    page.route("**/api/**", lambda route: route.abort())  # what is answered stays on this device
    question = page.locator(".question")
    assert "joists run, First floor?" in question.inner_text()
    assert "joists run north to south: " in question.inner_text()  # what either way would change
    question.get_by_role("button", name="North-south, seen").tap()
    question.wait_for(state="detached")
    file = job_of(page)
    assert file["entities"]["first"]["floor"]["joists_run"] == {"value": "y", "basis": "seen"}
    assert "joists_first" not in file["entities"]
    assert "joists_first_across" not in file["entities"]


def test_a_check_rings_what_it_would_settle_and_says_its_stops_first(page: Page) -> None:
    answer = answer_of(page)
    Hand(page).tap("Next check")
    checks = answer["checks"]["checks"]
    assert page.locator(".check").count() == min(8, len(checks))
    first = page.locator(".check").first
    assert checks[0]["doing"] in first.inner_text()
    waits = [hold["hazard"] for hold in checks[0]["holds"] if hold["first"] in checks[0]["first"]]
    assert waits
    assert all(one in first.locator(".stop").inner_text() for one in waits)
    first.tap()
    ids = {one["id"] for one in answer["diagnosis"]["voids"]
           if one["label"] in checks[0]["settles"]}  # fmt: skip
    page.locator("path.asked").first.wait_for()
    assert page.locator("path.asked").count() == len(ids & set(shown(page)))
    assert page.locator("path.asked").count() > 0
    page.get_by_role("button", name=f"{len(checks) - 8} more").tap()
    assert page.locator(".check").count() > 8


def test_the_list_holds_the_same_voids_by_chance_for_keyboard_and_reader(page: Page) -> None:
    answer = answer_of(page)
    page.locator("header").get_by_role("button", name="List").tap()
    rows = page.locator(".list tbody tr")
    hidden = [one for one in answer["diagnosis"]["voids"] if one["hidden"]]
    ranked = sorted(hidden, key=lambda one: -one["soiled"])
    assert rows.count() == 40
    assert ranked[0]["label"] in rows.first.inner_text()
    numbers = [float(one.strip("<>")) for one in rows.locator(".chance strong").all_inner_texts()]
    assert numbers == sorted(numbers, reverse=True)
    button = rows.nth(1).get_by_role("button")
    name = button.get_attribute("aria-label") or ""
    assert re.fullmatch(
        r"K2, under the base cabinets, Kitchen\. Soiled: (likely|very likely), \d+ in 100\."
        r" (One sign speaks|\d+ signs speak) for it\. Looked at in part\.", name), name  # fmt: skip
    button.focus()
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="K2, under the base cabinets").wait_for()
    # Arrow keys go through passages.
    page.locator(".place h2").click()
    neighbours = page.locator(".beside button").all_inner_texts()
    page.evaluate("document.activeElement.blur()")
    for key in ("ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown"):
        page.keyboard.press(key)
        heading = page.locator(".place h2").inner_text()
        if not heading.startswith("K2"):
            break
    assert not heading.startswith("K2"), neighbours


def test_new_figures_say_which_places_changed(small: Page) -> None:
    page = small
    hand = Hand(page)
    page.locator(".voids button", has_text="K2").tap()
    hand.tap(page.get_by_role("button", name="Opened and seen"))
    hand.tap("soiled")
    page.get_by_text("On this device").wait_for()
    page.locator("div.said").get_by_role("button", name="Undo").wait_for()
    page.locator(".tray").get_by_role("button", name="Close", exact=True).tap()
    page.get_by_text("+ 1 since").wait_for()
    # The phone's own figures are there before the office's.
    with page.expect_response("**/pocket", timeout=CALCULATED):
        hand.tap("Calculate")
    page.get_by_text("+ 1 since").wait_for(state="detached")
    live = page.locator(".plan p[aria-live]")
    live.get_by_text("places changed").wait_for(timeout=CALCULATED, state="attached")
    assert re.fullmatch(r"\d+ places changed; \w+ \S+", live.inner_text())
    assert page.locator("path.moved").count() > 0
    # What was logged at the void's own point lies in that void.
    assert under_cabinets(page)["seen"] == "soiled"


@pytest.mark.parametrize(
    ("size", "theme"),
    [(PHONE, "dark"), (TABLET, "light")],
    ids=["phone", "tablet"],
)
def test_no_screen_of_find_has_a_violation_or_a_small_target(
    made: Browser, office: str, state: Any, size: dict[str, int], theme: str
) -> None:
    page = copied(made, office, state, size, theme)
    hand = Hand(page)
    bad: list[tuple[object, ...]] = []

    def look(name: str) -> None:
        told = violations(page), misfits(page)
        tray = page.evaluate(
            "(() => { const t = document.querySelector('section.tray');"
            " return t.scrollWidth - t.clientWidth; })()"
        )
        if (*told, tray) != ([], [], 0):
            bad.append((name, *told, tray))

    look("figures")
    page.locator("details summary").tap()
    look("key")
    page.get_by_label("The plan shows").select_option("entries")
    look("ways in")
    page.get_by_label("The plan shows").select_option("soiled")
    page.locator(".voids button", has_text="K2").tap()
    look("place")
    hand.tap("Why")
    page.locator(".sign").first.tap()
    page.get_by_role("button", name="Which").tap()
    look("why")
    hand.tap("Back")
    page.locator(".place .head button").tap()
    unfold(page)
    page.get_by_role("button", name=re.compile(r"^All \d+ checks")).tap()
    page.locator(".check").first.tap()
    look("checks")
    page.locator(".checks .head button").tap()
    page.locator("header").get_by_role("button", name="List").tap()
    look("list")
    assert not bad, bad
    assert wrong(page) == []
    page.context.close()


LOOKS: dict[str, dict[str, Any]] = {
    "very unlikely": {"soiled": 0.04}, "unlikely": {"soiled": 0.2}, "even chance": {"soiled": 0.5},
    "likely": {"soiled": 0.8}, "very likely": {"soiled": 0.97}, "can't tell": {"settled": False},
    "not calculated": {}, "looked": {"soiled": 0.2, "looked": 1.0},
    "looked in part": {"soiled": 0.2, "looked": 0.5},
}  # fmt: skip
"""Each look of a void on the plan, with what the office would say of it."""
APART = 10.0
"""Grey levels, of 255, between means or spreads of two looks that are told apart (judgement)."""


def looks(page: Page, office: str, rough: bool) -> dict[str, Image.Image]:
    """Return each look as the phone draws it, in grey: a square of 1.1 m."""
    page.evaluate(
        """([job, looks, rough]) => new Promise((done) => {
          const asked = indexedDB.open("wainscot");
          asked.onsuccess = () => {
            const store = asked.result.transaction("settings", "readwrite").objectStore("settings");
            const got = store.get(`figures/${job}`);
            got.onsuccess = () => {
              const kept = got.result;
              const { diagnosis, find } = kept.answer;
              const like = diagnosis.voids.find((one) => one.hidden && one.settled && !one.seen);
              const all = Object.entries(looks).map(([id, said], n) => {
                const [x, y] = [1.4 * (n % 3), 1.4 * Math.floor(n / 3)];
                const outline = [[x, y], [x + 1.1, y], [x + 1.1, y + 1.1], [x, y + 1.1]];
                const spot = [x + 0.55, y + 0.55, 0.5];
                return { ...find.shapes.voids[0], id, label: `L${n}`, owner: id, storey: "ground",
                         outline, spot, said };
              });
              find.shapes = { ...find.shapes, voids: all, passages: [], entries: [], runs: [],
                levels: [{ storey: "ground", where: "view", depth: 0, lower: "",
                           voids: all.map((_, n) => n) }] };
              diagnosis.misfits = [];
              diagnosis.voids = all.filter((one) => Object.keys(one.said).length).map((one) =>
                ({ ...like, looked: 0, ...one.said, id: one.id, label: one.label }));
              kept.rough = rough;
              store.delete(`pocket/${job}`);  // else the phone weighs its own figures
              store.put(kept, `figures/${job}`).onsuccess = () => { asked.result.close(); done(); };
            };
          };
        })""",
        [JOB, LOOKS, rough],
    )
    page.goto(f"{office}#/job/{JOB}")
    page.locator('path.void[data-void="likely"]').wait_for()
    page.evaluate(
        "document.querySelectorAll('rect.plate, svg text, .found, .looked, .looked-bar, .wedge')"
        ".forEach((one) => one.remove())"
    )
    found = {}
    for name in LOOKS:
        box = page.locator(f'path.void[data-void="{name}"]').bounding_box()
        assert box is not None
        picture = Image.open(io.BytesIO(page.screenshot(clip=box)))  # type: ignore[arg-type]
        found[name] = picture.convert("L")
    return found


def apart(one: Image.Image, other: Image.Image) -> float:
    """Return how far two greys lie apart: by their means, or by how much they vary."""
    first, second = (np.asarray(each, dtype=np.float64) for each in (one, other))
    return float(max(abs(first.mean() - second.mean()), abs(first.std() - second.std())))


def inner(one: Image.Image) -> Image.Image:
    return one.crop((14, 14, one.width - 14, one.height - 14))


def corner(one: Image.Image) -> Image.Image:
    return one.crop((one.width - 12, 2, one.width - 2, 12))


def edge(one: Image.Image) -> Image.Image:
    return one.crop((0, one.height - 3, one.width, one.height))


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_look_of_a_void_is_told_apart_in_grey(
    made: Browser, office: str, state: Any, theme: str
) -> None:
    page = fresh(made, office, TABLET, theme, state)
    page.get_by_role("button", name="Open a job file").wait_for()
    seen = looks(page, office, rough=False)
    page.goto(f"{office}#/")
    page.get_by_role("button", name="Open a job file").wait_for()
    rough = looks(page, office, rough=True)
    filled = [name for name in LOOKS if not name.startswith("looked")]
    for one, other in combinations(filled, 2):
        assert apart(inner(seen[one]), inner(seen[other])) >= APART, (one, other)
    for one, other in combinations(("unlikely", "looked", "looked in part"), 2):
        assert apart(corner(seen[one]), corner(seen[other])) >= APART, (one, other)
    for name in ("unlikely", "even chance", "likely"):
        assert apart(edge(seen[name]), edge(rough[name])) >= APART, name
        # The measure would tell: what is the same is not told apart.
        assert apart(inner(seen[name]), inner(rough[name])) < APART
    assert apart(inner(seen["looked"]), inner(seen["unlikely"])) < APART
    assert wrong(page) == []
    page.context.close()


def test_voids_appear_while_somebody_draws_without_a_number(made: Browser, office: str) -> None:
    page = fresh(made, office)
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator(".plan").wait_for()
    hand.drag((80, 80), (250, 260))
    page.locator(".outlines path.void").first.wait_for()
    count = page.get_by_text(re.compile(r"^\d+ voids"))
    words = count.text_content() or ""
    assert "not calculated" in words
    job = page.url.rpartition("/")[2]
    with urllib.request.urlopen(f"{office}api/jobs/{job}/outlines") as got:
        told = json.load(got)
    assert words.startswith(f"{len(told['voids'])} voids")
    assert wrong(page) == []
    page.context.close()
