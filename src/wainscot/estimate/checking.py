"""Stage "check first": the checks of the next visit, and the way there."""

from __future__ import annotations

from wainscot.estimate.model import Line, Scope, When
from wainscot.estimate.taking import Taking

ALWAYS = When("always")


def checking(scope: Scope) -> list[Line]:
    """Return the lines of the checks that pay, or none where it is time to open.

    Parameters
    ----------
    scope : Scope
        The answers so far.
    """
    result = scope.checks
    if result is None or not result.visit:
        return []
    taking, by_access = Taking("check first", scope.book), {c.access: c for c in result.checks}
    chosen = [by_access[step.access] for step in result.visit]
    later = any(one.nights for one in chosen)
    lines = taking.visits(
        "visit",
        "there and back",
        1 + later,
        "one visit of checks" + (", one to fetch what was left overnight" if later else ""),
        ALWAYS,
    )
    for one in chosen:
        lines += taking.hours(
            one.access, one.doing, one.minutes / 60, f"{one.minutes:.0f} min on site", ALWAYS
        )
    return lines
