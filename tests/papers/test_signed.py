"""Papers that were signed, a job that was closed and called back, tax stage by stage."""

from __future__ import annotations

from functools import cache
from typing import Any

import msgspec

from wainscot.book import read_book
from wainscot.job import Job, faults, how_it_stands
from wainscot.papers.answers import Answers, version_of
from wainscot.papers.example import RATES, house
from wainscot.papers.kinds import papers
from wainscot.papers.opening_sheet import last_day, sheet_view
from wainscot.papers.printing import as_pdf, sheet
from wainscot.sealing import Terms
from wainscot.walk import answers, walk

SIGNED: dict[str, Any] = {
    "kind": "signature", "paper": "quote", "digest": "ab" * 32, "by": "R. Okafor", "role": "owner",
    "at": "2026-06-01T10:15:00+01:00", "signature": "M10 40L60 20L90 70",
}  # fmt: skip
CLOSED = {"kind": "closed", "at": "2026-06-20", "by": "L. Brandt", "not_seen": ["loft hatch"]}
CALLED = {"kind": "callback", "at": "2026-08-01", "because": "smell"}


@cache
def _known() -> Answers:
    job = house()
    book = read_book(f"{RATES}\n[business]\ntax = 20\n")
    walked = walk(job, draws=256, book=book, closing=Terms(), priced=True, checks=False)
    return answers(walked, job, date=last_day(job))


def _with(**entities: Any) -> Answers:
    job = msgspec.structs.replace(_known().job, entities={**_known().job.entities, **entities})
    return msgspec.structs.replace(_known(), job=job)


def _signature(**changed: Any) -> dict[str, Any]:
    return {**SIGNED, "version": _known().version, **changed}


def test_a_signature_stands_on_its_paper_and_on_no_other() -> None:
    known = _with(s=_signature())
    told = sheet("quote", known)
    assert told is not None
    (one,) = told.head.signed
    assert one.by == "R. Okafor, owner, or for them"
    assert one.about.startswith("1 June 2026, 10:15, for job " + _known().version)
    assert (one.changed, one.strokes) == ("", SIGNED["signature"])
    other = sheet("seal-list", known)
    assert other is not None
    assert other.head.signed == ()
    before = sheet("quote", _known())
    assert before is not None
    assert as_pdf(told) != as_pdf(before)


def test_a_signature_changes_neither_the_version_nor_the_day_of_a_job() -> None:
    known = _with(s=_signature())
    assert version_of(known.job) == version_of(_known().job)
    assert last_day(known.job) == last_day(_known().job)
    assert known.choice is not None
    drawn = sheet_view(known.job, known.choice, known.plan, known.graph, known.offered)
    assert drawn.version == known.version


def test_a_job_that_changed_says_so_beside_the_signature() -> None:
    known = _with(s=_signature(), r={"kind": "room", "name": "Pantry"})
    for language, word in (("en", "has changed since"), ("es", "ha cambiado desde entonces")):
        told = sheet("quote", known, language=language)
        assert told is not None
        assert word in told.head.signed[0].changed


def test_what_is_no_signature_is_refused_and_never_drawn() -> None:
    bad = _with(s=_signature(signature="M1 1' onload='x", digest="short"))
    assert {one.path for one in faults(bad.job)} == {
        "entities.s.signature", "entities.s.digest"}  # fmt: skip
    told = sheet("quote", bad)
    assert told is not None
    assert told.head.signed[0].strokes == ""


def test_a_closed_job_that_is_called_back_is_counted_and_stands_in_the_closing_report() -> None:
    def stands(**entities: Any) -> tuple[str, int]:
        told = how_it_stands(Job(id="job_a", entities=entities))
        return told.state, len(told.callbacks)

    assert stands() == ("open", 0)
    assert stands(b=CALLED) == ("open", 0)  # nothing was closed before
    assert stands(a=CLOSED) == ("closed", 0)
    assert stands(a=CLOSED, b=CALLED) == ("called back", 1)
    assert stands(a=CLOSED, b=CALLED, c={**CLOSED, "at": "2026-09-01"}) == ("closed", 1)
    # A day alone is the whole day, and clocks differ: 22:30 in Lisbon is later than 23:00 in Rome.
    day = CLOSED["at"][:10]
    late = {**CLOSED, "at": f"{day}T23:00:00+02:00"}
    assert stands(a=late, b={**CALLED, "at": day}) == ("called back", 1)
    assert stands(a=late, b={**CALLED, "at": f"{day}T22:30:00+01:00"}) == ("called back", 1)
    assert stands(a=late, b={**CALLED, "at": f"{day}T21:30:00+01:00"}) == ("closed", 0)
    known = _with(a=CLOSED, b=CALLED)
    paper = papers()["closing-report"]
    told = paper.view(known, paper.say(known.job, "en"))
    assert told.closed == ("Closed on 20 June 2026 by L. Brandt.",
                           "Called back on 1 August 2026: a smell.")  # fmt: skip
    assert told.not_seen == ("loft hatch",)


def test_tax_is_told_stage_by_stage_and_adds_up() -> None:
    paper = papers()["quote"]
    told = paper.view(_known(), paper.say(_known().job, "en"))

    def cents(amount: str) -> int:
        return round(100 * float(amount.removesuffix(" EUR").replace(",", "")))

    for one in told.stages:
        assert cents(one.gross) == cents(one.planned) + cents(one.tax)
        assert abs(cents(one.tax) - 0.2 * cents(one.planned)) <= 0.5
    assert cents(told.planned_gross) == cents(told.planned) + cents(told.planned_tax)
    found = _known().estimate
    assert found is not None
    whole = sum(one.cents for one in found.stages)
    assert abs(cents(told.planned_tax) - 0.2 * whole) <= 0.5 * len(found.stages)


def _planned() -> Answers:
    """The same answers with the days that the work is laid on."""
    job = house()
    walked = walk(job, draws=256, book=read_book(RATES), closing=Terms(), priced=True,
                  checks=False, start="2026-06-01")  # fmt: skip
    return answers(walked, job, date=last_day(job))


def test_crew_sheet_and_notice_tell_the_days_of_the_programme() -> None:
    known = _planned()
    days = known.programme
    assert days is not None
    sheet_ = papers()["crew-sheet"]
    told = sheet_.view(known, sheet_.say(known.job, "es"))
    assert len(told.days) == min(14, len(days.days))
    assert (days.days[0].date, told.days[0].day) == ("2026-06-02", "2 de junio de 2026")
    assert all(line.lang == "es" for one in told.days for line in one.work)
    notice = papers()["notice-to-occupants"]
    shut = notice.view(known, notice.say(known.job, "en")).shut
    assert [one.name for one in shut] == [one.name for one in days.rooms]
    assert shut[0].start.endswith(days.rooms[0].start[11:16])
    bare = msgspec.structs.replace(known, programme=None)
    assert notice.view(bare, notice.say(known.job, "en")).shut == ()
    assert answers(walk(known.job, draws=256, checks=False), known.job).programme is None
