"""Hold points that were released: by whom, when, on what evidence, as the job's record tells it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from wainscot.access import Access, HoldPoint, holds_together, site_of
from wainscot.job import Job, Release, typed
from wainscot.papers.opening_sheet.model import Released
from wainscot.papers.opening_sheet.telling import short


class Settled:
    """The releases of a job.

    Parameters
    ----------
    job : Job
        A job without faults.
    ways : sequence of Access
        Every opening on the sheet: some hold points arise only from several of them together.
    """

    def __init__(self, job: Job, ways: Sequence[Access]) -> None:
        self.by_key: dict[str, list[Release]] = {}
        for one in typed(job).values():
            if isinstance(one, Release) and one.by and one.evidence:
                self.by_key.setdefault(one.hold, []).append(one)
        # What adds up in a room is left out once released, so it is asked for as if it were not.
        site = msgspec.structs.replace(site_of(job), released=frozenset())
        self.together = holds_together(ways, site)

    def of(self, ways: Sequence[Access]) -> tuple[Released, ...]:
        """Return what was released for some openings, each release once."""
        found = {hold.key: hold for way in ways for hold in self._held(way)}
        return tuple(
            _told(hold, one)
            for hold in sorted(found.values(), key=lambda one: (one.hazard, one.key))
            for one in self.by_key.get(hold.key, ())
        )

    def _held(self, way: Access) -> Iterator[HoldPoint]:
        yield from way.released
        if way.disturbance in ("hole", "cut"):
            yield from self.together.get(way.room, ())


def _told(hold: HoldPoint, one: Release) -> Released:
    return Released(
        hazard=hold.hazard, first=hold.first, by=short(one.by, 60), at=short(one.at, 40),
        evidence=short(one.evidence, 240), note=short(one.note, 240),
    )  # fmt: skip
