"""Plan to graph: spaces, contacts, passages, ways in, laid out as arrays."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from wainscot import species as kinds_of_animal
from wainscot.arrays import Floats
from wainscot.plan.model import Plan
from wainscot.voids.bays import wall_spaces
from wainscot.voids.contacts import contacts
from wainscot.voids.faces import faces
from wainscot.voids.fittings import fixture_spaces
from wainscot.voids.floors import floor_spaces
from wainscot.voids.graph import Graph
from wainscot.voids.labels import labels, natural
from wainscot.voids.passages import Passage, passages
from wainscot.voids.placing import entry_voids
from wainscot.voids.rooms import room_spaces
from wainscot.voids.site import Site
from wainscot.voids.sources import Source, sources
from wainscot.voids.space import Space


def build(plan: Plan, species: str) -> Graph:
    """Return the graph of voids, passages and ways in for one species.

    Parameters
    ----------
    plan : Plan
        The plan.
    species : str
        ``house mouse``, ``norway rat`` or ``roof rat``.

    Raises
    ------
    InputError
        If no species is called so.
    """
    animal = kinds_of_animal.species(species)
    spaces = all_spaces(plan)
    site = Site(plan, spaces, contacts(spaces))
    ways = passages(site, animal)
    named = labels(spaces, plan.labels)
    voids = _voids(spaces, named, site)
    bare = _graph(voids, ways, [], spaces, species, plan.guess)
    return _graph(
        voids,
        ways,
        sources(plan, spaces, entry_voids(bare, plan), animal),
        spaces,
        species,
        plan.guess,
    )


def all_spaces(plan: Plan) -> list[Space]:
    """Return every space of a plan in the order of the ids.

    Parameters
    ----------
    plan : Plan
        The plan.
    """
    found = [
        *room_spaces(plan),
        *wall_spaces(plan),
        *floor_spaces(plan),
        *fixture_spaces(plan),
    ]
    return sorted(found, key=lambda space: natural(space.key))


def _voids(spaces: Sequence[Space], named: Sequence[str], site: Site) -> dict[str, object]:
    return {
        "keys": tuple(space.key for space in spaces),
        "labels": tuple(named),
        "kinds": tuple(space.kind for space in spaces),
        "words": tuple(
            space.words.replace("{label}", label) if space.hidden else space.words
            for space, label in zip(spaces, named, strict=True)
        ),
        "owners": tuple(space.owner for space in spaces),
        "storeys": tuple(space.storey for space in spaces),
        "harborage": tuple(space.harborage for space in spaces),
        "hidden": np.array([space.hidden for space in spaces], dtype=np.bool_),
        "polygon": tuple(space.plot.outline for space in spaces),
        "bottom": np.array([space.bottom for space in spaces], dtype=np.float64),
        "top": np.array([space.top for space in spaces], dtype=np.float64),
        "volume": np.array([space.volume for space in spaces], dtype=np.float64),
        "faces": tuple(faces(site, v) for v in range(len(spaces))),
    }


def _graph(
    voids: dict[str, Any],
    ways: Sequence[Passage],
    found: Sequence[Source],
    spaces: Sequence[Space],
    species: str,
    guess: str,
) -> Graph:
    keys = [space.key for space in spaces]
    return Graph(
        **voids,
        edges=np.array([(one.a, one.b) for one in ways], dtype=np.int32).reshape(-1, 2),
        passage_keys=tuple(f"{keys[one.a]} | {keys[one.b]}" for one in ways),
        passage_rule=tuple(one.rule for one in ways),
        passage_words=tuple(one.words for one in ways),
        aperture=_floats([(one.low, one.high) for one in ways], 2),
        prior_open=np.array([one.open for one in ways], dtype=np.float64),
        prior_run=np.array([one.run for one in ways], dtype=np.float64),
        gnawable=np.array([one.gnawable for one in ways], dtype=np.bool_),
        passage_at=_floats([one.at for one in ways], 3),
        source_keys=tuple(one.key for one in found),
        source_words=tuple(one.words for one in found),
        source_sort=tuple(one.sort for one in found),
        source_pool=tuple(one.pool for one in found),
        source_void=np.array([one.void for one in found], dtype=np.int32),
        source_prior=_floats([(1 - one.past - one.now, one.past, one.now) for one in found], 3),
        source_at=_floats([one.at for one in found], 3),
        species=species,
        guess=guess,
        undrawn=frozenset(p for p, one in enumerate(ways) if not one.drawn),
    )


def _floats(rows: Sequence[Sequence[float]], width: int) -> Floats:
    return np.array(rows, dtype=np.float64).reshape(-1, width)
