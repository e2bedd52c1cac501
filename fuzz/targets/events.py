"""Lines of a record, with what stands beside them, to events and to the job they add up to."""

from __future__ import annotations

import contextlib
import json

from fuzz.given import few, lines
from wainscot import job as jobs
from wainscot.record import RecordError, beside_of, event_id, event_of, fold, line_of, parted
from wainscot.record import sent_of as sent
from wainscot.store.admit import Admitted, admit


def seeds() -> list[bytes]:
    """Return lines of every kind of event, one by one and together."""
    return [*(lines(one) for one in few()), lines(*few())]


def one(data: bytes) -> None:
    """Take lines as they are, and once more with ids that fit; what is let in must come back."""
    raw = data.splitlines()
    found = [admit(line) for line in (*raw, *map(_with_its_id, raw))]
    events = [made.event for made in found if isinstance(made, Admitted)]
    for each in events:
        assert event_of(json.loads(sent(each))) == each
        assert parted(sent(each)) == (line_of(each), beside_of(each))
    for name in {each.job for each in events}:
        job = fold(events, name)
        assert fold(reversed(events), name) == job
        jobs.faults(job)
        assert json.loads(jobs.write(job).encode("utf-8"))["id"] == name


def _with_its_id(line: bytes) -> bytes:
    """Return a line whose id is made to fit, or else nothing gets past the check of ids."""
    with contextlib.suppress(ValueError, RecursionError, RecordError):
        content = json.loads(line)
        if isinstance(content, dict):
            return json.dumps({**content, "id": event_id(content)}).encode()
    return b""
