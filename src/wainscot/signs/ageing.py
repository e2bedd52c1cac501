"""What a look said of then, as it bears on today.

A look is of its day; the answer is of the day of the last one.  In between animals may have come or
left.  With d days in between, a place that is in use today was not yet taken then with chance
u = 1 - exp(-d / arrive), and one that was left by today was still in use then with chance
w = 1 - exp(-d / leave).  So the likelihood of an old look, given today's state, is a mean of its
likelihoods given the states that may have been; an old look in vain says little against animals
of today, and an old fresh trace does not say that they are still here.

>>> aged_ways(np.array([1.0, 0.5, 0.1]), 0.0, DEFAULT).tolist()
[1.0, 0.5, 0.1]

Limits: rates of coming and going are judged; soil does not grow or fade with time; a smell is taken
as of today.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime

import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.rates import DEFAULT, Rates

__all__ = ["DEFAULT", "aged_cells", "aged_hits", "aged_ways", "days_between", "latest"]


def _moment(at: str) -> datetime | None:
    try:
        found = datetime.fromisoformat(at) if at else None
    except ValueError:
        return None
    return found.replace(tzinfo=UTC) if found is not None and found.tzinfo is None else found


def latest(times: Iterable[str]) -> str:
    """Return the last of some times as typed; empty if none says anything.

    Parameters
    ----------
    times : iterable of str
        Dates, or dates with times.
    """
    known = [(moment, at) for at in times if (moment := _moment(at)) is not None]
    return max(known)[1] if known else ""


def days_between(at: str, as_of: str) -> float:
    """Return the days from one time to another; 0 where either is not known. [day]

    Parameters
    ----------
    at, as_of : str
        Dates, or dates with times.
    """
    start, stop = _moment(at), _moment(as_of)
    if start is None or stop is None:
        return 0.0
    return max(0.0, (stop - start).total_seconds() / 86400.0)


def _changed(days: float, rates: Rates) -> tuple[float, float]:
    table = rates.kind("ageing")
    come = 1.0 - np.exp(-days / table.number("arrive_days"))
    gone = 1.0 - np.exp(-days / table.number("leave_days"))
    return float(come), float(gone)


def _mixed(
    never: Floats, past: Floats, now: Floats, days: float, rates: Rates
) -> tuple[Floats, Floats]:
    """Likelihood given past and given now today, from those given the states then."""
    come, gone = _changed(days, rates)
    was = (1.0 - gone) * past + gone * now
    return (1.0 - come * gone) * was + come * gone * never, (1.0 - come) * now + come * never


def aged_cells(factor: Floats, days: float, rates: Rates) -> Floats:
    """Return the likelihood of a look by load, reach and cell of today: [L, 3, 6]. [1]

    Parameters
    ----------
    factor : Floats
        [L, 3, 6] by the states of then. [1]
    days : float
        Days since. [day]
    rates : Rates
        The tables.
    """
    if days <= 0.0:
        return factor
    past, now = _mixed(factor[:, 0, :1], factor[:, 1], factor[:, 2], days, rates)
    return np.stack([factor[:, 0], past, now], axis=1)


def aged_ways(factor: Floats, days: float, rates: Rates) -> Floats:
    """Return the likelihood of a look at a way in by never, past, now of today: [3]. [1]

    Parameters
    ----------
    factor : Floats
        [3] by the states of then. [1]
    days : float
        Days since. [day]
    rates : Rates
        The tables.
    """
    if days <= 0.0:
        return factor
    return np.stack([factor[0], *_mixed(factor[0], factor[1], factor[2], days, rates)])


def aged_hits(hits: Floats, days: float, rates: Rates) -> Floats:
    """Return the chance that each void of a zone is noticed, by the reach of today: [n, 3]. [1]

    Parameters
    ----------
    hits : Floats
        [n, 3] by the reach of then. [1]
    days : float
        Days since. [day]
    rates : Rates
        The tables.
    """
    if days <= 0.0:
        return hits
    return np.stack([hits[:, 0], *_mixed(hits[:, 0], hits[:, 1], hits[:, 2], days, rates)], axis=1)
