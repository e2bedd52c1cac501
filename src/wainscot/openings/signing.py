"""The owner's word on openings, and hold points that are settled, written into the job.

    job = authorised(job, choice.balanced.openings, by="the owner", at="2026-05-20")
    job = declined(job, "whole floor/hall", by="the owner", reason="new parquet")
    job = released(job, "lead/hall", by="A. Tester", evidence="swab 12, negative")

Limits: that the owner said so is for whoever writes it to know; nothing is signed by this.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from wainscot.job import Job, free_id
from wainscot.openings.signed import signed


def authorised(job: Job, openings: Iterable[str], *, by: str, at: str = "", price: str = "") -> Job:
    """Return the job with these openings authorised; those that are already stay as they were.

    Parameters
    ----------
    job : Job
        A job without faults.
    openings : iterable of str
        Ids of openings.
    by : str
        Who said so.
    at : str
        When, as the job writes times.
    price : str
        What was told, as typed.
    """
    before = signed(job)
    new = [one for one in dict.fromkeys(openings)
           if one not in before.authorised and one not in before.declined]  # fmt: skip
    entity = {"kind": "authorisation", "openings": new, "by": by, **_given(at=at, price=price)}
    return _with(job, "authorisation", entity) if new else job


def declined(job: Job, opening: str, *, by: str, at: str = "", reason: str = "") -> Job:
    """Return the job with one opening declined.

    Parameters
    ----------
    job : Job
        A job without faults.
    opening : str
        Its id.
    by : str
        Who said so.
    at : str
        When, as the job writes times.
    reason : str
        Why, in words.
    """
    entity = {"kind": "declined", "opening": opening, "by": by, **_given(at=at, reason=reason)}
    return _with(job, "declined", entity)


def released(job: Job, hold: str, *, by: str, evidence: str, at: str = "") -> Job:
    """Return the job with one hold point released.

    Parameters
    ----------
    job : Job
        A job without faults.
    hold : str
        Its key, such as ``lead/kitchen``.
    by : str
        Who settled it.
    evidence : str
        The test, survey or certificate that it rests on.
    at : str
        When, as the job writes times.
    """
    entity = {"kind": "release", "hold": hold, "by": by, "evidence": evidence, **_given(at=at)}
    return _with(job, "release", entity)


def _given(**said: str) -> dict[str, str]:
    return {name: value for name, value in said.items() if value}


def _with(job: Job, word: str, entity: Mapping[str, Any]) -> Job:
    entities = {**job.entities, free_id(job, word): dict(entity)}
    return msgspec.structs.replace(job, entities=entities)
