"""Stages "seal" and "watch": closing every way in, and proving that it is over.

Limits: the seal list is that of the likelier species as built; how many rounds of traps it takes is
a judgement until the traps have said more.
"""

from __future__ import annotations

import math

import numpy as np

from wainscot.estimate.model import Line, Scope, When
from wainscot.estimate.taking import Taking
from wainscot.openings.judging_draws import chance_of
from wainscot.sources import judged

CAME_IN = When("came in")
IN_USE = When("in use now")
LEAST_TRAPS = judged(4.0, "each", "fewer tell nothing")
TRAP_WHERE = judged(0.2, "1", "a trap at each void that is in use now with this chance or more")


def sealing(scope: Scope) -> list[Line]:
    """Return the lines of the seal list.

    Parameters
    ----------
    scope : Scope
        The answers so far.
    """
    if scope.seals is None or not scope.seals.seals:
        return []
    taking, list_ = Taking("seal", scope.book), scope.seals
    grade = f"seal list, {list_.species}, {list_.grade}"
    lines: list[Line] = []
    for one in list_.seals:
        lines += taking.hours(one.key, f"close {one.words}", one.hours, grade, CAME_IN)
        lines += taking.bought(
            f"material {one.key}",
            one.material or "material",
            one.places,
            "seal",
            f"{grade}: {one.places} places",
            CAME_IN,
        )
    hours = list_.hours
    days = math.ceil(hours / (scope.book.business.day.value * scope.book.business.crew.value))
    return [
        *taking.visits("visit", "there and back", days, f"{hours:.1f} h of seals", CAME_IN),
        *lines,
    ]


def watching(scope: Scope) -> list[Line]:
    """Return the lines of the traps: rounds that every job needs, and those while any is caught.

    Parameters
    ----------
    scope : Scope
        The answers so far.
    """
    book, taking = scope.book, Taking("watch", scope.book)
    now = np.array(
        [
            chance_of(scope.draws.reach[:, v] == 2, scope.draws.weight)
            for v in range(len(scope.graph.keys))
        ]
    )
    likely = int(((now >= TRAP_WHERE.value) & scope.graph.hidden).sum())
    traps = max(LEAST_TRAPS.value, likely)
    basis = f"a trap at each of {likely} voids likely in use, {LEAST_TRAPS.value:.0f} at least"
    quiet, busy = book.business.rounds_quiet.value, book.business.rounds_in_use.value
    each = traps * book.labour.trap.value
    return [
        *taking.bought("traps", "traps", traps, "trap", basis, CAME_IN),
        *taking.visits(
            "rounds",
            "there and back, rounds of the traps",
            quiet,
            f"{quiet:.0f} rounds where nothing is caught",
            CAME_IN,
        ),
        *taking.hours("look", "set and look at the traps", each * quiet, basis, CAME_IN),
        *taking.visits(
            "more rounds",
            "there and back, further rounds",
            busy,
            f"{busy:.0f} more while animals are in",
            IN_USE,
        ),
        *taking.hours("look again", "look at the traps again", each * busy, basis, IN_USE),
    ]
