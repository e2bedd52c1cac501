"""How long it may have been going on: a range of orders of magnitude, never a date.

>>> round(rate_of_increase(litters=8, young=5.5, first_litter=63), 4)
0.0229

Limits: ideal rates without deaths or immigration; the spread of five is the message.
"""

from __future__ import annotations

from math import exp, log


def rate_of_increase(litters: float, young: float, first_litter: float) -> float:
    """Return the rate at which a population without deaths grows (Euler and Lotka), one year.

    Parameters
    ----------
    litters : float
        A year. [1]
    young : float
        In a litter, half of them female. [1]
    first_litter : float
        Age of the mother at her first. [day]

    Returns
    -------
    float
        A day. [1/day]
    """
    gap = 365.0 / litters
    ages = [first_litter + n * gap for n in range(1000) if first_litter + n * gap <= 365.0]
    low, high = 0.0, 1.0
    for _ in range(100):
        middle = (low + high) / 2
        if sum(young / 2 * exp(-middle * age) for age in ages) > 1.0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def doubling(rate: float) -> float:
    """Return the time in which a population doubles.

    Parameters
    ----------
    rate : float
        Of increase. [1/day]

    Returns
    -------
    float
        [day]
    """
    return log(2.0) / rate


def time_to_grow(first: float, now: float, rate: float) -> float:
    """Return the time in which so many became so many.

    Parameters
    ----------
    first, now : float
        Numbers of animals. [1]
    rate : float
        Of increase. [1/day]

    Returns
    -------
    float
        [day]
    """
    return log(now / first) / rate
