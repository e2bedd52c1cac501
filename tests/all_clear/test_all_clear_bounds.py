"""Both sides of each bound of the all-clear: what counts as recent, covered, poor, sure, alike."""

from __future__ import annotations

from datetime import date
from typing import Any

import msgspec
import numpy as np
import pytest

from houses import as_job, bungalow
from wainscot.all_clear import how_many, next_round, watching
from wainscot.all_clear.counting import animal_of
from wainscot.all_clear.cover import falling
from wainscot.all_clear.index import effective_nights, index, worked
from wainscot.all_clear.outcome import Case, further_nights, helps_most, judge, nightly_return
from wainscot.all_clear.rate import HIGHEST, Round, rate_of
from wainscot.all_clear.watching import closed_words, last_seal, rounds, spacing, standing
from wainscot.job import Job, SealMade


def _case(**changed: Any) -> Case:
    plain = Case(0.9, np.array([0.6, 0.4]), np.full((120, 2), 0.2), 0, 0, None, True, False)
    return msgspec.structs.replace(plain, **changed)


@pytest.mark.parametrize(("since", "outcome"), [(6.9, "not over"), (7.0, "over")])
def test_a_catch_is_recent_for_seven_nights(since: float, outcome: str) -> None:
    assert judge(_case(nights_since_catch=since)).outcome == outcome


def test_on_the_day_of_a_catch_the_chance_is_none() -> None:
    assert judge(_case(nights_since_catch=0.0)).chance == 0.0
    assert judge(_case(nights_since_catch=1.0, nightly=np.zeros((0, 2)))).chance == 0.0
    # Without a night and without a catch it is what the diagnosis says.
    assert judge(_case(nightly=np.zeros((0, 2)))).chance == 0.9


@pytest.mark.parametrize(
    ("ways", "others", "nightly"), [(0, 0, 0.0003), (0, 1, 0.003), (1, 0, 0.01), (1, 1, 0.01)]
)
def test_they_come_back_by_the_worst_way_that_is_open(
    ways: int, others: int, nightly: float
) -> None:
    case = _case(open_ways=ways, not_ours=others)
    assert nightly_return(case) == nightly
    assert (judge(case).outcome == "over") == (not ways and not others)


def test_a_void_counts_as_covered_from_a_half_on() -> None:
    half, less = np.array([[0.5, 0.5]]), np.array([[0.5, 0.49]])
    assert judge(_case(nightly=half)).uncovered == 0.0
    assert judge(_case(nightly=less)).uncovered == pytest.approx(0.4)


@pytest.mark.parametrize(("share", "outcome"), [(0.1, "over"), (0.11, "not yet known")])
def test_a_tenth_of_the_doubt_may_be_where_no_trap_is(share: float, outcome: str) -> None:
    where, nightly = np.array([1.0 - share, share]), np.tile([0.9, 0.0], (60, 1))
    found = judge(_case(where=where, nightly=nightly))
    assert found.outcome == outcome
    assert found.chance > 0.95
    assert any("set traps near" in one for one in found.settles) == (share > 0.1)


def test_what_settles_it_follows_from_what_lacks() -> None:
    assert judge(_case()).settles == ("nothing more: the chance is 95 in 100 or above",)
    unsealed = judge(_case(sealed=False)).settles
    assert unsealed[0].startswith("close what is on the seal list")
    few = _case(nightly=np.full((3, 2), 0.3), absent_before=0.3)
    more = further_nights(few, 0.95)
    assert judge(few).settles == (f"{more} further empty nights",)
    never = judge(_case(open_ways=1, nightly=np.full((9, 2), 0.01), absent_before=0.1))
    assert never.settles[-1].startswith("no number of empty nights")
    assert dict(never.nights_for) == {0.95: None, 0.99: None}


def test_only_nights_on_which_a_trap_stood_are_told() -> None:
    nightly = np.array([[0.2, 0.2], [0.0, 0.0], [0.0, 0.1]])
    assert judge(_case(nightly=nightly)).rests_on[0].startswith("2 nights of traps")


def test_one_more_trap_goes_where_the_doubt_is() -> None:
    gains = np.array([[0.3, 0.0], [0.0, 0.3]])
    assert helps_most(np.array([0.6, 0.4]), np.array([0.0, 0.0]), gains) == 0
    assert helps_most(np.array([0.4, 0.6]), np.array([0.0, 0.0]), gains) == 1
    # What is covered already helps less.
    assert helps_most(np.array([0.6, 0.4]), np.array([0.5, 0.0]), gains) == 1


def test_a_trap_covers_less_the_farther_off() -> None:
    middles = np.array([[0.0, 0.0, 0.0], [3.0, 4.0, 0.0], [0.0, 0.0, 5.0]])
    # Half-normal: exp(-d2 / (2 s2)), at 5 m with a scale of 5 m the root of 1 / e.
    assert falling(middles, np.zeros(3), 5.0) == pytest.approx([1.0, np.exp(-0.5), np.exp(-0.5)])


# Rates of the job's own.


def _rounds(*caught: tuple[int, float]) -> list[Round]:
    return [Round(one, nights) for one, nights in caught]


def test_the_stated_range_says_what_the_own_catches_lack() -> None:
    nine = rate_of(_rounds((6, 10.0), (2, 10.0), (1, 10.0)), 1.0)
    assert (nine.own, "9 catches on this job, and from 10 on" in nine.why) == (False, True)
    two = rate_of(_rounds((8, 10.0), (2, 10.0)), 1.0)
    assert (two.own, "do not fall" in two.why) == (False, True)
    flat = rate_of(_rounds((5, 10.0), (5, 10.0), (5, 10.0), (5, 10.0)), 1.0)
    assert (flat.own, "do not fall" in flat.why) == (False, True)
    nowhere = rate_of(_rounds((20, 10.0), (8, 10.0), (3, 10.0)), 0.0)
    assert (nowhere.own, "set no lower end" in nowhere.why) == (False, True)
    assert [nine.low, nine.middle, nine.high] == [0.05, 0.1, 0.2]


def test_the_own_rate_is_higher_at_the_trap_than_a_home_s_distance_off() -> None:
    caught = _rounds((20, 10.0), (8, 10.0), (3, 10.0))
    near, far = rate_of(caught, 1.0), rate_of(caught, 0.5)
    assert near.own
    assert "from 31 catches on this job in 3 rounds" in near.why
    # Half of the hazard is left at that distance, so at the trap it is twice as high.
    assert 1.0 - far.low == pytest.approx((1.0 - near.low) ** 2)
    assert rate_of(caught, 1e-3).high == HIGHEST
    # A round without a trap night is none.
    assert rate_of([*caught, Round(0, 0.0)], 1.0) == near


# Nights that count.


def test_nights_of_a_trap_that_sprung_or_went_count_half() -> None:
    assert [worked(4.0, one) for one in ("set", "bait taken", "sprung", "caught")] == [4, 4, 2, 2]
    assert worked(0.0, "sprung", 0.5) == 0.0
    assert worked(4.0, "sprung", 0.0) == worked(4.0, "sprung", 1.0) == 2.0
    with pytest.raises(ValueError, match="before the one ahead"):
        worked(-0.1, "set")
    assert effective_nights(10.0, 4.0, 3.0) == 5.0
    assert effective_nights(10.0, 4.0) == 8.0
    for caught in (0, 1):
        with pytest.raises(ValueError, match="no trap night is left"):
            index(2.0, caught, sprung_empty=4)
    assert index(20.0, 2, sprung_empty=4, other=2, lost=1.0) == pytest.approx(200 / 15)
    assert index(20.0, 2, sprung_empty=4, other=2, lost=1.0,
                 convention="sprung without a catch") == pytest.approx(200 / 16)  # fmt: skip


def _job(**more: Any) -> Job:
    document = bungalow()
    document["entities"] |= {
        "trap_1": {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-03-01"}, **more,
    }  # fmt: skip
    return as_job(document)


def _look(at: str, state: str, **more: Any) -> dict[str, Any]:
    return {"kind": "trap_check", "trap": "trap_1", "at": at, "state": state, **more}


def _seal(**more: Any) -> dict[str, Any]:
    return {"kind": "seal", "closes": "edge/ground", "material": "mortar", "by": "Crew",
            "photo": "p", **more}  # fmt: skip


@pytest.mark.parametrize("end", [{"taken_up": True}, {"state": "missing"}])
def test_looks_at_a_trap_that_is_gone_count_no_more(end: dict[str, Any]) -> None:
    job = _job(a={**_look("2026-03-03", "set"), **end}, b=_look("2026-03-09", "set"))
    seen = watching(job, "house mouse")
    assert len(seen.intervals) == 1
    assert seen.trap_nights == (0.0 if end.get("state") else 2.0)
    assert standing(job) == []
    assert standing(_job()) == ["trap_1"]


def test_rounds_are_days_of_looks() -> None:
    job = _job(a=_look("2026-03-03", "caught", species="norway rat", count=3),
               b=_look("2026-03-07", "set"))  # fmt: skip
    assert rounds(watching(job, "norway rat").intervals) == (Round(3, 1.0), Round(0, 4.0))


@pytest.mark.parametrize(("day", "overdue"), [(4, False), (5, True)])
def test_a_trap_is_overdue_after_three_nights(day: int, overdue: bool) -> None:
    (task,) = next_round(_job(), date(2026, 3, day))
    assert (task.what, task.overdue) == ("look at the trap", overdue)
    assert task.why == f"{'overdue: ' * overdue}{day - 1} nights since"


def test_a_seal_is_looked_at_from_the_day_on_that_it_is_due() -> None:
    job = _job(s=_seal(at="2026-02-01", inspect_at="2026-03-02"))
    due = [
        [one.what for one in next_round(job, date(2026, 3, day)) if one.of == "s"] for day in (1, 2)
    ]
    assert due == [[], ["look at the seal of edge: ground"]]


def test_the_last_seal_is_the_latest_of_those_that_count() -> None:
    made = {"a": _seal(at="2026-02-01"), "b": _seal(at="2026-01-30T23:00:00+00:00"),
            "c": _seal(at="2026-03-01", photo=""), "d": _seal()}  # fmt: skip
    assert last_seal(_job(**made)) == "2026-02-01"
    assert last_seal(_job()) == ""
    assert closed_words(_job(), SealMade("nowhere", "mortar", "Crew")) == "nowhere"
    far = SealMade("edge/a hedge/b", "mortar", "Crew")
    assert closed_words(_job(), far) == "edge: a hedge/b"


def test_roof_rats_are_trapped_as_norway_rats_and_mice_closer() -> None:
    assert spacing("roof rat") == spacing("norway rat") == (3.0, 6.0)
    assert spacing("house mouse") == (1.8, 3.0)


@pytest.mark.parametrize(("last", "alike"), [(12, True), (13, False)])
def test_effort_is_alike_below_five_quarters(last: int, alike: bool) -> None:
    looks, day = {}, 1
    # A trap found with a catch stood ready for half of the time: 10, 10 and half of ``last``.
    for n, (nights, count) in enumerate(((20, 12), (20, 5), (2 * last, 1))):
        day += nights
        at = date.fromordinal(date(2026, 3, 1).toordinal() + day - 1).isoformat()
        looks[f"l{n}"] = _look(at, "caught", species="norway rat", count=count)
    found = how_many(_job(**looks), "norway rat")
    assert found.effort == (10.0, 10.0, float(last))
    assert (found.likely is not None, found.line is not None) == (alike, not alike)


def test_the_animal_is_the_one_that_was_caught_most() -> None:
    looks = {"a": _look("2026-03-02", "caught", species="house mouse", count=2),
             "b": _look("2026-03-03", "caught", species="norway rat", count=3),
             "c": _look("2026-03-04", "caught", species="house mouse", count=2)}  # fmt: skip
    assert animal_of(_job(**looks)) == "house mouse"
    tie = {key: looks[key] | {"count": 2} for key in ("a", "b")}
    assert animal_of(_job(**tie)) == "house mouse"
