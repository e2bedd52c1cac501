"""When the study of hard houses passes, and what its control houses are."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy import stats
from study import criterion, hard
from study.called_houses import BY_LOT, called_house
from study.hard_houses import LEAST_FINDS, hops_from

from wainscot.signs import KINDS


def test_the_tail_of_equal_chances_is_that_of_the_binomial_law() -> None:
    assert criterion.tail([0.9] * 20, 5) == pytest.approx(stats.binom.sf(4, 20, 0.1))
    assert criterion.tail([0.95, 0.9], 2) == pytest.approx(0.05 * 0.1)
    assert criterion.tail([], 0) == 1.0


def _house(wrong: bool, left: tuple[int, float] = (0, 0.0), chance: float = 0.95) -> dict[str, Any]:
    voids = {"left_soiled": left[0], "left_soiled_expected": left[1],
             "left_far_soiled": left[0], "left_far_soiled_expected": left[1]}  # fmt: skip
    return {"settled": True, "asked": {"way in": [chance, not wrong]}, "voids": voids}


def _judged(wrong: int, of: int, name: str, left: tuple[int, float] = (0, 0.0)) -> dict[str, Any]:
    sets: dict[str, list[dict[str, Any]]] = {each: [] for each in hard.SETS}
    sets[name] = [_house(n < wrong, left) for n in range(of)]
    return {name: each["holds"] for name, each in hard.judged(sets).items()}


def test_errors_that_the_chances_admit_pass_and_more_do_not() -> None:
    assert all(_judged(2, 40, "as called").values())
    # 14 of 40 said at 95 in 100, or 8 of 10 in a hard set: by no chance.
    assert not any(_judged(14, 40, "as called").values())
    assert _judged(8, 10, "two species") == {
        "chances": True, "words, each set": False, "words, together": False,
    }  # fmt: skip


def test_what_is_left_may_be_soiled_as_often_as_its_chances_say() -> None:
    assert _judged(0, 40, "as called", (1, 1.0))["chances"]
    assert not _judged(0, 40, "as called", (2, 1.0))["chances"]


def test_choosing_houses_by_what_lies_in_them_makes_right_chances_too_low() -> None:
    # One void in three is soiled in 1,000 houses of nine, and every chance says so.
    counts = np.random.default_rng(1).binomial(9, 1 / 3, 1000)
    houses = [_house(False, (int(count), 3.0)) for count in counts]
    many, soiled, expected = hard.chosen_by_truth(houses)
    assert many == (counts >= 2).sum()
    assert soiled == counts[counts >= 2].sum()
    assert expected == 3.0 * many < soiled


def test_a_house_with_one_confident_error_is_wrong() -> None:
    verdicts = [hard.verdict(0.97, True), hard.verdict(0.91, False), hard.verdict(0.89, False)]
    assert verdicts == ["right", "wrong", "can't tell"]
    assert hard.whole(verdicts) == "wrong"


@pytest.mark.parametrize("name", ["as called", "animal not said"])
def test_a_control_house_has_finds_and_comes_again_from_its_seed(name: str) -> None:
    house, again = called_house(name, 7), called_house(name, 7)
    assert house.job == again.job
    finds = [
        [find for find in one.get("finds", ()) if find["amount"] not in KINDS[find["kind"]].nothing]
        for one in house.job.entities.values()
    ]
    assert sum(map(bool, finds)) >= LEAST_FINDS
    said = any(one["kind"] == "species" for one in house.job.entities.values())
    assert said == (name == "as called")


def test_hops_from_nowhere_are_without_end() -> None:
    graph = called_house("as called", 7).seen.graph
    assert np.isinf(hops_from(graph, np.zeros(0, dtype=np.int64))).all()
    assert hops_from(graph, np.array([0]))[0] == 0.0
    assert BY_LOT in hard.SETS
