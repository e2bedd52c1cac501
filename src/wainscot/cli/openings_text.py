"""The openings in words for a terminal, briefly: what three sets cost and leave, the first lines.

The balanced set is told line by line, what has to be settled before any cut above it; a line that
hangs on one of the next checks says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from wainscot import chance
from wainscot.checks.words import spans
from wainscot.cli.frame import Frame
from wainscot.openings.words import disturbs, doing, grouped, money, risk, standing

if TYPE_CHECKING:
    from wainscot.checks import Check
    from wainscot.openings import Choice, Opening, Point

BRIEF = 4
"""Lines of the balanced set that the answer names."""
MOST_NAMED = 6
"""Voids named in one line."""
_STANDINGS = {"find out": "Before any cut find out", "stop": "Stop until signed for:"}


def brief(
    choice: Choice, checks: Sequence[Check], rooms: dict[str, str], out: Frame, *,
    everything: bool = False,
) -> None:  # fmt: skip
    """Write the three sets as a table, then the balanced one line by line.

    Parameters
    ----------
    choice : Choice
        The openings.
    checks : sequence of Check
        The next checks as they are numbered in the answer; empty where none pays.
    rooms : dict of str
        Names of the rooms by id.
    out : Frame
        Where it goes.
    everything : bool
        Every line of the balanced set instead of the first ones.
    """
    _sets(choice, out)
    for text in _left(choice):
        out.paragraph(text, "  ")
    groups = grouped(choice)
    if not groups:
        out.paragraph("Nothing is worth opening on what is known.", "  ")
        return
    out.paragraph(f"The balanced set. {standing(choice)}", "  ")
    told = groups if everything else groups[:BRIEF]
    out.paragraph(_holds(told), "  ")
    for place, some in enumerate(told, 1):
        out.paragraph(_line(some, choice.currency, checks, rooms), f"{place:>3}  ")
    if len(groups) > len(told):
        out.line(f"  and {len(groups) - len(told)} more (--all)")


def _sets(choice: Choice, out: Frame) -> None:
    unit = choice.currency or "hours"
    out.line(f"  {'':<13}{'open':>5}{'voids':>7}{unit:>8}    leaves soil  heavy or a nest")
    for one in (choice.least, choice.balanced, choice.all_of_it):
        out.line(f"  {_row(one)}")


def _row(one: Point) -> str:
    return (
        f"{one.name:<13}{len(one.openings):>5}{one.voids:>7}{one.cost:>8,.0f}"
        f"{chance.percent(one.avoidable):>15}{chance.percent(one.heavy_avoidable):>17}"
    )


def _left(choice: Choice) -> list[str]:
    """What no set gets at, what the owner declined, what comes on top of the signature."""
    out = []
    if choice.not_reached:
        named = spans(choice.not_reached, MOST_NAMED)
        any_of = chance.percent(choice.not_reached_chance)
        out.append(f"Beside that, no opening reaches {named}: {any_of} in 100 that any is soiled.")
    out += [risk(one, choice.currency) for one in choice.declined]
    if choice.known_clean:
        out.append(f"Opened and clean: {spans(choice.known_clean, MOST_NAMED)}.")
    if choice.open_already:
        out.append(f"Open, to be cleaned: {spans(choice.open_already, MOST_NAMED)}.")
    if choice.change_order is not None:
        more = money(choice.change_order, choice.currency)
        out.append(f"Change order, beyond what is authorised: {more}.")
    return out


def _holds(groups: Sequence[list[Opening]]) -> str:
    """What must be settled before the lines that are told, each once."""
    parts = []
    for standing_of, words in _STANDINGS.items():
        places: dict[str, list[int]] = {}
        for place, some in enumerate(groups, 1):
            for hazard in {h.hazard for o in some for h in o.holds if h.standing == standing_of}:
                places.setdefault(hazard, []).append(place)
        by_places: dict[tuple[int, ...], list[str]] = {}
        for hazard in sorted(places):
            by_places.setdefault(tuple(places[hazard]), []).append(hazard)
        said = [f"{', '.join(some)} ({spans(_texts(at), MOST_NAMED)})"
                for at, some in by_places.items()]  # fmt: skip
        parts += [f"{words} {'; '.join(said)}."] if said else []
    return " ".join([*parts, "Read TAKE CARE, below."])


def _texts(places: tuple[int, ...]) -> tuple[str, ...]:
    return tuple(str(place) for place in places)


def _line(
    some: list[Opening], currency: str, checks: Sequence[Check], rooms: dict[str, str]
) -> str:
    first = some[0]
    best = "" if len(some) == 1 else "the likeliest "
    parts = [
        money(sum(one.cost for one in some), currency),
        f"{best}{chance.percent(first.chance)} in 100 that it finds soil",
        *disturbs(some, rooms),
        *([f"authorised by {first.signed_by}"] if first.status == "authorised" else []),
        *(["change order"] if first.status == "change order" else []),
        *_waits(some, checks),
    ]
    return f"{doing(some)}: {'; '.join(parts)}"


def _waits(some: list[Opening], checks: Sequence[Check]) -> list[str]:
    """Which check to do before these openings: their voids hang on what it shows."""
    labels = {label for one in some for label in (*one.voids, *one.partly)}
    hang = [str(n) for n, check in enumerate(checks, 1) if labels & set(check.settles)]
    many = "s" if len(hang) > 1 else ""
    return [f"check{many} {_joined(hang)} first"] if hang else []


def _joined(said: list[str]) -> str:
    return " and ".join([", ".join(said[:-1]), said[-1]] if len(said) > 1 else said)
