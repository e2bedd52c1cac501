"""What a phone calculated, calculated again: the same bytes must give the same digest.

A phone's result carries the kernel's hash and, for each case, the very bytes that it drew from.
Two questions are asked of it: do these bytes give these draws (:func:`replay`, to the last bit),
and are they what the job says (:func:`differences`, to rounding: rows are made in two languages
whose powers may differ in the last bit).

Limits: a result of another kernel cannot be replayed; it is refused by name.
"""

from __future__ import annotations

import hashlib
import struct

import msgspec
import numpy as np

from wainscot.diagnosis import kernel
from wainscot.diagnosis.cases import cases
from wainscot.diagnosis.kernel import DOUBLES, INTEGERS, Problem
from wainscot.diagnosis.problem import make as problem_of
from wainscot.errors import WainscotError
from wainscot.job import Job
from wainscot.pocket.making import own_seed


class PhoneCase(msgspec.Struct, frozen=True):
    """One case as a phone drew it."""

    species: str
    guess: str
    input: bytes
    """The kernel's bytes; base64 in JSON."""
    input_digest: str
    digests: tuple[str, ...]
    """SHA-256 over all results, by population."""


class PhoneResult(msgspec.Struct, frozen=True):
    """A full diagnosis that a phone ran."""

    module: str
    """SHA-256 of the kernel."""
    seed: int
    draws: int
    """Draws over all populations of one case."""
    populations: int
    cases: tuple[PhoneCase, ...]
    digest: str
    """SHA-256 over the digests of all cases, in the order of their names."""


class ReplayError(WainscotError):
    """A phone's result that cannot be run again as it stands."""


def replay(result: PhoneResult, *, threads: int | None = None) -> str:
    """Return the digest that the office gets from what a phone drew from.

    Parameters
    ----------
    result : PhoneResult
        The phone's result.
    threads : int, optional
        Populations worked on at once; changes nothing but the time.

    Raises
    ------
    ReplayError
        If it was made by another kernel, or its bytes are not those it names.
    KernelError
        If the bytes are no sound input.
    """
    ours = kernel.load_module()[2]
    if result.module != ours:
        raise ReplayError(
            f"made by kernel {result.module[:12]}, this office has {ours[:12]}; "
            "open the app once with the office in reach, then calculate again"
        )
    found: list[tuple[str, str, str]] = []
    for one in result.cases:
        if hashlib.sha256(one.input).hexdigest() != one.input_digest:
            raise ReplayError(f"the input of {one.species} is not the one that its digest names")
        runs = kernel.run_bytes(one.input, populations=result.populations, threads=threads)
        found.append((one.guess, one.species, "".join(each.digest for each in runs)))
    joined = "".join(digests for _, _, digests in sorted(found))
    return hashlib.sha256(joined.encode("ascii")).hexdigest()


def differences(result: PhoneResult, job: Job) -> dict[str, float]:
    """Return how far the phone's input is from what the office makes of a job, by case.

    The greatest difference of any number relative to the office's (where that is below one,
    absolute); infinity where sizes, indices, seed or the cases themselves differ. [1]

    Parameters
    ----------
    result : PhoneResult
        The phone's result.
    job : Job
        The job that it is of.
    """
    ours = {(one.species, one.guess): one for one in cases(job)}
    found: dict[str, float] = {}
    for one in result.cases:
        name = " / ".join(filter(None, (one.species, one.guess)))
        case = ours.get((one.species, one.guess))
        if case is None:
            found[name] = np.inf
            continue
        problem, _ = problem_of(case.graph, case.evidence)
        seed = own_seed(result.seed, one.species, one.guess)
        found[name] = _apart(problem, one.input, seed)
    return found


def _apart(problem: Problem, data: bytes, seed: int) -> float:
    try:
        theirs = decode(data)
    except (ValueError, struct.error):
        return np.inf
    if struct.unpack_from("<Q", data, 48)[0] != seed:
        return np.inf
    worst = 0.0
    for name in (*DOUBLES, *INTEGERS, "zone_heard", "source_named"):
        if name in ("detail", "row_of"):
            continue
        worst = max(worst, _off(getattr(problem, name), getattr(theirs, name)))
    if len(problem.row_of) != len(theirs.row_of):
        return np.inf
    rows = _off(problem.detail[problem.row_of], theirs.detail[theirs.row_of])
    return max(worst, rows)


def _off(ours: np.ndarray, theirs: np.ndarray) -> float:
    if ours.size != theirs.size:
        return np.inf
    a, b = np.ravel(ours).astype(np.float64), np.ravel(theirs).astype(np.float64)
    return float((np.abs(a - b) / np.maximum(np.abs(a), 1.0)).max(initial=0.0))


def decode(data: bytes) -> Problem:
    """Return the problem that the kernel's bytes hold.

    Parameters
    ----------
    data : bytes
        From :func:`wainscot.diagnosis.kernel.encode`, or the same made on a phone.

    Raises
    ------
    ValueError
        If the bytes do not have the length that they state.
    """
    v, p, e, loads, rows, z, m = struct.unpack_from("<7I", data, 12)
    r, s, g, by_cell = struct.unpack_from("<4I", data, 64)
    doubles = {
        "passage_prior": (p,), "source_prior": (e, 3), "load_prior": (loads,),
        "detail": (rows, loads, 3, 6), "zone_hit": (m, 3), "zone_false": (z,),
        "linear_emission": (s, loads, 3), "linear_grid": (g,), "linear_log_likelihood": (r, g),
        "linear_soil": (s if by_cell else 0, 6),
    }  # fmt: skip
    integers = {
        "passage_ends": (p, 2), "source_void": (e,), "row_of": (v,), "zone_offsets": (z + 1,),
        "zone_void": (m,), "linear_offsets": (r + 1,), "linear_void": (s,),
    }  # fmt: skip
    at, fields = 80, {}
    for shapes, kind in (
        (doubles, "<f8"),
        (integers, "<i4"),
        ({"source_named": (e,), "zone_heard": (z,)}, "u1"),
    ):
        for name, shape in shapes.items():
            count = int(np.prod(shape))
            fields[name] = np.frombuffer(data, kind, count, at).reshape(shape)
            at += count * np.dtype(kind).itemsize
    return Problem(**{name: _typed(name, each) for name, each in fields.items()})


def _typed(name: str, values: np.ndarray) -> np.ndarray:
    return values.astype(np.bool_) if name in ("source_named", "zone_heard") else values
