"""The numeric kernel: one WebAssembly module that draws from the posterior, and its host.

Everything numeric of a diagnosis happens inside ``kernel.wasm``, so that an office machine and a
phone's browser give the same answer to the last bit.  This module writes the problem as one byte
string (``kernel/FORMAT.md`` in the sources), starts one instance per population in threads, and
reads the draws back.  The number of threads changes nothing but the time.

The smallest example, one void with one way in and one find that only an animal explains:

>>> import numpy as np
>>> detail = np.zeros((1, 1, 3, 6)); detail[0, 0, :, 0] = [0.001, 0.5, 0.5]
>>> problem = Problem(
...     passage_ends=np.zeros((0, 2), np.int32), passage_prior=np.zeros(0),
...     source_void=np.array([0], np.int32), source_prior=np.array([[0.5, 0.25, 0.25]]),
...     source_named=np.array([True]), load_prior=np.ones(1), row_of=np.zeros(1, np.int32),
...     detail=detail, zone_offsets=np.zeros(1, np.int32), zone_void=np.zeros(0, np.int32),
...     zone_hit=np.zeros((0, 3)), zone_false=np.zeros(0), zone_heard=np.zeros(0, bool))
>>> bool(combine(run(problem, seed=1)).ever[0] > 0.98)
True

Limits: 100,000 voids, a million passages, 65,536 draws and 1 GB in one population.  A likelihood
below 1e-300 counts as 1e-300.

Sources: annealed sequential Monte Carlo (Del Moral, Doucet & Jasra 2006), optionally in the
waste-free form (Dau & Chopin 2022); SplitMix64 (Steele, Lea & Flood 2014).
"""

from __future__ import annotations

import atexit
import functools
import hashlib
import importlib
import os
import struct
import threading
import weakref
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from importlib import resources
from typing import Any

import msgspec
import numpy as np

from wainscot.arrays import Bools, Floats, Ints
from wainscot.diagnosis.populations import Disagreement, Marginals, Population, combine
from wainscot.diagnosis.shared_tilt import SharedTilt
from wainscot.errors import WainscotError

__all__ = [
    "Disagreement",
    "KernelError",
    "Marginals",
    "Population",
    "Problem",
    "combine",
    "encode",
    "run",
    "run_bytes",
]

MAGIC = b"WSK1"
FORMAT = 2
ESS_FRACTION = 0.5
"""Effective share of the draws that one temperature step must leave. [1]"""
NO_TILT = 1
WASTE_FREE = 2
NO_CORRECTION = 4
IN_TURNS = 8
DOUBLES = (
    "passage_prior",
    "source_prior",
    "load_prior",
    "detail",
    "zone_hit",
    "zone_false",
    "linear_emission",
    "linear_grid",
    "linear_log_likelihood",
    "linear_soil",
)
INTEGERS = (
    "passage_ends",
    "source_void",
    "row_of",
    "zone_offsets",
    "zone_void",
    "linear_offsets",
    "linear_void",
)

PROBLEMS: dict[int, str] = {
    -1: "the input bytes do not begin with the header of this kernel (field {index})",
    -2: "the input bytes have not the length that their header states",
    -3: "the header field {index} is outside the kernel's limits",
    -4: "passage {index} joins a void that does not exist, or a void with itself",
    -5: "the prior of passage {index} does not lie between 0 and 1",
    -6: "source {index} sits at a void that does not exist",
    -7: "the prior of source {index} is negative, not finite or all zero",
    -8: "the load prior is negative, not finite or all zero (level {index})",
    -9: "void {index} names an evidence row that does not exist",
    -10: "evidence row {index} has a weight that is negative or not finite{where}",
    -11: "evidence row {index} is all zero: its signs contradict each other{where}",
    -12: "the offsets of zone {index} are out of order",
    -13: "zone member {index} names a void that does not exist",
    -14: "the hit chances of zone member {index} do not lie between 0 and 1",
    -15: "the false rate of zone {index} does not lie between 0 and 1",
    -16: "a yes/no value at {index} is neither 0 nor 1",
    -17: "the problem needs more memory than one population may use",
    -18: "the kernel was called out of order",
    -19: "no draw explains the signs: all weights are zero or not a number",
    -20: "the signs could not be switched on within the allowed number of steps",
    -21: "the offsets of reading {index} are out of order",
    -22: "member {index} of a reading names a void that does not exist",
    -23: "member {index} of a reading sends an amount that is negative or not finite",
    -24: "the grid of the readings does not rise at point {index}",
    -25: "the curve of reading {index} has a value that is not finite",
    -26: "member {index} of a reading sends, by soil and nest, an amount that is negative or not "
    "finite",
    -90: "the library 'wasmtime' (25 or newer) is missing or too old: pip install 'wasmtime>=25'",
    -91: "the kernel stopped with a fault of its own: {where}",
    -92: "there is not enough memory to calculate: each population keeps 4 GB of addresses free; "
    "raise the limit that was set for this process, or close what else runs",
}


class KernelError(WainscotError):
    """The kernel refused its input or could not finish.

    ``code`` is a key of :data:`PROBLEMS`; ``index`` is the passage, source, row, void or zone it
    refers to, -1 where it refers to none.
    """

    def __init__(self, code: int, index: int = -1, where: str = "") -> None:
        self.code = code
        self.index = index
        text = PROBLEMS.get(code, "unknown fault {index}")
        super().__init__(text.format(index=index, where=where))


class Problem(msgspec.Struct, frozen=True):
    """One hypothesis: V voids, P passages, E sources, L load levels, U unique rows, Z zones.

    R linear readings over G points.
    """

    passage_ends: Ints
    """[P, 2] the two voids of each passage."""
    passage_prior: Floats
    """[P] chance that the passage is open and run. [1]"""
    source_void: Ints
    """[E] the void each source opens into."""
    source_prior: Floats
    """[E, 3] weight of never / past / now; need not add up to one. [1]"""
    source_named: Bools
    """[E] True for a drawn entry point, False for an unknown way in or a colony settled inside."""
    load_prior: Floats
    """[L] weight of each load level of the house. [1]"""
    row_of: Ints
    """[V] index into ``detail``."""
    detail: Floats
    """[U, L, 3, 6] joint weight by load, reach (unreached / past / now) and cell (soil none /
    light / heavy x nest no / yes, nest varying fastest). [1]"""
    zone_offsets: Ints
    """[Z + 1] where each zone's members begin."""
    zone_void: Ints
    """[members] the void of each member."""
    zone_hit: Floats
    """[members, 3] chance that this void alone is noticed, by reach. [1]"""
    zone_false: Floats
    """[Z] chance that the zone is noticed without any of them. [1]"""
    zone_heard: Bools
    """[Z] whether it was noticed."""
    linear_offsets: Ints = msgspec.field(default_factory=lambda: np.zeros(1, np.int32))
    """[R + 1] where the members of each linear reading begin."""
    linear_void: Ints = msgspec.field(default_factory=lambda: np.zeros(0, np.int32))
    """[members] the void of each member."""
    linear_emission: Floats = msgspec.field(default_factory=lambda: np.zeros((0, 1, 3)))
    """[members, L, 3] what the member sends on average, by load and reach. [1]"""
    linear_grid: Floats = msgspec.field(default_factory=lambda: np.zeros(0))
    """[G] ascending logarithms of the sum of what is sent. [1]"""
    linear_log_likelihood: Floats = msgspec.field(default_factory=lambda: np.zeros((0, 0)))
    """[R, G] of each reading over the grid; level beyond its ends. [nat]"""
    linear_soil: Floats = msgspec.field(default_factory=lambda: np.zeros((0, 6)))
    """[members, 6] what the member sends by its cell of soil and nest; empty: the averages are
    all that counts. [1]"""


def encode(
    problem: Problem,
    *,
    seed: int,
    draws: int = 512,
    sweeps: int = 1,
    flags: int = 0,
    ess_fraction: float = ESS_FRACTION,
) -> bytes:
    """Write a problem as the kernel's canonical byte string.

    Parameters
    ----------
    problem : Problem
    seed : int
        Seed of all random streams, 0 to 2**64 - 1.
    draws : int
        Draws of one population.  In the waste-free form a multiple of ``sweeps + 1``.
    sweeps : int
        Sweeps of every chain at each temperature.
    flags : int
        ``NO_TILT`` leaves the tilt out; ``WASTE_FREE`` runs ``draws / (sweeps + 1)`` chains and
        keeps every state; ``NO_CORRECTION`` is a planted fault, the tilt is never brought back
        to zero.  These are for tests and comparison.  ``IN_TURNS`` is for large houses: what lies
        far from every sign is flipped in one sweep of eight only.
    ess_fraction : float
        Effective share of the draws that one temperature step must leave. [1]

    Returns
    -------
    bytes
        Little endian, doubles first, in the order of ``kernel/FORMAT.md``.
    """
    kept = sweeps + 1 if flags & WASTE_FREE else 1
    if draws % kept:
        raise ValueError(f"{draws} draws are no multiple of {kept} states for each chain")
    header = struct.pack(
        "<4sIIIIIIIIIIIQdIIII",
        MAGIC,
        FORMAT,
        flags,
        len(problem.row_of),
        len(problem.passage_prior),
        len(problem.source_void),
        len(problem.load_prior),
        len(problem.detail),
        len(problem.zone_false),
        len(problem.zone_void),
        draws // kept,
        sweeps,
        seed,
        ess_fraction,
        len(problem.linear_log_likelihood),
        len(problem.linear_void),
        len(problem.linear_grid),
        len(problem.linear_soil) > 0,
    )
    parts = [header]
    for names, kind in (
        (DOUBLES, "<f8"),
        (INTEGERS, "<i4"),
        (("source_named", "zone_heard"), "u1"),
    ):
        parts += [np.ascontiguousarray(getattr(problem, name), kind).tobytes() for name in names]
    size = sum(map(len, parts))
    return b"".join(parts) + bytes(-size % 8)


def run(
    problem: Problem,
    *,
    seed: int,
    populations: int = 8,
    chains: int = 64,
    length: int = 8,
    threads: int | None = None,
    progress: Callable[[float], None] | None = None,
    sweeps: int = 1,
    flags: int = 0,
    ess_fraction: float = ESS_FRACTION,
) -> list[Population]:
    """Draw from the posterior of one problem.

    Parameters
    ----------
    problem : Problem
    seed : int
        Seed of all random streams.
    populations : int
        Independent populations, each with ``chains * length`` draws.
    threads : int, optional
        Populations worked on at once; the number of cores when left out.  The result is the same.
    progress : callable, optional
        Called now and then from this thread with the mean temperature reached, 0 to 1.
    chains, length : int
        ``chains * length`` draws in each population, however the sampler arranges them.
    sweeps, flags, ess_fraction
        As in :func:`encode`. [1]

    Returns
    -------
    list of Population
        In order of their numbers.

    Raises
    ------
    KernelError
        The input is refused, no draw explains the signs, or the library is missing.
    """
    draws = chains * length
    data = encode(
        problem, seed=seed, draws=draws, sweeps=sweeps, flags=flags, ess_fraction=ess_fraction
    )
    try:
        return run_bytes(data, populations=populations, threads=threads, progress=progress)
    except KernelError as error:
        if error.code in (-10, -11):
            users = np.flatnonzero(np.asarray(problem.row_of) == error.index)[:3].tolist()
            raise KernelError(error.code, error.index, f" (voids {users})") from None
        raise


def run_bytes(
    data: bytes,
    *,
    populations: int = 8,
    threads: int | None = None,
    progress: Callable[[float], None] | None = None,
) -> list[Population]:
    """As :func:`run`, from the byte string of :func:`encode`."""
    load_module()
    stop = threading.Event()
    reached = [0.0] * populations
    tilt = SharedTilt()
    with ThreadPoolExecutor(threads or min(populations, os.cpu_count() or 1)) as pool:
        try:
            work = [pool.submit(_run_one, data, k, reached, stop, tilt) for k in range(populations)]
        except RuntimeError as error:  # no thread can be started
            stop.set()
            raise KernelError(-92) from error
        try:
            _follow(work, reached, progress)
        finally:
            stop.set()
        return [future.result() for future in work]


def _follow(
    work: list[Future[Population]],
    reached: list[float],
    progress: Callable[[float], None] | None,
) -> None:
    waiting = set(work)
    while waiting:
        done, waiting = wait(waiting, timeout=0.1)
        for future in done:
            future.result()
        if progress is not None:
            progress(sum(reached) / len(reached))


def module_bytes() -> bytes:
    """The kernel module itself."""
    return resources.files("wainscot.diagnosis").joinpath("kernel.wasm").read_bytes()


@functools.cache
def load_module() -> tuple[Any, Any, str]:
    """Engine, compiled module and the module's SHA-256; compiled once per process.

    Raises
    ------
    KernelError
        The library that runs the module is missing or too old.
    """
    try:
        wasmtime = importlib.import_module("wasmtime")
        code = module_bytes()
        engine = wasmtime.Engine()
        return engine, wasmtime.Module(engine, code), hashlib.sha256(code).hexdigest()
    except (ImportError, AttributeError, TypeError) as error:
        raise KernelError(-90) from error
    except wasmtime.WasmtimeError as error:
        raise KernelError(-92) from error


def _close_all() -> None:
    """Close what the library made, whoever still holds it, before the library is torn down."""
    for instance in list(_open):
        instance.close()
    if load_module.cache_info().currsize:
        engine, module, _ = load_module()
        module.close()
        engine.close()
    load_module.cache_clear()


_open: weakref.WeakSet[Instance] = weakref.WeakSet()
atexit.register(_close_all)


class Instance:
    """One instance of the module at work on one population."""

    def __init__(self) -> None:
        wasmtime = importlib.import_module("wasmtime")
        engine, module, self.module_digest = load_module()
        try:
            self._store = wasmtime.Store(engine)
            self._exports = wasmtime.Instance(self._store, module, []).exports(self._store)
        except wasmtime.WasmtimeError as error:
            raise KernelError(-92) from error
        self._trap: type[Exception] = wasmtime.WasmtimeError
        self._other_trap: type[Exception] = wasmtime.Trap
        _open.add(self)

    def close(self) -> None:
        """Give back what the instance holds; it cannot be called any more."""
        self._store.close()

    def call(self, name: str, *arguments: float) -> Any:
        """Call an export; a trap becomes a :class:`KernelError`."""
        try:
            return self._exports[name](self._store, *arguments)
        except (self._trap, self._other_trap) as error:
            raise KernelError(-91, where=str(error).splitlines()[0]) from error

    def setup(self, data: bytes, number: int) -> None:
        """Hand over the input bytes and the population's number."""
        pointer = self.call("alloc", len(data)) & 0xFFFFFFFF
        if pointer == 0:
            raise KernelError(-17)
        self._exports["memory"].write(self._store, data, pointer)
        self._check(self.call("setup", pointer, len(data), number))

    def take_tilt(self, number: int) -> None:
        """Start from the tilt that another population found; below zero it is found anew."""
        if number >= 0:
            self._check(self.call("takeTilt", number))

    def advance(self) -> bool:
        """One piece of work; True when all is done."""
        return self._check(self.call("advance")) == 1

    def field(self, number: int, kind: str) -> Any:
        """Copy of a result field as a flat array."""
        start = self.call("fieldPointer", number) & 0xFFFFFFFF
        size = self.call("fieldSize", number)
        raw = self._exports["memory"].read(self._store, start, start + size)
        return np.frombuffer(bytes(raw), dtype=kind)

    def _check(self, code: int) -> int:
        if code < 0:
            raise KernelError(code, self.call("errorIndex"))
        return code


def _run_one(
    data: bytes, number: int, reached: list[float], stop: threading.Event, tilt: SharedTilt
) -> Population:
    try:
        instance = Instance()
        instance.setup(data, number)
        if number > 0:
            found = tilt.wait(stop)
            if found is None:
                raise KernelError(-18)
            instance.take_tilt(found)
        while not instance.advance():
            reached[number] = instance.call("progress")
            if number == 0 and instance.call("tiltFound") >= 0:
                tilt.tell(instance.call("tiltFound"))
            if stop.is_set():
                raise KernelError(-18)
        reached[number] = 1.0
        return _read(instance, data, number)
    finally:
        if number == 0:
            tilt.tell(-1)


def _read(instance: Instance, data: bytes, number: int) -> Population:
    kinds = ("<f8", "<f8", "u1", "u1", "u1", "u1", "u1", "u1", "<f8")
    fields = [instance.field(i, kind) for i, kind in enumerate(kinds)]
    summary, temperatures, source, reach, soil, nest, packed, load, log_likelihood = fields
    draws = len(load)
    digest = hashlib.sha256(b"".join(field.tobytes() for field in fields)).hexdigest()
    return Population(
        log_evidence=float(summary[0]),
        log_evidence_se=float(np.sqrt(summary[1])),
        tilt=float(summary[2]),
        temperatures=temperatures,
        source=source.reshape(draws, -1),
        reach=reach.reshape(draws, -1),
        soil=soil.reshape(draws, -1),
        nest=nest.reshape(draws, -1),
        run=packed.reshape(draws, -1),
        load=load,
        log_likelihood=log_likelihood,
        chains=int(summary[4]),
        length=int(summary[5]),
        correction_share=float(summary[6]),
        seed=struct.unpack_from("<Q", data, 48)[0],
        number=number,
        digest=digest,
        input_digest=hashlib.sha256(data).hexdigest(),
        module_digest=instance.module_digest,
    )
