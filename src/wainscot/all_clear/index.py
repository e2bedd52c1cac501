"""Catches per hundred trap nights, corrected for sprung traps, by both published conventions.

>>> round(index(200, 6, sprung_empty=14, convention="every sprung trap"), 3)
3.158
>>> round(index(200, 6, sprung_empty=14, convention="sprung without a catch"), 3)
3.109

A sprung trap counts as having worked half the night (Nelson & Clark 1973, from memory).

Limits: the index is no count of animals; it may not be compared between places or seasons.
"""

from __future__ import annotations

from math import log
from typing import Literal

Convention = Literal["every sprung trap", "sprung without a catch"]
"""``every sprung trap``: catches of the animal sought are among the sprung (Nelson & Clark 1973,
from memory).  ``sprung without a catch``: sprung empty and with others only (protocol of
a rat study, read)."""
CONVENTIONS: tuple[Convention, ...] = ("every sprung trap", "sprung without a catch")


def effective_nights(trap_nights: float, sprung: float, lost: float = 0.0) -> float:
    """Return the trap nights that count.

    Parameters
    ----------
    trap_nights : float
        Traps times nights. [nights]
    sprung : float
        Sprung traps, each half a night lost. [nights]
    lost : float
        Nights of traps that were gone or broken: none of them counts. [nights]

    Returns
    -------
    float
        [nights]
    """
    return trap_nights - lost - sprung / 2.0


def index(
    trap_nights: float, catches: int, *, sprung_empty: int, other: int = 0, lost: float = 0.0,
    convention: Convention = "every sprung trap", with_catch: int | None = None,
) -> float:  # fmt: skip
    """Return catches per hundred corrected trap nights.

    Parameters
    ----------
    trap_nights : float
        Traps times nights. [nights]
    catches : int
        Of the animal sought.
    sprung_empty, other : int
        Sprung and empty, and with an animal that is not sought.
    lost : float
        Nights of traps that were gone. [nights]
    convention : str
        Which of the two.
    with_catch : int, optional
        Traps that held a catch; as many as the catches if not given.

    Returns
    -------
    float
        [1]

    Raises
    ------
    ValueError
        If no trap night is left.
    """
    held = catches if with_catch is None else with_catch
    sprung = sprung_empty + other + (held if convention == "every sprung trap" else 0)
    effective = effective_nights(trap_nights, sprung, lost)
    if effective <= 0:
        raise ValueError("no trap night is left that counts")
    return 100.0 * catches / effective


def worked(interval: float, state: str, nightly_sprung: float | None = None) -> float:
    """Return the nights that a trap stood ready within one interval between checks.

    A trap found sprung or gone stopped at an unknown moment: half of the interval counts, however
    long it was.  With a rate of springing the mean of the moment is taken instead.

    Parameters
    ----------
    interval : float
        Nights between the checks. [nights]
    state : str
        ``set`` or ``bait taken``: it was ready throughout; anything else: not.
    nightly_sprung : float, optional
        Chance a night that a trap is sprung. [1]

    Returns
    -------
    float
        [nights]
    """
    if interval < 0:
        raise ValueError("a check does not come before the one ahead of it")
    if state in ("set", "bait taken"):
        return interval
    if nightly_sprung is None or not 0.0 < nightly_sprung < 1.0 or interval == 0:
        return interval / 2.0
    rate = -log(1.0 - nightly_sprung)
    gone = 1.0 - (1.0 - nightly_sprung) ** interval
    return float(1.0 / rate - interval * (1.0 - gone) / gone)
