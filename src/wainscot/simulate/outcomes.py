"""What one look would show: every outcome with its chance, from the likelihood of the signs.

The kinds of sign say how likely each outcome is, given what is in the void; the same functions that
weigh a logged find are asked for every find that could be logged.  So no rate is copied here, and a
new kind of the forms known is simulated without a line more.

Whether an age or a species is said with a find is decided before, by a coin that knows nothing.

Limits: a word from an occupant is told only where there is one to tell, so its chances do not sum
to one; :func:`told_chance` gives it, and the calibration study leaves it out.
"""

from __future__ import annotations

from itertools import product

import msgspec
import numpy as np

from wainscot.arrays import Floats
from wainscot.job import Find, Grade
from wainscot.signs import KINDS, Rates, likelihood
from wainscot.signs.kind import Kind, Look
from wainscot.species import SPECIES

SUM_TOLERANCE = 0.01
"""Outcomes may miss a total of one by so much (the floor under rare finds adds a little). [1]"""


class Circumstances(msgspec.Struct, frozen=True):
    """One look, as far as its outcome depends on it."""

    method: str
    species: str
    """The true animal."""
    share: float = 1.0
    """[1]"""
    nights: int = 1
    grade: Grade = "seen"
    ages: bool = False
    """Whether an age is said with a find."""
    names: bool = False
    """Whether a species is said with a find."""


Outcome = tuple[Find | None, float]
"""A find, or nothing, and its chance. [1]"""


def kinds_shown(method: str, rates: Rates) -> list[Kind]:
    """Return the kinds that a method speaks of, without those that another one sums up.

    Parameters
    ----------
    method : str
        A method of the tables.
    rates : Rates
        The tables.
    """
    shown = [KINDS[name] for name in rates.methods[method].shows if name in KINDS]
    summed = {name for kind in shown for name in kind.summarises}
    return [kind for kind in shown if kind.name not in summed]


def outcomes(
    kind: Kind, look: Circumstances, rates: Rates, *, at_entry: bool = False
) -> list[tuple[Find | None, Floats]]:
    """Return every outcome of one kind with its chance in every state.

    Parameters
    ----------
    kind : Kind
        A kind of the form ``row``.
    look : Circumstances
        The look.
    rates : Rates
        The tables.
    at_entry : bool
        Whether a way in was looked at rather than a void.

    Returns
    -------
    list of (Find or None, Floats)
        Chances are [loads, 3, 6] in a void, [3] at a way in; empty where the kind says nothing
        there. [1]
    """
    circumstances = (look.method, look.grade)
    plain = Look(look.species, share=look.share, nights=float(look.nights), loads=len(rates.load))
    said = likelihood.look_of(kind, None, circumstances, plain, rates)
    function = kind.at_entry if at_entry else kind.shown
    if function is None:
        return []
    shown = function(said, rates.kind(kind.name))
    found: list[tuple[Find | None, Floats]] = []
    if not set(kind.nothing) & set(kind.columns):
        found.append((None, likelihood.of_nothing(shown, kind, circumstances, rates)))
    for amount in kind.columns:
        ages = ("fresh", "old") if look.ages and kind.ages else ("unsure",)
        names = tuple(SPECIES) if look.names and amount not in kind.nothing else ("",)
        for age, name in product(ages, names):
            find = Find(kind.name, amount, freshness=age, species=name)  # type: ignore[arg-type]  # words of the kinds
            chance = likelihood.of_find(shown, kind, find, circumstances, look.species, rates)
            found.append((find, chance))
    return found


def pick(
    possible: list[tuple[Find | None, Floats]],
    state: tuple[int, ...],
    rng: np.random.Generator,
) -> Find | None:
    """Return one outcome, drawn by its chance in the true state.

    Parameters
    ----------
    possible : list of (Find or None, Floats)
        From :func:`outcomes`. [1]
    state : tuple of int
        (load, reach, cell) of the void, or (state,) of the way in.
    rng : numpy.random.Generator
        Source of randomness.

    Raises
    ------
    ValueError
        If the chances do not sum to one: a table of the signs is then no chance at all.
    """
    chances = np.array([float(chance[state]) for _, chance in possible])
    if abs(chances.sum() - 1.0) > SUM_TOLERANCE:
        raise ValueError(f"chances of {possible[-1][0]} sum to {chances.sum():.3f}")
    return possible[int(rng.choice(len(possible), p=chances / chances.sum()))][0]


def seen_in_void(
    look: Circumstances, state: tuple[int, int, int], rates: Rates, rng: np.random.Generator
) -> list[Find]:
    """Return the finds of one look into one void.

    Parameters
    ----------
    look : Circumstances
        The look.
    state : (int, int, int)
        Load, reach and cell of the void.
    rates : Rates
        The tables.
    rng : numpy.random.Generator
        Source of randomness.
    """
    return _finds(look, state, rates, rng, at_entry=False)


def seen_at_entry(
    look: Circumstances, state: int, rates: Rates, rng: np.random.Generator
) -> list[Find]:
    """Return the finds of one look at a way in.

    Parameters
    ----------
    look : Circumstances
        The look.
    state : int
        0 never, 1 past, 2 now.
    rates : Rates
        The tables.
    rng : numpy.random.Generator
        Source of randomness.
    """
    return _finds(look, (state,), rates, rng, at_entry=True)


def _finds(
    look: Circumstances,
    state: tuple[int, ...],
    rates: Rates,
    rng: np.random.Generator,
    *,
    at_entry: bool,
) -> list[Find]:
    found = []
    for kind in kinds_shown(look.method, rates):
        possible = outcomes(kind, look, rates, at_entry=at_entry) if kind.form == "row" else []
        find = pick(possible, state, rng) if possible else None
        if find is not None:
            found.append(find)
    return found


def heard_in_zone(
    look: Circumstances, hidden: list[bool], reach: list[int], rates: Rates,
    rng: np.random.Generator,
) -> list[Find]:  # fmt: skip
    """Return the finds of one look that a zone of voids answers to.

    Parameters
    ----------
    look : Circumstances
        The look.
    hidden, reach : list
        Of each void of the zone.
    rates : Rates
        The tables.
    rng : numpy.random.Generator
        Source of randomness.
    """
    found = []
    for kind in kinds_shown(look.method, rates):
        if kind.form != "zone" or kind.heard is None:
            continue
        if rng.random() < zone_chance(kind, look, hidden, reach, rates):
            found.append(Find(kind.name, kind.amounts[int(rng.integers(len(kind.amounts)))]))
    return found


def zone_chance(
    kind: Kind, look: Circumstances, hidden: list[bool], reach: list[int], rates: Rates
) -> float:
    """Return the chance that a zone's sign is noticed. [1]

    Parameters
    ----------
    kind : Kind
        A kind of the form ``zone``.
    look : Circumstances
        The look.
    hidden, reach : list
        Of each void of the zone.
    rates : Rates
        The tables.
    """
    plain = Look(look.species, share=look.share, nights=float(look.nights), loads=len(rates.load))
    said = likelihood.look_of(kind, None, (look.method, look.grade), plain, rates)
    assert kind.heard is not None
    table = kind.heard(said, rates.kind(kind.name))
    silent = np.prod([1.0 - table[0 if h else 1, r] for h, r in zip(hidden, reach, strict=True)])
    false = likelihood.zone_false(kind, look.grade, rates)
    return float(1.0 - (1.0 - false) * silent)


def told_chance(
    kind: Kind, look: Circumstances, state: tuple[int, int, int], rates: Rates
) -> float:
    """Return the chance that an occupant reports a kind of sign in a void. [1]

    Parameters
    ----------
    kind : Kind
        A kind of the form ``row``.
    look : Circumstances
        The look; its grade is ``told``.
    state : (int, int, int)
        Load, reach and cell of the void.
    rates : Rates
        The tables.
    """
    plain = Look(look.species, share=look.share, nights=float(look.nights), loads=len(rates.load))
    said = likelihood.look_of(kind, None, (look.method, look.grade), plain, rates)
    assert kind.shown is not None
    shown = kind.shown(said, rates.kind(kind.name))
    find = Find(kind.name)
    chance = likelihood.of_find(shown, kind, find, (look.method, look.grade), look.species, rates)
    return float(chance[state])
