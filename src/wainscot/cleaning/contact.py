"""Contact time as it happened: start, wet again, end.  Too short is failed and stays in sight.

spans([Moment(0, "start", "k1"), Moment(9, "wet again", "k1"), Moment(12, "end", "k1")], 10)
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import msgspec

from wainscot.air.asking import refuse

What = Literal["start", "wet again", "dry seen", "end", "so far"]
"""``so far``: nothing was done; it is still wet at this minute."""


class Moment(msgspec.Struct, frozen=True):
    """Something that was done or seen."""

    minute: float
    """From any beginning. [min]"""
    what: What
    application: str


class Span(msgspec.Struct, frozen=True):
    """What came of one application."""

    application: str
    wet: float
    """Longest time without a break. [min]"""
    needed: float
    """[min]"""
    standing: Literal["done", "failed", "running"]
    words: str


def spans(moments: Iterable[Moment], needed: float) -> tuple[Span, ...]:
    """Return what came of every application.

    Parameters
    ----------
    moments : iterable of Moment
        In any order.
    needed : float
        Contact time of the label. [min]

    Raises
    ------
    InputError
        If one was ended or wetted again before it was started.
    """
    by_name: dict[str, list[Moment]] = {}
    for one in sorted(moments, key=lambda one: one.minute):
        by_name.setdefault(one.application, []).append(one)
    return tuple(_span(name, events, needed) for name, events in by_name.items())


def _span(name: str, events: list[Moment], needed: float) -> Span:
    if events[0].what != "start":
        raise refuse(f"application.{name}", f"{events[0].what} comes before any start",
                     "log when it was first wetted")  # fmt: skip
    wet_since: float | None = None
    longest = 0.0
    for one in events:
        if wet_since is not None:
            longest = max(longest, one.minute - wet_since)
        if one.what in ("dry seen", "end"):
            wet_since = None
        elif wet_since is None and one.what != "so far":
            # Wetted after it had dried: the time begins anew.
            wet_since = one.minute
    enough = longest >= needed - 1e-9
    ended = events[-1].what == "end"
    standing: Literal["done", "failed", "running"] = "running"
    if ended or enough:
        standing = "done" if enough else "failed"
    dried = any(one.what == "dry seen" for one in events)
    return Span(
        name, longest, needed, standing, _words(standing, longest, needed, dried, wet_since)
    )


def _words(
    standing: str, longest: float, needed: float, dried: bool, wet_since: float | None
) -> str:
    time = f"{longest:.0f} of {needed:.0f} min"
    if standing == "done":
        return f"wet for {time}"
    if standing == "failed":
        between = "dried out between, " if dried else ""
        return f"FAILED: {between}wet for {time}; apply it again"
    if wet_since is None:
        return f"seen dry after {time}: wet it again, and its time begins anew"
    return f"not finished: {time} so far"
