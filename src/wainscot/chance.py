"""How a chance is said: a rounded number and one of five words.

A number is the nearest 5 from 5 to 95, "<5" below and ">95" above; it is never 0 and never 100,
because no calculation here can know that.  The words are those of the likelihood table of the IPCC
Fourth Assessment Report (2007, front matter of the volumes), its outer classes joined: very
unlikely below 10 %, unlikely to 33 %, about an even chance to 66 %, likely to 90 %, very likely
above.

>>> percent(0.83), word(0.83)
('85', 'likely')

Limits: bounds are of the published table; which side a value exactly on a bound belongs to is ours
(the class nearer to even).
"""

from __future__ import annotations

from typing import Literal, get_args

ChanceWord = Literal["very unlikely", "unlikely", "even chance", "likely", "very likely"]

WORDS: tuple[ChanceWord, ...] = get_args(ChanceWord)


ROUNDING = 1e-9
"""Sums of weights may pass 0 or 1 by so much without being wrong. [1]"""


def _checked(chance: float) -> float:
    if not -ROUNDING <= chance <= 1.0 + ROUNDING:
        raise ValueError(f"a chance lies between 0 and 1, not {chance}")
    return min(1.0, max(0.0, chance))


def percent(chance: float) -> str:
    """Return a chance as it stands on a plate: ``85``, ``<5``, ``>95``.

    Parameters
    ----------
    chance : float
        A probability. [1]

    Raises
    ------
    ValueError
        If it does not lie between 0 and 1.
    """
    hundredths = 100.0 * _checked(chance)
    if hundredths < 2.5:
        return "<5"
    if hundredths >= 97.5:
        return ">95"
    return str(min(95, max(5, 5 * int(hundredths / 5.0 + 0.5))))


def word(chance: float) -> ChanceWord:
    """Return the chance word.

    Parameters
    ----------
    chance : float
        A probability. [1]

    Raises
    ------
    ValueError
        If it does not lie between 0 and 1.
    """
    return WORDS[class_of(chance)]


def class_of(chance: float) -> int:
    """Return the class of a chance, 0 (very unlikely) to 4 (very likely).

    Parameters
    ----------
    chance : float
        A probability. [1]

    Raises
    ------
    ValueError
        If it does not lie between 0 and 1.
    """
    chance = _checked(chance)
    if chance < 0.10:
        return 0
    if chance < 0.33:
        return 1
    if chance <= 0.66:
        return 2
    return 3 if chance <= 0.90 else 4


def in_ten(chance: float) -> str:
    """Return a chance for a sentence: ``about 7 in 10``.

    The tenth lies in the class of the chance's word, so that the two never disagree side by side.

    >>> word(0.65), in_ten(0.65)
    ('even chance', 'about 6 in 10')

    Parameters
    ----------
    chance : float
        A probability. [1]

    Raises
    ------
    ValueError
        If it does not lie between 0 and 1.
    """
    here = class_of(chance)
    if here == 0:
        return "less than 1 in 10"
    if here == len(WORDS) - 1:
        return "more than 9 in 10"
    within = [tenths for tenths in range(1, 10) if class_of(tenths / 10.0) == here]
    tenths = int(10.0 * _checked(chance) + 0.5)
    return f"about {min(max(tenths, within[0]), within[-1])} in 10"
