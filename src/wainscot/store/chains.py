"""Each device's chain of events: how far it goes, and where it has a gap or forks.

A device numbers its events from 1 and each names the one before.  A number that is not there is a
gap (it may still come); a number that stands twice is a fork (a phone was restored from a copy); an
event that names another before it than the one that is there is a break.  All are kept and told;
the fold needs none of them to be mended.

>>> [one] = chains([Link("a1", "van", 1, ""), Link("a3", "van", 3, "a2")])
>>> one.last, one.gaps, one.heads
(3, ((2, 2),), ('a1', 'a3'))
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec


class Link(msgspec.Struct, frozen=True, order=True):
    """An event as one link: its id, device, number, and the id before it."""

    id: str
    device: str
    seq: int
    prev: str


class Chain(msgspec.Struct, frozen=True):
    """One device's events.

    ``gaps`` are runs of numbers that are not there, first and last; ``forks`` numbers that stand
    more than once; ``breaks`` ids of events whose ``prev`` is not the event before; ``heads`` ids
    that no event of the device names as the one before.
    """

    device: str
    count: int
    last: int
    heads: tuple[str, ...]
    gaps: tuple[tuple[int, int], ...] = ()
    forks: tuple[int, ...] = ()
    breaks: tuple[str, ...] = ()

    @property
    def whole(self) -> bool:
        """Whether nothing is missing and nothing stands twice."""
        return not (self.gaps or self.forks or self.breaks)


def chains(links: Iterable[Link]) -> tuple[Chain, ...]:
    """Return every device's chain, by device.

    Parameters
    ----------
    links : iterable of Link
        All events, in any order, each once.
    """
    by_device: dict[str, list[Link]] = {}
    for link in links:
        by_device.setdefault(link.device, []).append(link)
    return tuple(_chain(device, by_device[device]) for device in sorted(by_device))


def _chain(device: str, links: Sequence[Link]) -> Chain:
    by_seq: dict[int, list[Link]] = {}
    for link in sorted(links):
        by_seq.setdefault(link.seq, []).append(link)
    named = {link.prev for link in links}
    return Chain(
        device=device,
        count=len(links),
        last=max(by_seq),
        heads=tuple(sorted(link.id for link in links if link.id not in named)),
        gaps=tuple(_gaps(sorted(by_seq))),
        forks=tuple(seq for seq in sorted(by_seq) if len(by_seq[seq]) > 1),
        breaks=tuple(sorted(link.id for link in links if not _follows(link, by_seq))),
    )


def _gaps(numbers: Sequence[int]) -> Iterable[tuple[int, int]]:
    for before, after in zip([0, *numbers], numbers, strict=False):
        if after > before + 1:
            yield before + 1, after - 1


def _follows(link: Link, by_seq: dict[int, list[Link]]) -> bool:
    if link.seq == 1:
        return not link.prev
    before = by_seq.get(link.seq - 1)
    return bool(link.prev) and (before is None or link.prev in [one.id for one in before])
