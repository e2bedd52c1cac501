"""Containment and cleaning on one page of text that a crew leader works from.

    page(job.title, work)       # at most LINES lines of WIDTH characters

What must be signed comes first.  Where rooms or voids are too many for the page, the largest are
named and the rest counted; ``work.json`` has them all.

Limits: English only; plain text, so that any printer and any phone shows it.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Sequence

from wainscot.access.model import DEFER
from wainscot.cleaning.of_job import Work
from wainscot.cleaning.planning import Amount
from wainscot.cleaning.words import amounts_total, film_line, product_line, short_stops
from wainscot.containment import Containment
from wainscot.containment.words import CFM, assumed_briefly

WIDTH, LINES = 100, 66
_FEWEST = 4
_HALF = WIDTH // 2 - 1
_HEADS = ("room", "m2", "m3", "sheet m2", "floor m2", "tape m", "zip doors",
          "exhaust m3/h (ft3/min)", "units", "purge min")  # fmt: skip


def page(title: str, work: Work) -> str:
    """Return the page; empty if nothing is to be opened.

    Parameters
    ----------
    title : str
        Of the job.
    work : Work
        Containment and cleaning.
    """
    if not work.voids:
        return ""
    head = _top(title, work)
    contained = _containment(work)
    cleaned = _cleaning(work)
    fixed = len(head) + sum(len(one) for one in (*contained, *cleaned))
    left = LINES - fixed
    amounts = work.cleaning.amounts if work.cleaning else ()
    rooms, voids = _shared(left, len(work.containments), -(-len(amounts) // 2))
    lines = [
        *head, *contained[0], *_rooms(work.containments, rooms), *contained[1], *cleaned[0],
        *_amounts(amounts, voids), *cleaned[1],
    ]  # fmt: skip
    return "\n".join(lines) + "\n"


def _shared(left: int, rooms: int, voids: int) -> tuple[int, int]:
    """Return how many lines rooms and voids get of those that are left, a few each at least."""
    for_rooms = min(rooms, max(_FEWEST, left - voids, left // 2))
    return for_rooms, max(_FEWEST, left - for_rooms)


def _wrapped(text: str, rest: str = "  ") -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=rest, break_on_hyphens=False)


def _all(texts: Iterable[str]) -> list[str]:
    return [line for text in texts for line in _wrapped(text)]


def _top(title: str, work: Work) -> list[str]:
    return [
        *_wrapped(f"{title or 'Job'}: contain and clean", "")[:2],
        *_wrapped(f"SIGN FIRST, no fan and no wetting before. {DEFER}"),
        *_all(short_stops(work.holds)),
    ]  # fmt: skip


def _containment(work: Work) -> tuple[list[str], list[str]]:
    """Return what stands over and under the table of rooms."""
    if not work.containments:
        return [], []
    over = ["", "CONTAIN, one room at a time, upper floors first", _row(_HEADS)]
    warnings = dict.fromkeys(one for each in work.containments for one in each.warnings)
    return over, _all([assumed_briefly(work.containments[0]), *warnings])


def _row(cells: Sequence[str]) -> str:
    name, *rest = cells
    wide = [max(len(head), 4) for head in _HEADS[1:]]
    numbers = " ".join(f"{one:>{size}}" for one, size in zip(rest, wide, strict=True))
    room = WIDTH - len(numbers) - 2
    return f"{name[:room]:<{room}}  {numbers}"


def _rooms(contained: Sequence[Containment], most: int) -> list[str]:
    return _named(contained, most, _room, lambda rest: f"and {len(rest)} more rooms (work.json)")


def _room(one: Containment) -> str:
    work, sheets, drawn = one.work, one.sheets, one.exhaust
    return _row((
        ", ".join(work.names), f"{work.floor:.1f}", f"{work.volume:.0f}", f"{sheets.sheet:.0f}",
        f"{sheets.floor:.0f}", f"{sheets.tape:.0f}", f"{sheets.zip_doors}",
        f"{drawn.flow * 3600:.0f} ({drawn.flow * CFM:.0f})", f"{drawn.units}",
        f"{one.purge_minutes:.0f}",
    ))  # fmt: skip


def _named(
    every: Sequence[Containment], most: int, tell: Callable[[Containment], str],
    rest: Callable[[Sequence[Containment]], str],
) -> list[str]:  # fmt: skip
    if len(every) <= most:
        return [tell(one) for one in every]
    return [*(tell(one) for one in every[: most - 1]), rest(every[most - 1 :])]


def _cleaning(work: Work) -> tuple[list[str], list[str]]:
    """Return what stands over and under the list of voids."""
    found = work.cleaning
    if found is None:
        waits = [f"Waits: {one.what}; {one.cure}." for one in work.waits]
        return ["", "CLEAN", *_all(waits[:8])], []
    over = ["", "CLEAN", *_all([product_line(found.label)])]
    over += _all(f"{n}. {step}" for n, step in enumerate(found.steps, 1))
    over += _wrapped(f"Wear: {', '.join(found.protection)}.")
    over.append("Place, m2, L if soiled all over; wet what is soiled and what lies under it:")
    air = f"at {work.temperature - 273.15:.0f} C, {100 * work.humidity:.0f} % (assumed: measure)"
    under = _all([
        f"{amounts_total(found)} {film_line(found.film, air)}",
        f"Waste: bags: {found.bags}, doubled; about {found.weight:.0f} kg. "
        + " ".join(found.streams),
        f"Van: {'; '.join(found.van)}.",
        f"Log: {'; '.join(found.log)}. {' '.join(found.warnings)}",
    ])  # fmt: skip
    return over, under


def _amounts(amounts: Sequence[Amount], lines: int) -> list[str]:
    """Return voids in two columns, the largest first where not all have a place."""
    if len(amounts) > 2 * lines:
        ranked = sorted(amounts, key=lambda one: -one.solution)
        kept, rest = ranked[: 2 * lines - 1], ranked[2 * lines - 1 :]
        area, litres = (sum(getattr(one, name) for one in rest) for name in ("area", "solution"))
        cells = [*map(_amount, kept), f"and {len(rest)} more: {area:.0f} m2, {litres:.0f} L"]
    else:
        cells = [*map(_amount, amounts)]
    half = -(-len(cells) // 2)
    right = [*cells[half:], ""][:half]
    return [f"{a:<{_HALF}}  {b}".rstrip() for a, b in zip(cells[:half], right, strict=True)]


def _amount(one: Amount) -> str:
    figures = f"{one.area:.1f} {one.solution:.1f}"
    room = _HALF - len(figures) - 1
    return f"{one.place[:room]:<{room}} {figures}"
