"""Inspections to evidence: what every look and find says about voids, zones and ways in.

>>> from wainscot import plan, signs, voids                             # doctest: +SKIP
>>> evidence = signs.read(job, plan.read(job), graph, "norway rat")     # doctest: +SKIP

Each inspection becomes one or more statements; the statements multiply into the rows of the voids
(inside the sum over soil and nest), add zones, or weigh a way in.  They are kept, so that any
inspection can be left out again (:func:`wainscot.signs.evidence.without`).

Limits: time is not weighed beyond "fresh" and "old"; every inspection speaks of the same house.
"""

from __future__ import annotations

from datetime import datetime

import msgspec
import numpy as np

from wainscot import voids as voids_step
from wainscot.arrays import Floats
from wainscot.job import Find, Inspection, Job, typed
from wainscot.plan.model import Plan
from wainscot.signs import likelihood
from wainscot.signs.evidence import Evidence, Statement, Zone, assemble
from wainscot.signs.kind import KINDS, Kind, Look
from wainscot.signs.place import Placed, put, reaches_of
from wainscot.signs.rates import DEFAULT, Rates
from wainscot.signs.repeats import repeated
from wainscot.signs.soiling import class_of, prior_row
from wainscot.voids.graph import Graph

_NONE = np.zeros(0, dtype=np.int32)


def read(job: Job, plan: Plan, graph: Graph, species: str, *, rates: Rates = DEFAULT) -> Evidence:
    """Return what a job's inspections say, for one graph and one species.

    Parameters
    ----------
    job : Job
        The job; :func:`wainscot.signs.faults` must find nothing wrong with it.
    plan : Plan
        Its plan, of which the graph was made.
    graph : Graph
        The voids.
    species : str
        The animal of this hypothesis.
    rates : Rates, optional
        The tables.
    """
    entities = typed(job)
    placed = [
        put(
            key,
            entity,
            entities,
            graph,
            lambda place: voids_step.locate(graph, plan, place),
            lambda place: voids_step.locate_zone(graph, plan, place),
            rates,
        )
        for key, entity in entities.items()
        if isinstance(entity, Inspection)
    ]
    return weigh(placed, graph, species, rates=rates)


def weigh(placed: list[Placed], graph: Graph, species: str, *, rates: Rates = DEFAULT) -> Evidence:
    """Return the evidence of inspections whose places are known.

    Parameters
    ----------
    placed : list of Placed
        Inspections; their order changes nothing.
    graph : Graph
        The voids.
    species : str
        The animal of this hypothesis.
    rates : Rates, optional
        The tables.
    """
    placed = sorted(placed, key=lambda each: each.key)
    extra = repeated({each.key: each.inspection for each in placed})
    classes = list(rates.classes)
    class_index = np.array(
        [
            classes.index(class_of(graph.kinds[v], bool(graph.hidden[v]), graph.volume[v], rates))
            for v in range(len(graph.keys))
        ],
        dtype=np.int32,
    )
    priors = np.stack([prior_row(rates.classes[name]) for name in classes])
    statements: list[Statement] = []
    zones: list[Zone] = []
    for each in placed:
        if each.somewhere:
            speaker = _Speaker(each, graph, species, rates, extra, priors[class_index])
            speaker.speak(statements, zones)
    return assemble(
        row_of=class_index,
        priors=priors,
        load=np.asarray(rates.load),
        sources=len(graph.source_keys),
        statements=tuple(statements),
        zones=tuple(zones),
        unplaced=tuple(each.key for each in placed if not each.somewhere),
    )


class _Speaker:
    """Turns one placed inspection into statements."""

    def __init__(
        self,
        placed: Placed,
        graph: Graph,
        species: str,
        rates: Rates,
        extra: frozenset[tuple[str, int]],
        priors: Floats,
    ) -> None:
        self.placed = placed
        self.graph = graph
        self.species = species
        self.rates = rates
        self.priors = priors
        self.inspection = _with_share(placed.inspection)
        self.circumstances = (self.inspection.method, self.inspection.grade)
        told = self.inspection.grade == "told"
        named = [find for find in self.inspection.finds if KINDS[find.kind].form != "silence"]
        self.neutral = {find.kind for find in named}
        for find in named:
            self.neutral |= set(KINDS[find.kind].summarises)
        self.finds = [
            find
            for i, find in enumerate(self.inspection.finds)
            if (placed.key, i) not in extra and find in named
        ]
        if told and any(KINDS[find.kind].form == "row" for find in self.finds):
            self.finds = [find for find in self.finds if KINDS[find.kind].form == "row"]
        speaks = self.inspection.finished and not (told and named)
        method = rates.methods.get(self.inspection.method)
        self.silent = [
            KINDS[name]
            for name in (method.shows if method is not None and speaks else {})
            if name not in self.neutral and not KINDS[name].silent
        ]
        look = Look(
            species,
            share=self.inspection.share_seen,
            nights=float(self.inspection.nights or 1),
            loads=len(rates.load),
        )
        self.look = look

    def speak(self, statements: list[Statement], zones: list[Zone]) -> None:
        """Append what this inspection says."""
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
            soil = likelihood.share_among(chance, self.priors[members], len(members))
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
        voids: np.ndarray,
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
