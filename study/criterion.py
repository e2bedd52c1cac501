"""When the study of hard houses passes.  Written on 26 November 2026, before its houses were drawn.

The first criterion, "never confidently wrong", cannot be met by chances: of answers at nine in ten
one in ten is wrong if the chance is right.  It stays in the results as ``wrong`` houses.  What is
asked instead are two things that the tool itself says:

1. **Chances.**  In houses that are not chosen by their truth, no question is surely answered wrong
   oftener than its own chances admit (Poisson-binomial), and voids called "leave" are not surely
   soiled oftener than theirs (mean over houses against its error).
2. **Words.**  In every set, hard ones too, of what is said in words that sound sure no more is
   wrong than the words say: of "more than 9 in 10" at most one in ten, of ">95" at most one in
   twenty (binomial).  For each set by itself, and for the hard sets and the others together.

*Surely* is one-sided, 1 % for each of the three families of tests, shared out among its tests
(Bonferroni).  Each test is about one answer a house, and houses are independent.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np
from scipy import stats

LEVEL = 0.01
"""Chance that a sound tool fails one family. [1]"""
BOUNDS = {"more than 9 in 10": (0.9, 0.1), ">95": (0.975, 0.05)}
"""From which chance on each is said (`wainscot.chance`), and how many of it may be wrong. [1]"""
SURE = 0.9
"""From here on an answer counts as confident. [1]"""

Asked = Sequence[tuple[float, bool]]
"""Chance of the answer given, and whether it was true, one a house."""
Test = dict[str, Any]


def tail(sure: Iterable[float], wrong: int) -> float:
    """Return the chance of so many wrong answers or more, if every chance given is right. [1]

    Parameters
    ----------
    sure : iterable of float
        The chances. [1]
    wrong : int
        Answers that were wrong.
    """
    law = np.ones(1)
    for chance in sure:
        law = np.convolve(law, [chance, 1.0 - chance])
    return min(1.0, float(law[wrong:].sum()))


def chances_hold(by_question: Mapping[str, Asked]) -> list[Test]:
    """Return one test a question: not wrong oftener than its own chances admit.

    Parameters
    ----------
    by_question : mapping of str to pairs
        Answers of one set.
    """
    tests = []
    for question, asked in by_question.items():
        sure = [chance for chance, _ in asked if chance >= SURE]
        wrong = sum(not true for chance, true in asked if chance >= SURE)
        if sure:
            expected = round(sum(1.0 - chance for chance in sure), 2)
            tests.append({"of": question, "said": len(sure), "wrong": wrong,
                          "expected": expected, "p": tail(sure, wrong)})  # fmt: skip
    return tests


def left_hold(pairs: Sequence[tuple[float, float]], of: str) -> Test:
    """Return the test that voids called "leave" are not soiled oftener than their chances said.

    Parameters
    ----------
    pairs : sequence of (float, float)
        For each house how many were soiled, and how many its chances expected.
    of : str
        What is tested, in words.
    """
    more = np.array([soiled - expected for soiled, expected in pairs])
    error = float(np.sqrt((more**2).sum()))
    z = float(more.sum()) / error if error > 0.0 else 0.0
    return {"of": of, "said": len(pairs), "wrong": sum(int(soiled) for soiled, _ in pairs),
            "expected": round(sum(each for _, each in pairs), 1), "z": round(z, 2),
            "p": float(stats.norm.sf(z))}  # fmt: skip


def words_hold(by_question: Mapping[str, Asked], where: str) -> list[Test]:
    """Return one test a question and word: no more is wrong than the word says.

    Parameters
    ----------
    by_question : mapping of str to pairs
        Answers.
    where : str
        Whose they are, in words.
    """
    tests = []
    for question, asked in by_question.items():
        for word, (least, bound) in BOUNDS.items():
            said = [true for chance, true in asked if chance >= least]
            if said:
                wrong = said.count(False)
                p = float(stats.binom.sf(wrong - 1, len(said), bound))
                tests.append({"of": f"{where}, {question}: {word}", "said": len(said),
                              "wrong": wrong, "p": p})  # fmt: skip
    return tests


def family(tests: Sequence[Test]) -> dict[str, Any]:
    """Return whether a family of tests holds, and each of its tests.

    Parameters
    ----------
    tests : sequence of dict
        The tests.
    """
    level = LEVEL / max(len(tests), 1)
    worst = min(tests, key=lambda each: each["p"], default=None)
    return {
        "holds": worst is None or worst["p"] >= level, "tests": len(tests), "level": level,
        "worst": worst and {**worst, "p": round(worst["p"], 5)},
        "each": [{**each, "p": round(each["p"], 5)} for each in tests],
    }  # fmt: skip
