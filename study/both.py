"""What weighing two animals at once always would change: the answer, and the time it takes.

Each house is diagnosed twice: as the tool does it, where nobody said which animal (one kind at a
time), and with every pair of species as a case of its own, the judged share of
:data:`wainscot.diagnosis.cases.BOTH` shared out among the pairs.  The houses: the set "two species"
(:mod:`study.hard_houses`), where mice and rats live in each, and "animal not said"
(:mod:`study.called_houses`), where one in ten has two.

Reported, not judged: it passes where it runs.  Limits: two at once are one mixed population to the
diagnosis, two apart in the simulation; time is processor time of one thread.
"""

from __future__ import annotations

import time
from itertools import combinations
from typing import Any

import msgspec
import numpy as np

from study.called_houses import NOT_SAID, called_house
from study.hard import DRAWS, SURE
from study.hard_houses import hard_house
from study.sharing import shared_out
from wainscot import voids as voids_step
from wainscot.diagnosis import Diagnosis
from wainscot.diagnosis.cases import BOTH, Case, cases
from wainscot.diagnosis.sampling import Effort
from wainscot.diagnosis.verdict import claimed
from wainscot.diagnosis.weigh import weigh_cases
from wainscot.job import Job
from wainscot.signs import read as read_signs
from wainscot.species import AND, SPECIES, members, together

HOUSES = 10
FIRST_SEEDS = {"two species": 118_000, NOT_SAID: 160_000}
"""The first ten are those in which the study of hard houses first found six answers wrong."""


def with_pairs(job: Job) -> tuple[Case, ...]:
    """Return the cases of a job with every two species at once beside each alone.

    Parameters
    ----------
    job : Job
        A job in which nobody said which animal.
    """
    alone = [msgspec.structs.replace(one, prior=one.prior * (1.0 - BOTH.value))
             for one in cases(job)]  # fmt: skip
    pairs = [together(pair) for pair in combinations(SPECIES, 2)]
    found = []
    for one in voids_step.framings(job):
        for pair in pairs:
            graph = voids_step.build(one.plan, pair)
            evidence = read_signs(one.job, one.plan, graph, pair)
            found.append(Case(pair, one.guess, one.weight * BOTH.value / len(pairs), graph,
                              evidence))  # fmt: skip
    return (*alone, *found)


def one(task: tuple[str, int]) -> dict[str, Any]:
    """Return what the two diagnoses of one house say, and how long they take.

    Parameters
    ----------
    task : (str, int)
        Set and seed.
    """
    name, seed = task
    house = called_house(name, seed) if name == NOT_SAID else hard_house(name, seed)
    told: dict[str, Any] = {"two": len(house.species) > 1}
    answers = {}
    for arm, make in (("one kind", cases), ("both", with_pairs)):
        found = make(house.job)
        begun = time.process_time()
        answers[arm], _ = weigh_cases(found, effort=Effort(seed, 8, DRAWS, 1))
        told[arm] = {"seconds": time.process_time() - begun, **_said(answers[arm], house.species)}
    return {**told, **_changed(answers["one kind"], answers["both"])}


def _said(answer: Diagnosis, true: frozenset[str]) -> dict[str, Any]:
    claim = claimed(answer.hypotheses)
    named = frozenset(members(claim.species))
    return {
        "settled": bool(answer.settled), "sure": claim.share >= SURE,
        "exactly": named == true, "at_least": named <= true,
        "pairs": sum(each.weight for each in answer.hypotheses if AND in each.species),
    }  # fmt: skip


def _changed(before: Diagnosis, after: Diagnosis) -> dict[str, Any]:
    then = {each.id: each for each in before.voids}
    hidden = [(then[each.id], each) for each in after.voids if each.hidden and each.id in then]
    moved = [abs(a.soiled - b.soiled) for a, b in hidden]
    return {
        "voids": len(hidden), "bands_changed": sum(a.band != b.band for a, b in hidden),
        "moved_mean": float(np.mean(moved)), "moved_most": float(np.max(moved)),
        "first_way_in_changed": before.entries[0].id != after.entries[0].id,
    }  # fmt: skip


def summary(houses: list[dict[str, Any]]) -> dict[str, Any]:
    """Return the counts of one set.

    Parameters
    ----------
    houses : list of dict
        From :func:`one`.
    """
    arms = {}
    for arm in ("one kind", "both"):
        said = [each[arm] for each in houses]
        sure = [each for each in said if each["sure"]]
        arms[arm] = {
            "seconds": round(sum(each["seconds"] for each in said) / len(said), 2),
            "settled": sum(each["settled"] for each in said), "sure": len(sure),
            "sure_not_exactly": sum(not each["exactly"] for each in sure),
            "sure_not_even_at_least": sum(not each["at_least"] for each in sure),
        }  # fmt: skip
    weight = {words: [each["both"]["pairs"] for each in houses if each["two"] is two]
              for words, two in (("two", True), ("one", False))}  # fmt: skip
    return {
        "houses": len(houses), "arms": arms,
        **{f"weight_of_pairs_where_{words}": round(float(np.mean(some)), 3)
           for words, some in weight.items() if some},
        "voids": sum(each["voids"] for each in houses),
        "bands_changed": sum(each["bands_changed"] for each in houses),
        "moved_mean": round(float(np.mean([each["moved_mean"] for each in houses])), 4),
        "moved_most": round(max(each["moved_most"] for each in houses), 3),
        "first_way_in_changed": sum(each["first_way_in_changed"] for each in houses),
    }  # fmt: skip


def run(count: int) -> dict[str, Any]:
    """Return the counts of both sets.

    Parameters
    ----------
    count : int
        Houses of each set.
    """
    tasks = [(name, first + n) for n in range(count) for name, first in FIRST_SEEDS.items()]
    said = shared_out("both", one, tasks)
    sets = {
        name: summary([each for (of, _), each in zip(tasks, said, strict=True) if of == name])
        for name in FIRST_SEEDS
    }
    return {"sets": sets, "first_seeds": FIRST_SEEDS, "draws": DRAWS, "share_of_two": BOTH.value,
            "passes": True}  # fmt: skip
