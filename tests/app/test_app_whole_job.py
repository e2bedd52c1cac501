"""One whole job of our own making on a phone, from the first call to the closing report.

There is no signal while the house is drawn and looked at, and while it is worked on.  The papers
that the office machine made of it are, byte for byte, those that the command line makes of the
same record by the same rates.
"""

from __future__ import annotations

import re
import subprocess
from pathlib import Path
from typing import Any

import pytest
from hand import CALCULATED, PHONE, PROGRAM, Hand, fresh, job_id, office_machine, written, wrong
from PIL import Image
from playwright.sync_api import Browser, Locator, Page

PAPERS = {
    "First call": "call-sheet",
    "Quote: a price range": "quote",
    "Cleaning log": "cleaning-log",
    "Closing report": "closing-report",
}
"""Kinds by their titles."""


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    """Return a small photo."""
    path = tmp_path / "shot.jpg"
    Image.new("RGB", (64, 48), "grey").save(path)
    return path


def test_a_job_from_the_first_call_to_the_closing_report(
    made: Browser, url: str, tmp_path: Path, picture: Path
) -> None:
    record = tmp_path / "record"
    with office_machine(record) as office:
        page = fresh(made, office, PHONE)
        page.clock.install(time="2026-05-20T08:00:00Z")
        page.reload()
        hand = Hand(page)
        rates = the_rates(hand, office, tmp_path)
        the_call(hand)
        page.context.set_offline(True)
        the_house(hand)
        the_looks(hand, picture)
        online(page)
        the_figures(hand)
        the_owner_signs(hand)
        page.context.set_offline(True)
        the_work(hand, picture)
        the_watch(hand)
        online(page)
        the_end(hand)
        papers = the_papers(page, office)
        job = job_id(page)
        assert wrong(page) == []
        page.context.close()
        assert set(papers) == set(PAPERS.values())
        assert papers == by_the_command_line(record, job, rates, tmp_path)


def tray(hand: Hand, words: str) -> Locator:
    """Return a button of the tray."""
    return hand.page.locator("section.tray").get_by_role("button", name=words, exact=True)


def all_here(page: Page) -> None:
    """Wait until every step is on the device; tests have no worker that would keep them."""
    page.wait_for_function(
        """(names) => {
          const here = [...document.querySelectorAll("link[rel=stylesheet]")]
            .filter((one) => one.sheet).map((one) => one.href).join();
          return names.every((one) => here.includes(one));
        }""",
        arg=["FindTray", "OpenTray", "WorkTray", "WatchTray", "HandTray"],
    )
    page.wait_for_load_state("networkidle")


def online(page: Page) -> None:
    """Come back to where there is signal, and wait for the office's receipt of all."""
    written(page)
    page.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.get_by_text("all at the office").wait_for()


def the_rates(hand: Hand, office: str, folder: Path) -> Path:
    """Type the firm's hour at the office, save it, and take it along as a file."""
    page = hand.page
    page.goto(f"{office}#/office/rates")
    page.get_by_label("Our rate: hour").fill("85")
    page.get_by_label("Our rate: currency").fill("EUR")
    hand.tap("Save the rates")
    page.get_by_text("Rates saved.").wait_for()
    with page.expect_download() as got:
        hand.tap("As a file")
    path = folder / "rates.toml"
    got.value.save_as(path)
    page.goto(f"{office}#/")
    return path


def the_call(hand: Hand) -> None:
    """Answer what makes the plan: address, no stop, a sign, a sound, the year, the visit."""
    page = hand.page
    hand.tap("New job: a call")
    page.get_by_label("address, floor, bell, parking").fill("4 Weir Lane, second bell")
    hand.tap("Next question")
    hand.tap("No, none of these")
    page.get_by_role("button", name="2 of 14 answered").tap()
    hand.tap(page.get_by_role("button", name="What have you seen, and where?"))
    hand.tap("Kitchen")
    hand.tap("droppings")
    hand.tap("many")
    hand.tap("Next question")
    hand.tap("sound")
    page.get_by_role("button", name=re.compile("of 14 answered")).tap()
    hand.tap(page.get_by_role("button", name="How old is the house"))
    page.get_by_label("Year built, as told").fill("2004")
    page.get_by_role("button", name=re.compile("of 14 answered")).tap()
    hand.tap(page.get_by_role("button", name="How urgent"))
    hand.tap("within two days")
    hand.tap("Thu 21 May")
    hand.tap("09:30")
    written(page)
    hand.tap("To the plan")
    page.locator(".plan").wait_for()
    all_here(page)


def the_house(hand: Hand) -> None:
    """Draw the room that the call named, its cabinets and a way in; place the sound."""
    page = hand.page
    hand.tap(page.get_by_role("button", name="Draw it: Kitchen"))
    page.locator("#type-room").fill("4 m x 3 m")
    hand.tap("Add")
    hand.tap("Skip")
    hand.tap("Skip")
    hand.tap(tray(hand, "Fixture"))
    hand.tap("base cabinets")
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at((left + right) / 2, top + 4)
    page.get_by_role("button", name="Turn 90").wait_for()
    hand.tap(tray(hand, "Entry"))
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at(left - 2, (top + bottom) / 2)
    size = page.locator("section.tray").get_by_label("Size")
    size.fill("30 mm")
    size.press("Enter")
    written(page)
    hand.tap(tray(hand, "Room"))
    hand.tap("To place 1")
    hand.tap(page.get_by_role("button", name="Place it: sound"))
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at((left + right) / 2, (top + bottom) / 2)
    page.get_by_text("It lies here now").wait_for()


def the_looks(hand: Hand, picture: Path) -> None:
    """Log droppings behind the cabinets with a photo, and a bay where nothing was."""
    page = hand.page
    hand.step("Find")
    left, top, right, bottom = hand.shape("path.fixture")
    hand.tap_at((left + right) / 2, (top + bottom) / 2)
    hand.tap("droppings")
    hand.tap("many")
    with page.expect_file_chooser() as camera:
        hand.tap(page.locator("div.said").get_by_role("button", name="Photo", exact=True))
    camera.value.set_files(picture)
    page.get_by_text("Photo kept on this device").wait_for()
    left, top, right, bottom = hand.shape("path.room")
    hand.tap_at(right + 2, (top + bottom) / 2)
    hand.tap("Looked, saw nothing")
    hand.tap("all of it")
    written(page)


def the_figures(hand: Hand) -> None:
    """Have it calculated by the office."""
    hand.step("Find")
    hand.tap("Calculate")
    hand.page.get_by_text("What we think").wait_for(timeout=CALCULATED)


def the_owner_signs(hand: Hand) -> None:
    """Sign for the balanced openings, and log what lay behind the first of them."""
    page = hand.page
    hand.step("Open")
    page.locator(".sum").wait_for()
    if tray(hand, "Owner signs").count():
        hand.tap(tray(hand, "Owner signs").first)
        page.get_by_label("name of who signs").fill("R. Alder")
        hand.tap(page.locator("form").get_by_role("button", name="Sign", exact=True))
        page.get_by_text("All of these openings are authorised").wait_for()


def the_work(hand: Hand, picture: Path) -> None:
    """Sign a stop, wet for as long as the label wants, close one way in with name and photo."""
    page = hand.page
    hand.step("Work")
    hand.tap("See the STOPs")  # nothing is wetted before the circuits are signed for
    hand.tap("Sign it off")
    page.get_by_label("who settled it").fill("E. Volt")
    page.get_by_label("on what evidence").fill("kitchen ring, shown dead 11:50")
    hand.tap("Sign")
    page.get_by_text("E. Volt, 2026-05-20: kitchen ring").wait_for()
    hand.tap("Now")
    hand.tap("Type in a label")
    page.get_by_label("registration number").fill("none")
    page.get_by_label("contact time").fill("10 min")
    form = page.locator("form", has=page.get_by_label("contact time"))
    hand.tap(form.get_by_role("button", name="bare wood"))
    hand.tap("Keep the label")
    hand.tap("Wet start")
    page.get_by_text("10 min left").wait_for()
    page.clock.fast_forward("11:00")
    hand.tap("Wet end")
    page.get_by_role("button", name="Wet end", exact=True).wait_for(state="hidden")
    assert page.get_by_text("Apply it again").count() == 0, "it was wet for long enough"
    hand.tap(page.get_by_role("button", name=re.compile("^Seals")))
    page.get_by_label("Who is at work here").fill("M. Tanner")
    page.get_by_label("Who is at work here").blur()
    with page.expect_file_chooser() as camera:
        hand.tap(page.get_by_role("button", name="Closed: photo").first)
    camera.value.set_files(picture)
    page.locator("div.said").get_by_text("On this device.").wait_for()
    written(page)


def the_watch(hand: Hand) -> None:
    """Set two traps, and look at them on three days: a mouse, then nothing."""
    page = hand.page
    hand.step("Watch")
    for n, x in enumerate((0.3, 0.7), 1):
        hand.tap("Set a trap")
        left, _, right, bottom = hand.shape("path.room")
        hand.tap_at(left + x * (right - left), bottom - 30)
        page.get_by_role("button", name=f"T{n}", exact=True).wait_for()
    for found in ("Caught", "Set, nothing", "Set, nothing"):
        page.clock.fast_forward("24:00:00")
        page.context.set_offline(False)  # no worker here keeps the page's files
        page.reload()
        page.get_by_text("all at the office").wait_for()
        all_here(page)
        page.context.set_offline(True)
        hand.tap(found)
        if found == "Caught":
            hand.tap("mouse")
        page.get_by_text("1 of 2 looked at today").wait_for()
        hand.tap("Set, nothing")
        page.get_by_text("2 of 2 looked at today").wait_for()
    written(page)


def the_end(hand: Hand) -> None:
    """Have the chance that it is over calculated, and close the job with a warranty."""
    page = hand.page
    hand.tap(tray(hand, "Calculate"))
    page.get_by_text("Not calculated since").wait_for(state="hidden", timeout=CALCULATED)
    hand.step("Hand over")
    hand.tap(tray(hand, "Close").last)
    page.get_by_label("Warranty, in the firm's own words").fill("12 months on every seal")
    page.get_by_label("Who closes it").fill("M. Tanner")
    hand.tap("Close the job")
    page.get_by_text("Closed 2").wait_for()
    online(page)


def the_papers(page: Page, office: str) -> dict[str, bytes]:
    """Ask for each paper on the phone, and return what the office made, by kind."""
    hand = Hand(page)
    for title in PAPERS:
        if title != "Closing report":  # asked for as the job was closed
            hand.tap(tray(hand, title))
    page.locator("li.made").nth(len(PAPERS) - 1).wait_for(timeout=CALCULATED)
    job = job_id(page)
    listed: Any = page.request.get(f"{office}api/jobs/{job}/papers").json()
    return {one["kind"]: page.request.get(f"{office}api/jobs/{job}/papers/{one['digest']}").body()
            for one in listed["papers"] if not one["changed"]}  # fmt: skip


def by_the_command_line(record: Path, job: str, rates: Path, folder: Path) -> dict[str, bytes]:
    """Export the job out of the record and have the same papers made."""
    file, out = folder / "job.json", folder / "papers"
    kinds = [part for kind in PAPERS.values() for part in ("--only", kind)]
    told = ["--record", str(record)]
    for command in (
        ["export", str(file), "--job", job, *told],
        ["papers", str(file), "--out", str(out), "--rates", str(rates), *told, *kinds],
    ):
        subprocess.run([*PROGRAM, *command], check=True, stdout=subprocess.DEVNULL)
    return {kind: (out / f"{kind}.pdf").read_bytes() for kind in PAPERS.values()}
