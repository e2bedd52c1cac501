"""Houses that are hard to read: right, "can't tell", or confidently wrong?

Of every house of :mod:`study.hard_houses` three questions are asked, those that the first screen
answers, and a fourth where nobody said which animal it is:

- *now*: are animals in the house?
- *way in*: was the way in that the answer puts first ever used?  (Where the true one is not drawn,
  any pool of undrawn ways in counts as right.)
- *soiled*: is the likeliest of the shut hidden voids soiled?
- *animals*: are the animals those of the likeliest hypothesis?

An answer is confident from nine in ten on (for *now* also from one in ten down).  Below that it is
"can't tell"; where the whole diagnosis is not settled, all of them are.  A house is wrong if any
confident answer is wrong, right if some are confident and all of those right.  ``expected`` is how
many wrong answers the chances themselves admit.

The study passes where no set holds surely more wrong answers than its own chances admit.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy import stats

from study.hard_houses import SETS, Hard, hard_house
from study.scores import spots
from study.sharing import shared_out
from wainscot.arrays import Ints
from wainscot.diagnosis import Diagnosis, Draws, diagnose
from wainscot.voids.graph import Graph

HOUSES, FIRST_SEED, APART = 10, 110_000, 1_000
"""Houses of each set; the k-th set's seeds begin ``APART`` times k later."""
DRAWS = 4096
SURE = 0.9
"""From here on an answer counts as confident. [1]"""
LEVEL = 0.01
QUESTIONS = ("now", "way in", "soiled", "animals")
VERDICTS = ("right", "can't tell", "wrong")


def one(task: tuple[str, int]) -> dict[str, Any]:
    """Return what the diagnosis says of one house, against the truth.

    Parameters
    ----------
    task : (str, int)
        Set and seed.
    """
    name, seed = task
    house = hard_house(name, seed)
    found, draws = diagnose(house.job, seed=seed, draws=DRAWS, threads=1)
    graph = draws.samples[0].case.graph
    at = _true_void(graph, house)
    asked = _questions(house, found, draws, dict(zip(graph.keys, at.tolist(), strict=True)))
    if found.settled is False:
        asked = {key: (0.5, told) for key, (_, told) in asked.items()}
    return {
        "settled": bool(found.settled), "finds": len(found.contributions),
        "asked": {key: [round(chance, 4), bool(true)] for key, (chance, true) in asked.items()},
        "voids": _voids(house, found, dict(zip(graph.keys, at.tolist(), strict=True))),
        "misfits": len(found.misfits),
    }  # fmt: skip


def _true_void(graph: Graph, house: Hard) -> Ints:
    """Return the true void of each void of the answer, -1 where there is none."""
    true = house.seen.graph
    if graph.keys == true.keys and all(
        np.array_equal(a, b) for a, b in zip(graph.polygon, true.polygon, strict=True)
    ):
        return np.arange(len(graph.keys))
    return spots(graph, true)


def _questions(
    house: Hard, found: Diagnosis, draws: Draws, at: dict[str, int]
) -> dict[str, tuple[float, bool]]:
    """Return for each question the chance of the answer given, and whether it is true."""
    now = float(draws.weight @ draws.now.any(axis=1))
    asked = {"now": (now, house.now) if now >= 0.5 else (1.0 - now, not house.now)}
    first = found.entries[0]
    undrawn = first.sort == "unknown" and "unknown" in house.used
    asked["way in"] = (first.used, undrawn or first.id in house.used)
    shut = [v for v in found.voids if v.hidden and not v.seen and at[v.id] >= 0]
    if shut:
        asked["soiled"] = (shut[0].soiled, bool(house.soiled[at[shut[0].id]]))
    weight: dict[str, float] = {}
    for case in found.hypotheses:
        weight[case.species] = weight.get(case.species, 0.0) + case.weight
    if len(house.species) > 1:
        likeliest = max(weight, key=lambda each: weight[each])
        named = frozenset(likeliest.split(" and "))
        asked["animals"] = (weight[likeliest], named == house.species)
    return asked


def _voids(house: Hard, found: Diagnosis, at: dict[str, int]) -> dict[str, float]:
    """Return counts over the shut hidden voids: what is surely soiled, and what is to be left."""
    shut = [v for v in found.voids if v.hidden and not v.seen and at[v.id] >= 0]
    sure = [v for v in shut if v.soiled >= SURE]
    left = [v for v in shut if v.band == "leave"]
    to_open = [v for v in shut if v.band == "open"]
    return {
        "shut": len(shut), "soiled": sum(bool(house.soiled[at[v.id]]) for v in shut),
        "sure": len(sure), "sure_clean": sum(not house.soiled[at[v.id]] for v in sure),
        "sure_clean_expected": sum(1.0 - v.soiled for v in sure),
        "open": len(to_open), "open_soiled": sum(bool(house.soiled[at[v.id]]) for v in to_open),
        "left": len(left), "left_soiled": sum(bool(house.soiled[at[v.id]]) for v in left),
        "left_soiled_expected": sum(v.soiled for v in left),
        "left_heavy": sum(bool(house.heavy[at[v.id]]) for v in left),
    }  # fmt: skip


def verdict(chance: float, true: bool) -> str:
    """Return what an answer with that chance comes to."""
    if chance < SURE:
        return "can't tell"
    return "right" if true else "wrong"


def whole(verdicts: list[str]) -> str:
    """Return what a house comes to: one confident error makes it wrong."""
    return "wrong" if "wrong" in verdicts else "right" if "right" in verdicts else "can't tell"


def summary(name: str, houses: list[dict[str, Any]]) -> dict[str, Any]:
    """Return the counts of one set.

    Parameters
    ----------
    name : str
        The set.
    houses : list of dict
        From :func:`one`.
    """
    by_question = {}
    for question in QUESTIONS:
        asked = [house["asked"][question] for house in houses if question in house["asked"]]
        if asked:
            by_question[question] = _counted(asked)
    said = [whole([verdict(*pair) for pair in house["asked"].values()]) for house in houses]
    sums = {key: round(sum(house["voids"][key] for house in houses), 1)
            for key in houses[0]["voids"]}  # fmt: skip
    wrong = said.count("wrong")
    interval = stats.binomtest(wrong, len(said)).proportion_ci(method="wilson")
    return {
        "says": SETS[name].says, "houses": len(houses),
        "settled": sum(house["settled"] for house in houses),
        **{each: said.count(each) for each in VERDICTS},
        "wrong_95": [round(interval.low, 3), round(interval.high, 3)],
        "questions": by_question, "voids": sums,
    }  # fmt: skip


def _counted(asked: list[list[Any]]) -> dict[str, Any]:
    said = [verdict(chance, true) for chance, true in asked]
    sure = [chance for chance, _ in asked if chance >= SURE]
    wrong, expected = said.count("wrong"), sum(1.0 - chance for chance in sure)
    return {
        **{each: said.count(each) for each in VERDICTS},
        "expected": round(expected, 2), "more_than_expected_p": round(_tail(sure, wrong), 4),
    }  # fmt: skip


def _tail(sure: list[float], wrong: int) -> float:
    """Return the chance of so many wrong answers or more, if every chance given is right."""
    law = np.ones(1)
    for chance in sure:
        law = np.convolve(law, [chance, 1.0 - chance])
    return float(law[wrong:].sum()) if wrong else 1.0


def passes(found: dict[str, Any]) -> bool:
    """Whether no question of any set is surely answered wrong oftener than its chances admit."""
    tails = [each["more_than_expected_p"] for one in found.values()
             for each in one["questions"].values()]  # fmt: skip
    return min(tails) >= LEVEL / len(tails)


def run(count: int) -> dict[str, Any]:
    """Return the counts of every set.

    Parameters
    ----------
    count : int
        Houses of each set.
    """
    tasks = [
        (name, FIRST_SEED + APART * k + n) for n in range(count) for k, name in enumerate(SETS)
    ]
    said = shared_out("hard", one, tasks)
    by_set = {
        name: summary(name, [each for (of, _), each in zip(tasks, said, strict=True) if of == name])
        for name in SETS
    }
    return {
        "sets": by_set, "houses_each": count, "first_seed": FIRST_SEED, "apart": APART,
        "draws": DRAWS, "sure": SURE, "passes": passes(by_set),
    }  # fmt: skip
