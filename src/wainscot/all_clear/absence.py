"""How sure is it that they are gone, after nights without a catch.

>>> round(chance_absent(0.8, 0.70), 4), round(chance_absent(0.8, 0.95), 4)
(0.9302, 0.9877)

One survivor is what is asked about: several would be caught sooner.  A chance of absence is a prior
updated by the sensitivity of the nights (Martin et al. 2007; Anderson et al. 2013, as the package
epiR documents them); between nights animals may come back.

Limits: nights count as independent, which one wary animal breaks: it is missed night after night.
So a range of the chance to catch is always told beside the number.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import comb, exp, log

from wainscot.sources import judged

OTHERS = judged(0.3, "1", "chance that the one caught was the last, while nobody knows the number")
MOST_NIGHTS = 3650


def _chance(value: float, what: str) -> float:
    if not 0.0 <= value <= 1.0:
        raise ValueError(f"{what} lies between 0 and 1, not {value}")
    return value


def detection(at_trap: float, distance: float, spread: float) -> float:
    """Return the chance that a trap catches in a night what lives so far off (half-normal).

    Parameters
    ----------
    at_trap : float
        The same at the trap itself. [1]
    distance : float
        From the trap to the middle of where it lives. [m]
    spread : float
        Scale of the fall-off. [m]

    Returns
    -------
    float
        [1]
    """
    _chance(at_trap, "a chance to catch")
    if spread <= 0:
        raise ValueError("the fall-off needs a length")
    return at_trap * exp(-(distance**2) / (2.0 * spread**2))


def together(chances: list[float]) -> float:
    """Return the chance that any of several traps catches. [1]

    Parameters
    ----------
    chances : list of float
        Of each. [1]
    """
    missed = 1.0
    for one in chances:
        missed *= 1.0 - _chance(one, "a chance to catch")
    return 1.0 - missed


def sensitivity(nightly: float, nights: float, survivors: int = 1) -> float:
    """Return the chance that nights of trapping would have caught one of so many.

    Parameters
    ----------
    nightly : float
        Chance to catch a given one in a night. [1]
    nights : float
        Nights; a shy night may count for a part. [nights]
    survivors : int
        How many there would be.

    Returns
    -------
    float
        [1]
    """
    _chance(nightly, "a chance to catch")
    return float(1.0 - (1.0 - nightly) ** (nights * survivors))


def chance_absent(before: float, sensitive: float) -> float:
    """Return the chance of absence after a search that found nothing.

    Parameters
    ----------
    before : float
        Chance of absence before it. [1]
    sensitive : float
        Chance that the search finds them if they are there. [1]

    Returns
    -------
    float
        [1]
    """
    _chance(before, "a chance of absence")
    _chance(sensitive, "a sensitivity")
    left = 1.0 - sensitive * (1.0 - before)
    return before / left if left > 0 else 0.0


def after_return(absent: float, come_back: float) -> float:
    """Return the chance of absence after a time in which they may come back.

    Parameters
    ----------
    absent : float
        Before. [1]
    come_back : float
        Chance that they come back in that time. [1]

    Returns
    -------
    float
        [1]
    """
    return _chance(absent, "a chance of absence") * (1.0 - _chance(come_back, "a chance"))


def course(
    before: float, nightly: list[float], come_back: float = 0.0, caught: tuple[int, ...] = ()
) -> list[float]:
    """Return the chance of absence after each night.

    A catch shows that they are there that night, so the chance is none.  How many are left stays
    unknown: the empty nights that follow start from :data:`OTHERS`, from the prior or from the
    chance before the catch, whichever is lowest.

    Parameters
    ----------
    before : float
        Chance of absence before the first night. [1]
    nightly : list of float
        Chance of each night to catch one that is there. [1]
    come_back : float
        Chance a night that they come back. [1]
    caught : tuple of int
        Nights on which something was caught, from 0.

    Returns
    -------
    list of float
        [1]
    """
    out: list[float] = []
    absent = before
    for night, sensitive in enumerate(nightly):
        absent = after_return(absent, come_back)
        if night in caught:
            out.append(0.0)
            absent = min(absent, before, OTHERS.value)
            continue
        absent = chance_absent(absent, sensitive)
        out.append(absent)
    return out


def ceiling(come_back: float, sensitive: float) -> float:
    """Return the chance of absence that no number of empty nights exceeds.

    Parameters
    ----------
    come_back : float
        Chance a period that they come back: an open way in, a neighbour. [1]
    sensitive : float
        Chance a period to find them. [1]

    Returns
    -------
    float
        1 - Pi / SSe before the next return, over 1 - Pi after the search (epiR). [1]
    """
    _chance(come_back, "a chance")
    if _chance(sensitive, "a sensitivity") <= come_back:
        return 0.0
    return min(1.0, (1.0 - come_back / sensitive) / (1.0 - come_back))


def nights_needed(
    before: float, nightly: float, wanted: float, come_back: float = 0.0
) -> int | None:
    """Return the empty nights after which the chance of absence is as wanted, or None if never.

    Parameters
    ----------
    before : float
        Chance of absence before the first of them. [1]
    nightly : float
        Chance a night to catch one that is there. [1]
    wanted : float
        Chance of absence wanted, below 1. [1]
    come_back : float
        Chance a night that they come back. [1]
    """
    if not 0.0 < wanted < 1.0:
        raise ValueError("no number of nights makes it certain")
    if before >= wanted:
        return 0
    if come_back > 0.0 and ceiling(come_back, nightly) <= wanted:
        return None
    absent = before
    for night in range(1, MOST_NIGHTS + 1):
        absent = chance_absent(after_return(absent, come_back), nightly)
        if absent >= wanted:
            return night
    return None


def nights_for_sensitivity(nightly: float, wanted: float) -> int:
    """Return the nights after which a single one would have been caught, with a chance.

    Parameters
    ----------
    nightly : float
        Chance a night to catch it. [1]
    wanted : float
        Chance wanted. [1]
    """
    if not (0.0 < nightly < 1.0 and 0.0 < wanted < 1.0):
        raise ValueError("both chances lie between 0 and 1")
    nights = 1
    while sensitivity(nightly, nights) < wanted:
        nights += 1
    return nights


def best_stop(cost_a_night: float, cost_of_stopping_wrong: float, kept: float) -> float:
    """Return the empty nights after which to stop, by cost (Regan et al. 2006, from memory).

    Parameters
    ----------
    cost_a_night : float
        Of one more night. [currency]
    cost_of_stopping_wrong : float
        Of a callback. [currency]
    kept : float
        Chance that they are there and are missed for one more night, given that they were. [1]

    Returns
    -------
    float
        Nights; never below none. [nights]
    """
    if not 0.0 < kept < 1.0:
        raise ValueError("the chance lies between 0 and 1")
    if cost_a_night <= 0 or cost_of_stopping_wrong <= 0:
        raise ValueError("both costs are above zero")
    rate = log(kept)
    return max(0.0, log(-cost_a_night / (cost_of_stopping_wrong * rate)) / rate)


def found_in_sample(size: int, share: float, sensitive: float) -> float:
    """Return the chance that a sample finds a thing that so large a share has.

    Parameters
    ----------
    size : int
        Number looked at.
    share : float
        Share that has it. [1]
    sensitive : float
        Chance that a look finds it. [1]

    Returns
    -------
    float
        [1]
    """
    return float(1.0 - (1.0 - _chance(share, "a share") * _chance(sensitive, "a chance")) ** size)


def sample_size(whole: int, share: float, sensitive: float, wanted: float) -> float:
    """Return how many of a whole to look at to find a thing with a chance.

    The approximation n = N / Se (1 - (1 - SSe)^(1 / D)), D = N p (hypergeometric, as in epiR).

    Parameters
    ----------
    whole : int
        Number in all.
    share : float
        Share that has it. [1]
    sensitive : float
        Chance that a look finds it. [1]
    wanted : float
        Chance wanted. [1]

    Returns
    -------
    float
        Before rounding up. [1]
    """
    return float(whole / sensitive * (1.0 - (1.0 - wanted) ** (1.0 / (whole * share))))


def risk_weights(relative: list[float], share: list[float]) -> list[float]:
    """Return how much likelier each class is than the average.

    Parameters
    ----------
    relative : list of float
        Risk of each class against the lowest. [1]
    share : list of float
        Share of each class; they sum to one. [1]

    Returns
    -------
    list of float
        [1]
    """
    mean = sum(one * part for one, part in zip(relative, share, strict=True))
    return [one / mean for one in relative]


def sighting_chance(last: float, whole: float, count: int) -> float:
    """Return the chance of so long a silence if catches went on at a constant rate (Solow 1993).

    A rate that fell before they were gone makes this look too good: shown beside others, never
    alone.

    Parameters
    ----------
    last : float
        Time of the last sighting. [nights]
    whole : float
        Time watched. [nights]
    count : int
        Number of sightings.

    Returns
    -------
    float
        [1]
    """
    return float((last / whole) ** count)


def falling_sighting_chance(times: Sequence[float], whole: float) -> float:
    """Return the chance of so long a silence if the rate of sightings falls off exponentially.

    The form for a rate that falls (Solow 1993, 2005): given their sum, the times lie in it like
    the parts of a stick broken at random, and the greatest part is asked about.

    Parameters
    ----------
    times : sequence of float
        Of the sightings since the watching began, two or more, not all of them zero. [nights]
    whole : float
        Time watched. [nights]

    Returns
    -------
    float
        [1]

    Raises
    ------
    ValueError
        If there are fewer, or all of them are zero.
    """
    total, count = sum(times), len(times)
    if count < 2 or total <= 0:
        raise ValueError("two sightings at least, not all at the start")

    def none_longer(part: float) -> float:
        out = 1.0
        for i in range(1, int(total / part) + 1):
            out += (-1) ** i * comb(count, i) * float((1.0 - i * part / total) ** (count - 1))
        return out

    return none_longer(max(times)) / none_longer(whole)


def sighting_odds(last: float, whole: float, count: int) -> float:
    """Return the Bayes factor for presence against absence by the same record (Solow 1993).

    Parameters
    ----------
    last, whole : float
        As in :func:`sighting_chance`. [nights]
    count : int
        Number of sightings, two or more.

    Returns
    -------
    float
        [1]
    """
    if count < 2:
        raise ValueError("two sightings at least")
    return float((count - 1) / ((whole / last) ** (count - 1) - 1.0))
