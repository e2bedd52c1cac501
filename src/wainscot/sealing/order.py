"""In which order to seal, so that no animal is shut in, and what is never closed.

    for step in order_of(seal_list, in_use=0.7): print(step.words)

The order is common practice, no source: close everything but the way they use, trap there, wait
until it is quiet or leave a one-way door, close the last one, then watch on both sides.

Limits: how long "quiet" is comes from ``all_clear``; a one-way door is nothing where young may be
inside.
"""

from __future__ import annotations

from collections.abc import Iterable

from wainscot.access.model import DEFER
from wainscot.diagnosis.answer import EntryAnswer
from wainscot.sealing.model import Seal, SealList, Step
from wainscot.sources import judged

QUIET = judged(0.05, "1", "chance of animals in use below which the last way in may be closed")


def used_ways(entries: Iterable[EntryAnswer]) -> frozenset[str]:
    """Return the keys of the seals at ways that are likely used now.

    Parameters
    ----------
    entries : iterable of EntryAnswer
        What the diagnosis thinks of them; a pool of undrawn ways stands for the edge to go along.
    """
    likely = [one for one in entries if one.now >= QUIET.value]
    return frozenset(
        one.id if one.sort == "entry point" else f"edge/{one.id.partition(': ')[2]}"
        for one in likely
    )


def order_of(
    found: SealList,
    *,
    used: frozenset[str] = frozenset(),
    in_use: float,
    cannot_wait: frozenset[str] = frozenset(),
    trap_confirmed_quiet: bool = False,
) -> tuple[Step, ...]:
    """Return the order of a seal list.

    Parameters
    ----------
    found : SealList
        The list.
    used : frozenset of str
        Keys of the seals at ways that are likely used now; all of them where it is empty and
        animals may be inside.
    in_use : float
        Chance that animals move inside now. [1]
    cannot_wait : frozenset of str
        Keys of seals that part a nest from a place where it may not stay near, such as a nursery;
        they need not be on the list.
    trap_confirmed_quiet : bool
        Whether traps at the ways in use have shown that it is quiet.

    Raises
    ------
    ValueError
        If the chance does not lie between 0 and 1.
    """
    if not 0.0 <= in_use <= 1.0:
        raise ValueError(f"a chance lies between 0 and 1, not {in_use}")
    keys = {one.key for one in found.seals}
    ways = [one for one in found.seals if one.sort == "entry point"]
    last = (used & keys) or frozenset(one.key for one in ways) or keys
    quiet = in_use < QUIET.value or trap_confirmed_quiet
    steps: list[Step] = []
    stays = frozenset[str]() if quiet else last
    urgent = cannot_wait - stays
    if urgent:
        words = (
            "part the nest from the place that cannot wait; this does not shut the animals in, "
            "their own way out stays open"
        )
        steps.append(Step("now", words, tuple(sorted(urgent))))
    early = keys - urgent - stays
    if early:
        words = "close these" if quiet else "close these; the ways in use stay open"
        steps.append(Step("before the last", words, tuple(sorted(early))))
    if not quiet and not keys:
        steps.append(Step("trap", "set traps inside, where they run; every drawn way in is closed"))
    elif not quiet:
        steps += [
            Step("trap", "set traps at the ways that stay open, inside and along the run to them"),
            Step("quiet", "wait until the traps say it is quiet, or fit a one-way door; not where "
                 "young may be inside"),
            Step("last", "close the last ways in", tuple(sorted(last))),
        ]  # fmt: skip
    steps.append(Step("watch", f"watch on both sides of every seal. {DEFER}"))
    return tuple(steps)


def not_yet_closed(found: SealList, steps: tuple[Step, ...]) -> tuple[Seal, ...]:
    """Return the seals that no step closes; empty unless one was left out.

    Parameters
    ----------
    found : SealList
        The list.
    steps : tuple of Step
        Its order.
    """
    done = {key for step in steps for key in step.seals}
    return tuple(one for one in found.seals if one.key not in done)
