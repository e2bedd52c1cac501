"""What moving air carries: V dC/dt = what comes in - what goes out - what decays + the source.

    room = Exchange(("work", "house"), volume, flow, source)
    steady(room)                    # [mg/m3] by zone
    over_time(room, start, hours)   # concentrations and doses

``flow[i, j]`` is the air that goes from zone i to zone j; the last index is outdoors.  All is
linear, so the course is an exact exponential of a matrix, not a march of small steps.

Limits: each zone is mixed at once; outdoors is clean; nothing settles but by ``loss``.
"""

from __future__ import annotations

import msgspec
import numpy as np
from scipy import linalg, sparse
from scipy.sparse.linalg import expm_multiply, splu

from wainscot.air.asking import refuse
from wainscot.air.network import Balance, Network, _Arrays
from wainscot.arrays import Floats
from wainscot.errors import Fault, InputError

_DENSE = 300
_HOUR = 3600.0


class Exchange(msgspec.Struct, frozen=True):
    """Flows between Z zones and outdoors, and what is let into them."""

    names: tuple[str, ...]
    volume: Floats
    """[Z] [m3]"""
    flow: Floats
    """[Z + 1, Z + 1], dense or sparse, from row to column; the last is outdoors. [m3/h]"""
    source: Floats
    """[Z] [mg/h]"""
    loss: Floats
    """[Z] decay and settling in each zone. [1/h]"""
    held: Floats | None = None
    """[Z + 1, Z + 1] share of what a flow carries that a filter keeps; none if left out. [1]"""


class Course(msgspec.Struct, frozen=True):
    """What became of it: T times, Z zones."""

    hours: Floats
    """[T] [h]"""
    concentration: Floats
    """[T, Z] [mg/m3]"""
    dose: Floats
    """[T, Z] concentration summed over time, mg h in a cubic metre. [mg h/m3]"""


def exchange_of(
    network: Network,
    balance: Balance,
    source: dict[str, float] | None = None,
    loss: dict[str, float] | None = None,
) -> Exchange:
    """Return the volume flows of a solved network, for what its air carries.

    Parameters
    ----------
    network : Network
        The network.
    balance : Balance
        Its solution.
    source : dict of str to float, optional
        What is let into each zone. [mg/h]
    loss : dict of str to float, optional
        Decay in each zone. [1/h]
    """
    arrays = _Arrays(network)
    size = arrays.count + 1
    ahead = balance.flow >= 0
    a = np.concatenate((np.where(ahead, arrays.a, arrays.b), arrays.fan_a)).astype(np.int32)
    b = np.concatenate((np.where(ahead, arrays.b, arrays.a), arrays.fan_b)).astype(np.int32)
    mass = np.concatenate((np.abs(balance.flow), balance.fan_flow))
    volume_flow = mass / arrays.density[a] * _HOUR
    kept = np.concatenate((np.zeros(len(balance.flow)), [fan.held for fan in network.fans]))
    joins, where = np.unique(a.astype(np.int64) * size + b, return_inverse=True)
    whole = np.bincount(where, volume_flow, len(joins))
    caught = np.bincount(where, volume_flow * kept, len(joins))
    at = (joins // size, joins % size)
    flow = sparse.csr_matrix((whole, at), shape=(size, size))
    # Of what goes between two zones by leaks and fans together, the share that filters keep.
    share = sparse.csr_matrix((caught / np.where(whole > 0, whole, 1.0), at), shape=(size, size))
    names = tuple(zone.name for zone in network.zones)
    return Exchange(
        names, np.array([zone.volume for zone in network.zones]), flow,
        np.array([(source or {}).get(name, 0.0) for name in names]),
        np.array([(loss or {}).get(name, 0.0) for name in names]),
        share if caught.any() else None,
    )  # fmt: skip


def _matrix(room: Exchange) -> sparse.csc_matrix:
    """Return A of V dC/dt = A C + S, sparse."""
    count = len(room.names)
    flow = sparse.csr_matrix(room.flow)
    held = flow.multiply(sparse.csr_matrix(room.held)) if room.held is not None else None
    arrives = (flow - held if held is not None else flow)[:count, :count]
    leaves = np.asarray(flow.sum(axis=1)).ravel()[:count]
    # A flow from a zone to itself (a filter in the room) leaves and comes back less what is held.
    return sparse.csc_matrix(arrives.T - sparse.diags(leaves + room.loss * room.volume))


def steady(room: Exchange) -> Floats:
    """Return the concentrations that the sources settle at.

    Parameters
    ----------
    room : Exchange
        Flows and sources.

    Returns
    -------
    Floats
        [Z] [mg/m3]

    Raises
    ------
    InputError
        If nothing carries the substance out of a zone, so that it never settles.
    """
    _check(room)
    count = len(room.names)
    matrix = _matrix(room)
    out = -np.asarray(matrix.sum(axis=0)).ravel()
    drains = out > 1e-12 * np.abs(matrix.diagonal()).clip(min=1e-300)
    links = sparse.coo_matrix(matrix)
    moving = (links.data > 0) & (links.row != links.col)
    # Zones from which there is a way out: walk backwards from those that drain.
    reached = drains.copy()
    for _ in range(count):
        more = reached.copy()
        more[links.col[moving][reached[links.row[moving]]]] = True
        if (more == reached).all():
            break
        reached = more
    if not reached.all():
        raise InputError([
            Fault("air-shut-in", f"zones.{name}", "nothing carries the substance out of it",
                  "give it a flow that leads outdoors, or a loss")
            for name, open_ in zip(room.names, reached, strict=True) if not open_
        ])  # fmt: skip
    return np.asarray(splu(matrix).solve(-room.source), dtype=np.float64).clip(min=0.0)


def over_time(room: Exchange, start: Floats, hours: Floats) -> Course:
    """Return concentrations and doses at the given times.

    Parameters
    ----------
    room : Exchange
        Flows and sources, steady over the time.
    start : Floats
        [Z] concentrations at the beginning. [mg/m3]
    hours : Floats
        [T] times, rising, zero or more. [h]

    Raises
    ------
    InputError
        If a value is negative or times do not rise.
    """
    _check(room)
    hours = np.asarray(hours, dtype=np.float64)
    if (np.diff(hours, prepend=0.0) < 0).any() or (np.asarray(start) < 0).any():
        raise refuse("hours", "times do not rise from zero, or a start is negative", "sort them")
    count = len(room.names)
    rate = sparse.diags(1 / room.volume) @ _matrix(room)
    drive = sparse.csr_matrix((room.source / room.volume)[:, None])
    # State: concentrations, doses, and a one that the sources hang on.
    whole = sparse.bmat([
        [rate, None, drive],
        [sparse.identity(count), sparse.csr_matrix((count, count)), None],
        [None, None, sparse.csr_matrix((1, 1))],
    ], format="csc")  # fmt: skip
    state = np.concatenate((np.asarray(start, dtype=np.float64), np.zeros(count), [1.0]))
    rows = []
    last = 0.0
    for hour in hours:
        if hour > last:
            state = _carried(whole, hour - last, state)
            last = float(hour)
        rows.append(state)
    found = np.array(rows).reshape(len(hours), 2 * count + 1)
    # Rounding may leave a hair below zero, which the exact course never is.
    clean = np.where((found < 0) & (found > -1e-9 * np.abs(found).max(initial=1.0)), 0.0, found)
    return Course(hours, clean[:, :count], clean[:, count : 2 * count])


def _carried(matrix: sparse.csc_matrix, span: float, state: Floats) -> Floats:
    if matrix.shape[0] <= _DENSE:
        return np.asarray(linalg.expm(matrix.toarray() * span) @ state, dtype=np.float64)
    return np.asarray(expm_multiply(matrix * span, state), dtype=np.float64)


def _check(room: Exchange) -> None:
    if (room.volume <= 0).any():
        raise refuse("volume", "a zone has no volume", "give every zone more than zero")
    flow = sparse.csr_matrix(room.flow)
    if flow.data.size and flow.data.min() < 0:
        raise refuse("flow", "a flow is below zero", "turn it round: from row to column")
    if (room.source < 0).any() or (room.loss < 0).any():
        raise refuse("source", "a source or loss is below zero", "give zero or more")
