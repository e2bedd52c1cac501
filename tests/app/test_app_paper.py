"""A photo of a paper plan under the drawing: straightened by four taps, then scaled."""

from __future__ import annotations

import hashlib
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hand import PHONE, Hand, fresh, job_id, job_of, wrong
from PIL import Image, ImageDraw
from playwright.sync_api import Browser, Page, expect

from wainscot.job import faults, read

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
    """Return the paper plan of the job, and the hashes and sizes of the bytes on the device."""
    blobs = page.evaluate(
        """async () => {
          const db = await new Promise((good) => {
            const asked = indexedDB.open("wainscot");
            asked.onsuccess = () => good(asked.result);
          });
          const kept = await new Promise((good) => {
            const asked = db.transaction("blobs").objectStore("blobs").getAll();
            asked.onsuccess = () => good(asked.result);
          });
          db.close();
          return kept.map((one) => [one.hash, one.bytes.byteLength]);
        }"""
    )
    job = job_of(page)
    assert faults(read(json.dumps(job))) == []
    plans = [one for one in job["entities"].values() if one["kind"] == "paper_plan"]
    return {"plan": plans[0] if plans else None, "blobs": blobs}


def on_plan(plan: dict[str, Any], point: tuple[float, float]) -> tuple[float, float]:
    """Return where a pixel of the picture lies on the plan, by the eight equations. [m]"""
    wide, high = plan["size"]
    rows, values = [], []
    pixels = [(0, 0), (wide, 0), (wide, high), (0, high)]
    for (x, y), (u, v) in zip(pixels, plan["corners"], strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        values += [u, v]
    lies = np.append(np.linalg.solve(np.array(rows), np.array(values)), 1.0).reshape(3, 3)
    a, b, w = lies @ np.array([*point, 1.0])
    return float(a / w), float(b / w)


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


def test_four_taps_two_taps_and_a_length_make_a_photo_a_plan_to_scale_on_every_device(
    made: Browser, office: str, photo: Path
) -> None:
    page = fresh(made, office, PHONE)
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
    a, b, c, d = (on_plan(held["plan"], one) for one in CORNERS)
    # A finger's tap is a pixel or so off; a pixel is about 15 mm here.
    assert math.dist(a, b) == pytest.approx(5.0, abs=0.08)
    assert math.dist(c, d) == pytest.approx(5.0, abs=0.08)
    assert math.dist(a, d) == pytest.approx(math.dist(b, c), abs=0.08)
    assert a[1] == pytest.approx(b[1], abs=0.05)
    assert b[0] == pytest.approx(c[0], abs=0.08)
    known = held["plan"]["known"]
    assert known["length"] == "5 m"
    ends = [on_plan(held["plan"], tuple(known[one])) for one in ("start", "stop")]
    assert math.dist(*ends) == pytest.approx(5.0, abs=0.01)
    page.reload()
    page.locator(".plan img").wait_for()
    assert kept(page) == held
    assert page.locator(".plan img").evaluate("one => getComputedStyle(one).opacity") == "0.35"
    expect(page.locator("header .mark")).to_contain_text("all at the office")
    other = fresh(made, office, PHONE)
    fetch = other.get_by_role("button", name="Fetch").first
    fetch.wait_for()
    other.goto(f"{office}#/job/{job_id(page)}")
    other.locator(".plan img").wait_for()
    assert kept(other) == held
    assert wrong(page) == wrong(other) == []
    other.context.close()
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
    assert kept(page) == {"plan": None, "blobs": []}
    page.locator("input[type=file]").last.set_input_files(photo)
    page.get_by_text("4 to tap").wait_for()
    before = kept(page)
    for n in (0, 2, 1, 3):
        tap_corner(hand, CORNERS[n])
    page.get_by_text("Tap the corners in order round it").first.wait_for()
    assert kept(page) == before
    page.context.close()


OLD = """async ([key, bytes, hash]) => {
  const db = await new Promise((good) => {
    const asked = indexedDB.open("wainscot");
    asked.onsuccess = () => good(asked.result);
  });
  const writing = db.transaction(["settings", "blobs"], "readwrite");
  const done = new Promise((good) => { writing.oncomplete = good; });
  const picture = { hash, bytes: new Uint8Array(bytes).buffer, type: "image/png" };
  writing.objectStore("blobs").put(picture);
  const lies = [0.01, 0, 1, 0, -0.01, 4, 0, 0, 1];
  const [kind, job] = key;
  writing.objectStore("settings").put({ hash, lies, shown: true }, `${kind}/${job}/ground`);
  await done;
  db.close();
}"""


def test_a_paper_plan_that_a_device_held_for_itself_goes_into_the_job(
    made: Browser, url: str, photo: Path
) -> None:
    page = fresh(made, url, PHONE)
    Hand(page).tap("Draw a building")
    page.locator(".plan").wait_for()
    data = photo.read_bytes()
    digest = hashlib.sha256(data).hexdigest()
    page.evaluate(OLD, [["paper", job_id(page)], list(data), digest])
    page.reload()
    page.locator(".plan img").wait_for()
    plan = kept(page)["plan"]
    assert (plan["image"], plan["size"]) == (digest, [400, 300])
    assert plan["corners"] == [[1, 4], [5, 4], [5, 1], [1, 1]]
    assert wrong(page) == []
    page.context.close()
