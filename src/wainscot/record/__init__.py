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

from wainscot.record.cover import cover, hashes_in, uncover
from wainscot.record.diff import diff
from wainscot.record.event import (
    Beside,
    Event,
    beside_of,
    check,
    event,
    event_id,
    event_of,
    instant,
    joined,
    line_of,
    parted,
    sent_of,
    signed_text,
)
from wainscot.record.fold import erased_by, erases, fold, told
from wainscot.record.form import NewerFormError, RecordError, canonical
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
    "Beside",
    "Event",
    "Head",
    "NewerFormError",
    "RecordError",
    "beside_of",
    "canonical",
    "check",
    "cover",
    "diff",
    "erased_by",
    "erases",
    "event",
    "event_id",
    "event_of",
    "fold",
    "grouped",
    "hashes_in",
    "head_of",
    "instant",
    "joined",
    "key_name",
    "leaf_of",
    "line_of",
    "paper_lines",
    "parted",
    "sent_of",
    "signed_text",
    "text_of",
    "told",
    "uncover",
]
