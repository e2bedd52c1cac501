"""Papers that were made: by job and content, so that a link or a signature can name one.

    keep_paper(store, MadePaper("job_mill", digest, "quote", ...))
    paper_of(store, "job_mill", digest)      # MadePaper, or None

The bytes lie with the photos, under their SHA-256, and go along in a backup.  A paper that comes
out byte for byte as before is the same paper.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import msgspec
from sqlalchemy import Select, insert, select

from wainscot.store.tables import paper

if TYPE_CHECKING:
    from wainscot.store.store import Store


class MadePaper(msgspec.Struct, frozen=True):
    """A paper that was made."""

    job: str
    digest: str
    """SHA-256 of the PDF."""
    kind: str
    language: str
    size: str
    title: str
    pages: str
    """SHA-256 of its pages as drawings: a JSON list of SVG, packed by gzip."""
    sheets: int
    """How many pages."""
    version: str
    """Of the job that it tells of."""
    made: str
    """When it was first made, ISO 8601."""
    account: str = ""
    """Who had it made; empty for the one person on this machine."""


def keep_paper(store: Store, one: MadePaper) -> MadePaper:
    """Write down that a paper was made, and return it as it stands.

    Parameters
    ----------
    store : Store
        The record; it holds the bytes already.
    one : MadePaper
        The paper; if the same was made before, that one stands.
    """
    with store.database.writing() as connection:
        there = connection.execute(_chosen(one.job).where(paper.c.digest == one.digest)).first()
        if there is not None:
            return MadePaper(*there)
        connection.execute(insert(paper).values(msgspec.structs.asdict(one)))
    return one


def papers_of(store: Store, job: str) -> tuple[MadePaper, ...]:
    """Return the papers of a job, the newest first.

    Parameters
    ----------
    store : Store
        The record.
    job : str
        Its id.
    """
    with store.database.reading() as connection:
        found = connection.execute(_chosen(job).order_by(paper.c.n.desc()))
        return tuple(MadePaper(*row) for row in found)


def paper_of(store: Store, job: str, digest: str) -> MadePaper | None:
    """Return one paper of a job by the SHA-256 of its PDF; None where the job has none such.

    Parameters
    ----------
    store : Store
        The record.
    job, digest : str
        Which.
    """
    with store.database.reading() as connection:
        row = connection.execute(_chosen(job).where(paper.c.digest == digest)).first()
    return MadePaper(*row) if row is not None else None


def _chosen(job: str) -> Select[Any]:
    columns = (paper.c[name] for name in MadePaper.__struct_fields__)
    return select(*columns).where(paper.c.job == job)
