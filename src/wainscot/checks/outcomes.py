"""What a check may show, and how likely each draw makes that: from the tables of the signs.

Every look collapses to three outcomes: nothing, a little (the first amount of some kind), a lot (a
later one).  A look into several voids adds up to one outcome for all of them.  Collapsing throws
something away, so a check is never worth more than is said here for that reason.

Limits: what was seen before is taken off the share seen, so that looking twice by lamp is worth
little; two methods at one place count as independent.
"""

from __future__ import annotations

import numpy as np

from wainscot.access import Access, Reach
from wainscot.arrays import Floats
from wainscot.checks.pooled import CELLS, Pooled
from wainscot.job import Find
from wainscot.signs.kind import KINDS, Kind, Look
from wainscot.signs.likelihood import Circumstances, look_of, of_find, of_nothing
from wainscot.signs.rates import Rates

NOTHING, LITTLE, LOT = 0, 1, 2
OUTCOMES = 3


def look_table(method: str, share: float, nights: int, species: str, rates: Rates) -> Floats:
    """Return the chance of each outcome of one look into one void, by its state.

    Parameters
    ----------
    method : str
        Method of inspection, one of ``rates.methods``.
    share : float
        Share of the void that is seen. [1]
    nights : int
        Nights that a device stands; 0 for a look.
    species : str
        The animal in question.
    rates : Rates
        The tables of the signs.

    Returns
    -------
    Floats
        [3, 18] nothing, a little, a lot, by reach, soil and nest; each column sums to one. [1]
    """
    shown = [KINDS[name] for name in rates.methods[method].shows]
    # A kind that sums up others (opened and seen) speaks for all that the method shows.
    speaking = [kind for kind in shown if kind.summarises] or shown
    look = Look(species, share=share, nights=float(max(nights, 1)), loads=len(rates.load))
    nothing = np.ones((len(rates.load), 3, CELLS // 3))
    up_to_little = nothing.copy()
    for kind in speaking:
        if kind.shown is not None:
            none, little = _one_kind(kind, method, look, rates)
            nothing = nothing * none
            up_to_little = up_to_little * (none + little)
    by_load = np.stack([nothing, up_to_little - nothing, 1.0 - up_to_little])
    return np.tensordot(by_load, np.asarray(rates.load), axes=(1, 0)).reshape(OUTCOMES, CELLS)


def _one_kind(kind: Kind, method: str, look: Look, rates: Rates) -> tuple[Floats, Floats]:
    """Return the chance of nothing and of the first amount of one kind."""
    circumstances: Circumstances = (method, "seen")
    assert kind.shown is not None
    states = kind.shown(look_of(kind, None, circumstances, look, rates), rates.kind(kind.name))
    none = of_nothing(states, kind, circumstances, rates)
    first = next(amount for amount in kind.columns if amount not in kind.nothing)
    find = Find(kind=kind.name, amount=first)
    little = of_find(states, kind, find, circumstances, look.species, rates)
    return none, np.minimum(little, 1.0 - none)


class Outcomes:
    """Chances of every outcome of every access, built into one array.

    Parameters
    ----------
    draws : Pooled
        The draws.
    looked : Floats
        [V] greatest share of each void that anybody looked at already. [1]
    rates : Rates
        The tables of the signs.
    """

    def __init__(self, draws: Pooled, looked: Floats, rates: Rates) -> None:
        self.draws = draws
        self.looked = looked
        self.rates = rates
        self._states = draws.states()
        self._tables: dict[tuple[str, float, int], Floats] = {}

    def thinned(self, step: int) -> Outcomes:
        """Return the same for every ``step``-th draw."""
        return Outcomes(self.draws.every(step), self.looked, self.rates)

    def after(self, access: Access) -> Outcomes:
        """Return the same once this look is done: what it saw tells nothing new."""
        looked = self.looked.copy()
        if not access.nights:
            for reach in access.reaches:
                looked[reach.void] = max(looked[reach.void], reach.share)
        return Outcomes(self.draws, looked, self.rates)

    def understood(self, access: Access) -> bool:
        """Return True where a table says what this access shows."""
        if access.sources:
            return bool(access.shows)
        if access.answers:
            return len(self._choices(access.answers)) > 1
        return access.method in self.rates.methods and bool(access.reaches)

    def of(self, ways: list[Access]) -> Floats:
        """Return the chance of each outcome by draw: [J, O, K], summing to one over O. [1]"""
        framing = [len(self._choices(one.answers)) for one in ways if one.answers]
        widest = max([OUTCOMES, *framing, *(len(one.shows) for one in ways)])
        out = np.zeros((len(ways), widest, len(self.draws.weight)))
        for row, access in zip(out, ways, strict=True):
            if access.sources:
                row[: len(access.shows)] = self._of_sources(access)
            elif access.answers:
                self._of_framing(access, row)
            else:
                self._of_voids(access, row[:OUTCOMES])
        return out

    def _of_voids(self, access: Access, row: Floats) -> None:
        first, *rest = access.reaches
        np.take(self._table(access, first), self._states[first.void], axis=1, out=row)
        for reach in rest:
            chance = self._table(access, reach)[:, self._states[reach.void]]
            up_to_little = (row[NOTHING] + row[LITTLE]) * (chance[NOTHING] + chance[LITTLE])
            row[NOTHING] *= chance[NOTHING]
            row[LITTLE] = up_to_little - row[NOTHING]
            row[LOT] = 1.0 - up_to_little

    def _table(self, access: Access, reach: Reach) -> Floats:
        """Return the chance of each outcome by state: [3, species x cells]. [1]"""
        # What was looked at already tells nothing new; a device over nights sees new nights.
        fresh = 1.0 if access.nights else 1.0 - round(float(self.looked[reach.void]), 2)
        key = (access.method, reach.share * fresh, access.nights)
        if key not in self._tables:
            by_species = [look_table(*key, name, self.rates) for name in self.draws.species]
            self._tables[key] = np.concatenate(by_species, axis=1)
        return self._tables[key]

    def _of_sources(self, access: Access) -> Floats:
        """A test of several ways in shows the one that is used most."""
        state = self.draws.source[:, list(access.sources)].max(axis=1)
        return np.asarray(np.asarray(access.shows)[:, state])

    def _choices(self, question: str) -> list[str]:
        return sorted({each.get(question, "") for each in self.draws.choices})

    def _of_framing(self, access: Access, row: Floats) -> None:
        choices = self._choices(access.answers)
        by_guess = [choices.index(each.get(access.answers, "")) for each in self.draws.choices]
        truth = np.array(by_guess)[self.draws.guess_of]
        wrong = (1.0 - access.right) / (len(choices) - 1)
        for shown in range(len(choices)):
            row[shown] = np.where(truth == shown, access.right, wrong)
