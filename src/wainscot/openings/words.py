"""The openings in words: three sets, then the balanced one line by line, then what is left."""

from __future__ import annotations

from wainscot import chance
from wainscot.checks.words import spans
from wainscot.openings.choosing import Choice, Left, Opening
from wainscot.openings.plans import Point
from wainscot.openings.signed import WORDS

MOST_LINES = 20
MOST_SPANS = 12


def lines(choice: Choice, most: int = MOST_LINES) -> list[str]:
    """Return the choice as text.

    Parameters
    ----------
    choice : Choice
        What :func:`wainscot.openings.choose` found.
    most : int
        Lines of openings that are told.
    """
    sets = (choice.least, choice.balanced, choice.all_of_it)
    out = [f"{choice.soiled:.1f} soiled voids are expected that do not lie open yet."]
    out += [sentence(point, choice.currency) for point in sets]
    return [*out, *balanced(choice, most), *left(choice), *compared(choice)]


def sentence(point: Point, currency: str) -> str:
    """Return a set in words: how much, what it costs, what it may leave behind."""
    count = len(point.openings)
    gap = "" if point.gap is None else f" (at most {100 * point.gap:.1f} % from the best there is)"
    error = f", +/- {100 * point.error:.0f} in 100" if point.error >= 0.005 else ""
    return (
        f"{point.name.capitalize()}: {count} opening{'' if count == 1 else 's'}, {point.voids} "
        f"voids laid open, {money(point.cost, currency)}{gap}. Leaves a soiled void behind: "
        f"{chance.in_ten(point.missed)}{error} (one that an opening reaches: "
        f"{chance.in_ten(point.avoidable)}); heavy soil or a nest: {chance.in_ten(point.heavy)}. "
        f"Expected: {point.number:.1f} soiled voids missed, "
        f"{money(point.loss_left, currency)} of callbacks."
    )


def standing(choice: Choice) -> str:
    """Return how the openings of the balanced set stand with the owner."""
    wanted = set(choice.balanced.openings)
    signed = sum(one.status == "authorised" for one in choice.openings if one.id in wanted)
    if not signed:
        said = "None of it is authorised yet: nobody cuts."
    elif signed == len(wanted):
        said = "All of it is authorised."
    else:
        said = f"{signed} of {len(wanted)} openings are authorised; at the others nobody cuts."
    return said


def grouped(choice: Choice) -> list[list[Opening]]:
    """Return the openings of the balanced set, alike ones of one place together."""
    wanted = set(choice.balanced.openings)
    groups: dict[tuple[str, ...], list[Opening]] = {}
    for one in choice.openings:
        if one.id in wanted:
            groups.setdefault(_alike(one), []).append(one)
    return list(groups.values())


def balanced(choice: Choice, most: int = MOST_LINES) -> list[str]:
    """Return the balanced set, alike openings of one place in one line."""
    told = [line(some, choice.currency) for some in grouped(choice)]
    if not told:
        return ["Nothing is worth opening on what is known."]
    rest = len(told) - most
    return [
        f"The balanced set. {standing(choice)}",
        *(f"{n}. {each}" for n, each in enumerate(told[:most], 1)),
        *([f"and {rest} more lines (--all)"] if rest > 0 else []),
    ]


def _alike(one: Opening) -> tuple[str, ...]:
    entered = [charge.of for charge in one.charges if charge.kind == "enter"]
    return (one.act, one.room, one.status, one.signed_by, *entered, *one.kept)


def doing(some: list[Opening]) -> str:
    """Return what is done at openings of one sort at one place."""
    if len(some) == 1:
        return some[0].words
    labels = tuple(dict.fromkeys(label for one in some for label in (*one.voids, *one.partly)))
    act = some[0].words.partition(":")[0].partition(",")[0]
    return f"{act}, {len(some)} times: {spans(labels, MOST_SPANS)}"


def disturbs(some: list[Opening], names: dict[str, str] | None = None) -> list[str]:
    """Return what openings take from those who live there, beside the hours."""
    taken = {(charge.kind, charge.of) for one in some for charge in one.charges}
    out = []
    if ("room", some[0].room) in taken:
        out.append(f"{(names or {}).get(some[0].room, 'the room')} out of use")
    return [*out, *(["water off"] if ("water", "") in taken else [])]


def line(some: list[Opening], currency: str) -> str:
    """Return openings of one sort at one place in one line."""
    first = some[0]
    likeliest = "" if len(some) == 1 else "the likeliest "
    parts = [
        f"{likeliest}{chance.percent(first.chance)} in 100 that it finds soil",
        f"{money(sum(one.cost for one in some), currency)} beside what is shared",
        *disturbs(some),
    ]
    if first.status != "planned":
        parts.append(WORDS[first.status] + (f" by {first.signed_by}" if first.signed_by else ""))
    holds = [h.hazard for one in some for h in one.holds if h.standing != "care"]
    if holds:
        parts.append(f"first: {', '.join(dict.fromkeys(holds))}")
    verdicts = [verdict for one in some for verdict in one.limits]
    parts += dict.fromkeys(verdict.needs for verdict in verdicts if verdict.needs)
    parts += dict.fromkeys(f"SET ASIDE: {v.rule}, {v.overridden}" for v in verdicts if v.overridden)
    if first.kept:
        parts.append(f"touches what is kept: {', '.join(first.kept)}")
    number = f" [{first.id}]" if len(some) == 1 else ""
    return f"{doing(some)}: {'; '.join(parts)}{number}"


def money(value: float, currency: str) -> str:
    """Return an amount, or hours where the book names no currency.

    Parameters
    ----------
    value : float
        The amount. [currency]
    currency : str
        Its code; empty where money is counted in hours.
    """
    return f"{value:,.0f} {currency}" if currency else f"{value:.1f} hours"


def compared(choice: Choice) -> list[str]:
    """Return what simpler rules would do, one line each."""
    return ["Compared with:", *(sentence(point, choice.currency) for point in choice.compared)]


def risk(one: Left, currency: str) -> str:
    """Return a declined opening with the risk that it leaves, as a sentence."""
    said = f"Declined ({one.said}): {one.words}"
    if not one.voids:
        return f"{said}; what it would show is reached another way, or no longer asked."
    return (
        f"{said}; {chance.percent(one.chance)} in 100 that it leaves soil, "
        f"{money(one.loss, currency)} of callbacks."
    )


def left(choice: Choice) -> list[str]:
    """Return what stays: change order, declined work, what lies open, what nothing reaches."""
    out = []
    if choice.change_order is not None:
        more = money(choice.change_order, choice.currency)
        out.append(f"Beyond what is authorised this costs {more}: a change order.")
    out += [f"{risk(one, choice.currency)} [{one.id}]" for one in choice.declined]
    out += [f"Drawn cut {one.id}, not among these: {one.words}" for one in choice.own_cuts
            if not one.fits]  # fmt: skip
    if choice.open_already:
        out.append(f"Open already, to be cleaned: {spans(choice.open_already, MOST_LINES)}.")
    if choice.known_clean:
        out.append(f"Opened and seen clean: {spans(choice.known_clean, MOST_LINES)}.")
    if choice.not_reached:
        out.append(
            f"No opening offered or allowed reaches enough of "
            f"{spans(choice.not_reached, MOST_LINES)}; "
            f"{chance.percent(choice.not_reached_chance)} in 100 that any of them is soiled."
        )
    if choice.kept:
        out.append(f"Left alone because it is kept: {', '.join(choice.kept)}.")
    out.append(
        f"Judged, nobody published it: {'; '.join(choice.judged)}. "
        f"From {choice.draws} draws, {choice.candidates} openings."
    )
    return out
