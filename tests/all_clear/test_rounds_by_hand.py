"""What traps did, what to do next and how surely a trap catches, line by line and by hand."""

from __future__ import annotations

from datetime import date
from math import exp, log
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from houses import as_job, bungalow
from wainscot import voids
from wainscot.all_clear import how_many, next_round, watching
from wainscot.all_clear.counting import animal_of
from wainscot.all_clear.cover import Cover, centres, cover_of
from wainscot.all_clear.rate import Round, badness, per_night, rate_of
from wainscot.all_clear.removal import TOO_LOW
from wainscot.all_clear.watching import Task, all_intervals
from wainscot.diagnosis.cases import species_of
from wainscot.job import Job
from wainscot.plan.model import Plan
from wainscot.voids.graph import Graph

TRAP = {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-03-01"}


def _job(**more: Any) -> Job:
    document = bungalow()
    document["entities"] |= {"trap_1": TRAP, **more}
    return as_job(document)


def _look(at: str, state: str, trap: str = "trap_1", **more: Any) -> dict[str, Any]:
    return {"kind": "trap_check", "trap": trap, "at": at, "state": state, **more}


def test_what_the_traps_did_adds_up() -> None:
    seen = watching(_job(
        trap_2=TRAP, a=_look("2026-03-05", "set"), b=_look("2026-03-07", "sprung"),
        c=_look("2026-03-11", "bait taken"), d=_look("2026-03-13", "caught", species="norway rat",
                                                     count=3),
        e=_look("2026-03-03", "other", "trap_2"), f=_look("2026-03-06", "missing", "trap_2"),
    ), "norway rat")  # fmt: skip
    assert [(one.trap, one.nights, one.ready) for one in seen.intervals] == [
        ("trap_1", 4, 4), ("trap_2", 2, 1), ("trap_2", 3, 0), ("trap_1", 2, 1), ("trap_1", 4, 4),
        ("trap_1", 2, 1),
    ]  # fmt: skip
    assert (seen.trap_nights, seen.before) == (11.0, 0.0)
    counts = (seen.catches, seen.sprung, seen.other, seen.missing, seen.bait_takes)
    assert counts == (3, 1, 1, 1, 1)
    # Nelson and Clark: of 17 nights three are lost, and half of three or of two sprung traps.
    assert seen.indices == pytest.approx((300 / (14 - 1.5), 300 / (14 - 1)))


@pytest.mark.parametrize(("hour", "indices"), [(12, None), (18, (400.0, 100 / 0.75))])
def test_an_index_needs_a_night_that_counts(hour: int, indices: tuple[float, float] | None) -> None:
    look = _look(f"2026-03-01T{hour}:00:00+00:00", "caught", species="norway rat")
    found = watching(_job(a=look), "norway rat").indices
    assert found == (indices if indices is None else pytest.approx(indices))


def test_part_of_a_night_after_the_seal_is_enough_for_a_catch() -> None:
    seal = {"kind": "seal", "closes": "x", "material": "mortar", "by": "Crew", "photo": "p",
            "at": "2026-03-05"}  # fmt: skip
    look = _look("2026-03-05T12:00:00+00:00", "caught", species="norway rat")
    (one,) = watching(_job(s=seal, a=look), "norway rat").intervals
    assert (one.nights, one.ready, one.catches) == (0.5, 0.25, 1)
    # Of seven wary nights none is over: a quarter of the 2.25 that it stood ready, at most 0.25.
    assert one.shy == 0.25
    at_once = _look("2026-03-05", "caught", species="norway rat")
    assert watching(_job(s=seal, a=at_once), "norway rat").intervals == ()


def test_a_catch_of_no_told_kind_is_a_catch_and_looks_follow_by_time() -> None:
    job = _job(b=_look("2026-03-04", "set"), a=_look("2026-03-02", "caught", count=2),
               c=_look("2026-03-06", "caught", species="house mouse"))  # fmt: skip
    assert [one.catches for one in all_intervals(job, "norway rat")] == [2, 0, 0]
    assert [one.catches for one in all_intervals(job, "norway rat", any_kind=True)] == [2, 0, 1]


def test_the_next_round_is_told_line_by_line() -> None:
    tasks = next_round(_job(
        trap_2={**TRAP, "at": "2026-03-08"}, trap_3=TRAP, trap_4=TRAP,
        a=_look("2026-03-06", "set"), b=_look("2026-03-03", "sprung"),
        c=_look("2026-03-09", "missing", "trap_3"), d=_look("2026-03-02", "set", "trap_3"),
        e=_look("2026-03-02", "set", "trap_4", taken_up=True),
        bait={"kind": "bait_left", "place": {"of": "bathroom"}, "what": "a lure"},
        gone={"kind": "bait_left", "place": {"of": "bathroom"}, "what": "x", "fetched_at": "2026"},
        seal={"kind": "seal", "closes": "edge/ground", "material": "mortar",
              "inspect_at": "2026-03-10"},
        later={"kind": "seal", "closes": "edge/roof", "material": "mortar",
               "inspect_at": "2026-03-11"},
    ), date(2026, 3, 10))  # fmt: skip
    assert tasks == (
        Task("look at the trap", "trap_1", "overdue: 4 nights since", True),
        Task("fetch a lure", "bait", "left in the building; the label rules"),
        Task("look at the seal of edge: ground", "seal", "due 2026-03-10"),
        Task("look at the trap", "trap_2", "2 nights since"),
        Task("look for the trap", "trap_3", "it was gone; an animal may lie with it"),
    )
    # A trap that is set tomorrow has stood no night.
    (early,) = next_round(_job(), date(2026, 2, 27))
    assert early.why == "0 nights since"


# How many, and of what.


def _catches(*rounds: tuple[int, int]) -> Job:
    """One trap: so many nights on which it stood ready, and what the look found in it."""
    looks, day = {}, date(2026, 3, 1).toordinal()
    for n, (nights, count) in enumerate(rounds):
        day += 2 * nights if count else nights
        found = {"count": count, "species": "norway rat"} if count else {}
        state = "caught" if count else "set"
        looks[f"l{n}"] = _look(date.fromordinal(day).isoformat(), state, **found)
    return _job(**looks)


@pytest.mark.parametrize(
    ("rounds", "why"),
    [
        (((2, 9), (2, 0), (2, 0)), "fewer than 10 catches in all"),
        (((2, 4), (2, 4), (2, 4)), "the catches do not fall"),
        (((2, 9), (2, 4), (2, 1)), TOO_LOW),
        (((2, 4), (4, 8), (2, 4)), "the effort differed and the catch per effort does not fall: "
                                   "no estimate exists"),
        (((2, 9), (4, 8), (2, 1)), TOO_LOW),
    ],
)  # fmt: skip
def test_how_many_tells_its_catches_and_why(rounds: tuple[tuple[int, int], ...], why: str) -> None:
    found = how_many(_catches(*rounds), "norway rat")
    assert found.why == why
    assert found.catches == tuple(caught for _, caught in rounds)
    assert found.effort == tuple(float(nights) for nights, _ in rounds)


def test_a_trap_that_was_gone_makes_no_round() -> None:
    found = how_many(_job(a=_look("2026-03-05", "missing")), "norway rat")
    assert (found.catches, found.effort) == ((), ())


def test_catches_of_several_traps_on_one_day_are_one_round() -> None:
    looks = {key: _look("2026-03-05", "caught", trap, count=2)
             for key, trap in (("a", "trap_1"), ("b", "trap_2"))}  # fmt: skip
    found = how_many(_job(trap_2=TRAP, **looks), "norway rat")
    assert (found.catches, found.effort) == ((4,), (4.0,))


def test_without_a_catch_the_animal_is_the_likeliest_in_question() -> None:
    assert animal_of(_job()) == "norway rat"
    assert animal_of(_job(a=_look("2026-03-02", "caught"))) == "norway rat"
    # Where none is named it is the most usual one, not the last by name.
    document = bungalow()
    del document["entities"]["suspect"]
    chances = species_of(as_job(document))
    assert animal_of(as_job(document)) == max(chances, key=lambda name: chances[name])
    assert animal_of(as_job(document)) != max(chances)
    mouse = _look("2026-03-02", "set", species="house mouse")
    assert animal_of(_job(a=mouse)) == "norway rat"


# How surely a trap catches.


def test_the_range_of_a_rate_is_where_the_likelihood_is_192_hundredths_worse() -> None:
    rounds = [Round(20, 10.0), Round(8, 12.0), Round(3, 10.0)]
    numbers = np.arange(31, 31 * 50 + 1)

    def least(q: float) -> float:
        """The best of all whole numbers, and of tenths near it."""
        best = min(numbers.tolist(), key=lambda n: badness(n, q, rounds))
        near = np.arange(max(best - 1, 31), best + 1, 0.02)
        return min(badness(float(n), q, rounds) for n in near)

    found = per_night(rounds)
    assert found is not None
    low, best, high = found
    for end in (low, high):
        assert least(end) - least(best) == pytest.approx(3.841459 / 2, abs=2e-3)
    assert low < best < high
    assert least(best) <= min(least(best * 0.98), least(best * 1.02))
    own = rate_of(rounds, 0.5)
    # A hazard of half a home's distance off is twice as high at the trap.
    assert (own.low, own.middle, own.high) == pytest.approx(
        tuple(1 - exp(-2 * one) for one in found))  # fmt: skip
    assert own.why == (
        "from 31 catches on this job in 3 rounds; the bold are caught first, so the last ones are "
        "harder to catch"
    )


def test_catches_that_may_have_taken_all_at_once_have_no_upper_end() -> None:
    found = per_night([Round(30, 10.0), Round(0, 10.0), Round(0, 5.0)])
    assert found is not None
    # The highest rate that is weighed catches at once: fifty over the nights of a round.
    assert found[2] == pytest.approx(50 / 5.0)
    # A tenth of three rounds' catch left over: nothing says that the rate is not next to none.
    assert per_night([Round(4, 10.0), Round(4, 10.0), Round(3, 10.0)]) is None


@pytest.mark.parametrize(
    ("rounds", "falls"),
    [
        # Per night, in the halves of the effort: 6/10 and 5/10; then alike; then rising.
        ([(6, 10.0), (3, 5.0), (2, 5.0)], True),
        ([(6, 10.0), (3, 5.0), (3, 5.0)], False),
        ([(6, 10.0), (2, 4.0), (2, 3.0)], True),
        ([(5, 10.0), (3, 5.0), (3, 5.0)], False),
        # A round belongs to the half in which its middle lies: the long one to the later.
        ([(6, 4.0), (6, 20.0), (2, 2.0)], True),
        ([(2, 4.0), (18, 20.0), (2, 2.0)], False),
    ],
)
def test_falling_is_less_a_night_in_the_later_half(
    rounds: list[tuple[int, float]], falls: bool
) -> None:
    why = rate_of([Round(*one) for one in rounds], 1.0).why
    assert ("that do not fall from round to round" in why) != falls


def test_what_the_own_catches_lack_is_printed() -> None:
    said = "nobody has published one for houses, so the low end decides; "
    for rounds, why in (
        ([(9, 5.0)], "9 catches on this job, and from 10 on they would tell"),
        ([(9, 5.0), (3, 5.0)], "12 catches on this job that do not fall from round to round"),
        ([(4, 10.0), (4, 10.0), (3, 10.0)], "11 catches on this job that set no lower end"),
    ):
        assert rate_of([Round(*one) for one in rounds], 1.0).why == said + why


# What they cover.


@pytest.fixture(scope="module")
def house() -> tuple[Plan, Graph]:
    plan = voids.framed(as_job(bungalow())).plan
    return plan, voids.build(plan, "norway rat")


def _cover(house: tuple[Plan, Graph], **entities: Any) -> Cover:
    plan, graph = house
    now = np.zeros((4, len(graph.keys)), dtype=bool)
    draws = SimpleNamespace(cases=(("norway rat",),), weight=np.full(4, 0.25), now=now)
    return cover_of(_job(**entities), plan, graph, cast(Any, draws))


def test_a_night_is_shared_by_the_parts_that_lie_in_it(house: tuple[Plan, Graph]) -> None:
    # Set at noon, looked at a night and a half later: half lies in each of the outer days.
    trap = {**TRAP, "at": "2026-03-01T12:00:00+00:00"}
    found = _cover(house, trap_1=trap, a=_look("2026-03-03", "set"))
    middle = np.array([1.6, 1.8])
    away = ((centres(house[1])[:, :2] - middle) ** 2).sum(axis=1)
    tonight = found.tonight
    assert tonight is not None
    assert (tonight <= 0.1 * np.exp(-away / (2 * 6.1**2)) + 1e-12).all()
    # Norway rats avoid it for a week: each night is worth a quarter.
    for night, part in zip(found.nightly, (0.5, 1.0), strict=True):
        assert night == pytest.approx(1 - (1 - tonight) ** (0.25 * part))
    single = _cover(house, a=_look("2026-03-02", "set"))
    assert single.nightly[0] == pytest.approx(1 - (1 - tonight) ** 0.25)
    bare = _cover(house)
    assert (bare.first_day, bare.last_look, bare.last_catch) == (0, 0.0, 0.0)


@pytest.mark.parametrize("sealed", ["", "2026-03-21"])
def test_its_own_rate_comes_from_the_rounds_up_to_the_last_catch_or_seal(
    house: tuple[Plan, Graph], sealed: str
) -> None:
    looks = {
        "a": _look("2026-03-07", "caught", count=20), "b": _look("2026-03-13", "caught", count=8),
        "c": _look("2026-03-19", "caught", count=3), "d": _look("2026-03-20", "set"),
        "e": _look("2026-03-21", "set"), "f": _look("2026-03-22", "set"),
    }  # fmt: skip
    seal = {"kind": "seal", "closes": "x", "material": "mortar", "by": "Crew", "photo": "p",
            "at": sealed}  # fmt: skip
    found = _cover(house, **looks, **({"s": seal} if sealed else {}))
    rounds = [Round(20, 3.0), Round(8, 3.0), Round(3, 3.0)]
    # Up to the seal the empty nights before it count as well; those after it never do.
    rounds += [Round(0, 1.0), Round(0, 1.0)] if sealed else []
    away = ((centres(house[1]) - np.array([1.6, 1.8, centres(house[1])[0, 2]])) ** 2).sum(axis=1)
    assert len(away) == len(found.where)
    told = per_night(rounds)
    assert told is not None
    # The mean share of a trap's chance at the homes is what the hazard is divided by.
    reach = told[1] / -log(1 - found.rate.middle)
    assert found.rate.own
    assert 0.5 < reach < 1.0
    tonight = found.tonight
    assert tonight is not None
    assert reach == pytest.approx(float(found.where @ tonight) / found.rate.middle, rel=1e-4)
    assert found.rate.why.startswith(f"from 31 catches on this job in {len(rounds)} rounds")
