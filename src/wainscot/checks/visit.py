"""The checks of one visit: the best one, then each the best once those before it are done.

Two holes in one wall tell much the same, so the second is worth less than it would be alone.  What
both show together is weighed as one look with an outcome for every pair, and what the first has
seen is taken off what the second sees.

Limits: the order is chosen before anything is seen; once the first has shown something, ask again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import msgspec
import numpy as np

from wainscot.access import Access
from wainscot.arrays import Floats
from wainscot.checks.outcomes import Outcomes
from wainscot.checks.worth import Singles, saved_by, value_of

if TYPE_CHECKING:
    from wainscot.checks.ranking import Check

MOST_STEPS = 3
MOST_WEIGHED = 12
"""Checks, the best by themselves, from which the next one is taken."""


class Step(msgspec.Struct, frozen=True):
    """One check of a visit."""

    access: str
    """Id of the access."""
    saves: float
    """What it saves beyond its own cost once those before it are done. [currency]"""


def one_visit(
    checks: Sequence[Check], ways: Mapping[str, Access], outcomes: Outcomes, loss: Floats,
    opening: float,
) -> tuple[Step, ...]:  # fmt: skip
    """Return the checks for one visit, at most three; none where no check pays.

    Parameters
    ----------
    checks : sequence of Check
        The ranked checks, the best by itself first.
    ways : mapping of Access
        The ways to look by id.
    outcomes : Outcomes
        Chances of what each may show.
    loss : Floats
        [K, n] cost of leaving each void that matters, by draw. [currency]
    opening : float
        Cost of opening one void. [currency]
    """
    left = [check for check in checks if check.pays][:MOST_WEIGHED]
    if not left:
        return ()
    first = left.pop(0)
    steps = [Step(first.access, first.net)]
    seen = outcomes
    # Half as many bytes to go through, twenty times over; seven figures of a cost are plenty.
    excess = ((loss - opening) * outcomes.draws.weight[:, None]).astype(np.float32)
    shown = _rows(seen, ways[first.access])
    worth = value_of(shown, excess)
    while left and len(steps) < MOST_STEPS:
        seen = seen.after(ways[steps[-1].access])
        value = _worths(shown, [_rows(seen, ways[one.access]) for one in left], excess)
        saves = value - worth - np.array([one.cost for one in left])
        best = int(np.argmax(saves))
        if saves[best] <= 0:
            break
        chosen = left.pop(best)
        steps.append(Step(chosen.access, float(saves[best])))
        shown, worth = _pairs(shown, _rows(seen, ways[chosen.access])), float(value[best])
    return tuple(steps)


def _rows(outcomes: Outcomes, access: Access) -> Singles:
    """Chances of the outcomes that one way may have: [O, K]. [1]"""
    (found,) = outcomes.of([access])
    return np.asarray(found[found.any(axis=1)], dtype=np.float32)


def _pairs(one: Singles, other: Singles) -> Singles:
    """Chances of every pair of outcomes, independent given the draw: [O x P, K]. [1]"""
    return np.asarray((one[:, None] * other[None]).reshape(-1, one.shape[1]))


def _worths(shown: Singles, each: list[Singles], excess: Singles) -> Floats:
    """Return what each further look is worth together with what was shown so far: [J]."""
    pairs = [_pairs(shown, one) for one in each]
    # One product for all of them goes through the draws once instead of once a look.
    product = np.concatenate(pairs) @ excess
    ends = np.cumsum([len(one) for one in pairs])[:-1]
    return np.array([saved_by(one) for one in np.split(product, ends)])
