"""A paper shared by a link that its reader opens, and a head given out, on a real server."""

from __future__ import annotations

import gzip
import json
from pathlib import Path

from hand import PASSWORD, PHONE, Hand, fresh, hired, office_machine, wrong
from measures import by_day_and_night, misfits
from playwright.sync_api import Browser, expect

from wainscot.job import Job
from wainscot.store import MadePaper, Store, keep_paper

NOW = "2025-03-14T09:30:00+00:00"
SHEET = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 210 297"><path d="M9 9h9v9z"/></svg>'


def _quote_is_made(record: Path) -> None:
    """Put a job with a paper into the record, as if it had been made before."""
    store = Store.open(record, now=NOW)
    storey = {"kind": "storey", "name": "Ground floor"}
    store.save(Job("job_mill", title="Mill", entities={"ground": storey}), at=NOW, writer="desk")
    pages = gzip.compress(json.dumps([SHEET]).encode(), mtime=0)
    pdf, drawn = (store.blobs.put(one, received=NOW) for one in (b"%PDF-1.7 the quote", pages))
    keep_paper(store, MadePaper("job_mill", pdf, "quote", "en", "a4", "Quote", drawn, 1, "v", NOW))
    store.close()


def test_a_link_to_one_paper_is_opened_by_its_reader_and_taken_back_and_a_head_goes_out(
    made: Browser, url: str, tmp_path: Path
) -> None:
    hired(tmp_path, Olga="office")
    _quote_is_made(tmp_path)
    with office_machine(tmp_path, "--lan") as office:
        page = fresh(made, office, PHONE)
        hand = Hand(page)
        page.get_by_label("Name", exact=True).fill("Olga")
        page.get_by_label("Password").fill(PASSWORD)
        hand.tap("Log in")
        hand.tap(page.get_by_role("button", name="Mill"))
        hand.step("Hand over")
        hand.tap("Give out a head")
        expect(page.get_by_alt_text("Code of the head")).to_have_js_property("complete", value=True)
        assert page.locator(".head .line").count() == 3
        hand.tap(page.locator("button.paper"))
        hand.tap("Share as a link")
        hand.tap("Make a link")
        address = page.locator(".share .address").text_content()
        page.get_by_text("not used yet").wait_for()
        assert by_day_and_night(page) == []
        assert misfits(page) == []

        # Who has no account, on another device; the machine's name is known in its network alone.
        reader = fresh(made, f"{office}link#{str(address).split('#')[1]}", PHONE)
        reader.get_by_role("heading", name="Quote").wait_for()
        page.reload()
        hand.tap(page.locator("button.paper"))
        hand.tap("Share as a link")
        page.get_by_text("used once,").wait_for()
        hand.tap("Take back")
        page.get_by_text("taken back ").wait_for()
        reader.reload()
        reader.get_by_text("This link does not work").wait_for()
        assert wrong(page) == []
        page.context.close()
        reader.context.close()
