"""What the office's list and its search read of jobs, kept up as events arrive.

A word is found whatever its case and accents; several have to stand in one job, in any order.

Limits: the first look at a job folds it.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Literal

import msgspec

from wainscot.api.memo import Memo
from wainscot.api.rights import on_job
from wainscot.job import Job, how_it_stands

TEXTS = (
    "name", "note", "address", "caller", "telephone", "by", "may_order", "pays", "since", "poison",
    "pets", "reads", "built_of", "access", "keys", "left_alone", "done", "next", "what", "reason",
    "warranty",
)  # fmt: skip
"""Fields that people type into and look for."""
ENDS = ("closed", "callback")
"""Kinds of entity that close a job and open it again."""
MOST_HITS = 6
LONGEST = 160
"""Letters of a text that are shown of it."""


class Seen(msgspec.Struct, frozen=True):
    """What is read of one job."""

    through: int
    title: str
    visits: tuple[str, ...]
    """Days of visits, made and to come, as written."""
    who: frozenset[str]
    conflicts: int
    released: frozenset[str]
    texts: tuple[tuple[str, str], ...]
    """Kind of entity, or ``title``, and what was typed."""
    stands: tuple[Literal["open", "closed", "called back"], str] = ("open", "")
    """Whether it is open, and the day since which it is not."""


class Looking(Memo[Seen]):
    """The jobs of a record, as they are looked at and for."""

    def read(self, job_id: str, through: int, before: Seen | None) -> Seen:
        """Return what is read of a job; see :meth:`Memo.read`."""
        del before  # a job is folded whole
        return seen(self.store.job(job_id), through)


def seen(job: Job, through: int) -> Seen:
    """Return what is read of a job.

    Parameters
    ----------
    job : Job
        As its events stand.
    through : int
        Number of its last event.
    """
    entities = list(job.entities.values())
    visits = [str(one.get(name, ""))[:10] for one in entities if one.get("kind") == "visit"
              for name in ("at", "next_at")]  # fmt: skip
    released = (one.get("hold", "") for one in entities if one.get("kind") == "release")
    return Seen(
        through, job.title, tuple(sorted(filter(None, visits))), on_job(job), len(job.conflicts),
        frozenset(map(str, released)),
        (("title", job.title), *(text for one in entities for text in _texts(one))), _stands(job),
    )  # fmt: skip


def _stands(job: Job) -> tuple[Literal["open", "closed", "called back"], str]:
    """Return how a job stands and since which day; what is damaged in it closes nothing."""
    ends = {key: one for key, one in job.entities.items() if one.get("kind") in ENDS}
    try:
        found = how_it_stands(Job(id=job.id, entities=ends))
    except msgspec.ValidationError:
        return "open", ""
    last = {
        "open": "",
        "closed": max((one.at for one in found.closed), default=""),
        "called back": max((one.at for one in found.callbacks), default=""),
    }[found.state]
    return found.state, last[:10]


def _texts(entity: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    kind = str(entity.get("kind", ""))
    finds = entity.get("finds", [])
    notes = [one.get("note") for one in finds if isinstance(one, Mapping)]
    for text in (*(entity.get(name) for name in TEXTS), *notes):
        if isinstance(text, str) and text.strip():
            yield kind, text


def words_of(asked: str) -> tuple[str, ...]:
    """Return the words of a question, as they are compared."""
    return tuple(_plain(asked).split())


def _plain(text: str) -> str:
    """Return a text without case and accents."""
    parts = unicodedata.normalize("NFKD", text.casefold())
    return "".join(one for one in parts if not unicodedata.combining(one))


def found_in(
    texts: Sequence[tuple[str, str]], words: Sequence[str]
) -> list[tuple[str, str]] | None:
    """Return those texts that hold a word, at most :data:`MOST_HITS`; None where a word is in none.

    Parameters
    ----------
    texts : sequence of (kind, text)
        All of one job.
    words : sequence of str
        As :func:`words_of` returns them.
    """
    plain = [_plain(text) for _, text in texts]
    if not words or not all(any(word in one for one in plain) for word in words):
        return None
    held = [pair for pair, one in zip(texts, plain, strict=True) if any(w in one for w in words)]
    return [(kind, text if len(text) <= LONGEST else text[:LONGEST] + " ...")
            for kind, text in dict.fromkeys(held)][:MOST_HITS]  # fmt: skip
