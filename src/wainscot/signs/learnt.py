"""Judged rates with the firm's own multiples over them, and rates moved on the scale of odds.

>>> own = with_factors(DEFAULT, {"borescope: notices droppings": 0.5})
>>> own.sensitivity("borescope", "droppings")
0.35

A multiple is that of :func:`wainscot.signs.scaling.scaled`, by the rate's words.  On the scale of
log odds a chance can move both ways without leaving 0 to 1; :func:`moved` turns such a shift into
the multiple.

Limits: what a rate of several numbers is on that scale is told by one of them (:func:`chance_of`).
"""

from __future__ import annotations

from collections.abc import Mapping
from math import exp, log
from typing import Any

from wainscot.errors import Fault, InputError, unknown_word
from wainscot.signs.rates import DEFAULT, Rates
from wainscot.signs.scaling import RateName, judged_rates, scaled

LEAST, MOST = 1e-4, 0.97
"""Chances are kept within these on the scale of odds; above the upper one no rate is raised. [1]"""
FALSE = "false"


def with_factors(rates: Rates, factors: Mapping[str, float]) -> Rates:
    """Return the tables with the rates named multiplied.

    Parameters
    ----------
    rates : Rates
        The tables as judged.
    factors : mapping
        Multiple by the rate's words. [1]

    Raises
    ------
    InputError
        If no judged rate is called so.
    """
    known = {name.words: name for name in judged_rates(rates)}
    names = list(known)
    faults = [unknown_word("unknown-rate", f"signs.{words}", "rate of the signs", words, names)
              for words in factors if words not in known]  # fmt: skip
    faults += [Fault("bad-rate", f"signs.{words}", f"{factor!r} is no multiple",
                     "write a number above zero, 1 for as judged")
               for words, factor in factors.items()
               if not (isinstance(factor, (int, float)) and factor > 0)]  # fmt: skip
    if faults:
        raise InputError(faults)
    for words, factor in sorted(factors.items()):
        rates = scaled(rates, known[words], factor)
    return rates


def learnable(rates: Rates = DEFAULT) -> tuple[RateName, ...]:
    """Return the judged rates that opened bays can tell of: noticing, false alarms, soil.

    Parameters
    ----------
    rates : Rates, optional
        The tables.
    """
    return tuple(
        name for name in judged_rates(rates)
        if (name.table in ("methods", "soil") or (name.table, name.key) == ("rates", FALSE))
        and chance_of(rates, name) < MOST
    )  # fmt: skip


def chance_of(rates: Rates, name: RateName) -> float:
    """Return the one chance that tells where a rate stands. [1]

    Of noticing the chance itself, of false alarms that of any amount, of soil that of any in a
    middling house.

    Parameters
    ----------
    rates : Rates
        The tables.
    name : RateName
        One of :func:`learnable`.
    """
    if name.table == "methods":
        return rates.methods[name.section].shows[name.key]
    if name.table == "soil":
        return 1.0 - rates.classes[name.section].soil[1][0]
    return _whole(rates.sections[name.section].values[name.key])


def _whole(value: Any) -> float:
    if isinstance(value, dict):
        return sum(map(_whole, value.values())) / len(value)
    if isinstance(value, list):
        whole = sum(map(_whole, value))
        return whole if whole <= 1.0 else max(map(_whole, value))
    return float(value)


def log_odds(chance: float) -> float:
    """Return the log odds of a chance. [1]

    Parameters
    ----------
    chance : float
        [1]
    """
    kept = min(max(chance, LEAST), 1.0 - LEAST)
    return log(kept / (1.0 - kept))


def chance_at(odds: float) -> float:
    """Return the chance at some log odds. [1]

    Parameters
    ----------
    odds : float
        Their logarithm. [1]
    """
    return 1.0 / (1.0 + exp(-odds))


def factor_of(rates: Rates, name: RateName, shift: float) -> float:
    """Return the multiple that moves a rate by a shift of its log odds. [1]

    Parameters
    ----------
    rates : Rates
        The tables as judged.
    name : RateName
        The rate.
    shift : float
        Of the log odds. [1]
    """
    chance = chance_of(rates, name)
    return chance_at(log_odds(chance) + shift) / max(chance, LEAST)


def moved(rates: Rates, shifts: Mapping[RateName, float]) -> Rates:
    """Return the tables with rates moved on the scale of log odds.

    Parameters
    ----------
    rates : Rates
        The tables as judged.
    shifts : mapping
        Shift of each rate's log odds. [1]
    """
    for name in sorted(shifts):
        rates = scaled(rates, name, factor_of(rates, name, shifts[name]))
    return rates
