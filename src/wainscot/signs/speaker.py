"""One inspection to what it says: rows of voids, a zone, a smell, a weight on a way in.

The finds of one inspection multiply with the silence of everything else that its method shows.

Limits: an inspection speaks in one place; a told report counts once, whatever it lists (the mean of
what its finds would say, so that a long report is not stronger than a short one).
"""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot.arrays import Floats, Ints
from wainscot.job import Find, Inspection
from wainscot.signs import likelihood
from wainscot.signs.ageing import aged_cells, aged_hits, aged_ways, days_between
from wainscot.signs.assemble import Zone
from wainscot.signs.evidence import Piece, Statement
from wainscot.signs.kind import KINDS, Kind, Look
from wainscot.signs.place import Placed, reaches_of
from wainscot.signs.rates import Rates
from wainscot.signs.repeats import Traces
from wainscot.signs.several import Several, as_said, in_one_of, no_more_than, together
from wainscot.signs.smell import Reading
from wainscot.signs.words import what_of, words_of
from wainscot.voids.graph import Graph

_NONE = np.zeros(0, dtype=np.int32)


class Setting(msgspec.Struct, frozen=True):
    """What all inspections of one log have in common."""

    graph: Graph
    species: str
    rates: Rates
    traces: Traces
    priors: Floats
    """[V, L, 3, 6] joint chance of soil and nest of every void before any sign. [1]"""
    as_of: str
    """The day that the answer is of: that of the last inspection; empty if none is known."""
    joined: dict[bytes, Floats]
    """What :func:`together` found for the voids of a look; it hangs on the graph alone. [1]"""

    def beside(self, members: Ints) -> Floats:
        """Return how often two voids of one look are joined: [n, n], worked out once. [1]

        Parameters
        ----------
        members : Ints
            The voids looked at.
        """
        key = members.tobytes()
        if key not in self.joined:
            self.joined[key] = together(self.graph, members)
        return self.joined[key]


class Said(msgspec.Struct):
    """What all inspections have said so far; grows."""

    statements: list[Statement]
    zones: list[Zone]
    readings: list[Reading]
    carcasses: list[int]
    """Voids in which something was found that smells by itself."""

    def add(self, own: Said) -> None:
        """Add what one inspection said by itself.

        Parameters
        ----------
        own : Said
            Its statements name its own zones, its readings its own statements.
        """
        zones, statements = len(self.zones), len(self.statements)
        self.statements += [
            one if one.zone < 0 else msgspec.structs.replace(one, zone=zones + one.zone)
            for one in own.statements
        ]
        self.zones += own.zones
        self.readings += [
            msgspec.structs.replace(one, statement=statements + one.statement)
            for one in own.readings
        ]
        self.carcasses += own.carcasses


class Speaker:
    """Turns one placed inspection into statements.

    Parameters
    ----------
    placed : Placed
        The inspection and its place.
    setting : Setting
        What all inspections have in common.
    """

    def __init__(self, placed: Placed, setting: Setting) -> None:
        self.placed = placed
        self.setting = setting
        self.graph, self.species, self.rates = setting.graph, setting.species, setting.rates
        self.priors = setting.priors
        self.inspection = _with_share(placed.inspection)
        self.circumstances = (self.inspection.method, self.inspection.grade)
        self.finds = _counting(placed.key, self.inspection, setting.traces)
        self.silent = _silent(self.inspection, self.rates)
        self.days = days_between(self.inspection.at, setting.as_of)
        ours = self.inspection.finished and self.inspection.grade != "told"
        self.looked_over = ours and len(set(placed.voids)) > 1
        """Whether one finished look of ours went over several voids."""
        method = self.rates.methods.get(self.inspection.method)
        self.repeat = method.repeat if method is not None else 0.0
        self.look = Look(
            self.species,
            share=self.inspection.share_seen,
            nights=float(self.inspection.nights or 1),
            loads=len(self.rates.load),
        )

    def speak(self, said: Said) -> None:
        """Add what this inspection says.

        Parameters
        ----------
        said : Said
            Grows by what it says.
        """
        before = len(said.statements)
        if self.placed.source >= 0:
            said.statements.append(self._of_source())
        elif self.placed.voids:
            self._of_voids(said)
            self._of_one_among_several(said)
            self._of_smell(said)
        self._of_zone(said)
        if len(said.statements) == before:
            said.statements.append(self._statement(self.finds or self.inspection.finds))

    def _shown(self, kind: Kind, find: Find | None, entry: bool = False) -> Floats | None:
        look = likelihood.look_of(kind, find, self.circumstances, self.look, self.rates)
        shown = kind.at_entry if entry else kind.shown
        return None if shown is None else shown(look, self.rates.kind(kind.name))

    def _factors(self, finds: list[Find], entry: bool) -> list[Piece]:
        """Likelihoods of the finds, then that of all silences, each by state; without a place."""
        aged = aged_ways if entry else aged_cells
        found: list[Piece] = []
        silent: list[Floats] = []
        for find in finds:
            kind = KINDS[find.kind]
            shown = self._shown(kind, find, entry)
            if shown is None:
                continue
            if self._nothing(find) and find.amount not in kind.columns:
                silent.append(likelihood.of_nothing(shown, kind, self.circumstances, self.rates))
                continue
            chance = likelihood.of_find(
                shown, kind, find, self.circumstances, self.species, self.rates
            )
            # A trace of another species does not repeat this one.
            group = f"{kind.name} {find.species}".strip()
            factor = aged(chance, self.days, self.rates)
            found.append(self._piece(group, factor, not self._nothing(find)))
        for kind in self.silent:
            shown = self._shown(kind, None, entry)
            if shown is not None:
                silent.append(likelihood.of_nothing(shown, kind, self.circumstances, self.rates))
        if self.inspection.grade == "told" and len(found) > 1:
            mean = np.mean([one.factor for one in found], axis=0)
            found = [self._piece("report", mean, True)]
        if silent:
            quiet = aged(np.asarray(np.prod(silent, axis=0)), self.days, self.rates)
            found.append(self._piece("nothing", quiet, False))
        return found

    def _piece(self, kind: str, factor: Floats, found: bool) -> Piece:
        return Piece(f"{self.inspection.method}: {kind}", found, factor, self.repeat)

    def _of_source(self) -> Statement:
        source = self.placed.source
        pieces = [
            msgspec.structs.replace(one, source=source)
            for one in self._factors(self.finds, entry=True)
        ]
        weights = np.prod([np.ones(3), *(one.factor for one in pieces)], axis=0)
        by_state = (float(weights[0]), float(weights[1]), float(weights[2]))
        return self._statement(self.finds, source=source, by_state=by_state, pieces=tuple(pieces))

    def _of_voids(self, said: Said) -> None:
        nearest = self.placed.nearest
        rows = [find for find in self.finds if KINDS[find.kind].form == "row"]
        exact = rows if nearest >= 0 else [find for find in rows if self._nothing(find)]
        spoken = self._factors(exact, entry=False)
        if nearest >= 0:
            said.carcasses += [nearest for find in rows if self._smells(find)]
        voids = np.array(sorted(set(self.placed.voids)), dtype=np.int32)
        pieces = [
            msgspec.structs.replace(one, void=int(v))
            for v in voids
            for one in [*spoken, *(self._elsewhere(exact) if v != nearest else [])]
            if not one.found or v == nearest
        ]
        method = self.rates.methods.get(self.inspection.method)
        ours = self.inspection.finished and self.inspection.grade != "told"
        looked = ours and (method is None or method.looks)
        if not pieces and not looked and (rows or self._of_other_forms()):
            return
        said.statements.append(
            self._statement(
                exact if nearest >= 0 else [],
                voids=voids if pieces else _NONE,
                pieces=tuple(pieces),
                share=self.inspection.share_seen if looked else 0.0,
                seen=self._seen(looked and method is not None and method.settles),
            )
        )

    def _elsewhere(self, finds: list[Find]) -> list[Piece]:
        """What a find in one void of a finished look says of the others: nothing of it there."""
        quiet: list[Piece] = []
        for find in finds if self.looked_over else []:
            kind = KINDS[find.kind]
            shown = self._shown(kind, find)
            if shown is not None and kind.ordered and not self._nothing(find):
                chance = likelihood.of_nothing(shown, kind, self.circumstances, self.rates)
                aged = aged_cells(chance, self.days, self.rates)
                quiet.append(self._piece(kind.name, aged, False))
        return quiet

    def _of_other_forms(self) -> bool:
        kinds = [*(KINDS[find.kind] for find in self.finds), *self.silent]
        return any(kind.form in ("zone", "linear") for kind in kinds)

    def _smells(self, find: Find) -> bool:
        return KINDS[find.kind].smells and self.inspection.grade != "told"

    def _seen(self, settles: bool) -> tuple[tuple[int, str], ...]:
        settled = [find.amount for find in self.finds if KINDS[find.kind].summarises]
        if settled and self.placed.nearest >= 0:
            return ((self.placed.nearest, settled[-1]),)
        if not settles or self.inspection.share_seen < 0.9:
            return ()
        what = what_of(self.finds) or "nothing"
        unsure = self.placed.nearest < 0 and what != "nothing"
        return tuple(
            (v, what if v == self.placed.nearest else "nothing")
            for v in sorted(set(self.placed.voids))
            if not unsure
        )

    def _nothing(self, find: Find) -> bool:
        return find.amount in KINDS[find.kind].nothing

    def _of_one_among_several(self, said: Said) -> None:
        if self.placed.nearest >= 0:
            return
        members = np.array(sorted(set(self.placed.voids)), dtype=np.int32)
        load = np.asarray(self.rates.load)
        self._over_all(said, members)
        for find in self.finds:
            kind = KINDS[find.kind]
            if kind.form != "row" or self._nothing(find):
                continue
            shown = self._shown(kind, find)
            if shown is None:
                continue
            if self.looked_over and kind.ordered:
                continue
            spread = [
                likelihood.spread_over(
                    shown, self.priors[v], load, kind, find, self.circumstances,
                    self.species, self.rates,
                )
                for v in members
            ]  # fmt: skip
            hits = aged_hits(np.stack([hit for hit, _ in spread]), self.days, self.rates)
            group = f"{self.inspection.method}: {kind.name}"
            said.zones.append(Zone(members, hits, spread[0][1], True, group, self.repeat))
            chance = likelihood.of_find(
                shown, kind, find, self.circumstances, self.species, self.rates
            )
            others = self.rates.kind("spread").number("others_reached")
            soil = likelihood.share_among(chance, self.priors[members], others)
            pieces = tuple(
                Piece(group, True, factor, self.repeat, int(v))
                for v, factor in zip(members, soil, strict=True)
            )
            said.statements.append(
                self._statement([find], voids=members, pieces=pieces, zone=len(said.zones) - 1)
            )

    def _over_all(self, said: Said, members: Ints) -> None:
        """The most that a finished look over several voids found of each kind."""
        finds = [
            find
            for find in sorted(self.finds, key=lambda each: (each.kind, each.amount))
            if self.looked_over
            and KINDS[find.kind].form == "row"
            and KINDS[find.kind].ordered
            and not self._nothing(find)
        ]
        if not finds:
            return
        beside = self.setting.beside(members)
        for find in finds:
            kind = KINDS[find.kind]
            shown = self._shown(kind, find)
            if shown is None:
                continue
            told = (self.circumstances, self.species, self.rates)
            chance = as_said(shown, kind, find, *told)
            no_more = no_more_than(shown, kind, find, *told)
            found = in_one_of(chance, no_more, self.priors[members], beside, self.rates)
            self._add_most(said, find, found, members)

    def _add_most(self, said: Said, find: Find, found: Several, members: Ints) -> None:
        group = f"{self.inspection.method}: {find.kind}"
        hits = aged_hits(found.hits, self.days, self.rates)
        said.zones.append(Zone(members, hits, found.false, True, group, self.repeat))
        quiet = aged_cells(found.no_more, self.days, self.rates)
        pieces = tuple(
            piece
            for v, soil in zip(members, found.soil, strict=True)
            for piece in (
                Piece(group, True, soil, self.repeat, int(v)),
                Piece(group, False, quiet, self.repeat, int(v)),
            )
        )
        said.statements.append(
            self._statement([find], voids=members, pieces=pieces, zone=len(said.zones) - 1)
        )

    def _of_zone(self, said: Said) -> None:
        finds = [find for find in self.finds if KINDS[find.kind].form == "zone"]
        quiet = [kind for kind in self.silent if kind.form == "zone"]
        for kind, find in [*((KINDS[f.kind], f) for f in finds), *((k, None) for k in quiet)]:
            members = self.placed.zone_for(kind.zone_of)
            if kind.heard is None or not members:
                continue
            look = likelihood.look_of(kind, find, self.circumstances, self.look, self.rates)
            hits = reaches_of(members, self.graph, kind.heard(look, self.rates.kind(kind.name)))
            said.zones.append(
                Zone(
                    np.array(members, dtype=np.int32),
                    aged_hits(hits, self.days, self.rates),
                    likelihood.zone_false(kind, self.inspection.grade, self.rates),
                    find is not None,
                    f"{self.inspection.method}: {kind.name}",
                    self.repeat,
                )
            )
            named = [find] if find is not None else []
            said.statements.append(self._statement(named, zone=len(said.zones) - 1))

    def _of_smell(self, said: Said) -> None:
        finds: list[Find | None] = [f for f in self.finds if KINDS[f.kind].form == "linear"]
        if not finds and any(kind.form == "linear" for kind in self.silent):
            finds = [None]
        since = self.inspection.product_days
        masked = since is not None and since < self.rates.kind("smell").number("product_days")
        for find in finds:
            named = [find] if find is not None else []
            note = "says nothing: a product was used days before" if masked else ""
            if not masked:
                said.readings.append(
                    Reading(
                        statement=len(said.statements),
                        room=self._room(),
                        find=find,
                        grade=self.inspection.grade,
                        group=self.inspection.method,
                        repeat=self.repeat,
                    )
                )
            said.statements.append(self._statement(named, note=note))

    def _room(self) -> int:
        """The void whose air was smelt: the place itself, else the first room among several."""
        if self.placed.nearest >= 0:
            return self.placed.nearest
        rooms = [v for v in self.placed.voids if not self.graph.hidden[v]]
        return (rooms or list(self.placed.voids))[0]

    def _statement(
        self,
        finds: list[Find],
        *,
        voids: Ints = _NONE,
        pieces: tuple[Piece, ...] = (),
        zone: int = -1,
        source: int = -1,
        by_state: tuple[float, float, float] = (1.0, 1.0, 1.0),
        seen: tuple[tuple[int, str], ...] = (),
        share: float = 0.0,
        note: str = "",
    ) -> Statement:
        factor = np.ones((len(voids), len(self.rates.load), 3, 6))
        place = {int(v): i for i, v in enumerate(voids)}
        for piece in pieces:
            if piece.void >= 0:
                factor[place[piece.void]] *= piece.factor
        return Statement(
            key=self.placed.key,
            words=words_of(self.finds, self.placed.where, self.inspection, note),
            positive=any(not self._nothing(find) for find in finds),
            voids=voids,
            factor=factor,
            zone=zone,
            source=source,
            by_state=by_state,
            seen=seen,
            share=share,
            what=what_of([find for find in finds if not self._nothing(find)]),
            at=self.inspection.at,
            pieces=pieces,
        )


def _with_share(inspection: Inspection) -> Inspection:
    """Return the inspection with the share that a "saw nothing" tile stands for."""
    for find in inspection.finds:
        share = KINDS[find.kind].shares.get(find.amount)
        if share is not None:
            return msgspec.structs.replace(inspection, share_seen=share)
    return inspection


def _named(inspection: Inspection) -> list[Find]:
    """Finds that name something, not only that nothing was seen."""
    return [find for find in inspection.finds if KINDS[find.kind].form != "silence"]


def _counting(key: str, inspection: Inspection, traces: Traces) -> list[Find]:
    """Finds that count: no repeats, and of a told report those of one form only."""
    finds = [
        traces.joined.get((key, i), find)
        for i, find in enumerate(inspection.finds)
        if (key, i) not in traces.extra and KINDS[find.kind].form != "silence"
    ]
    if inspection.grade != "told":
        return finds
    for form in ("row", "zone", "linear"):
        mine = [find for find in finds if KINDS[find.kind].form == form]
        if mine:
            # Zones and smells cannot be averaged, so one of them speaks for the report.
            return mine if form == "row" else mine[:1]
    return finds


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
