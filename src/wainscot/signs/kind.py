"""What a kind of sign is, and how the files in ``kinds`` are found.

A kind says only what animals leave: the chance of each amount to be shown, given what is in the
void.  False alarms, freshness, the naming of the species, the grade and the silence of a finished
look are the same for all kinds and are added in :mod:`wainscot.signs.likelihood`.

A new kind is one new file in ``kinds`` with a ``KIND``, plus its section in ``tables/rates.toml``.

>>> KINDS["droppings"].amounts
('few', 'many', 'heaps')

Three forms: a row per void, a noisy-or over a zone (sounds, stains that fell from above), and a
linear one (a smell in a room, from every void around it).

Limits: a kind knows the species, the look and the load of the house, not the kind of void.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from types import MappingProxyType
from typing import Literal

import msgspec
import numpy as np

from wainscot.arrays import Floats
from wainscot.signs.evidence import CELLS
from wainscot.signs.rates import Section


class Look(msgspec.Struct, frozen=True):
    """The circumstances of one look, as far as a kind may depend on them."""

    species: str
    """The animal that this hypothesis is about."""
    sensitivity: float = 1.0
    """Chance to notice traces that lie in view. [1]"""
    share: float = 1.0
    """Share of the void that was seen. [1]"""
    nights: float = 1.0
    """Trap nights. [1]"""
    loads: int = 3
    freshness: Literal["fresh", "old", "unsure"] = "unsure"
    looks: bool = True
    """True where an eye (or a camera's) was there."""
    since_laid: bool = False
    """True where only what came after it was set or laid is shown."""


Shown = Callable[[Look, Section], Floats]


class Kind(msgspec.Struct, frozen=True):
    """One kind of sign."""

    name: str
    """As it stands in the log."""
    letter: str
    """For its mark on the plan."""
    amounts: tuple[str, ...]
    """The tiles, in order."""
    form: Literal["row", "zone", "linear", "silence"]
    """``silence``: says only that nothing of any other kind was seen."""
    columns: tuple[str, ...] = ()
    """Amounts that have a chance of their own in ``shown``; the others are made of these."""
    made_of: dict[str, tuple[str, ...]] = {}
    """Amounts that stand for one of several columns."""
    nothing: tuple[str, ...] = ()
    """Amounts that say that nothing was there."""
    ordered: bool = True
    """True where amounts rise, so that more of it speaks more strongly."""
    ages: bool = True
    """True where fresh or old says something about the time."""
    silent: bool = False
    """True where its absence from a log says nothing by itself."""
    summarises: tuple[str, ...] = ()
    """Kinds whose absence says nothing more once this one was logged."""
    needs_amount: bool = False
    told: bool = False
    """True where it is an occupant's word, whoever wrote it down."""
    decisive: bool = False
    """True where a species named with it is sure enough to speak for two species at once."""
    zone_of: Literal["around", "above", "here"] = "around"
    """Which voids its zone holds: around its place, above it, or the place itself as well."""
    smells: bool = False
    """True where, once found, it is a source of smell of its own."""
    lengths: dict[str, tuple[float, float]] = {}
    """Usual lengths of the trace, shortest and longest, by species. [m]"""
    shares: dict[str, float] = {}
    """For ``silence``: the share of the void seen, by amount. [1]"""
    shown: Shown | None = None
    """Chance of each column given load, reach and cell: [loads, 3, 6, columns]. [1]"""
    at_entry: Shown | None = None
    """Chance of each column at a way in given never, past, now: [3, columns]. [1]"""
    heard: Shown | None = None
    """For zones: chance that one void alone shows it, [2, 3]: (hidden, room) x reach. [1]"""

    def column(self, amount: str) -> tuple[int, ...]:
        """Return the columns that an amount stands for; all of them where none was given."""
        if not amount:
            return tuple(i for i, c in enumerate(self.columns) if c not in self.nothing)
        names = self.made_of.get(amount, (amount,))
        return tuple(self.columns.index(name) for name in names)


def in_view(share: float, spots: Floats) -> Floats:
    """Return the chance that at least one of so many patches lies in the part seen. [1]

    Parameters
    ----------
    share : float
        Share of the void that was seen. [1]
    spots : Floats
        Number of patches, any shape. [1]
    """
    return np.asarray(1.0 - (1.0 - share) ** spots, dtype=np.float64)


def soil_rows(look: Look, rate: Section) -> Floats:
    """Return ``shown`` for traces that lie with the soil: [loads, 3, 6, columns]. [1]

    The table gives ``left_light``, ``left_heavy`` and ``left_nest`` (a nest, whatever the soil) and
    ``spots`` for light and heavy.  Nothing is shown where there is neither soil nor nest.
    """
    none = np.zeros(len(rate.numbers("left_light")))
    seen = look.sensitivity * in_view(look.share, rate.numbers("spots"))
    light = seen[0] * rate.numbers("left_light")
    heavy = seen[1] * rate.numbers("left_heavy")
    nest = seen[1] * rate.numbers("left_nest")
    cells = np.stack([none, nest, light, nest, heavy, nest])
    if cells.shape[0] != CELLS:
        raise AssertionError("soil x nest has six cells")
    return np.broadcast_to(cells, (look.loads, 3, *cells.shape)).copy()


def entry_rows(look: Look, rate: Section) -> Floats:
    """Return ``at_entry`` from the table's ``entry_past`` and ``entry_now``: [3, columns]. [1]"""
    past = rate.numbers("entry_past")
    now = rate.numbers("entry_now")
    return look.sensitivity * look.share * np.stack([np.zeros_like(past), past, now])


def reach_rows(look: Look, rate: Section) -> Floats:
    """Return ``shown`` for traces of passing, whatever the soil: [loads, 3, 6, columns]. [1]

    The table gives ``left_past`` and ``left_now``, by species or for all.
    """
    rows = look.sensitivity * look.share * _by_reach(look, rate, "left")
    shape = (look.loads, 3, CELLS, rows.shape[-1])
    return np.broadcast_to(rows[None, :, None, :], shape).copy()


def passing_entry(look: Look, rate: Section) -> Floats:
    """Return ``at_entry`` from ``entry_past`` and ``entry_now``, by species: [3, columns]. [1]"""
    return look.sensitivity * look.share * _by_reach(look, rate, "entry")


def _by_reach(look: Look, rate: Section, where: str) -> Floats:
    past = rate.numbers(f"{where}_past", look.species)
    now = rate.numbers(f"{where}_now", look.species)
    return np.stack([np.zeros_like(past), past, now])


def by_nights(nightly: Floats, nights: float, shy: float = 0.0) -> Floats:
    """Return the chance that a device shows something in so many nights. [1]

    Nights before a shy species takes up a new object count for a quarter.

    Parameters
    ----------
    nightly : Floats
        Chance in one night, any shape. [1]
    nights : float
        Nights that it stood. [1]
    shy : float
        Nights before a new object is taken up. [1]
    """
    counted = nights - 0.75 * min(nights, shy)
    return np.asarray(1.0 - (1.0 - nightly) ** counted, dtype=np.float64)


def now_rows(by_load: Floats) -> Floats:
    """Return ``shown`` for what only animals that go by now make: [loads, 3, 6, columns]. [1]

    Parameters
    ----------
    by_load : Floats
        [loads, columns] chance where they do. [1]
    """
    rows = np.zeros((len(by_load), 3, CELLS, by_load.shape[1]))
    rows[:, 2] = by_load[:, None, :]
    return rows


def now_entry(by_load: Floats) -> Floats:
    """Return ``at_entry`` for the same, over the loads' mean: [3, columns]. [1]

    Parameters
    ----------
    by_load : Floats
        [loads, columns] chance where animals go by now. [1]
    """
    never = np.zeros(by_load.shape[1])
    return np.stack([never, never, by_load.mean(axis=0)])


def _found() -> dict[str, Kind]:
    package = importlib.import_module("wainscot.signs.kinds")
    kinds: dict[str, Kind] = {}
    for module in sorted(pkgutil.iter_modules(package.__path__), key=lambda each: each.name):
        kind = importlib.import_module(f"wainscot.signs.kinds.{module.name}").KIND
        kinds[kind.name] = kind
    return kinds


KINDS: MappingProxyType[str, Kind] = MappingProxyType(_found())
"""Every kind of sign by its name, found by walking the folder ``kinds``."""
