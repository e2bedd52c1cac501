"""A large house drawn with far flips in turns, against every flip in every sweep.

Above :data:`wainscot.diagnosis.sampling.LARGE` voids, what lies far from every sign is flipped in
one sweep of eight.  Here houses small enough to be drawn both ways are drawn three times: in turns,
whole, and whole with another seed.  Turns and whole must differ by no more than two whole runs do:
in joint stated standard errors, and outright.  ``large`` adds the one house of some 20,000 voids
that ``python -m bench large`` measures.

Limits: two ways of drawing are compared, neither is the truth; ``study turned`` holds the truth of
500 simulated houses against draws in turns, and ladders are summed exactly in the tests.
"""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np

from study.sharing import shared_out
from wainscot.arrays import Floats
from wainscot.diagnosis.cases import Case, cases
from wainscot.diagnosis.draws import log_evidence
from wainscot.diagnosis.posterior import Chances, Sample, void_chances
from wainscot.diagnosis.sampling import Effort, sample_cases
from wainscot.simulate import house, inspect, spread

FIRST_SEED = 170_000
HOUSES = 40
DRAWS = 4096
FIELDS = ("soiled", "now", "ever", "nest")
WAYS = {"turns against whole": (0, 1), "whole against whole": (1, 2)}
BOUND = 4.5
"""Joint standard errors that two runs may differ by, as of two halves of one. [1]"""
WORSE = 1.25
"""Times the root mean square ratio of two whole runs that theirs may be: a judgement. [1]"""
OUTRIGHT = 0.15
"""What no two answers may differ by, as of two halves of one. [1]"""
NEVER = 10**9
LARGE_HOUSE = (5, 10, 90, 20)
"""Seed, storeys, rooms and visits of the house that the bench measures."""

Found = dict[str, Any]


class Way(msgspec.Struct, frozen=True):
    """How two runs of one house differ."""

    ratio: float
    """Greatest difference over the joint stated standard error. [1]"""
    squares: float
    """Mean of these ratios' squares, over all voids whose error is not at its floor. [1]"""
    outright: float
    """Greatest difference of a chance. [1]"""
    mean: float
    """Mean difference of a chance of soil. [1]"""
    evidence: float
    """Difference of the log evidence over its joint error. [1]"""


def case_of(seed: int, storeys: int, rooms: int, visits: int) -> Case:
    """Return the likeliest case of a simulated house that was visited."""
    job = house(seed, storeys, rooms)
    return cases(inspect(job, spread(job, seed), seed, visits=visits))[0]


def three_runs(case: Case, seed: int, threads: int | None) -> list[Sample]:
    """Return the case drawn in turns, whole, and whole with another seed."""
    efforts = [
        Effort(seed + k, 8, DRAWS, threads, in_turns_above=0 if k == 0 else NEVER) for k in range(3)
    ]
    return [sample_cases((case,), one, f"run {k}", None)[0] for k, one in enumerate(efforts)]


def differences(first: Sample, second: Sample) -> Way:
    """Return how two runs of one case differ."""
    one, two = void_chances((first,)), void_chances((second,))
    off = np.concatenate([_ratios(one[name], two[name]) for name in FIELDS])
    apart = [np.abs(one[name].mean - two[name].mean) for name in FIELDS]
    error = np.hypot(*(max(p.log_evidence_se for p in each.populations)
                       for each in (first, second)))  # fmt: skip
    return Way(
        ratio=float(np.abs(off).max()),
        squares=float((off**2).mean()),
        outright=float(max(each.max() for each in apart)),
        mean=float((one["soiled"].mean - two["soiled"].mean).mean()),
        evidence=float((log_evidence(first) - log_evidence(second)) / error),
    )


def _ratios(one: Chances, two: Chances) -> Floats:
    return np.asarray((one.mean - two.mean) / np.hypot(one.error, two.error))


def of_house(seed: int) -> dict[str, Any]:
    """Return what one house showed."""
    rng = np.random.default_rng([seed, 23])
    shape = (int(rng.integers(1, 5)), int(rng.integers(4, 21)), int(rng.integers(1, 7)))
    case = case_of(seed, *shape)
    runs = three_runs(case, seed, 1)
    ways = {name: msgspec.to_builtins(differences(runs[a], runs[b]))
            for name, (a, b) in WAYS.items()}  # fmt: skip
    return {"voids": len(case.graph.keys), "ways": ways}


def summary(houses: list[dict[str, Any]]) -> Found:
    """Return both ways side by side, and whether turns pass."""
    ways: Found = {}
    for name in WAYS:
        found = [each["ways"][name] for each in houses]
        evidence = [one["evidence"] ** 2 for one in found]
        ways[name] = {
            "ratio": round(max(one["ratio"] for one in found), 2),
            "ratio_rms": round(float(np.sqrt(np.mean([one["squares"] for one in found]))), 3),
            "outright": round(max(one["outright"] for one in found), 4),
            "mean_difference": round(float(np.mean([one["mean"] for one in found])), 5),
            "evidence_rms": round(float(np.sqrt(np.mean(evidence))), 3),
        }
    turns, whole = ways.values()
    return {
        "houses": len(houses),
        "voids": [min(each["voids"] for each in houses), max(each["voids"] for each in houses)],
        "ways": ways,
        "passes": turns["ratio"] <= max(BOUND, whole["ratio"])
        and turns["ratio_rms"] <= WORSE * whole["ratio_rms"]
        and turns["outright"] <= OUTRIGHT,
    }


def run(count: int) -> Found:
    """Return the study of that many houses."""
    seeds = list(range(FIRST_SEED, FIRST_SEED + count))
    return {"first_seed": FIRST_SEED, **summary(shared_out("turns", of_house, seeds))}


def run_large() -> Found:
    """Return the same of the house of some 20,000 voids."""
    case = case_of(*LARGE_HOUSE)
    runs = three_runs(case, LARGE_HOUSE[0], None)
    ways = {name: msgspec.to_builtins(differences(runs[a], runs[b]))
            for name, (a, b) in WAYS.items()}  # fmt: skip
    found = summary([{"voids": len(case.graph.keys), "ways": ways}])
    return {"first_seed": LARGE_HOUSE[0], **found}
