"""What one opening costs in hours, and what several of them share.

Paid for each opening: marking out, cutting, closing.  Paid once: setting up a room, finishing a
wall to its corners, going into a crawl space, turning the water off, finding out what a hold point
asks for.

Limits: materials, waste and travel come with the estimate.
"""

from __future__ import annotations

from wainscot.access.model import Act, Charge, ChargeKind, HoldPoint, Target
from wainscot.book import Book, Repair, repair_of

MINUTES = 60.0


def own_minutes(act: Act, target: Target, book: Book) -> tuple[float, float]:
    """Return the minutes to open and those to make good that this opening alone needs.

    Parameters
    ----------
    act : Act
        What is done.
    target : Target
        Where.
    book : Book
        The firm's rates.

    Returns
    -------
    (float, float)
        [min]
    """
    work, repair = book.work, repair_of(book, target.finish)
    base: float = getattr(work, act.work).value
    overhead = _overhead(act, book)
    cut = repair.cut.value * target.area * overhead * work.protected.value if act.breaks else 0.0
    lifted = work.insulation.value * target.lifted * work.protected.value
    if not act.breaks or not act.made_good:
        return MINUTES * (base + cut + lifted), 0.0
    pieces = max(1, len(target.cuts))
    closing = repair.each.value * pieces + repair.close.value * target.area * overhead
    return MINUTES * (base + cut + lifted), MINUTES * closing


def charges(
    act: Act, target: Target, holds: tuple[HoldPoint, ...], book: Book
) -> tuple[Charge, ...]:
    """Return the work that this opening shares with others, sorted by key.

    Parameters
    ----------
    act : Act
        What is done.
    target : Target
        Where.
    holds : tuple of HoldPoint
        What holds there.
    book : Book
        The firm's rates.
    """
    work, found = book.work, []
    if act.breaks and target.room:
        hours = work.set_up_room.value + work.room_day.value
        found.append(_charge("room", target.room, "set up, and out of use for a day", hours))
    if act.breaks and act.made_good and target.surface is not None:
        hours = _finishing(repair_of(book, target.finish), target.surface.area)
        hours *= _overhead(act, book)
        if hours > 0:
            found.append(
                _charge("finish", target.surface.key, f"finish the {target.surface.words}", hours)
            )
    if target.enters:
        found.append(_charge("enter", target.enters, "go in and out", work.enter.value))
    if act.water_off:
        found.append(_charge("water", "", "water off for a day", work.water_day.value))
    found += [
        _charge("hold", hold.key, hold.first, hold.minutes / MINUTES)
        for hold in holds
        if hold.minutes > 0
    ]
    return tuple(sorted(found, key=lambda one: one.key))


def _charge(kind: ChargeKind, of: str, words: str, hours: float) -> Charge:
    return Charge(f"{kind} {of}".rstrip(), kind, of, words, hours)


def _finishing(repair: Repair, area: float) -> float:
    return repair.surface.value + repair.corner.value * area


def _overhead(act: Act, book: Book) -> float:
    return book.work.ladder.value if act.from_part == "ceiling" else 1.0
