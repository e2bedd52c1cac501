"""A finished look over several voids that found something in one of them, nobody wrote in which.

The whole look speaks, not the find alone.  If the most that was found of a kind is some amount,
then no void showed more than that and at least one showed as much.  With A the chance that a void
shows no more, and B that it shows less, the chance of the look is

    prod A - prod B  =  prod A x (1 - prod (1 - h)),    h = (A - B) / A,

exactly: a row for every void and a noisy-or over them, which is what an engine takes.  Told by the
old way, as one find of unknown place, such looks made houses too lightly infested and too many
voids reached (simulation-based calibration, ``python -m study several``).

Limits: a void's hit does not know its soil, so soil is averaged out of h, and what the find says of
soil and load is put on each void as the share that it is likely to have in it; kinds found by one
look are taken one by one.  Chances of soil come out a little high where many looks are like this.
"""

from __future__ import annotations

import msgspec
import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from wainscot.arrays import Floats, Ints
from wainscot.job import Find
from wainscot.signs import likelihood
from wainscot.signs.kind import Kind
from wainscot.signs.rates import Rates
from wainscot.voids.graph import Graph

HOPS = 2
"""Ways between two voids of one look are followed so far around them."""
TRIES = 128
"""Draws of the passages around; the same ones every time."""


class Several(msgspec.Struct, frozen=True):
    """What one find of a look over n voids says."""

    hits: Floats
    """[n, 3] chance that this void alone shows it, by reach, over what stands in ``false``. [1]"""
    false: float
    """Chance that it was noted though none of the voids is reached. [1]"""
    no_more: Floats
    """[loads, 3, 6] chance that a void shows no more than that. [1]"""
    soil: Floats
    """[n, loads, 3, 6] what the find says of soil and load in each void; averages to 1. [1]"""


def no_more_than(
    shown: Floats,
    kind: Kind,
    find: Find,
    circumstances: likelihood.Circumstances,
    species: str,
    rates: Rates,
) -> Floats:
    """Return the chance that a void shows nothing of a kind, or at most the amount found. [1]

    Parameters
    ----------
    shown : Floats
        What the kind shows, [loads, 3, 6, columns]. [1]
    kind, find, circumstances, species, rates
        As in :func:`wainscot.signs.likelihood.of_find`.

    Returns
    -------
    Floats
        [loads, 3, 6] [1]
    """
    chance = likelihood.of_nothing(shown, kind, circumstances, rates)
    for amount in kind.columns[: max(kind.column(find.amount)) + 1]:
        if amount not in kind.nothing:
            less = Find(kind.name, amount)
            chance = chance + likelihood.of_find(shown, kind, less, circumstances, species, rates)
    return np.asarray(np.minimum(chance, 1.0))


def as_said(
    shown: Floats,
    kind: Kind,
    find: Find,
    circumstances: likelihood.Circumstances,
    species: str,
    rates: Rates,
) -> Floats:
    """Return the chance that a void shows the amount found, less where what was said fits worse.

    Age, species and length are said of one trace among those that were seen.  So they weigh the
    states against each other, but where they fit best they make the find itself no rarer.

    Parameters
    ----------
    shown : Floats
        What the kind shows, [loads, 3, 6, columns]. [1]
    kind, find, circumstances, species, rates
        As in :func:`wainscot.signs.likelihood.of_find`.

    Returns
    -------
    Floats
        [loads, 3, 6] [1]
    """
    bare = Find(kind.name, find.amount)
    plain = likelihood.of_find(shown, kind, bare, circumstances, species, rates)
    fit = likelihood.of_find(shown, kind, find, circumstances, species, rates) / plain
    return np.asarray(plain * fit / fit.max())


def together(graph: Graph, members: Ints) -> Floats:
    """Return how often two voids of one look are joined by open passages: [n, n], 0 with itself.

    Parameters
    ----------
    graph : Graph
        The voids.
    members : Ints
        The voids looked at.

    Returns
    -------
    Floats
        [1]
    """
    inside = np.zeros(len(graph.keys), dtype=np.bool_)
    inside[members] = True
    for _ in range(HOPS):
        inside[graph.edges[inside[graph.edges].any(axis=1)].ravel()] = True
    here = inside[graph.edges].all(axis=1)
    number = np.cumsum(inside) - 1
    ends, own = number[graph.edges[here]], number[members]
    chance = (graph.prior_open * graph.prior_run)[here]
    rng = np.random.default_rng(0)
    joined = np.zeros((len(members), len(members)))
    size = (int(inside.sum()),) * 2
    for _ in range(TRIES):
        a, b = ends[rng.random(len(chance)) < chance].T
        part = connected_components(coo_array((np.ones(len(a)), (a, b)), size), directed=False)[1]
        joined += part[own][:, None] == part[own][None, :]
    np.fill_diagonal(joined, 0.0)
    return joined / TRIES


def in_one_of(
    chance: Floats, no_more: Floats, priors: Floats, beside: Floats, rates: Rates
) -> Several:
    """Return what a find in one of several voids says.

    Parameters
    ----------
    chance : Floats
        [loads, 3, 6] chance of the find as said, if the void were looked at alone. [1]
    no_more : Floats
        [loads, 3, 6] from :func:`no_more_than`. [1]
    priors : Floats
        [n, loads, 3, 6] prior of each void; each [load, reach] sums to 1. [1]
    beside : Floats
        [n, n] from :func:`together`. [1]
    rates : Rates
        The tables.
    """
    load = np.asarray(rates.load)[None, :, None]
    given = np.minimum(chance / no_more, 1.0)
    rows = priors * no_more
    sums = rows.sum(axis=-1)
    by_load = (rows * given).sum(axis=-1) / sums
    hits = _mean(by_load, load * sums)[:, 0]
    unreached = 1.0 - hits[:, :1]
    # Chance that no other shows it: those that it is joined to are reached as it is, else not.
    each = beside[:, :, None] * hits[None] + (1.0 - beside)[:, :, None] * hits[None, :, :1]
    each[np.arange(len(rows)), np.arange(len(rows))] = 0.0
    alone = np.prod(1.0 - each, axis=1)
    mixed = 1.0 - (1.0 - given[None]) * alone[:, None, :, None]
    soil = mixed / ((rows * mixed).sum(axis=-1) / sums)[..., None]
    # What the find says of the load, shared out among those that are likely reached together.
    many = 1.0 + beside.sum(axis=1)[:, None, None]
    shown = 1.0 - (1.0 - by_load) ** many
    heavier = (shown / _mean(shown, load * sums)) ** (1.0 / many)
    heavier = heavier / _mean(heavier, load * sums)
    return Several(
        hits=np.clip(1.0 - (1.0 - hits) / unreached, 0.0, 1.0),
        false=max(rates.least, 1.0 - float(np.prod(unreached))),
        no_more=no_more,
        soil=soil * heavier[..., None],
    )


def _mean(values: Floats, weight: Floats) -> Floats:
    """Mean over the loads, which stay as an axis of one."""
    return np.asarray(
        (weight * values).sum(axis=1, keepdims=True) / weight.sum(axis=1, keepdims=True)
    )
