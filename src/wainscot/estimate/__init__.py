"""What a job will cost: quantities from the geometry, rates from the book, chances from the draws.

    found = estimate(Scope(plan, graph, pooled, checks, choice, offered, seals, book))
    print("\\n".join(lines(found)))

Every line is a quantity at a rate and hangs on something that a draw of the diagnosis answers: is
that void soiled, is anything, did animals come in, are they in now.  The sum of the lines that a
draw needs is the price in that draw; half of the draws cost less than ``half``.

Limits: a range for planning, no offer; the spread of hours is a judgement.
"""

from __future__ import annotations

from wainscot.estimate.model import Driver, Estimate, Line, Scope, Stage, When
from wainscot.estimate.pricing import estimate, quantile
from wainscot.estimate.words import MOST_LINES, about, brief, lines, money

__all__ = [
    "MOST_LINES",
    "Driver",
    "Estimate",
    "Line",
    "Scope",
    "Stage",
    "When",
    "about",
    "brief",
    "estimate",
    "lines",
    "money",
    "quantile",
]
