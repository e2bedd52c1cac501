"""The record: events that are written once, and the job that they add up to.

>>> from wainscot.job import Job
>>> room = {"kind": "room", "name": "Kitchen"}
>>> kitchen = Job(id="job_a", title="Mill Cottage", entities={"kitchen": room})
>>> events = diff(Job(id="job_a"), kitchen, device="van", seq=1, prev="", at="2025-03-14T09:30Z")
>>> [(one.kind, one.entity, one.field) for one in events]
[('set', '', 'title'), ('add', 'kitchen', '')]
>>> fold(events, "job_a") == kitchen
True

A job file is a folded job; the record is a set of events, so that two devices sync by union.  Pure:
no disk, no clock.

Limits: events are checked one by one (form, time, id); whether a device's chain has a gap is for
the store to say.
"""

from wainscot.record.diff import diff
from wainscot.record.event import (
    Event,
    NewerFormError,
    RecordError,
    canonical,
    check,
    event,
    event_id,
    event_of,
    instant,
    line_of,
)
from wainscot.record.fold import fold
from wainscot.record.head import (
    Head,
    grouped,
    head_of,
    key_name,
    leaf_of,
    paper_lines,
    text_of,
)

__all__ = [
    "Event",
    "Head",
    "NewerFormError",
    "RecordError",
    "canonical",
    "check",
    "diff",
    "event",
    "event_id",
    "event_of",
    "fold",
    "grouped",
    "head_of",
    "instant",
    "key_name",
    "leaf_of",
    "line_of",
    "paper_lines",
    "text_of",
]
