"""Photos from the camera to the office machine's disk, bytes as they came."""

from __future__ import annotations

import hashlib
import random
from pathlib import Path

import pytest
from hand import Hand, fresh, job_of, office_machine, written, wrong
from PIL import Image
from playwright.sync_api import Browser, Page, Route, expect

BLOBS = """async () => {
  const db = await new Promise((good) => {
    const asked = indexedDB.open("wainscot");
    asked.onsuccess = () => good(asked.result);
  });
  const count = await new Promise((good) => {
    const asked = db.transaction("blobs").objectStore("blobs").count();
    asked.onsuccess = () => good(asked.result);
  });
  db.close();
  return count;
}"""
"""How many photos' bytes the device holds."""
PHOTOS = "**/api/jobs/*/photos/*"


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    """Return a JPEG of noise, longer than two requests carry."""
    noise = random.Random(6).randbytes(1700 * 1400 * 3)
    path = tmp_path / "shot.jpg"
    Image.frombytes("RGB", (1700, 1400), noise).save(path, quality=95, comment=b"as it came")
    assert path.stat().st_size > 2 * 2**20
    return path


def logged(page: Page) -> Hand:
    """Draw a room and log droppings in its wall."""
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator(".plan").wait_for()
    hand.drag((60, 70), (260, 260))
    hand.tap("Skip")
    hand.tap("Skip")
    hand.step("Find")
    page.get_by_text("Nothing logged").wait_for()
    left, top, _, bottom = hand.shape("path.room")
    hand.tap_at(left - 2, (top + bottom) / 2)
    hand.tap("droppings")
    hand.tap("many")
    page.locator("div.said").get_by_role("button", name="Photo").wait_for()
    return hand


def shoot(hand: Hand, file: Path, words: str = "Photo") -> None:
    """Take a photo of what was just saved; the browser's camera is a file here."""
    with hand.page.expect_file_chooser() as camera:
        hand.tap(hand.page.locator("div.said").get_by_role("button", name=words, exact=True))
    camera.value.set_files(file)


def digest(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()


def at_office(page: Page, record: Path, file: Path) -> None:
    """Await that the mark says all is held, and compare what the office's disk holds."""
    expect(page.locator("header .mark")).to_contain_text("all at the office")
    name = digest(file)
    kept = record / "blobs" / name[:2] / name
    assert kept.read_bytes() == file.read_bytes()


def test_photos_take_one_tap_each_and_reach_the_offices_disk_as_it_came(
    made: Browser, url: str, tmp_path: Path, picture: Path
) -> None:
    record = tmp_path / "record"
    second, third = tmp_path / "second.png", tmp_path / "third.png"
    Image.new("RGB", (40, 30), "white").save(second)
    Image.new("RGB", (30, 40), "white").save(third)
    with office_machine(record) as office:
        page = fresh(made, office)
        hand = logged(page)
        hand.taps = 0
        shoot(hand, picture)
        page.get_by_text("Photo kept on this device").wait_for()
        assert hand.taps == 1  # and the camera's own button
        for count, more in enumerate((second, third), start=2):
            shoot(hand, more, "Another photo")
            expect(page.locator(".place img")).to_have_count(count)
        assert hand.taps == 3
        hand.tap(page.locator("div.said").get_by_role("button", name="Undo"))
        page.get_by_text("taken back").wait_for()
        for one in (picture, second, third):  # what was taken back is sent too
            at_office(page, record, one)
        entities = job_of(page)["entities"].values()
        [look] = [one for one in entities if one["kind"] == "inspection"]
        assert {one["photo"] for one in entities if one["kind"] == "photo"} == {
            digest(picture), digest(second)
        }  # fmt: skip
        assert look["grade"] == "photographed"
        # Copies on the phone may go only once a verified backup of the office holds them.
        hand.tap(page.locator("header .mark"))
        hand.button("Try now").wait_for()
        assert page.evaluate(BLOBS) == 3
        assert hand.button("Let these copies go").count() == 0
        assert page.evaluate("fetch('/api/backup', {method: 'POST'}).then((told) => told.ok)")
        hand.tap(page.locator("section.tray").get_by_role("button", name="Close", exact=True))
        hand.tap(page.locator("header .mark"))
        hand.tap("Let these copies go")
        page.get_by_text("Copies that went: 3").wait_for()
        assert page.evaluate(BLOBS) == 0
        for one in (picture, second, third):
            at_office(page, record, one)
        # The small pictures come from the office now.
        hand.tap(page.locator("section.tray").get_by_role("button", name="Close", exact=True))
        hand.tap(page.locator("nav.bar").get_by_role("button", name="Log", exact=True))
        expect(page.locator(".place img")).to_have_count(2)
        page.wait_for_function(
            "() => [...document.querySelectorAll('.place img')].every((it) => it.naturalWidth)"
        )
        assert wrong(page) == []
        page.context.close()


def test_a_photo_outlives_a_killed_page(
    made: Browser, url: str, tmp_path: Path, picture: Path
) -> None:
    record = tmp_path / "record"
    with office_machine(record) as office:
        page = fresh(made, office)
        page.route(PHOTOS, lambda route: route.abort())
        hand = logged(page)
        shoot(hand, picture)
        page.get_by_text("Photo kept on this device").wait_for()
        written(page)
        expect(page.locator("header .mark")).to_contain_text("1 photo waiting")
        address, context = page.url, page.context
        page.close()
        assert not list((record / "blobs").rglob(digest(picture)))
        again = context.new_page()
        again.goto(address)
        at_office(again, record, picture)
        context.close()


def test_a_lost_answer_leaves_the_photo_waiting_until_the_office_tells_it_again(
    made: Browser, url: str, tmp_path: Path, picture: Path
) -> None:
    record = tmp_path / "record"

    name = digest(picture)
    kept = record / "blobs" / name[:2] / name

    def lose(route: Route) -> None:
        """Bring parts to the office and lose its answers; once it has all, lose the line."""
        if kept.exists():
            return route.abort()
        if route.request.method != "PUT":
            return route.continue_()
        route.fetch()
        return route.abort()

    with office_machine(record) as office:
        page = fresh(made, office)
        page.route(PHOTOS, lambda route: route.abort())
        hand = logged(page)
        shoot(hand, picture)
        page.get_by_text("Photo kept on this device").wait_for()
        expect(page.locator("header .mark")).to_contain_text("1 photo waiting")
        hand.tap(page.locator("header .mark"))
        expect(page.locator(".waits")).to_contain_text("last try")
        page.unroute(PHOTOS)
        page.route(PHOTOS, lose)
        for _ in range(3):  # three parts, each of whose answers is lost
            expect(hand.button("Try now")).to_be_enabled()
            hand.tap("Try now")
        expect(hand.button("Try now")).to_be_enabled()
        assert kept.exists()
        expect(page.locator("header .mark")).to_contain_text("1 photo waiting")
        page.unroute(PHOTOS)
        expect(hand.button("Try now")).to_be_enabled()
        hand.tap("Try now")
        at_office(page, record, picture)
        page.context.close()


def test_a_full_device_refuses_photos_and_takes_notes(
    made: Browser, url: str, picture: Path
) -> None:
    page = fresh(made, url)
    left = "quota: 2 ** 30, usage: 2 ** 30 - 199 * 2 ** 20"
    page.evaluate(f"navigator.storage.estimate = async () => ({{ {left} }})")
    hand = logged(page)  # the note is taken
    hand.tap(page.locator("div.said").get_by_role("button", name="Photo"))
    page.get_by_text("Photos are refused, notes are still taken").wait_for()
    assert [one["kind"] for one in job_of(page)["entities"].values()].count("inspection") == 1
    page.context.close()


def test_a_damaged_photo_is_to_be_taken_again_and_the_note_stays(
    made: Browser, url: str, tmp_path: Path, picture: Path
) -> None:
    half = tmp_path / "half.jpg"
    half.write_bytes(b"\xff\xd8\xff\xe0 no more came")
    page = fresh(made, url)
    hand = logged(page)
    shoot(hand, half)
    page.get_by_text("This photo is damaged").wait_for()
    with page.expect_file_chooser() as camera:
        hand.tap("Take it again")
    camera.value.set_files(picture)
    page.get_by_text("Photo kept on this device").wait_for()
    page.context.close()
