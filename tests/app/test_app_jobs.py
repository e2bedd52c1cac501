"""The firm on the phone: joining, two phones on one job, visits, everything in one file."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import urllib.parse
from collections.abc import Iterator
from pathlib import Path

import pytest
from hand import (
    PASSWORD,
    PHONE,
    PROGRAM,
    STATIC,
    TABLET,
    Hand,
    fresh,
    hired,
    job_of,
    office_machine,
    served,
    written,
    wrong,
)
from measures import by_day_and_night, misfits
from playwright.sync_api import Browser, Page, expect

from wainscot.record import event, line_of


def _named(page: Page, title: str) -> None:
    """Open the job's own tray and give the job a name."""
    page.locator("header .job").tap()
    field = page.get_by_label("Job", exact=True).locator("visible=true").and_(page.locator("input"))
    field.fill(title)
    field.press("Tab")
    written(page)
    page.locator(".tray").get_by_role("button", name="Close", exact=True).first.tap()


def _begun(page: Page, title: str) -> None:
    Hand(page).tap("Draw a building")
    page.locator(".plan").wait_for()
    _named(page, title)


def _list(page: Page) -> None:
    page.locator("header .job").tap()
    page.get_by_role("link", name="Jobs", exact=True).tap()


def _offline(page: Page, off: bool) -> None:
    page.context.set_offline(off)


def test_two_phones_on_one_job_apart_for_a_while_come_to_the_same(
    made: Browser, url: str, tmp_path: Path
) -> None:
    with office_machine(tmp_path) as office:
        one = fresh(made, office)
        _begun(one, "Mill")
        one.get_by_text("all at the office").wait_for()
        two = fresh(made, office, TABLET)
        two.get_by_role("button", name="Mill").tap()  # at the office, not on this device
        expect(two.locator("header .title")).to_have_text("Mill")
        for page in (one, two):
            _offline(page, True)
        _named(one, "Mill house")
        _named(two, "Old mill")
        Hand(one).drag((80, 80), (250, 260))  # a room, beside the name
        one.locator("path.room").wait_for()
        _offline(one, False)
        one.get_by_text("all at the office").wait_for()
        _offline(two, False)
        two.locator("path.room").wait_for()  # what the other drew meanwhile
        two.locator(".said").get_by_role("button", name="See").tap()
        both = two.get_by_role("region", name="Said in two ways")
        expect(both.get_by_role("button")).to_have_count(2)
        expect(both.get_by_role("button", name="Old mill")).to_contain_text("this device")
        expect(both.get_by_role("button", name="Mill house")).to_contain_text("device ...")
        both.get_by_role("button", name="Mill house").tap()
        expect(both).to_have_count(0)
        two.get_by_text("all at the office").wait_for()
        one.evaluate("dispatchEvent(new Event('online'))")
        expect(one.locator("header .title")).to_have_text("Mill house")
        # Both hold the same, to the letter, and nothing is open.
        jobs = [job_of(page) for page in (one, two)]
        assert jobs[0] == jobs[1]
        assert jobs[0]["title"] == "Mill house"
        assert "conflicts" not in jobs[0]
        record = urllib.parse.urljoin(office, f"api/jobs/{jobs[0]['id']}")
        told = one.context.request.get(record).json()
        assert (told["title"], set(told["entities"])) == ("Mill house", set(jobs[0]["entities"]))
        lines = one.context.request.get(f"{record}/events").json()["lines"]
        keys = {(each["device"], each["beside"]["key"]) for each in map(json.loads, lines)}
        assert len(keys) == 2, "each phone signs all that it writes, with a key of its own"
        for page in (one, two):
            assert wrong(page) == []
            page.context.close()


def test_a_phone_joins_by_the_code_on_the_offices_screen_and_is_shut_out_later(
    made: Browser, url: str, tmp_path: Path
) -> None:
    """Over TLS; the browser is told to take the firm's own certificate, which a phone installs."""
    hired(tmp_path, Olga="office", Ben="crew")
    with office_machine(tmp_path, "--lan") as office:
        screen = fresh(made, office, TABLET)
        screen.get_by_label("Name", exact=True).fill("Olga")
        screen.get_by_label("Password").fill("not the one that it is")
        screen.get_by_role("button", name="Log in", exact=True).tap()
        screen.get_by_role("alert").get_by_text("do not belong together").wait_for()
        screen.get_by_label("Password").fill(PASSWORD)
        screen.get_by_role("button", name="Log in", exact=True).tap()
        screen.get_by_text("Olga on this device, office").wait_for()
        _begun(screen, "Mill")
        screen.get_by_text("all at the office").wait_for()
        screen.locator("header .job").tap()
        on = screen.get_by_role("region", name="Who is on it")
        on.get_by_role("button", name="Ben").tap()
        expect(on.get_by_role("button", name="Ben")).to_have_attribute("aria-pressed", "true")
        screen.get_by_role("link", name="Jobs", exact=True).tap()
        screen.get_by_role("button", name="Connect a phone").tap()
        screen.get_by_role("button", name="Ben").tap()
        screen.get_by_role("button", name="Make a code").tap()
        for name in ("lets the phone in", "page about the certificate"):
            picture = screen.get_by_role("img", name=name)
            picture.wait_for()
            assert picture.evaluate("one => one.naturalWidth") > 100
        code = screen.locator(".code").text_content()
        assert code

        # The guide is there without TLS too, for a phone that trusts nothing yet.
        phone = fresh(made, f"{office}#/join/{code.replace('-', '')}")
        hand = Hand(phone)
        expect(phone.get_by_label("Code from the office's screen")).not_to_have_value("")
        hand.tap("Join")
        phone.get_by_text("Ben on this device, crew").wait_for()
        assert hand.taps == 1
        assert code.replace("-", "") not in phone.url
        phone.get_by_role("link", name="Mill").tap()  # their job is on the phone by itself
        phone.locator(".plan").wait_for()
        hand.drag((80, 80), (250, 260))
        phone.get_by_text("all at the office").wait_for()  # under the id it had before it joined

        devices = screen.context.request.get(f"{office}api/devices").json()
        ben = next(one["id"] for one in devices if one["name"] == "phone")
        assert phone.evaluate(CHAIN) == ben
        revoke = ["device", "revoke", ben, "--record", str(tmp_path)]
        subprocess.run([*PROGRAM, *revoke], check=True, stdout=subprocess.DEVNULL)
        hand.tap("Skip")
        hand.tap("Skip")
        hand.drag((80, 300), (250, 400))
        phone.get_by_text("lets this device in no more").first.wait_for()
        rooms = phone.locator("path.room").count()
        phone.locator(".said").get_by_role("button", name="Log in").tap()
        phone.get_by_text("Nothing here is lost").wait_for()
        phone.get_by_label("Name", exact=True).fill("Ben")
        phone.get_by_label("Password").fill(PASSWORD)
        hand.tap("Log in")
        phone.get_by_text("Ben on this device, crew").wait_for()
        # What was written while it was shut out went to the office, under the account's old device.
        phone.get_by_role("link", name="Mill").get_by_text("all at the office").wait_for()
        phone.get_by_role("link", name="Mill").tap()
        expect(phone.locator("path.room")).to_have_count(rooms)
        for page in (screen, phone):
            assert wrong(page) == []
            page.context.close()


CHAIN = """() => new Promise((done) => {
  indexedDB.open("wainscot").onsuccess = (e) => {
    const asked = e.target.result.transaction("settings").objectStore("settings").get("chain");
    asked.onsuccess = () => done(asked.result.device);
  };
})"""


def test_what_is_refused_for_one_job_is_told_and_holds_up_no_other(
    made: Browser, url: str, tmp_path: Path
) -> None:
    hired(tmp_path, Olga="office", Ben="crew")
    with office_machine(tmp_path, "--lan") as office:
        pages = [fresh(made, office), fresh(made, office)]
        for page, name in zip(pages, ("Olga", "Ben"), strict=True):
            page.get_by_label("Name", exact=True).fill(name)
            page.get_by_label("Password").fill(PASSWORD)
            page.get_by_role("button", name="Log in", exact=True).tap()
            page.get_by_text(f"{name} on this device").wait_for()
        olga, ben = pages
        _begun(ben, "Barn")  # nobody put Ben on it
        _begun(olga, "Mill")
        olga.locator("header .job").tap()
        olga.get_by_role("region", name="Who is on it").get_by_role("button", name="Ben").tap()
        written(olga)
        olga.get_by_text("all at the office").first.wait_for()
        _list(ben)
        ben.get_by_role("link", name="Mill").get_by_text("all at the office").wait_for()
        ben.get_by_role("link", name="Barn").get_by_text("only here").wait_for()
        ben.get_by_role("alert").get_by_text("not on that job").wait_for()
        for page in pages:
            assert wrong(page) == []
            page.context.close()


def test_a_visit_with_the_next_date_stands_in_the_list(made: Browser, url: str) -> None:
    page = fresh(made, url)
    hand = Hand(page)
    _begun(page, "Mill")
    page.locator("header .job").tap()
    hand.tap("Add a visit")
    page.get_by_label("Date", exact=True).fill("2025-03-14")
    page.get_by_label("Next visit").fill("2025-03-01")
    page.get_by_label("another name").fill("Ann")
    page.get_by_label("What was done").fill("looked under the bath")
    page.get_by_label("What is next").fill("lift the boards")
    hand.tap("Save the visit")
    page.get_by_role("alert").get_by_text("lies before this one").wait_for()
    page.get_by_label("Next visit").fill("2099-03-28")
    hand.tap("Save the visit")
    page.get_by_role("button", name="looked under the bath").wait_for()
    page.get_by_role("link", name="Jobs", exact=True).tap()
    line = page.get_by_role("link", name="Mill")
    expect(line).to_contain_text("next 28 Mar")
    expect(line).to_contain_text("last 14 Mar")
    line.tap()
    visit = next(one for one in job_of(page)["entities"].values() if one["kind"] == "visit")
    assert visit == {
        "kind": "visit", "at": "2025-03-14", "who": ["Ann"], "done": "looked under the bath",
        "next": "lift the boards", "next_at": "2099-03-28",
    }  # fmt: skip
    assert wrong(page) == []
    page.context.close()


def test_everything_goes_into_one_file_that_the_office_reads_and_another_phone_too(
    made: Browser, url: str, tmp_path: Path
) -> None:
    page = fresh(made, url)
    _begun(page, "Mill")
    Hand(page).drag((80, 80), (250, 260))
    page.locator("path.room").wait_for()
    wanted = job_of(page)
    _list(page)
    with page.expect_download() as got:
        page.get_by_role("button", name="Everything to one file").tap()
    file = tmp_path / "everything.zip"
    got.value.save_as(file)
    page.context.close()

    other = fresh(made, url)
    for told in ("0 were here", "0 entries and 0 photos are new"):
        with other.expect_file_chooser() as chosen:
            other.get_by_role("button", name="Everything from a file").tap()
        chosen.value.set_files(file)
        other.locator(".said").get_by_text(told).wait_for()
    other.get_by_role("link", name="Mill").tap()
    other.locator("path.room").wait_for()
    assert job_of(other) == wanted
    other.context.close()

    record = ["--record", str(tmp_path / "record")]
    subprocess.run([*PROGRAM, "import", str(file), *record], check=True, stdout=subprocess.DEVNULL)
    out = tmp_path / "mill.json"
    subprocess.run([*PROGRAM, "export", str(out), *record], check=True, stdout=subprocess.DEVNULL)
    read = json.loads(out.read_text(encoding="utf-8"))
    assert (read["id"], read["title"]) == (wanted["id"], "Mill")
    assert set(read["entities"]) == set(wanted["entities"])


def test_a_newer_version_waits_until_it_is_asked_for(
    made: Browser, url: str, tmp_path: Path
) -> None:
    folder = tmp_path / "static"
    shutil.copytree(STATIC, folder)
    with served(folder) as address:
        context = made.new_context(viewport=PHONE, has_touch=True, locale="en-GB")
        page = context.new_page()
        page.goto(address)
        page.evaluate("navigator.serviceWorker.ready")
        page.reload()
        page.get_by_role("button", name="Draw a building").tap()
        page.locator(".plan").wait_for()
        # The next version, as a build would give it: another page and another name of the cache.
        first = (folder / "index.html").read_text(encoding="utf-8")
        (folder / "index.html").write_text(first.replace("<title>", "<title>newer "))
        worker = folder / "worker.js"
        text = worker.read_text(encoding="utf-8")
        worker.write_text(re.sub(r"wainscot-[0-9a-f]{16}", "wainscot-0123456789abcdef", text))
        page.evaluate("window.same = true")
        page.evaluate("navigator.serviceWorker.ready.then((kept) => kept.update())")
        page.locator("header .job").tap()
        page.get_by_text("It is used from the list of jobs").wait_for()
        assert page.evaluate("window.same")  # nothing was loaded anew while a job is open
        page.get_by_role("link", name="Jobs", exact=True).tap()
        page.get_by_role("button", name="Use it").tap()
        expect(page).to_have_title("newer wainscot")
        page.get_by_role("link", name="New job").wait_for()
        expect(page.get_by_role("button", name="Use it")).to_have_count(0)
        kept = page.evaluate("caches.keys()")
        assert len(kept) == 2  # the one before stays for windows that still show it
        context.close()


def test_what_is_only_here_for_a_day_and_little_room_are_told(made: Browser, url: str) -> None:
    page = fresh(made, url)
    page.clock.install(time="2025-03-14T09:00:00Z")
    page.reload()
    _begun(page, "Mill")
    _list(page)
    page.get_by_role("link", name="Mill").wait_for()
    expect(page.get_by_text("only here for over 24 hours")).to_have_count(0)
    page.add_init_script("navigator.storage.estimate = async () => ({ quota: 3e9, usage: 2.5e9 })")
    page.clock.set_system_time("2025-03-15T09:30:00Z")
    page.reload()
    page.get_by_text("only here for over 24 hours").wait_for()
    page.get_by_text("Little room on this device: 477 MB").wait_for()
    assert wrong(page) == []
    page.context.close()


@pytest.mark.parametrize("size", [PHONE, TABLET], ids=["phone", "tablet"])
def test_the_firms_screens_have_no_violation_and_no_small_target(
    made: Browser, url: str, tmp_path: Path, size: dict[str, int]
) -> None:
    hired(tmp_path, Olga="office", Ben="crew")
    with office_machine(tmp_path, "--lan") as office:
        page = fresh(made, office, size)
        seen = [(name, by_day_and_night(page), misfits(page)) for name in _firm_screens(page)]
    assert [one for one in seen if any(one[1:])] == []
    assert len(seen) == 7
    assert wrong(page) == []
    page.context.close()


def _firm_screens(page: Page) -> Iterator[str]:
    page.get_by_label("Password").wait_for()
    yield "join"
    page.get_by_label("Name", exact=True).fill("Olga")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Log in", exact=True).tap()
    page.get_by_role("button", name="Connect a phone").tap()
    page.get_by_role("button", name="Make a code").tap()
    page.locator(".code").wait_for()
    yield "connect"
    page.get_by_role("button", name="Change my password").tap()
    page.get_by_label("Your password now").fill(PASSWORD)
    page.get_by_label("The new one, 12").fill("qwertyuiop123")
    page.get_by_label("The new one once more").fill("qwertyuiop123")
    page.get_by_role("button", name="Change it").tap()
    page.get_by_role("alert").get_by_text("stands on a list").wait_for()
    yield "password"
    page.get_by_label("The new one, 12").fill(f"{PASSWORD} more")
    page.get_by_label("The new one once more").fill(f"{PASSWORD} more")
    page.get_by_role("button", name="Change it").tap()
    page.get_by_text("Other logins ended: 0. Phones and tablets that stay in: 1").wait_for()
    _begun(page, "Mill")
    page.locator("header .job").tap()
    page.get_by_role("button", name="Add a visit").tap()
    page.get_by_label("What was done").fill("looked")
    yield "visit"
    page.get_by_role("button", name="Save the visit").tap()
    page.get_by_role("button", name="looked").wait_for()
    job = page.evaluate("location.hash").rsplit("/", 1)[1]
    written(page)
    _differ(page, job)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.get_by_role("region", name="Said in two ways").wait_for()
    yield "two answers"
    page.get_by_role("link", name="Jobs", exact=True).tap()
    page.get_by_text("said in two ways: 1").wait_for()
    yield "list"
    page.context.clear_cookies()
    page.get_by_role("link", name="Mill").tap()
    page.locator("header .job").tap()
    page.get_by_text("lets this device in no more").first.wait_for()
    yield "shut out"


def _differ(page: Page, job: str) -> None:
    """Give the job another name, as another device of the office that knew nothing of the first."""
    at = "2025-03-14T09:00:00.000+00:00"
    other = event("set", job=job, device="device_0000000000", seq=1, prev="", at=at, field="title",
                  value="Barn")  # fmt: skip
    origin = page.evaluate("location.origin")
    sent = page.context.request.post(
        f"{origin}/api/jobs/{job}/events", headers={"origin": origin},
        data={"lines": [line_of(other).decode()]},
    )  # fmt: skip
    assert sent.json()["added"] == [other.id]
