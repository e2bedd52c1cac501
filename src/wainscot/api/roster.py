"""Who is on each job and what it is called, kept up as events arrive.

Folding a job of ten thousand events takes a second; who is on it stands in a few of them.  So only
those few are folded, and of what arrives only the new is read.

Limits: the first look at a job reads all of its events.
"""

from __future__ import annotations

import json
from collections.abc import Iterable

import msgspec

from wainscot.api.memo import Memo
from wainscot.api.rights import on_job, puts_people_on
from wainscot.record import Event, erases, event_of, fold

HEAD = ""
"""Entity under which the job's own fields stand."""


class Known(msgspec.Struct, frozen=True):
    """What is known of a job up to a number of receipt.

    ``entities`` are those that say or ever said who is on it, ``accounts`` those who are.
    """

    through: int
    title: str
    accounts: frozenset[str]
    entities: frozenset[str]
    events: tuple[Event, ...] = ()


NOTHING = Known(0, "", frozenset(), frozenset())


class Roster(Memo[Known]):
    """Who is on the jobs of a record; on a job that is not there nobody is."""

    def read(self, job_id: str, through: int, before: Known | None) -> Known:
        """Return what is known of a job; see :meth:`Memo.read`."""
        if not through:
            return NOTHING
        before = before or NOTHING
        last, new = self._new(job_id, before.through)
        erased = before.through and any(map(erases, new))
        if erased:  # perhaps by another host: photos go from what this one holds of them too
            self.store.blobs.forget_erased()
        entities = before.entities | {one.entity for one in new if puts_people_on(one)}
        if erased or (before.through and entities > before.entities):
            # What was said before of an entity that only now puts somebody on the job; or texts
            # that are remembered here were erased.
            new = list(self.store.events(job_id))
            kept: tuple[Event, ...] = ()
        else:
            kept = before.events
        events = (*kept, *(one for one in new if one.entity in entities or one.entity == HEAD))
        job = fold(events, job_id)
        return Known(last, job.title, on_job(job), entities, events)

    def _new(self, job_id: str, after: int) -> tuple[int, list[Event]]:
        found: list[Event] = []
        more = True
        while more:
            page = self.store.page(after, job_id=job_id)
            found += _parsed(page.lines)
            after, more = page.through, page.more
        return after, found


def _parsed(lines: Iterable[bytes]) -> list[Event]:
    return [event_of(json.loads(line)) for line in lines]
