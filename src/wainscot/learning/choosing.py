"""Which jobs may be learnt from, and as what: with the owner's word, and as they were when open.

>>> from wainscot.job import Job
>>> may_learn(Job(id="job_a"))
False

Limits: what was looked at after the last opening is left out, for by then bays may have been
cleaned; signs that came back before it count like any others.
"""

from __future__ import annotations

from typing import Any

import msgspec

from wainscot.job import ClosingTerms, Inspection, Job, typed

SEEN = "opened and seen"


def may_learn(job: Job) -> bool:
    """Return whether the owner lets the firm learn from a job; not unless it is said.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    terms = [one for one in typed(job).values() if isinstance(one, ClosingTerms)]
    return any(one.may_learn for one in terms)


def when_open(job: Job) -> Job | None:
    """Return a job as it was when its last bay lay open; None where none was ever opened.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    looks = [one for one in typed(job).values() if isinstance(one, Inspection)]
    days = [one.at[:10] for one in looks if any(find.kind == SEEN for find in one.finds)]
    if not days:
        return None
    last = max(days)

    def kept(entity: dict[str, Any]) -> bool:
        return entity.get("kind") != "inspection" or str(entity.get("at", ""))[:10] <= last

    left = {key: one for key, one in job.entities.items() if not last or kept(one)}
    return msgspec.structs.replace(job, entities=left)
