"""How surely a trap catches, from the job's own catches where they carry it, else a stated range.

    found = rate_of(rounds, reach); found.low, found.middle, found.high

Catches that fall while the effort stays tell how surely one animal is caught in a trap night: the
removal likelihood with effort, p = 1 - exp(-q f) in a round of f trap nights, over the number there
were and q together (the form with unequal effort of Seber 2002, chapter 7, from memory).  The
range is the 95 % interval of q by likelihood ratio.

Limits: the bold are caught first, so the rate of those left is lower than this; animals count as
alike, rounds as independent, nobody comes or goes between them.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

import msgspec
import numpy as np
from scipy.optimize import brentq, minimize_scalar
from scipy.special import gammaln
from scipy.stats import chi2

from wainscot.all_clear.removal import LEAST
from wainscot.sources import judged

AT_TRAP = (
    judged(0.05, "1", "low end of the range that the reference advises"),
    judged(0.10, "1", "middle of it"),
    judged(0.20, "1", "high end of it"),
)
"""Chance a night that a trap catches what lives where it stands: low, middle, high. [1]"""
HIGHEST = 0.9
"""No trap is taken to be surer than this. [1]"""
ROUNDS = 3
_MOST = 50
"""So many times the catch is the greatest number that is weighed."""


class Round(msgspec.Struct, frozen=True):
    """All traps looked at on one day."""

    catches: int
    nights: float
    """Trap nights that they stood ready. [nights]"""


class Rate(msgspec.Struct, frozen=True):
    """Chance a night that a trap catches what lives where it stands. [1]"""

    low: float
    """[1]"""
    middle: float
    """[1]"""
    high: float
    """[1]"""
    own: bool
    """True where it comes from the job's own catches."""
    why: str
    """Where it comes from, in words."""


def stated(why: str = "") -> Rate:
    """Return the stated range, with the reason why it is not the job's own.

    Parameters
    ----------
    why : str
        What the own catches lack.
    """
    low, middle, high = (each.value for each in AT_TRAP)
    said = "nobody has published one for houses, so the low end decides"
    return Rate(low, middle, high, False, f"{said}; {why}" if why else said)


def rate_of(rounds: Sequence[Round], reach: float) -> Rate:
    """Return the rate from the job's own catches, or the stated range where they do not carry it.

    Parameters
    ----------
    rounds : sequence of Round
        In the order of time.
    reach : float
        Mean share of a trap's chance that is left at the distance of the animals' homes. [1]
    """
    used = [one for one in rounds if one.nights > 0]
    total = sum(one.catches for one in used)
    if total < LEAST:
        return stated(f"{total} catches on this job, and from {LEAST} on they would tell")
    if len(used) < ROUNDS or not _falls(used):
        return stated(f"{total} catches on this job that do not fall from round to round")
    found = per_night(used)
    if found is None or reach <= 0:
        return stated(f"{total} catches on this job that set no lower end")
    # A chance a night from a hazard; where a trap stands it is higher than a home's distance off.
    low, middle, high = (min(1.0 - float(np.exp(-one / reach)), HIGHEST) for one in found)
    return Rate(low, middle, high, True, f"from {total} catches on this job in {len(used)} rounds; "
                "the bold are caught first, so the last ones are harder to catch")  # fmt: skip


def _falls(rounds: Sequence[Round]) -> bool:
    """Tell whether less was caught per trap night in the later half of the effort."""
    half = sum(one.nights for one in rounds) / 2.0
    gone, early, late = 0.0, [0.0, 0.0], [0.0, 0.0]
    for one in rounds:
        side = early if gone + one.nights / 2.0 < half else late
        side[0] += one.catches
        side[1] += one.nights
        gone += one.nights
    # Of several rounds the first belongs to the earlier half and the last to the later.
    return early[0] / early[1] > late[0] / late[1]


def badness(number: float, q: float, rounds: Sequence[Round]) -> float:
    """Return the negative log-likelihood of a number and a rate, without what they do not change.

    Parameters
    ----------
    number : float
        Animals there were, at least as many as were caught. [1]
    q : float
        Rate of being caught by a trap night. [1]
    rounds : sequence of Round
        Catches and effort.

    Returns
    -------
    float
        [nat]
    """
    left, out = number, 0.0
    for one in rounds:
        p = 1.0 - np.exp(-q * one.nights)
        out -= gammaln(left + 1) - gammaln(left - one.catches + 1)
        out -= one.catches * np.log(p) - q * one.nights * (left - one.catches)
        left -= one.catches
    return float(out)


def per_night(rounds: Sequence[Round]) -> tuple[float, float, float] | None:
    """Return low end, best and high end of the rate per trap night, None where there is no low end.

    Parameters
    ----------
    rounds : sequence of Round
        Catches that fall.

    Returns
    -------
    tuple of float or None
        [1]
    """
    total = sum(one.catches for one in rounds)
    most = sum(one.nights for one in rounds)
    # Never so low that the greatest number weighed would bind, never so high as to catch at once.
    least, greatest = -float(np.log1p(-1.0 / _MOST)) / most, 50.0 / min(o.nights for o in rounds)

    def bad(logged: float) -> float:
        q = float(np.exp(logged))
        best = minimize_scalar(lambda n: badness(n, q, rounds), method="bounded",
                               bounds=(total, total * _MOST), options={"xatol": 1e-6})  # fmt: skip
        return min(float(best.fun), badness(total, q, rounds))

    ends = (float(np.log(least)), float(np.log(greatest)))
    best = minimize_scalar(bad, bounds=ends, method="bounded", options={"xatol": 1e-7})
    limit = float(best.fun) + float(chi2.ppf(0.95, 1)) / 2.0

    def over(logged: float) -> float:
        return bad(logged) - limit

    if over(ends[0]) <= 0:
        return None
    low = brentq(over, ends[0], float(best.x), xtol=1e-6)
    high = brentq(over, float(best.x), ends[1], xtol=1e-6) if over(ends[1]) > 0 else inf
    return float(np.exp(low)), float(np.exp(best.x)), float(np.exp(min(high, ends[1])))
