"""Hold points that were settled: the sheet says by whom, when and on what evidence, and where."""

from __future__ import annotations

import pytest
from tests import houses
from tests.papers import sheets

from wainscot.access import site_of, ways_to_open
from wainscot.job import Job
from wainscot.openings.signing import released
from wainscot.papers.opening_sheet import OpeningPage, SheetView, as_pdf

EVIDENCE = "swab 12, no lead found"
HOSTILE = '#panic("run") ]#[ <script> \u202eevil\x00 ' + "long " * 3000


def lead_points(job: Job) -> list[str]:
    """Return the rooms' lead hold points of a job, by key."""
    plan, graph, _ = sheets.parts(job)
    ways = ways_to_open(plan, graph, site_of(job))
    return sorted({h.key for way in ways for h in way.holds if h.key.startswith("lead/")})


def cuts_in(view: SheetView, job: Job, key: str) -> list[OpeningPage]:
    """Return the pages at which a hold point would hold if nobody had settled it."""
    _, _, ways = sheets.parts(job)
    held = {way.id for way in ways if any(hold.key == key for hold in way.holds)}
    return [page for page in view.pages if held.intersection(page.ids)]


@pytest.fixture(scope="module")
def old() -> Job:
    """A house in which paint may hold lead."""
    document = houses.ranch()
    for one in document["entities"].values():
        if one["kind"] == "settings":
            one |= {"year_built": 1934, "country": "UK"}
    return houses.as_job(document)


def test_a_release_stands_on_every_page_of_its_place_and_on_no_other(old: Job) -> None:
    key = lead_points(old)[0]
    job = released(old, key, by="A. Tester", evidence=EVIDENCE, at="2026-05-20")
    view = sheets.sheet(job)
    here = cuts_in(view, old, key)
    assert here
    for page in view.pages:
        told = [one for one in page.released if one.evidence == EVIDENCE]
        if page in here:
            (one,) = told
            assert (one.hazard, one.by, one.at) == ("lead paint", "A. Tester", "2026-05-20")
            assert one.first
            assert "lead paint" not in {hold.hazard for hold in page.holds}
        else:
            assert told == []
    lines = {line.number: line for line in view.lines}
    assert all(lines[page.number].released == 1 for page in here)


def test_without_a_release_no_page_speaks_of_one(old: Job) -> None:
    view = sheets.sheet(old)
    assert all(page.released == () for page in view.pages)
    assert all(line.released == 0 for line in view.lines)


def test_a_release_without_evidence_or_name_is_not_printed(old: Job) -> None:
    key = lead_points(old)[0]
    for said in ({"by": "A. Tester", "evidence": ""}, {"by": "", "evidence": EVIDENCE}):
        view = sheets.sheet(released(old, key, **said))
        assert all(page.released == () for page in view.pages)
        assert all("lead paint" in {h.hazard for h in page.holds}
                   for page in cuts_in(view, old, key))  # fmt: skip


def test_two_releases_of_one_point_are_both_told(old: Job) -> None:
    key = lead_points(old)[0]
    job = released(old, key, by="A. Tester", evidence=EVIDENCE, at="2026-05-20")
    job = released(job, key, by="B. Second", evidence="laboratory 7")
    view = sheets.sheet(job)
    page = cuts_in(view, old, key)[0]
    assert {(one.by, one.at) for one in page.released} == {
        ("A. Tester", "2026-05-20"), ("B. Second", ""),
    }  # fmt: skip


def test_an_area_that_adds_up_is_told_as_released_where_something_is_cut() -> None:
    document = houses.ranch()
    for one in document["entities"].values():
        if one["kind"] == "settings":
            one |= {"year_built": 1934, "country": "US"}
    job = houses.as_job(document)
    before = sheets.sheet(job)
    area = "lead paint, area of the room"
    held = [page for page in before.pages if area in {hold.hazard for hold in page.holds}]
    assert held  # 40 CFR 745.83: more than 6 square feet in one room is no minor repair
    _, _, ways = sheets.parts(job)
    room = next(way.room for way in ways if way.id in held[0].ids)
    job = released(job, f"lead area/{room}", by="A. Tester", evidence="certificate 3")
    after = {page.ids: page for page in sheets.sheet(job).pages}
    told = [one.hazard for one in after[held[0].ids].released]
    assert told == [area]
    assert area not in {hold.hazard for hold in after[held[0].ids].holds}


def test_what_a_release_holds_is_set_as_text_and_never_fills_the_paper(old: Job) -> None:
    key = lead_points(old)[0]
    job = released(old, key, by=HOSTILE, evidence=HOSTILE, at=HOSTILE)
    view = sheets.sheet(job, 0.2, which="least")
    some = [one for page in view.pages for one in page.released]
    assert some
    assert max(len(one.evidence) for one in some) <= 240
    assert as_pdf(view).startswith(b"%PDF")
    plain = released(old, key, by="A. Tester", evidence=EVIDENCE)
    assert as_pdf(view) != as_pdf(sheets.sheet(plain, 0.2, which="least"))
