"""A walk's draws to what a phone carries."""

from __future__ import annotations

import hashlib

import msgspec
import numpy as np

from wainscot import voids as voids_step
from wainscot.arrays import Bytes, Floats, Ints
from wainscot.book import Book, cost_to_check, cost_to_open, loss_if_left
from wainscot.diagnosis import Draws
from wainscot.diagnosis.bands import SHOWS_HEAVY, SHOWS_LIGHT, SHOWS_NEST
from wainscot.diagnosis.kernel import encode, load_module
from wainscot.diagnosis.posterior import Sample, smelt_voids, weights
from wainscot.job import Inspection, Job, typed
from wainscot.pocket.places import shape_of, storeys_of
from wainscot.pocket.sayings import sayings
from wainscot.pocket.shapes import (
    FORMAT,
    CaseDraws,
    CasePocket,
    Piece,
    Pocket,
    Prices,
    SpokenWays,
    ZoneSaid,
    packed,
)
from wainscot.signs import DEFAULT, KINDS
from wainscot.signs.read import Recipe, told
from wainscot.signs.soiling import prior_row
from wainscot.voids.graph import Graph

CARRIED_DRAWS = 4096
"""Draws that a phone carries, over all cases."""
OWN_DRAWS = 1024
"""Draws of a phone's own diagnosis, over all populations of one case."""
POPULATIONS = 8


def make(
    job: Job, drawn: Draws, book: Book, *, seed: int, carried: int = CARRIED_DRAWS
) -> Pocket | None:
    """Return what a phone carries of one walk; None where nothing is drawn or the house is too big.

    Parameters
    ----------
    job : Job
        The job that was walked.
    drawn : Draws
        The draws of its diagnosis, with their samples.
    book : Book
        The firm's rates.
    seed : int
        Seed of the walk; those of the phone's draws follow from it.
    carried : int, optional
        Draws that the phone carries, over all cases.
    """
    samples = drawn.samples
    if not samples:
        return None
    framings = {one.guess: one for one in voids_step.framings(job)}
    guesses = list(dict.fromkeys(one.case.guess for one in samples))
    first = {one.case.guess: one.case.graph for one in reversed(samples)}
    looks = sorted(key for key, one in typed(job).items() if isinstance(one, Inspection))
    picked = picked_draws(samples, carried)
    tables = {one.case.species: sayings(one.case.species) for one in samples}
    rates = DEFAULT
    ageing = rates.kind("ageing")
    return Pocket(
        format=FORMAT,
        answer=drawn.key,
        module=load_module()[2],
        seed=seed,
        draws=OWN_DRAWS,
        populations=POPULATIONS,
        as_of=samples[0].case.evidence.recipe.as_of,
        arrive_days=ageing.number("arrive_days"),
        leave_days=ageing.number("leave_days"),
        others_reached=rates.kind("spread").number("others_reached"),
        load=rates.load,
        classes=tuple(rates.classes),
        priors=packed([prior_row(one) for one in rates.classes.values()], "<f8"),
        repeat={name: one.repeat for name, one in rates.methods.items()},
        entry_kinds=tuple(
            name for name, one in rates.methods.items()
            if one.shows
            and all(KINDS[k].at_entry and not KINDS[k].shown for k in one.shows)
        ),
        prices=prices(book),
        storeys=storeys_of(framings[guesses[0]].plan),
        shapes=tuple(shape_of(framings[each], first[each]) for each in guesses),
        sayings={
            name: SpokenWays(one.entries, packed(one.factors, "<f8"), packed(one.ways, "<f8"))
            for name, one in tables.items()
        },
        cases=tuple(
            _case(one, guesses.index(one.case.guess), looks, drawing, seed)
            for one, drawing in zip(samples, picked, strict=True)
        ),
        inspections={key: job.entities[key] for key in looks},
        smells=tuple(i for i, key in enumerate(looks) if _smell(typed(job)[key])),
        drawn={key: one for key, one in job.entities.items() if key not in looks},
    )  # fmt: skip


def prices(book: Book) -> Prices:
    """Return what decides a band on the phone.

    Parameters
    ----------
    book : Book
        The firm's rates.
    """
    left = (loss_if_left(book, *each) for each in np.eye(3).tolist())
    return Prices(
        cost_to_open(book),
        cost_to_check(book),
        tuple(left),  # type: ignore[arg-type] # three: light, heavy, nest
        (SHOWS_LIGHT.value, SHOWS_HEAVY.value, SHOWS_NEST.value),
    )


def own_seed(seed: int, species: str, guess: str) -> int:
    """Return the seed of a phone's own draws of one case.

    Parameters
    ----------
    seed : int
        Seed of the walk.
    species, guess : str
        Names of the case.
    """
    text = "\n".join((str(seed), "phone", species, guess))
    return int.from_bytes(hashlib.sha256(text.encode("utf-8")).digest()[:8], "little")


def _smell(entity: object) -> bool:
    finds = entity.finds if isinstance(entity, Inspection) else []
    kinds = [KINDS[find.kind] for find in finds if find.kind in KINDS]
    return any(kind.form == "linear" or kind.smells for kind in kinds) or (
        isinstance(entity, Inspection) and entity.method in ("nose", "meter") and entity.finished
    )


def picked_draws(samples: tuple[Sample, ...], count: int) -> list[list[Ints]]:
    """Return which draws a phone carries, picked by systematic resampling: by case and population.

    Parameters
    ----------
    samples : tuple of Sample
        The cases with their draws.
    count : int
        How many to pick in all.
    """
    sizes = [len(one.load) for sample in samples for one in sample.populations]
    ends = np.cumsum(np.repeat(np.concatenate(weights(samples)) / sizes, sizes))
    at = (np.arange(count) + 0.5) / count * ends[-1]
    chosen = np.searchsorted(ends, at)
    starts = iter(np.cumsum([0, *sizes]).tolist())
    found: list[list[Ints]] = []
    for sample in samples:
        mine: list[Ints] = []
        for one in sample.populations:
            start = next(starts)
            inside = chosen[(chosen >= start) & (chosen < start + len(one.load))] - start
            mine.append(inside.astype(np.int32))
        found.append(mine)
    return found


def two_bits(states: Bytes) -> Bytes:
    """Return states 0 to 3 packed four to a byte, the first in the lowest bits: [T, ceil(n / 4)].

    Parameters
    ----------
    states : Bytes
        [T, n]
    """
    full = np.zeros((len(states), -(-states.shape[1] // 4) * 4), dtype=np.uint8)
    full[:, : states.shape[1]] = states
    parts = full.reshape(len(states), -1, 4)
    return np.asarray(parts @ np.array([1, 4, 16, 64], dtype=np.uint8), dtype=np.uint8)


def _draws(sample: Sample, picked: list[Ints]) -> CaseDraws:
    smelt = smelt_voids(sample)
    chosen = list(zip(sample.populations, picked, strict=True))
    cells = [one.soil[k][:, smelt] * 2 + one.nest[k][:, smelt] for one, k in chosen]
    return CaseDraws(
        count=sum(len(k) for k in picked),
        population=packed(np.concatenate([np.full(len(k), n) for n, k in enumerate(picked)]), "u1"),
        load=packed(np.concatenate([one.load[k] for one, k in chosen]), "u1"),
        reach=packed(two_bits(np.concatenate([one.reach[k] for one, k in chosen])), "u1"),
        source=packed(two_bits(np.concatenate([one.source[k] for one, k in chosen])), "u1"),
        cell=packed(np.concatenate(cells), "u1"),
    )


def _case(
    sample: Sample, shape: int, looks: list[str], picked: list[Ints], seed: int
) -> CasePocket:
    case, graph = sample.case, sample.case.graph
    own = own_seed(seed, case.species, case.guess)
    entries = [(key, e) for e, key in enumerate(graph.source_keys) if _is_drawn(graph, e)]
    pool_of, pools = _pools(graph)
    spoken = _Spoken(case.evidence.recipe, looks, {e: n for n, (_, e) in enumerate(entries)})
    data = encode(sample.problem, seed=own, draws=OWN_DRAWS // POPULATIONS)
    return CasePocket(
        species=case.species,
        guess=case.guess,
        shape=shape,
        prior=case.prior,
        seed=str(own),
        input=packed(np.frombuffer(data, np.uint8), "u1"),
        classes=packed(case.evidence.recipe.classes, "<i4"),
        passages=len(sample.problem.passage_prior),
        groups=packed(sample.merged.group, "<i4"),
        parting=packed(sample.merged.parting, "<f8"),
        pools=pool_of,
        pool_ids=pools,
        entries=tuple(entries),
        entry_prior=packed(graph.source_prior[[e for _, e in entries]], "<f8"),
        void_of=packed(sample.void_map, "<i4"),
        smelt=tuple(smelt_voids(sample).tolist()),
        pieces=tuple(spoken.pieces),
        way_pieces=tuple(spoken.way_pieces),
        factors=packed(_table(spoken.factors), "<f8"),
        way_factors=packed(_table(spoken.way_factors), "<f8"),
        zones=tuple(spoken.zones),
        draws=_draws(sample, picked),
    )


def _is_drawn(graph: Graph, e: int) -> bool:
    return graph.source_sort[e] == "entry point"


def _pools(graph: Graph) -> tuple[tuple[int, ...], tuple[str, ...]]:
    """Pools of undrawn ways in, named as the answer names them."""
    names: dict[str, int] = {}
    pool_of = []
    for e, (sort, pool) in enumerate(zip(graph.source_sort, graph.source_pool, strict=True)):
        name = "settled" if sort == "settled" else f"{sort}: {pool}"
        pool_of.append(-1 if _is_drawn(graph, e) else names.setdefault(name, len(names)))
    return tuple(pool_of), tuple(names)


def _table(factors: dict[bytes, int]) -> Floats:
    return np.frombuffer(b"".join(factors), dtype=np.float64)


class _Spoken:
    """What the inspections said, apart, so that the phone can put it together anew."""

    def __init__(self, recipe: Recipe, looks: list[str], entry: dict[int, int]) -> None:
        self.number = {key: n for n, key in enumerate(looks)}
        self.pieces: list[Piece] = []
        self.way_pieces: list[Piece] = []
        self.zones: list[ZoneSaid] = []
        self.factors: dict[bytes, int] = {}
        self.way_factors: dict[bytes, int] = {}
        said = told(recipe)
        for one in said.statements:
            n = self.number[one.key]
            for piece in one.pieces:
                way = piece.source >= 0
                table = self.way_factors if way else self.factors
                key = np.ascontiguousarray(piece.factor, dtype="<f8").tobytes()
                factor = table.setdefault(key, len(table))
                at = entry[piece.source] if way else piece.void
                made = Piece(n, piece.group, piece.found, piece.repeat, at, factor)
                (self.way_pieces if way else self.pieces).append(made)
            if one.zone >= 0:
                zone = said.zones[one.zone]
                hits = tuple(tuple(row) for row in zone.hits.tolist())
                self.zones.append(
                    ZoneSaid(
                        n, zone.group, zone.heard, zone.false, zone.repeat,
                        tuple(zone.voids.tolist()), hits,
                    )
                )  # fmt: skip


def written(pocket: Pocket | None) -> bytes:
    """Return a pocket as JSON; ``null`` where there is none.

    Parameters
    ----------
    pocket : Pocket or None
        What :func:`make` gave.
    """
    return msgspec.json.encode(pocket, order="deterministic")
