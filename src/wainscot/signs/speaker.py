"""One inspection to what it says: rows of voids, a zone, a weight on a way in.

The finds of one inspection multiply with the silence of everything else that its method shows.

Limits: an inspection speaks in one place; a told report counts once, whatever it lists (the mean of
what its finds would say, so that a long report is not stronger than a short one).
"""

from __future__ import annotations

from datetime import datetime

import msgspec
import numpy as np

from wainscot.arrays import Floats, Ints
from wainscot.job import Find, Inspection
from wainscot.signs import likelihood
from wainscot.signs.evidence import Statement, Zone
from wainscot.signs.kind import KINDS, Kind, Look
from wainscot.signs.place import Placed, reaches_of
from wainscot.signs.rates import Rates
from wainscot.signs.repeats import Sighting
from wainscot.voids.graph import Graph

_NONE = np.zeros(0, dtype=np.int32)


class Speaker:
    """Turns one placed inspection into statements.

    Parameters
    ----------
    placed : Placed
        The inspection and its place.
    graph : Graph
        The voids.
    species : str
        The animal of this hypothesis.
    rates : Rates
        The tables.
    extra : frozenset
        Finds that only repeat another.
    priors : Floats
        [V, L, 3, 6] joint chance of soil and nest of every void before any sign. [1]
    """

    def __init__(
        self,
        placed: Placed,
        graph: Graph,
        species: str,
        rates: Rates,
        extra: frozenset[Sighting],
        priors: Floats,
    ) -> None:
        self.placed = placed
        self.graph = graph
        self.species = species
        self.rates = rates
        self.priors = priors
        self.inspection = _with_share(placed.inspection)
        self.circumstances = (self.inspection.method, self.inspection.grade)
        self.finds = _counting(placed.key, self.inspection, extra)
        self.silent = _silent(self.inspection, rates)
        self.look = Look(
            species,
            share=self.inspection.share_seen,
            nights=float(self.inspection.nights or 1),
            loads=len(rates.load),
        )

    def speak(self, statements: list[Statement], zones: list[Zone]) -> None:
        """Append what this inspection says.

        Parameters
        ----------
        statements, zones : list
            Grow by what it says.
        """
        said = len(statements)
        if self.placed.source >= 0:
            self._of_source(statements)
        elif self.placed.voids:
            self._of_voids(statements)
            self._of_one_among_several(statements, zones)
        self._of_zone(statements, zones)
        if len(statements) == said:
            statements.append(self._statement(self.inspection.finds, voids=_NONE))

    def _shown(self, kind: Kind, find: Find | None, entry: bool = False) -> Floats | None:
        look = likelihood.look_of(kind, find, self.circumstances, self.look, self.rates)
        shown = kind.at_entry if entry else kind.shown
        return None if shown is None else shown(look, self.rates.kind(kind.name))

    def _factors(self, finds: list[Find], entry: bool) -> tuple[list[Floats], list[Floats]]:
        """Likelihoods of the finds and of the silences, each by state."""
        found: list[Floats] = []
        silent: list[Floats] = []
        for find in finds:
            kind = KINDS[find.kind]
            shown = self._shown(kind, find, entry)
            if shown is None:
                continue
            if find.amount in kind.nothing and find.amount not in kind.columns:
                silent.append(likelihood.of_nothing(shown, kind, self.circumstances, self.rates))
            else:
                found.append(
                    likelihood.of_find(
                        shown, kind, find, self.circumstances, self.species, self.rates
                    )
                )
        for kind in self.silent:
            shown = self._shown(kind, None, entry)
            if shown is not None:
                silent.append(likelihood.of_nothing(shown, kind, self.circumstances, self.rates))
        if self.inspection.grade == "told" and len(found) > 1:
            found = [np.mean(found, axis=0)]
        return found, silent

    def _of_source(self, statements: list[Statement]) -> None:
        found, silent = self._factors(self.finds, entry=True)
        weights = np.prod([np.ones(3), *found, *silent], axis=0)
        by_state = (float(weights[0]), float(weights[1]), float(weights[2]))
        statements.append(
            self._statement(self.finds, voids=_NONE, source=self.placed.source, by_state=by_state)
        )

    def _of_voids(self, statements: list[Statement]) -> None:
        nearest = self.placed.nearest
        rows = [find for find in self.finds if KINDS[find.kind].form == "row"]
        exact = rows if nearest >= 0 else [find for find in rows if self._nothing(find)]
        found, silent = self._factors(exact, entry=False)
        ones = np.ones((len(self.rates.load), 3, 6))
        quiet = np.prod([ones, *silent], axis=0)
        loud = np.prod([quiet, *found], axis=0)
        voids = np.array(sorted(set(self.placed.voids)), dtype=np.int32)
        factor = np.stack([loud if v == nearest else quiet for v in voids])
        if not found and not silent:
            voids, factor = _NONE, factor[:0]
        method = self.rates.methods.get(self.inspection.method)
        ours = self.inspection.finished and self.inspection.grade != "told"
        looked = ours and (method is None or method.looks)
        statements.append(
            self._statement(
                exact if nearest >= 0 else [],
                voids=voids,
                factor=factor,
                share=self.inspection.share_seen if looked else 0.0,
                seen=self._seen(looked and method is not None and method.settles),
            )
        )

    def _seen(self, settles: bool) -> tuple[tuple[int, str], ...]:
        settled = [find.amount for find in self.finds if KINDS[find.kind].summarises]
        if settled and self.placed.nearest >= 0:
            return ((self.placed.nearest, settled[-1]),)
        if not settles or self.inspection.share_seen < 0.9:
            return ()
        what = _what(self.finds) or "nothing"
        unsure = self.placed.nearest < 0 and what != "nothing"
        return tuple(
            (v, what if v == self.placed.nearest else "nothing")
            for v in sorted(set(self.placed.voids))
            if not unsure
        )

    def _nothing(self, find: Find) -> bool:
        return find.amount in KINDS[find.kind].nothing

    def _of_one_among_several(self, statements: list[Statement], zones: list[Zone]) -> None:
        if self.placed.nearest >= 0:
            return
        members = np.array(sorted(set(self.placed.voids)), dtype=np.int32)
        load = np.asarray(self.rates.load)
        for find in self.finds:
            kind = KINDS[find.kind]
            if kind.form != "row" or self._nothing(find):
                continue
            shown = self._shown(kind, find)
            if shown is None:
                continue
            spread = [
                likelihood.spread_over(
                    shown, self.priors[v], load, kind, find, self.circumstances,
                    self.species, self.rates,
                )
                for v in members
            ]  # fmt: skip
            hits = np.stack([hit for hit, _ in spread])
            zones.append(Zone(members, hits, spread[0][1], True))
            chance = likelihood.of_find(
                shown, kind, find, self.circumstances, self.species, self.rates
            )
            others = self.rates.kind("spread").number("others_reached")
            soil = likelihood.share_among(chance, self.priors[members], others)
            statements.append(
                self._statement([find], voids=members, factor=soil, zone=len(zones) - 1)
            )

    def _of_zone(self, statements: list[Statement], zones: list[Zone]) -> None:
        members = tuple(sorted(set(self.placed.zone)))
        if not members:
            return
        finds = [find for find in self.finds if KINDS[find.kind].form == "zone"]
        quiet = [kind for kind in self.silent if kind.form == "zone"]
        for kind, find in [*((KINDS[f.kind], f) for f in finds), *((k, None) for k in quiet)]:
            if kind.heard is None:
                continue
            look = likelihood.look_of(kind, find, self.circumstances, self.look, self.rates)
            hits = reaches_of(members, self.graph, kind.heard(look, self.rates.kind(kind.name)))
            false = likelihood.zone_false(kind, self.inspection.grade, self.rates)
            voids = np.array(members, dtype=np.int32)
            zones.append(Zone(voids, hits, false, find is not None))
            named = [find] if find is not None else []
            statements.append(self._statement(named, voids=voids[:0], zone=len(zones) - 1))

    def _statement(
        self,
        finds: list[Find],
        *,
        voids: Ints,
        factor: Floats | None = None,
        zone: int = -1,
        source: int = -1,
        by_state: tuple[float, float, float] = (1.0, 1.0, 1.0),
        seen: tuple[tuple[int, str], ...] = (),
        share: float = 0.0,
    ) -> Statement:
        shape = (0, len(self.rates.load), 3, 6)
        return Statement(
            key=self.placed.key,
            words=_words(self.finds, self.placed.where, self.inspection),
            positive=any(not self._nothing(find) for find in finds),
            voids=voids,
            factor=np.ones(shape) if factor is None else factor,
            zone=zone,
            source=source,
            by_state=by_state,
            seen=seen,
            share=share,
            what=_what([find for find in finds if not self._nothing(find)]),
            at=self.inspection.at,
        )


def _with_share(inspection: Inspection) -> Inspection:
    """Return the inspection with the share that a "saw nothing" tile stands for."""
    for find in inspection.finds:
        share = KINDS[find.kind].shares.get(find.amount)
        if share is not None:
            return msgspec.structs.replace(inspection, share_seen=share)
    return inspection


def _what(finds: list[Find]) -> str:
    said = []
    for find in finds:
        parts = [find.kind, find.amount, find.freshness if find.freshness != "unsure" else ""]
        said.append(", ".join(part for part in parts if part))
    return " and ".join(said)


def _words(finds: list[Find], where: str, inspection: Inspection) -> str:
    what = _what(finds) or "looked, nothing"
    try:
        day = datetime.fromisoformat(inspection.at)
        when = f"{day.day} {day:%b}, " if inspection.at else ""
    except ValueError:
        when = ""
    return f"{what}, {where} ({when}{inspection.grade})"


def _named(inspection: Inspection) -> list[Find]:
    """Finds that name something, not only that nothing was seen."""
    return [find for find in inspection.finds if KINDS[find.kind].form != "silence"]


def _counting(key: str, inspection: Inspection, extra: frozenset[Sighting]) -> list[Find]:
    """Finds that count: no repeats, and of one told report not a zone beside voids."""
    finds = [
        find
        for i, find in enumerate(inspection.finds)
        if (key, i) not in extra and KINDS[find.kind].form != "silence"
    ]
    rows = [find for find in finds if KINDS[find.kind].form == "row"]
    return rows if inspection.grade == "told" and rows else finds


def _silent(inspection: Inspection, rates: Rates) -> list[Kind]:
    """Kinds that a finished look would have shown and did not find.

    An occupant's report of something speaks of that alone.
    """
    method = rates.methods.get(inspection.method)
    named = _named(inspection)
    if method is None or not inspection.finished or (inspection.grade == "told" and named):
        return []
    spoken = {find.kind for find in named}
    spoken |= {name for find in named for name in KINDS[find.kind].summarises}
    return [KINDS[name] for name in method.shows if name not in spoken and not KINDS[name].silent]
