"""Checks in words: one line each, the first thing first."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from wainscot import chance
from wainscot.access import Access
from wainscot.access.model import DEFER

if TYPE_CHECKING:
    from wainscot.access import HoldPoint
    from wainscot.checks.ranking import Check, Result

MOST_SPANS = 3
MOST_LINES = 6


def spans(labels: tuple[str, ...], most: int = MOST_SPANS) -> str:
    """Return labels joined where they follow each other: ``F3 to F5, N7 and 2 more``.

    Parameters
    ----------
    labels : tuple of str
        Labels of voids, those that matter most first.
    most : int
        Runs of labels that are named.

    >>> spans(("F4", "N7", "F3", "F5"))
    'F3 to F5 and N7'
    """
    runs: list[list[str]] = []
    for label in sorted(labels, key=_parts):
        if runs and _follows(runs[-1][-1], label):
            runs[-1].append(label)
        else:
            runs.append([label])
    rank_of = {label: place for place, label in enumerate(labels)}
    runs.sort(key=lambda run: min(rank_of[label] for label in run))
    named, rest = runs[:most], sum(len(run) for run in runs[most:])
    parts = [_span(run) for run in named] + ([f"{rest} more"] if rest else [])
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + f" and {parts[-1]}"


def _span(run: list[str]) -> str:
    if len(run) < 3:
        return ", ".join(run)
    return f"{run[0]} to {run[-1]}"


def _parts(label: str) -> tuple[str, int]:
    found = re.fullmatch(r"(\D*)(\d+)", label)
    return (found[1], int(found[2])) if found else (label, -1)


def _follows(one: str, other: str) -> bool:
    first, second = _parts(one), _parts(other)
    return first[0] == second[0] and first[1] >= 0 and second[1] == first[1] + 1


def sentence(check: Check, access: Access, currency: str) -> str:
    """Return a check's line: what to do, what it is worth, what it costs, what it may show."""
    doing = access.words
    if check.first:
        unknown = ", ".join(hold.hazard for hold in access.first)
        doing = f"First find out ({unknown}), then {_small(doing)}"
    parts = [_worth(check, currency), f"costs {_minutes(check.minutes)}"]
    if access.answers:
        telling = "tells which way the framing runs"
    else:
        telling = f"{chance.percent(check.shows)} in 100 that it shows something"
    settles = [f"settles {spans(check.settles)}"] if check.settles else []
    return f"{doing}: {', '.join(parts)}; " + "; ".join([telling, *settles])


def _worth(check: Check, currency: str) -> str:
    if check.moved is not None:
        return f"moves the chances by {100 * check.moved:.0f} points in all"
    if not check.sure:
        return "worth can't tell yet"
    return f"worth {rounded(check.worth)} {currency}"


def rounded(value: float) -> str:
    """Return a worth to two figures: more would claim more than the draws hold.

    Parameters
    ----------
    value : float
        What it is worth. [currency]
    """
    return f"{float(f'{value:.2g}'):.0f}" if value >= 1 else "under 1"


def _minutes(minutes: float) -> str:
    if minutes < 90:
        return f"{minutes:.0f} minutes"
    return f"{minutes / 60:.1f} hours"


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def lines(result: Result, most: int = MOST_LINES) -> list[str]:
    """Return the ranking as text, the best check first.

    Parameters
    ----------
    result : Result
        What :func:`wainscot.checks.ranking.rank` found.
    most : int
        Checks that are told.
    """
    by_id = {check.access: check for check in result.checks}
    first = [by_id[step.access] for step in result.visit]
    others = [check for check in result.checks if check.pays and check not in first]
    paying = [*first, *others][:most]
    out = [f"{place}. {check.words}." for place, check in enumerate(paying, 1)]
    out += in_turn(result, min(most, len(first)))
    if result.time_to_open:
        out += _time_to_open(result)
    elif result.open_labels:
        named = spans(result.open_labels, MOST_LINES)
        out.append(f"Likely enough to open already, unless a look says otherwise: {named}.")
    out += _holds(paying)
    if not result.money:
        out.append("No currency in our rates: order by hours of work, worth told as chances.")
    if result.not_weighed:
        out.append(f"Not weighed (no rates yet): {', '.join(result.not_weighed)}.")
    out.append("Costs leave out fees of surveyors, laboratories and licensed trades.")
    out.append(
        f"Judged, nobody published it: {'; '.join(result.judged)}. From {result.draws} draws."
    )
    return out


def in_turn(result: Result, most: int) -> list[str]:
    """Return why the checks of a visit stand in their order: what each saves after those before.

    Parameters
    ----------
    result : Result
        The ranked checks.
    most : int
        Checks of the visit that are told.
    """
    unit = result.currency or "hours"
    saves = [_saved(step.saves) for step in result.visit[:most]]
    if len(saves) < 2:
        return []
    return [
        f"In this order they save about {', '.join(saves[:-1])} and {saves[-1]} {unit} "
        "beyond their cost."
    ]


def _saved(value: float) -> str:
    """Two figures at most, one where it is small: draws hold no more."""
    return rounded(value) if value >= 10 else f"{value:.1g}"


def _holds(checks: list[Check]) -> list[str]:
    """Return what holds for these checks, each thing once: find out, stop, take care."""
    found: dict[str, HoldPoint] = {}
    for check in checks:
        unknown = {hold.hazard for hold in check.holds if hold.first in check.first}
        for hold in check.holds:
            if hold.standing != "find out" or hold.hazard in unknown:
                found.setdefault(f"{hold.standing} {hold.hazard}", hold)
    order = {"find out": 0, "stop": 1, "care": 2}
    holds = sorted(found.values(), key=lambda hold: (order[hold.standing], hold.hazard))
    out = [_HEADS[hold.standing].format(hold=hold) for hold in holds]
    return [*out, DEFER] if out else []


_HEADS = {
    "find out": "FIND OUT FIRST, {hold.hazard}: {hold.first} ({hold.who}).",
    "stop": "STOP, sign first, {hold.hazard}: {hold.first} ({hold.who}).",
    "care": "CARE, {hold.hazard}: {hold.first}.",
}


def _time_to_open(result: Result) -> list[str]:
    if not result.open_now:
        return ["No look pays for itself, and no void is likely enough to be opened."]
    shown = list(result.open_now[:MOST_LINES])
    rest = len(result.open_now) - len(shown)
    more = [f"and {rest} more"] if rest else []
    return ["Time to open: no look pays for itself.", *(f"Open {void}." for void in shown), *more]
