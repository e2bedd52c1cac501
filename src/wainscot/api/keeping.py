"""A paper that was made, put where it is kept."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from wainscot.api.paper_shapes import PaperAbout
from wainscot.papers.making import Made
from wainscot.store import MadePaper, Store, keep_paper


def kept(store: Store, now: Callable[[], str], job: str, account: str, made: bytes) -> bytes:
    """Keep what :func:`wainscot.api.walking.paper` made, and tell of it as JSON.

    Parameters
    ----------
    store : Store
        The record.
    now : callable
        Gives the time, ISO 8601 with offset.
    job : str
        Of which job.
    account : str
        Who had it made.
    made : bytes
        A ``Made`` as MessagePack.
    """
    one, moment = msgspec.msgpack.decode(made, type=Made), now()
    pdf, pages = (store.blobs.put(each, received=moment) for each in (one.pdf, one.pages))
    row = MadePaper(job, pdf, one.kind, one.language, one.size, one.title, pages, one.sheets,
                    one.version, moment, account)  # fmt: skip
    return msgspec.json.encode(about(keep_paper(store, row), one.version))


def about(one: MadePaper, now: str) -> PaperAbout:
    """Return a made paper as it is told of.

    Parameters
    ----------
    one : MadePaper
        The paper.
    now : str
        Version of the job as it stands.
    """
    return PaperAbout(one.digest, one.kind, one.language, one.size, one.title, one.sheets,
                      one.version, one.made, one.version != now)  # fmt: skip
