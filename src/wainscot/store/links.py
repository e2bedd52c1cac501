"""Links by which somebody outside reads one paper: for an owner, a tenant, a trade.

Of a link's token only the SHA-256 is kept.

Limits: whoever was given a link can pass it on; a view says when, never who.
"""

from __future__ import annotations

import secrets
from datetime import timedelta
from typing import Any, Literal, cast, get_args

import msgspec
from sqlalchemy import Connection, Select, func, select, update

from wainscot.record import instant
from wainscot.store.accounts import digest
from wainscot.store.database import Database
from wainscot.store.faults import StoreError
from wainscot.store.made_papers import MadePaper
from wainscot.store.tables import link, link_view, paper

Reader = Literal["owner", "tenant", "trade"]
READERS: tuple[Reader, ...] = get_args(Reader)
Seen = Literal["opened", "read", "saved"]

MOST_DAYS = 365
"""How long a link may last (judgement). [day]"""
MOST_LINKS = 100
"""Links of a job that may be good at once (judgement)."""
MOST_VIEWS = 500
"""Views of a link that are kept one by one; the count goes on (judgement)."""


class PaperLink(msgspec.Struct, frozen=True):
    """A link as it is kept; the token is not."""

    id: str
    job: str
    paper: str
    """SHA-256 of the paper."""
    title: str
    """The paper's name, in its language."""
    language: str
    pages: str
    """SHA-256 of the paper's pages as drawings."""
    printed: str
    """When the paper was made."""
    reader: Reader
    sender: str
    """From whom, in the sender's words."""
    made: str
    until: str
    revoked: str = ""
    """When it was taken back; empty while it was not."""
    views: int = 0
    last: str = ""
    """When it was used last."""


class LinkView(msgspec.Struct, frozen=True):
    """One use of a link: the page opened, the paper read on screen, or saved as a file."""

    at: str
    seen: Seen


class PaperLinks:
    """The links of a record.

    Parameters
    ----------
    database : Database
        The record's file.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    def make(
        self, of: MadePaper, reader: Reader, *, sender: str, days: int, at: str
    ) -> tuple[PaperLink, str]:
        """Return a new link with its token, which is not kept and cannot be told again.

        Parameters
        ----------
        of : MadePaper
            The paper, as it is kept.
        reader : {"owner", "tenant", "trade"}
            For whom it is.
        sender : str
            From whom, in the sender's words.
        days : int
            How long it is good. [day]
        at : str
            Now, ISO 8601 with offset.

        Raises
        ------
        StoreError
            If it would last too long, or the job has too many.
        """
        if reader not in READERS or not 1 <= days <= MOST_DAYS:
            raise StoreError(f"a link is for {', '.join(READERS)}, for 1 to {MOST_DAYS} days")
        token, key = secrets.token_urlsafe(32), f"lnk_{secrets.token_hex(8)}"
        until = (instant(at) + timedelta(days=days)).isoformat(timespec="seconds")
        row = {
            "id": key, "token": digest(token), "job": of.job, "paper": of.digest, "reader": reader,
            "sender": sender, "made": at, "until": until, "ends": _seconds(until), "revoked": "",
            "views": 0, "last": "",
        }  # fmt: skip
        held = select(func.count()).select_from(link).where(link.c.job == of.job, _good(at))
        with self._database.writing() as connection:
            if connection.execute(held).scalar_one() >= MOST_LINKS:
                raise StoreError(f"a job has at most {MOST_LINKS} links; take one back")
            connection.execute(link.insert(), [row])
        return next(one for one in self.of(of.job) if one.id == key), token

    def of(self, job: str) -> tuple[PaperLink, ...]:
        """Return the links of a job, those that have ended too, the newest first."""
        chosen = _links().where(link.c.job == job).order_by(link.c.n.desc())
        with self._database.reading() as connection:
            return tuple(map(_link, connection.execute(chosen)))

    def revoke(self, job: str, link_id: str, *, at: str) -> PaperLink | None:
        """Take a link back for good; None where the job has no such link.

        Parameters
        ----------
        job, link_id : str
            Which.
        at : str
            Now, ISO 8601 with offset.
        """
        which = link.c.job == job, link.c.id == link_id
        with self._database.writing() as connection:
            change = update(link).where(*which, link.c.revoked == "").values(revoked=at)
            connection.execute(change)
            row = connection.execute(_links().where(*which)).first()
        return None if row is None else _link(row)

    def ended(self, one: PaperLink, at: str) -> bool:
        """Whether a link's time is over.

        Parameters
        ----------
        one : PaperLink
            The link.
        at : str
            Now, ISO 8601 with offset.
        """
        return _seconds(one.until) <= _seconds(at)

    def views(self, job: str, link_id: str) -> tuple[LinkView, ...]:
        """Return when a link of a job was used, the first first; the first 500 are kept."""
        chosen = (
            select(link_view)
            .join(link, link.c.id == link_view.c.link)
            .where(link.c.job == job, link.c.id == link_id)
            .order_by(link_view.c.n)
        )
        with self._database.reading() as connection:
            return tuple(
                LinkView(row.at, cast(Seen, row.seen)) for row in connection.execute(chosen)
            )

    def use(self, token: str, seen: Seen, *, at: str) -> PaperLink | None:
        """Return the link of a token, and note that its paper was looked at.

        None alike for a token that never was, has ended or was taken back.

        Parameters
        ----------
        token : str
            What stands in the link.
        seen : {"opened", "read", "saved"}
            What is done with it.
        at : str
            Now, ISO 8601 with offset.
        """
        chosen = _links().where(link.c.token == digest(token), _good(at), paper.c.n.is_not(None))
        with self._database.reading() as connection:  # so that guesses hold up no writer
            row = connection.execute(chosen).first()
        if row is None:
            return None
        with self._database.writing() as connection:
            change = update(link).where(link.c.id == row.id)
            connection.execute(change.values(views=link.c.views + 1, last=at))
            if row.views < MOST_VIEWS:
                connection.execute(link_view.insert(), [{"link": row.id, "at": at, "seen": seen}])
        return _link(row)


def forget_links(connection: Connection, *, at: str) -> None:
    """End every link.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`.
    at : str
        Now, ISO 8601 with offset.
    """
    change = update(link).where(link.c.revoked == "").values(revoked=at)
    connection.execute(change)


def _links() -> Select[Any]:
    """Choose links with what is kept of their papers; nothing of a paper that is gone."""
    told = {"title": paper.c.title, "language": paper.c.language, "pages": paper.c.pages,
            "printed": paper.c.made}  # fmt: skip
    beside = [func.coalesce(column, "").label(name) for name, column in told.items()]
    same = (paper.c.job == link.c.job) & (paper.c.digest == link.c.paper)
    return select(link, *beside).join(paper, same, isouter=True)


def _good(at: str) -> Any:
    return (link.c.revoked == "") & (link.c.ends > _seconds(at))


def _seconds(at: str) -> float:
    return instant(at).timestamp()


def _link(row: Any) -> PaperLink:
    return PaperLink(**{name: getattr(row, name) for name in PaperLink.__struct_fields__})
