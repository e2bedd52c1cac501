"""A photo of a paper plan under the drawing: straightened by four taps, then scaled."""

from __future__ import annotations

import hashlib
import math
from pathlib import Path
from typing import Any

import pytest
from hand import PHONE, Hand, fresh, wrong
from PIL import Image, ImageDraw
from playwright.sync_api import Browser, Page

CORNERS = ((60, 60), (340, 90), (320, 250), (90, 220))
"""What a camera held askew makes of a room's four corners. [px]"""


@pytest.fixture(scope="module")
def photo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a photo of a room's outline, askew."""
    path = tmp_path_factory.mktemp("paper") / "plan.png"
    image = Image.new("RGB", (400, 300), "white")
    ImageDraw.Draw(image).polygon(CORNERS, outline="black", width=4)
    image.save(path)
    return path


def kept(page: Page) -> dict[str, Any]:
    """Return how the paper lies and the hash of its bytes, as the device holds them."""
    return page.evaluate(
        """async () => {
          const db = await new Promise((good) => {
            const asked = indexedDB.open("wainscot");
            asked.onsuccess = () => good(asked.result);
          });
          const all = (store, what) => new Promise((good) => {
            const asked = db.transaction(store).objectStore(store)[what]();
            asked.onsuccess = () => good(asked.result);
          });
          const keys = await all("settings", "getAllKeys");
          const values = await all("settings", "getAll");
          const laid = values[keys.findIndex((one) => String(one).startsWith("paper/"))] ?? null;
          const kept = await all("blobs", "getAll");
          const blobs = kept.map((one) => [one.hash, one.bytes.byteLength]);
          db.close();
          return { laid, blobs };
        }"""
    )


def on_plan(lies: list[float], point: tuple[int, int]) -> tuple[float, float]:
    """Return where a pixel of the picture lies on the plan. [m]"""
    x, y = point
    a, b, w = (lies[n] * x + lies[n + 1] * y + lies[n + 2] for n in (0, 3, 6))
    return a / w, b / w


def tap_corner(hand: Hand, corner: tuple[int, int]) -> None:
    """Tap where a corner of the picture is seen, by how the browser shows it."""
    hand.shape(".plan img")  # until it lies still
    x, y = hand.page.evaluate(
        """([x, y]) => {
          const image = document.querySelector(".plan img");
          const seen = new DOMMatrix(getComputedStyle(image).transform)
            .transformPoint(new DOMPoint(x, y));
          return [seen.x / seen.w, seen.y / seen.w];
        }""",
        list(corner),
    )
    hand.tap_at(x, y)


def test_four_taps_two_taps_and_a_length_make_a_photo_a_plan_to_scale(
    made: Browser, url: str, photo: Path
) -> None:
    page = fresh(made, url, PHONE)
    hand = Hand(page)
    hand.tap("Draw a building")
    hand.tap(page.locator(".tray").get_by_role("button", name="Paper", exact=True))
    page.locator("input[type=file]").last.set_input_files(photo)
    page.get_by_text("4 to tap").wait_for()
    for n, corner in enumerate(CORNERS):
        tap_corner(hand, corner)
        if n < 3:
            page.get_by_text(f"{3 - n} to tap").wait_for()
    page.get_by_text("2 to tap").wait_for()
    for corner in CORNERS[:2]:
        tap_corner(hand, corner)
    hand.button("Set").wait_for()
    hand.keys("5", "m")
    hand.tap("Set")
    page.get_by_text("Draw over it").wait_for()
    assert hand.taps == 2 + 4 + 2 + 3
    held = kept(page)
    assert held["blobs"] == [[hashlib.sha256(photo.read_bytes()).hexdigest(), photo.stat().st_size]]
    a, b, c, d = (on_plan(held["laid"]["lies"], one) for one in CORNERS)
    # A finger's tap is a pixel or so off; a pixel is about 15 mm here.
    assert math.dist(a, b) == pytest.approx(5.0, abs=0.08)
    assert math.dist(c, d) == pytest.approx(5.0, abs=0.08)
    assert math.dist(a, d) == pytest.approx(math.dist(b, c), abs=0.08)
    assert a[1] == pytest.approx(b[1], abs=0.05)
    assert b[0] == pytest.approx(c[0], abs=0.08)
    page.reload()
    page.locator(".plan img").wait_for()
    assert kept(page) == held
    assert page.locator(".plan img").evaluate("one => getComputedStyle(one).opacity") == "0.35"
    assert wrong(page) == []
    page.context.close()


def test_taps_that_make_no_outline_and_a_file_that_is_no_picture_are_told(
    made: Browser, url: str, photo: Path, tmp_path: Path
) -> None:
    page = fresh(made, url, PHONE)
    hand = Hand(page)
    hand.tap("Draw a building")
    hand.tap(page.locator(".tray").get_by_role("button", name="Paper", exact=True))
    wrong = tmp_path / "plan.png"
    wrong.write_bytes(b"no picture")
    page.locator("input[type=file]").last.set_input_files(wrong)
    page.get_by_text("plan.png is no picture").wait_for()
    assert kept(page) == {"laid": None, "blobs": []}
    page.locator("input[type=file]").last.set_input_files(photo)
    page.get_by_text("4 to tap").wait_for()
    before = kept(page)
    for n in (0, 2, 1, 3):
        tap_corner(hand, CORNERS[n])
    page.get_by_text("Tap the corners in order round it").first.wait_for()
    assert kept(page) == before
    page.context.close()
