"""The office's own screen: list of jobs, search, rates, backup."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from litestar import get, post, put
from litestar.params import JSONBody, QueryParameter

from wainscot.api.desk import Caller, Desk
from wainscot.api.given import TheCaller, TheDesk
from wainscot.api.looking import found_in, words_of
from wainscot.api.office_shapes import (
    BackupAnswer,
    Hit,
    JobHits,
    Kept,
    OfficeJob,
    OfficeList,
    RatesAnswer,
    RatesAsk,
    RatesTried,
    ScoreAnswer,
    SearchAnswer,
    UnsavedJob,
)
from wainscot.api.own_rates import answer_of, follows, saved, tried
from wainscot.api.stops import open_stops
from wainscot.store import Held, events_after, firm_rates, papers_of

MOST = 50
"""Jobs in the answer of a search."""

Asked = Annotated[str, QueryParameter(name="q", max_length=200)]


def _mine(desk: Desk, caller: Caller) -> list[Held]:
    """Return the jobs that the caller sees."""
    return [
        one for one in desk.store.held() if caller.reach == "all" or desk.is_on(caller, one.job)
    ]


@get("/api/office/jobs", opt={"need": "see jobs"}, sync_to_thread=True)
def office_jobs(desk: TheDesk, caller: TheCaller) -> OfficeList:
    """List the jobs that the caller sees, the next visit first."""
    last = desk.backup().last
    after = events_after(desk.store.database, last)
    names = {one.id: one.name for one in desk.accounts.all()}
    today = desk.clock().date()
    lines = [_line(desk, one, names, after.get(one.job, 0), today) for one in _mine(desk, caller)]
    lines.sort(key=lambda one: (one.next == "", one.next, one.title.casefold(), one.id))
    return OfficeList(lines)


def _line(desk: Desk, held: Held, names: dict[str, str], unsaved: int, today: date) -> OfficeJob:
    told = desk.looking.of(held.job)
    day = today.isoformat()
    done = desk.walks.last_done(held.job)
    current = done is not None and done.through == held.through
    return OfficeJob(
        held.job, told.title,
        max((one for one in told.visits if one < day), default=""),
        min((one for one in told.visits if one >= day), default=""),
        sorted(names.get(one, one) for one in told.who), told.conflicts, held.events, unsaved,
        *told.stands, open_stops(done.answer, told.released) if done and current else None,
    )  # fmt: skip


@get("/api/office/search", opt={"need": "see jobs"}, sync_to_thread=True)
def search(q: Asked, desk: TheDesk, caller: TheCaller) -> SearchAnswer:
    """Find jobs by words of their title, address, rooms, notes and papers; all words in one job."""
    words = words_of(q)
    found: list[JobHits] = []
    for held in _mine(desk, caller) if words else []:
        told = desk.looking.of(held.job)
        made = {f"{one.title} ({one.language}, {one.made[:10]})": one.digest
                for one in papers_of(desk.store, held.job)}  # fmt: skip
        hits = found_in([*told.texts, *(("paper", title) for title in made)], words)
        if hits is not None:
            found.append(JobHits(held.job, told.title, [
                Hit(what, text, made.get(text, "") if what == "paper" else "")
                for what, text in hits
            ]))  # fmt: skip
    found.sort(key=lambda one: (one.title.casefold(), one.id))
    return SearchAnswer(found[:MOST], len(found) > MOST)


@get("/api/office/rates", opt={"need": "keep rates"}, sync_to_thread=True)
def rates(desk: TheDesk) -> RatesAnswer:
    """Give every rate with its default, what the firm typed, and what follows."""
    return answer_of(desk.store)


@post("/api/office/rates/try", opt={"need": "keep rates"}, status_code=200, sync_to_thread=True)
def try_rates(data: JSONBody[RatesAsk], desk: TheDesk) -> RatesTried:
    """Say what is wrong with rates, or what would follow from them; nothing is saved."""
    now = follows(desk.store)
    faults, then = tried(data.rates)
    return RatesTried(faults, now, then)


@put("/api/office/rates", opt={"need": "keep rates"}, sync_to_thread=True)
def keep(data: JSONBody[RatesAsk], desk: TheDesk, caller: TheCaller) -> RatesAnswer:
    """Save rates in place of those before; what is calculated from now on goes by them."""
    saved(desk.store, data.rates, at=desk.now(), by=caller.name)
    return answer_of(desk.store)


@get("/api/office/backup", opt={"need": "read record"}, sync_to_thread=True)
def backup_about(desk: TheDesk) -> BackupAnswer:
    """Say which backup is the newest good one, what it lacks, and which cannot be used."""
    told = desk.backup()
    last = told.last
    after = events_after(desk.store.database, last)
    jobs = [UnsavedJob(job, desk.looking.of(job).title, n) for job, n in sorted(after.items())]
    bad = [Kept(one.name, "damaged") for one in told.damaged]
    bad += [Kept(one.name, "gone") for one in told.gone]
    there = last is not None and last.path.is_file()
    return BackupAnswer(
        desk.backup_state(), last.path.name if last else "",
        last.path.stat().st_size if last and there else 0,
        last.events if last else 0, last.blobs if last else 0, jobs, bad,
    )  # fmt: skip


@get("/api/office/score", opt={"need": "read record"}, sync_to_thread=True)
def score(desk: TheDesk) -> ScoreAnswer:
    """Say how the advice did on the bays that were opened in closed jobs, as far as is known."""
    return desk.scores.asked(firm_rates(desk.store).text)


ROUTES = (office_jobs, search, rates, try_rates, keep, backup_about, score)
