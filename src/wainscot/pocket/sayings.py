"""What each sign that a phone can log says, worked out beforehand for every kind.

A phone has no tables of rates and no code of kinds.  It has this instead: by kind, amount, method,
grade, age and nights the likelihoods of one look, as :mod:`wainscot.signs` gives them on the day
itself.  What is left to it is to multiply them into the rows of the voids.

    sayings("norway rat").entries["droppings|many|eye and lamp|seen|unsure|"]

Limits: looks with one find that names no species and no length, and looks that found nothing; a
smell, and a finished look over several voids that found something, wait for the office.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator

import msgspec
import numpy as np

from wainscot.arrays import Floats
from wainscot.job import Find, Grade, Inspection
from wainscot.signs import DEFAULT, KINDS, Rates
from wainscot.signs.assemble import Zone
from wainscot.signs.evidence import Piece
from wainscot.signs.kind import Kind
from wainscot.signs.place import Placed
from wainscot.signs.repeats import Traces
from wainscot.signs.soiling import prior_row
from wainscot.signs.speaker import Said, Setting, Speaker
from wainscot.voids.graph import Graph

GRADES: tuple[Grade, ...] = ("told", "seen", "photographed")
NIGHTS = (*range(1, 15), 21, 28)
"""Nights of a device that a phone knows what to make of. [day]"""


class Part(msgspec.Struct, frozen=True, array_like=True):
    """One likelihood: what it repeats, whether a find, and its place in the table."""

    group: str
    found: bool
    factor: int


class Heard(msgspec.Struct, frozen=True, array_like=True):
    """One zone: which voids it holds, and the chance that one alone is noticed."""

    zone_of: str
    heard: bool
    hits: tuple[tuple[float, ...], ...]
    """[2, 3] (hidden, room) x reach. [1]"""
    false: float
    """Chance that it is noticed though no animal made it. [1]"""
    group: str


class Spread(msgspec.Struct, frozen=True, array_like=True):
    """A find that lies in one of several voids, nobody knows which."""

    group: str
    false: float
    """Chance that it is noted though none of them is reached. [1]"""
    hits: tuple[tuple[float, ...], ...]
    """[classes, 3] by class of void and reach. [1]"""


class Saying(msgspec.Struct, frozen=True, omit_defaults=True):
    """What one look says, wherever it is made."""

    cell: tuple[Part, ...] = ()
    """At a void."""
    way: tuple[Part, ...] = ()
    """At a way in."""
    zones: tuple[Heard, ...] = ()
    spread: tuple[Spread, ...] = ()
    waits: bool = False
    """Whether it is a smell, which the office weighs."""
    smells: bool = False
    """Whether what was found is a source of smell of its own."""
    several: bool = False
    """Whether it waits for the office where it may lie in one of several voids."""
    share: float = 0.0
    """Share of the void that was looked at by this. [1]"""


class Sayings(msgspec.Struct, frozen=True):
    """All of them for one species."""

    entries: dict[str, Saying]
    factors: Floats
    """[n, L, 3, 6] likelihoods of ``cell``. [1]"""
    ways: Floats
    """[n, 3] likelihoods of ``way``, by never / past / now. [1]"""


def key_of(inspection: Inspection) -> str:
    """Return the name under which what an inspection says is kept.

    Parameters
    ----------
    inspection : Inspection
        With one find at most.
    """
    find = inspection.finds[0] if inspection.finds else Find(kind="")
    quiet = not inspection.finds or KINDS[find.kind].form == "silence"
    share = _share(inspection, find)
    what = f"|{share:g}" if quiet else f"{find.kind}|{find.amount}"
    age = "" if quiet else find.freshness
    nights = "" if inspection.nights is None else str(inspection.nights)
    return f"{what}|{inspection.method}|{inspection.grade}|{age}|{nights}"


def _share(inspection: Inspection, find: Find) -> float:
    shares = KINDS[find.kind].shares if find.kind in KINDS else {}
    return shares.get(find.amount, inspection.share_seen)


def looks(rates: Rates = DEFAULT) -> Iterator[Inspection]:
    """Give every look that a phone can log, without its place and time.

    Parameters
    ----------
    rates : Rates, optional
        The tables.
    """
    for grade in GRADES:
        for kind in KINDS.values():
            if kind.form == "silence":
                yield from _quiet(kind, grade, rates)
                continue
            shown = [name for name, one in rates.methods.items() if kind.name in one.shows]
            for method in shown or ["eye and lamp"]:
                laid = rates.methods[method].since_laid
                for amount in kind.amounts:
                    for age in ("unsure", "fresh", "old") if kind.ages else ("unsure",):
                        find = Find(kind.name, amount, freshness=age)
                        for nights in NIGHTS if laid else (None,):
                            yield Inspection(
                                method=method, grade=grade, finished=laid, finds=[find],
                                nights=nights,
                            )  # fmt: skip


def _quiet(kind: Kind, grade: Grade, rates: Rates) -> Iterator[Inspection]:
    for method, one in rates.methods.items():
        if not one.since_laid:
            for amount in kind.amounts:
                yield Inspection(method=method, grade=grade, finds=[Find(kind.name, amount)])


@functools.lru_cache(maxsize=8)
def sayings(species: str) -> Sayings:
    """Return what every look says about one species, with the tables as shipped.

    Parameters
    ----------
    species : str
        The animal of a hypothesis, or two joined by "and".
    """
    return _Book(species, DEFAULT).written()


class _Book:
    """Asks the speaker about a row of voids, one of each class."""

    def __init__(self, species: str, rates: Rates) -> None:
        self.classes = list(rates.classes)
        self.room = self.classes.index("room")
        self.hidden = next(i for i, name in enumerate(self.classes) if name != "room")
        priors = np.stack([prior_row(one) for one in rates.classes.values()])
        self.setting = Setting(
            graph=_row(len(self.classes), self.room),
            species=species,
            rates=rates,
            traces=Traces(frozenset(), {}),
            priors=priors,
            as_of="",
            joined={},
        )
        self.rates = rates
        self.factors: dict[bytes, int] = {}
        self.ways: dict[bytes, int] = {}

    def written(self) -> Sayings:
        """Return all that was asked for."""
        entries = {key_of(one): self._of(one) for one in looks(self.rates)}
        loads = len(self.rates.load)
        return Sayings(
            entries,
            np.frombuffer(b"".join(self.factors)).reshape(-1, loads, 3, 6),
            np.frombuffer(b"".join(self.ways)).reshape(-1, 3),
        )

    def _of(self, look: Inspection) -> Saying:
        everywhere = tuple(range(len(self.classes)))
        both = (self.hidden, self.room)
        cell = self._said(Placed("", look, (self.hidden,), self.hidden, both, above=both))
        way = self._said(Placed("", look, source=0))
        find = next((one for one in look.finds if KINDS[one.kind].form != "silence"), None)
        found = find is not None and find.amount not in KINDS[find.kind].nothing
        row = found and find is not None and KINDS[find.kind].form == "row"
        several = row and look.finished and look.grade != "told"
        spread = Said([], [], [], [])
        if row and not several:
            spread = self._said(Placed("", look, everywhere))
        method = self.rates.methods[look.method]
        ours = look.finished and look.grade != "told" and method.looks
        return Saying(
            cell=tuple(self._piece(one, self.factors) for one in _pieces(cell)),
            way=tuple(self._piece(one, self.ways) for one in _pieces(way)),
            zones=tuple(_heard(one, both) for one in cell.zones),
            spread=tuple(
                Spread(one.group, one.false, tuple(tuple(row) for row in one.hits.tolist()))
                for one in spread.zones
                if KINDS[one.group.partition(": ")[2]].form == "row"
            ),
            waits=bool(cell.readings),
            smells=bool(cell.carcasses),
            several=several,
            share=_share(look, look.finds[0]) if ours else 0.0,
        )

    def _said(self, placed: Placed) -> Said:
        said = Said([], [], [], [])
        Speaker(placed, self.setting).speak(said)
        return said

    def _piece(self, piece: Piece, table: dict[bytes, int]) -> Part:
        key = np.ascontiguousarray(piece.factor, dtype="<f8").tobytes()
        return Part(piece.group, piece.found, table.setdefault(key, len(table)))


def _pieces(said: Said) -> list[Piece]:
    return [piece for one in said.statements for piece in one.pieces]


def _heard(zone: Zone, both: tuple[int, int]) -> Heard:
    """The zone by hidden void and room, whichever of them comes first in it."""
    order = [zone.voids.tolist().index(v) for v in both]
    kind = KINDS[zone.group.partition(": ")[2]]
    hits = tuple(tuple(row) for row in zone.hits[order].tolist())
    return Heard(kind.zone_of, zone.heard, hits, zone.false, zone.group)


def _row(count: int, room: int) -> Graph:
    """Voids that touch nothing, all hidden but the room."""
    names = tuple(str(v) for v in range(count))
    none: tuple[str, ...] = ()
    return Graph(
        keys=names, labels=names, kinds=names, words=names, owners=names, storeys=names,
        hidden=np.arange(count) != room,
        polygon=tuple(np.zeros((0, 2)) for _ in names),
        bottom=np.zeros(count), top=np.zeros(count), volume=np.zeros(count),
        faces=tuple(() for _ in names),
        edges=np.zeros((0, 2), np.int32), passage_keys=none, passage_rule=none,
        passage_words=none, aperture=np.zeros((0, 2)), prior_open=np.zeros(0),
        prior_run=np.zeros(0), gnawable=np.zeros(0, np.bool_), passage_at=np.zeros((0, 3)),
        source_keys=("in",), source_words=("in",), source_sort=("entry point",),
        source_pool=("",), source_void=np.zeros(1, np.int32), source_prior=np.ones((1, 3)) / 3,
        source_at=np.zeros((1, 3)),
    )  # fmt: skip
