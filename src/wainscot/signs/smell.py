"""Smells: what a nose or a meter in a room says of every void around it at once.

What is smelt in a room is the sum, over all voids, of what reaches it from there::

    x = sum over voids of transfer[room, void] * emission(soil, nest)

``transfer`` comes from the balance of the air: every void exchanges with its neighbours in
proportion to the area of the passage and the chance that it is open, and with outside by its air
changes.  The balance is sparse and is solved once, transposed, for the rooms in question only.

A word is a class of x with cut points on its log; people differ, and so do buildings, by a factor
that nobody knows: both are log-normal and averaged out.  Drains, mould and pets smell too: the word
is that of whichever is stronger.  A carcass that was found adds to x; that one lies unfound near by
is given a small chance.  Within days of a product a smell says nothing.  All smells of one room
together never weigh more than 3 nats for or against, compared with nothing being there: nobody has
calibrated noses yet.

>>> curve = word_curve("strong", 0.0, 0.0, "seen", DEFAULT)
>>> bool(curve[-1] > curve[0] + 2.0)
True

Limits: conductances are constant, no wind or warmth; the scale of the building is averaged out room
by room, so that a contrast between two rooms tells a little less than it could.

Sources: the cut points follow the verbal scale of VDI 3882-1 and published thresholds of ammonia
(1.5 to 20 ppm) only loosely, second-hand; the figures are judged (``tables/rates.toml``).
"""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np
from scipy.sparse import coo_matrix, csc_matrix
from scipy.sparse.linalg import splu
from scipy.special import ndtr

from wainscot.arrays import Floats, Ints
from wainscot.job import Find, Grade
from wainscot.signs.rates import DEFAULT, Rates, Section
from wainscot.voids.graph import Graph

__all__ = ["DEFAULT", "GRID", "Reading", "linear", "transfer", "word_curve"]

GRID: Floats = np.linspace(np.log(1e-4), np.log(1e4), 97)
"""Log of what reaches a room, in nose thresholds. [1]"""
NOTICED = 0.05
"""A void that cannot send this much to a room is left out there. [1]"""
_NEAR = 10


class Reading(msgspec.Struct, frozen=True):
    """One smell, or its absence, in one room."""

    statement: int
    """Index of its statement."""
    room: int
    find: Find | None
    """None where nothing was smelt."""
    grade: Grade
    group: str
    """Method and kind."""
    repeat: float
    """How far it only repeats another of its group in this room. [1]"""


def transfer(graph: Graph, rooms: Ints, rates: Rates = DEFAULT) -> Floats:
    """Return what a unit of emission in each void makes in each room: [R, V]. [unit]

    Emission is in nose thresholds times m3/h, what it makes in thresholds.

    Parameters
    ----------
    graph : Graph
        The voids.
    rooms : Ints
        [R] voids that were smelt in.
    rates : Rates, optional
        The tables.
    """
    table = rates.kind("smell")
    count = len(graph.keys)
    width = graph.aperture.mean(axis=1)
    speed = table.number("passage_speed")
    flow = speed * np.pi / 4.0 * width**2 * graph.prior_open
    changes = np.where(graph.hidden, table.number("hidden_changes"), table.number("room_changes"))
    out = np.maximum(changes * graph.volume, 1e-4)
    a, b = graph.edges[:, 0], graph.edges[:, 1]
    own = out + np.bincount(a, flow, count) + np.bincount(b, flow, count)
    everyone = np.arange(count)
    balance = coo_matrix(
        (
            np.concatenate([own, -flow, -flow]),
            (np.concatenate([everyone, a, b]), np.concatenate([everyone, b, a])),
        ),
        shape=(count, count),
    )
    unit = np.zeros((count, len(rooms)))
    unit[rooms, np.arange(len(rooms))] = 1.0
    return np.asarray(splu(csc_matrix(balance)).solve(unit, trans="T").T)


def emission_by_cell(table: Section) -> Floats:
    """Return what each cell of soil and nest sends into its void: [6]. [unit]

    Parameters
    ----------
    table : Section
        The section of the table.
    """
    soil = table.numbers("emission")
    return np.stack([soil, soil + table.number("nest_adds")], axis=1).reshape(-1)


def _up_to(x: Floats, rates: Rates) -> Floats:
    """Chance of at most none, faint, clear, strong: [4, G]."""
    table = rates.kind("smell")
    spread = float(np.hypot(table.number("scale_spread"), table.number("nose_spread")))
    cuts = np.log(table.numbers("cuts"))
    animals = ndtr((cuts[:, None] - np.log(x)[None, :]) / spread)
    rival = 1.0 - np.cumsum(table.numbers("false")[::-1])[::-1]
    return np.concatenate([animals * rival[:, None], np.ones((1, len(x)))])


def word_curve(
    amount: str, known: float, unseen: float, grade: Grade, rates: Rates = DEFAULT
) -> Floats:
    """Return the log-likelihood of a word over :data:`GRID`: [G]. [nat]

    Parameters
    ----------
    amount : str
        ``none``, ``faint``, ``clear``, ``strong``; empty for any smell.
    known : float
        What carcasses that were found send to the room. [1]
    unseen : float
        What one that was not found would send. [1]
    grade : str
        Who says so.
    rates : Rates, optional
        The tables.
    """

    def chance(extra: float) -> Floats:
        up_to = _up_to(np.exp(GRID) + extra, rates)
        if not amount:
            return np.asarray(1.0 - up_to[0])
        step = ("none", "faint", "clear", "strong").index(amount)
        return np.asarray(up_to[step] - (up_to[step - 1] if step else 0.0))

    share = rates.kind("smell").number("unseen_carcass")
    return _logged((1.0 - share) * chance(known) + share * chance(known + unseen), grade, rates)


def meter_curve(
    ppm: float, known: float, unseen: float, grade: Grade, rates: Rates = DEFAULT
) -> Floats:
    """Return the log-likelihood of a meter's reading over :data:`GRID`: [G]. [nat]

    Parameters
    ----------
    ppm : float
        The reading; below the meter's least it only says "below". [1]
    known, unseen : float
        As in :func:`word_curve`. [1]
    grade : str
        Who says so.
    rates : Rates, optional
        The tables.
    """
    table = rates.kind("smell")
    spread = float(np.hypot(table.number("scale_spread"), table.number("meter_spread")))
    least, threshold = table.number("meter_least"), table.number("meter_threshold")
    rival = float(table.numbers("false").sum())

    def chance(extra: float) -> Floats:
        off = (np.log(max(ppm, least)) - np.log(threshold * (np.exp(GRID) + extra))) / spread
        if ppm < least:
            return np.asarray((1.0 - rival) * ndtr(off))
        # Other sources are as likely to give any reading over two decades.
        return np.asarray((1.0 - rival) * np.exp(-0.5 * off**2) + rival * spread / np.log(100.0))

    share = table.number("unseen_carcass")
    return _logged((1.0 - share) * chance(known) + share * chance(known + unseen), grade, rates)


def _logged(chance: Floats, grade: Grade, rates: Rates) -> Floats:
    if grade == "told":
        told = rates.kind("grade")
        there, not_there = told.number("told_if_there"), told.number("told_if_not")
        chance = there * chance + not_there * (1.0 - chance)
    return np.asarray(np.log(np.maximum(chance, rates.least)))


def _curve(one: Reading, known: float, unseen: float, rates: Rates) -> Floats:
    if one.find is not None and one.find.ppm is not None:
        return meter_curve(one.find.ppm, known, unseen, one.grade, rates)
    amount = "none" if one.find is None else one.find.amount
    return word_curve(amount, known, unseen, one.grade, rates)


def _together(curves: list[tuple[Reading, Floats]], most: float) -> Floats:
    """Curves of one room added and capped, against nothing being there.

    Of a group the widest counts in full, the others in part.
    """
    total = np.zeros(len(GRID))
    for group in sorted({one.group for one, _ in curves}):
        mine = [(one, curve) for one, curve in curves if one.group == group]
        mine.sort(key=lambda each: -float(np.ptp(each[1])))
        for rank, (one, curve) in enumerate(mine):
            total += curve * (1.0 - one.repeat if rank else 1.0)
    return np.asarray(np.clip(total - total[0], -most, most))


def linear(
    readings: list[Reading],
    graph: Graph,
    rows: Floats,
    carcasses: list[int],
    rates: Rates = DEFAULT,
) -> tuple[dict[str, Any], dict[int, int]]:
    """Return the linear fields of the evidence, and the reading that each statement is part of.

    Parameters
    ----------
    readings : list of Reading
        All smells.
    graph : Graph
        The voids.
    rows : Floats
        [V, L, 3, 6] joint weights of soil and nest with every other sign. [1]
    carcasses : list of int
        Voids in which a carcass was found.
    rates : Rates, optional
        The tables.
    """
    rooms = np.array(sorted({one.room for one in readings}), dtype=np.int32)
    if len(rooms) == 0:
        return {}, {}
    table = rates.kind("smell")
    share = transfer(graph, rooms, rates)
    cells = emission_by_cell(table)
    mean = (rows / np.maximum(rows.sum(axis=-1, keepdims=True), 1e-300)) @ cells
    kept: list[int] = []
    members: list[Ints] = []
    curves: list[Floats] = []
    for r, room in enumerate(rooms):
        near = np.flatnonzero(share[r] * cells.max() >= NOTICED).astype(np.int32)
        if len(near) == 0:
            continue
        known = table.number("carcass") * float(share[r][carcasses].sum())
        hidden = np.sort(share[r][graph.hidden])[::-1][:_NEAR]
        unseen = table.number("carcass") * (float(hidden.mean()) if len(hidden) else 0.0)
        mine = [one for one in readings if one.room == room]
        curves.append(
            _together(
                [(one, _curve(one, known, unseen, rates)) for one in mine], table.number("most")
            )
        )
        kept.append(r)
        members.append(near)
    if not kept:
        return {}, {}
    scale = np.concatenate([share[r][near] for r, near in zip(kept, members, strict=True)])
    voids = np.concatenate(members)
    fields = {
        "linear_offsets": np.cumsum([0, *(len(near) for near in members)]).astype(np.int32),
        "linear_void": voids,
        "linear_emission": scale[:, None, None] * mean[voids],
        "linear_grid": GRID,
        "linear_log_likelihood": np.stack(curves),
        "linear_soil": scale[:, None] * cells[None, :],
        "linear_room": rooms[kept],
    }
    index = {int(rooms[r]): i for i, r in enumerate(kept)}
    return fields, {one.statement: index[one.room] for one in readings if one.room in index}
