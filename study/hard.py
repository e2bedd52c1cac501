"""Houses that are hard to read: right, "can't tell", or confidently wrong?

Of every house of :mod:`study.hard_houses` three questions are asked, those that the first screen
answers, and a fourth where nobody said which animal it is:

- *now*: are animals in the house?
- *way in*: was the way in that the answer puts first ever used?  (Where the true one is not drawn,
  any pool of undrawn ways in counts as right.)
- *soiled*: is the likeliest of the shut hidden voids soiled?
- *animals*: is it as the tool claims?  "House mice at least" holds where mice and rats live; "house
  mice", where two at once were weighed, holds only for mice alone.

An answer is confident from nine in ten on (for *now* also from one in ten down).  Below that it is
"can't tell"; where the whole diagnosis is not settled, all of them are.  A house is wrong if any
confident answer is wrong, right if some are confident and all of those right.  *One animal* is the
question that was asked first instead of *animals*, and that the tool answers nowhere: is it this
animal and no other?  It is counted beside, as ``wrong_first_asked``.

The same is asked of houses that nothing true decides on (:mod:`study.called_houses`).  When the
study passes is written in :mod:`study.criterion`.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy import stats

from study import called_houses, criterion, hard_houses
from study.criterion import SURE, Asked
from study.hard_houses import FAR, Hard, hops_from
from study.scores import spots
from study.sharing import shared_out
from wainscot.arrays import Floats, Ints
from wainscot.diagnosis import Diagnosis, Draws, diagnose
from wainscot.diagnosis.verdict import claimed
from wainscot.species import members
from wainscot.voids.graph import Graph

HOUSES, CALLED, FIRST_SEED, APART = 15, 50, 130_000, 1_000
"""Houses of each hard set and of each other one; the k-th set's seeds begin ``APART`` times k
later."""
DRAWS = 4096
QUESTIONS = ("now", "way in", "soiled", "animals")
FIRST_ASKED = ("now", "way in", "soiled", "one animal")
HARD = {name: one.says for name, one in hard_houses.SETS.items()}
SETS = {**HARD, **called_houses.SETS}
VERDICTS = ("right", "can't tell", "wrong")


def one(task: tuple[str, int]) -> dict[str, Any]:
    """Return what the diagnosis says of one house, against the truth.

    Parameters
    ----------
    task : (str, int)
        Set and seed.
    """
    name, seed = task
    make = hard_houses.hard_house if name in HARD else called_houses.called_house
    house = make(name, seed)
    found, draws = diagnose(house.job, seed=seed, draws=DRAWS, threads=1)
    graph = draws.samples[0].case.graph
    at = _true_void(graph, house)
    true = dict(zip(graph.keys, at.tolist(), strict=True))
    away = dict(zip(graph.keys, _from_looks(draws).tolist(), strict=True))
    asked = _questions(house, found, draws, true)
    if found.settled is False:
        asked = {key: (0.5, told) for key, (_, told) in asked.items()}
    return {
        "settled": bool(found.settled), "finds": len(found.contributions),
        "asked": {key: [round(chance, 4), bool(told)] for key, (chance, told) in asked.items()},
        "voids": _voids(house, found, true, away),
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
    if not any(one["kind"] == "species" for one in house.job.entities.values()):
        claim = claimed(found.hypotheses)
        named = frozenset(members(claim.species))
        true = named <= house.species if claim.at_least else named == house.species
        asked["animals"] = (claim.share, true)
        asked["one animal"] = (claim.share, named == house.species)
    return asked


def _voids(
    house: Hard, found: Diagnosis, at: dict[str, int], away: dict[str, float]
) -> dict[str, float]:
    """Return counts over the shut hidden voids: what is surely soiled, and what is to be left."""
    shut = [v for v in found.voids if v.hidden and not v.seen and at[v.id] >= 0]
    sure = [v for v in shut if v.soiled >= SURE]
    left = [v for v in shut if v.band == "leave"]
    far = [v for v in left if away[v.id] >= FAR]
    to_open = [v for v in shut if v.band == "open"]
    return {
        "shut": len(shut), "soiled": sum(bool(house.soiled[at[v.id]]) for v in shut),
        "sure": len(sure), "sure_clean": sum(not house.soiled[at[v.id]] for v in sure),
        "sure_clean_expected": sum(1.0 - v.soiled for v in sure),
        "open": len(to_open), "open_soiled": sum(bool(house.soiled[at[v.id]]) for v in to_open),
        "left": len(left), "left_soiled": sum(bool(house.soiled[at[v.id]]) for v in left),
        "left_soiled_expected": sum(v.soiled for v in left),
        "left_far": len(far), "left_far_soiled": sum(bool(house.soiled[at[v.id]]) for v in far),
        "left_far_soiled_expected": sum(v.soiled for v in far),
        "left_heavy": sum(bool(house.heavy[at[v.id]]) for v in left),
    }  # fmt: skip


def _from_looks(draws: Draws) -> Floats:
    """Return how many likely passages lie between each void and the nearest that was looked at."""
    case = draws.samples[0].case
    looked = np.flatnonzero(case.evidence.looked) if case.evidence.looked is not None else []
    holes = [case.graph.source_void[one.source] for one in case.evidence.statements
             if one.source >= 0]  # fmt: skip
    return hops_from(case.graph, np.array([*looked, *holes], dtype=np.int64))


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
    said = _said(houses, QUESTIONS)
    sums: dict[str, Any] = {key: round(sum(house["voids"][key] for house in houses), 1)
            for key in houses[0]["voids"]}  # fmt: skip
    wrong = said.count("wrong")
    interval = stats.binomtest(wrong, len(said)).proportion_ci(method="wilson")
    sums["left_if_chosen"] = chosen_by_truth(houses)
    by_question = {question: _counted(asked) for question, asked in of_set(houses).items()}
    return {
        "says": SETS[name], "houses": len(houses),
        "settled": sum(house["settled"] for house in houses),
        **{each: said.count(each) for each in VERDICTS},
        "wrong_95": [round(interval.low, 3), round(interval.high, 3)],
        "wrong_first_asked": _said(houses, FIRST_ASKED).count("wrong"),
        "questions": by_question, "voids": sums,
    }  # fmt: skip


def chosen_by_truth(houses: list[dict[str, Any]]) -> list[float]:
    """Return what choosing houses by what lies in them does to right chances.

    Parameters
    ----------
    houses : list of dict
        From :func:`one`.

    Returns
    -------
    list of float
        Over the houses in which two voids or more called "leave" were soiled: how many such
        houses, how many such voids, and how many their chances expected.
    """
    some = [one["voids"] for one in houses if one["voids"]["left_soiled"] >= 2]
    soiled = sum(one["left_soiled"] for one in some)
    return [len(some), soiled, round(sum(one["left_soiled_expected"] for one in some), 1)]


def _said(houses: list[dict[str, Any]], questions: tuple[str, ...]) -> list[str]:
    """Return what each house comes to by some questions."""
    return [
        whole([verdict(*house["asked"][each]) for each in questions if each in house["asked"]])
        for house in houses
    ]


def of_set(houses: list[dict[str, Any]]) -> dict[str, Asked]:
    """Return the answers to each question over the houses of a set.

    Parameters
    ----------
    houses : list of dict
        From :func:`one`.
    """
    found = {
        question: [(float(chance), bool(true)) for house in houses
                   for chance, true in [house["asked"].get(question, (0.0, True))]
                   if question in house["asked"]]
        for question in QUESTIONS
    }  # fmt: skip
    return {question: asked for question, asked in found.items() if asked}


def _counted(asked: Asked) -> dict[str, Any]:
    said = [verdict(chance, true) for chance, true in asked]
    sure = [chance for chance, _ in asked if chance >= SURE]
    wrong, expected = said.count("wrong"), sum(1.0 - chance for chance in sure)
    return {
        **{each: said.count(each) for each in VERDICTS},
        "expected": round(expected, 2),
        "more_than_expected_p": round(criterion.tail(sure, wrong), 4),
    }  # fmt: skip


def judged(houses: dict[str, list[dict[str, Any]]]) -> dict[str, Any]:
    """Return the three families of tests that the study passes by.

    Parameters
    ----------
    houses : dict
        Of each set what :func:`one` gives.
    """
    chances, alone = [], []
    for name, some in houses.items():
        asked = of_set(some)
        alone += criterion.words_hold(asked, name)
        if name not in HARD:
            held = criterion.chances_hold(asked)
            chances += [{**each, "of": f"{name}, {each['of']}"} for each in held]
            chances += [_left(some, name, key) for key in ("left", "left_far")]
    together = []
    for words, names in (("hard sets", HARD), ("other sets", called_houses.SETS)):
        every = [house for name, some in houses.items() if name in names for house in some]
        together += criterion.words_hold(of_set(every), words)
    return {
        "chances": criterion.family(chances), "words, each set": criterion.family(alone),
        "words, together": criterion.family(together),
    }  # fmt: skip


def _left(houses: list[dict[str, Any]], name: str, key: str) -> criterion.Test:
    pairs = [(one["voids"][f"{key}_soiled"], one["voids"][f"{key}_soiled_expected"])
             for one in houses]  # fmt: skip
    words = "left" if key == "left" else "left, far from any look"
    return criterion.left_hold(pairs, f"{name}, {words}")


def run(count: int) -> dict[str, Any]:
    """Return the counts of every set, and whether the study passes.

    Parameters
    ----------
    count : int
        Houses of each set; as many as were fixed if 0.
    """
    many = {name: count or (HOUSES if name in HARD else CALLED) for name in SETS}
    tasks = [
        (name, FIRST_SEED + APART * k + n)
        for n in range(max(many.values())) for k, name in enumerate(SETS) if n < many[name]
    ]  # fmt: skip
    said = shared_out("hard", one, tasks)
    houses: dict[str, list[dict[str, Any]]] = {name: [] for name in SETS}
    for (name, _), each in zip(tasks, said, strict=True):
        houses[name].append(each)
    by_set = {name: summary(name, some) for name, some in houses.items()}
    tests = judged(houses)
    return {
        "sets": by_set, "hard": list(HARD), "first_seed": FIRST_SEED, "apart": APART,
        "draws": DRAWS, "sure": SURE, "criterion": tests,
        "passes": all(each["holds"] for each in tests.values()),
    }  # fmt: skip
