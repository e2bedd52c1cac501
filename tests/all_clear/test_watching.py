"""Traps over time: intervals kept, traps sprung unseen counted so, from the last seal on."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from houses import as_job, bungalow
from wainscot import voids
from wainscot.all_clear import next_round, watching
from wainscot.all_clear.cover import cover_of
from wainscot.all_clear.index import worked
from wainscot.all_clear.watching import all_intervals
from wainscot.job import Job
from wainscot.walk import check


def _job(**more: Any) -> Job:
    document = bungalow()
    document["entities"] |= {
        "seal_1": {"kind": "seal", "closes": "x", "material": "mortar", "by": "Crew",
                   "photo": "p", "at": "2026-03-01"},
        "trap_1": {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-02-20"},
        "c1": {"kind": "trap_check", "trap": "trap_1", "at": "2026-03-01", "state": "caught",
               "species": "norway rat"},
        "c2": {"kind": "trap_check", "trap": "trap_1", "at": "2026-03-05", "state": "set"},
        "c3": {"kind": "trap_check", "trap": "trap_1", "at": "2026-03-09", "state": "sprung"},
        **more,
    }  # fmt: skip
    return as_job(document)


def test_nights_before_the_last_seal_do_not_count() -> None:
    job = _job()
    assert check(job) == ()
    seen = watching(job, "norway rat")
    assert seen.catches == 0
    assert seen.before == pytest.approx(4.5)
    # Four nights set; of four between looks at a trap found sprung, half.
    assert seen.trap_nights == pytest.approx(4 + 2)
    assert seen.sprung == 1
    assert seen.indices == (0.0, 0.0)
    assert watching(job, "norway rat", "2026-01-01").catches == 1


def test_a_new_trap_counts_for_a_quarter_while_it_is_avoided() -> None:
    # MU Extension G9446: several days or longer for rats; seven and a quarter are judged.
    fresh = {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-03-02"}
    look = {"kind": "trap_check", "trap": "trap_2", "at": "2026-03-12", "state": "set"}
    seen = watching(_job(trap_2=fresh, d=look), "norway rat")
    ten = next(one for one in seen.intervals if one.trap == "trap_2")
    assert ten.ready == pytest.approx(10)
    assert ten.shy == pytest.approx(7 * 0.25 + 3)
    assert next(
        one for one in watching(_job(trap_2=fresh, d=look), "house mouse").intervals
        if one.trap == "trap_2"
    ).shy == pytest.approx(1 * 0.25 + 9)  # fmt: skip


def test_a_missing_trap_proves_nothing() -> None:
    gone = {"kind": "trap_check", "trap": "trap_1", "at": "2026-03-20", "state": "missing"}
    seen = watching(_job(c4=gone), "norway rat")
    assert seen.missing == 1
    assert seen.trap_nights == pytest.approx(6)
    tasks = next_round(_job(c4=gone), date(2026, 3, 21))
    assert [one.what for one in tasks] == ["look for the trap"]


@pytest.mark.parametrize("nights", [1.0, 3.0, 10.0])
def test_the_mean_moment_of_springing_against_simulation(nights: float) -> None:
    rng = np.random.default_rng(1)
    moment = rng.exponential(-1 / np.log(1 - 0.3), 400_000)
    mine = moment[moment < nights]
    error = float(mine.std()) / len(mine) ** 0.5
    assert abs(worked(nights, "sprung", 0.3) - float(mine.mean())) < 4.5 * error
    assert worked(nights, "set", 0.3) == nights
    assert worked(nights, "sprung") == nights / 2


def test_the_next_round_tells_overdue_traps_first_and_bait_to_fetch() -> None:
    left = {"kind": "bait_left", "place": {"of": "bathroom"}, "what": "a lure block"}
    tasks = next_round(_job(b=left), date(2026, 3, 15))
    assert [one.what for one in tasks] == ["look at the trap", "fetch a lure block"]
    assert tasks[0].why.startswith("overdue: 6 nights")


def test_a_trap_that_holds_several_is_one_sprung_trap() -> None:
    # 100 C / (TN - S / 2), with S the sprung traps: one trap, however many mice lie in it.
    more = {"trap_2": {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-03-01"},
            "d": {"kind": "trap_check", "trap": "trap_2", "at": "2026-03-03", "state": "caught",
                  "species": "house mouse", "count": 5}}  # fmt: skip
    seen = watching(_job(**more), "house mouse", "2026-03-01")
    nights = sum(one.nights for one in seen.intervals)
    assert seen.catches == 5
    assert seen.indices is not None
    # Sprung: that one, and trap_1 once.
    assert seen.indices[0] == pytest.approx(500 / (nights - 2 / 2))
    assert seen.indices[1] == pytest.approx(500 / (nights - 1 / 2))


def test_another_animal_in_the_trap_is_told_apart_and_is_no_catch() -> None:
    # Nelson and Clark 1973, from memory: a trap with another animal in it has worked half the time.
    more = {"trap_2": {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-03-02"},
            "d": {"kind": "trap_check", "trap": "trap_2", "at": "2026-03-06", "state": "caught",
                  "species": "house mouse"}}  # fmt: skip
    seen = watching(_job(**more), "norway rat")
    assert (seen.catches, seen.other) == (0, 1)
    (one,) = [one for one in seen.intervals if one.trap == "trap_2"]
    assert (one.state, one.catches, one.ready) == ("other", 0, pytest.approx(2.0))
    # Nor does it say how surely a trap catches the animal sought.
    assert [one.catches for one in all_intervals(_job(**more), "norway rat")][-1] == 0
    same = watching(_job(**more), "house mouse")
    assert (same.catches, same.other) == (1, 0)
    every = watching(_job(**more), "norway rat", any_kind=True)
    assert (every.catches, every.other) == (1, 0)


def test_a_catch_after_the_last_seal_counts_though_the_trap_stood_before() -> None:
    # Set eight days before the seal, looked at five days after: caught before or after, nobody
    # knows; without the catch the house would be called free too early.
    more = {"trap_2": {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-02-21"},
            "d": {"kind": "trap_check", "trap": "trap_2", "at": "2026-03-06", "state": "caught",
                  "species": "norway rat"}}  # fmt: skip
    seen, without = watching(_job(**more), "norway rat"), watching(_job(), "norway rat")
    assert (seen.catches, without.catches) == (1, 0)
    (one,) = [one for one in seen.intervals if one.trap == "trap_2"]
    assert [one.nights, one.ready] == pytest.approx([5, 2.5])
    # All 6.5 nights that it stood ready: 2.5 of them since the seal, 4 before.
    assert seen.before == pytest.approx(without.before + 4)
    empty = {**more, "d": {**more["d"], "state": "set"}}
    assert watching(_job(**empty), "norway rat").trap_nights == without.trap_nights


def test_a_rat_in_a_trap_keeps_a_house_of_mice_from_being_called_free() -> None:
    rat = {"trap_2": {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-03-02"},
           "d": {"kind": "trap_check", "trap": "trap_2", "at": "2026-03-06", "state": "caught",
                 "species": "norway rat"}}  # fmt: skip
    job = _job(**rat)
    plan = voids.framed(job).plan
    graph = voids.build(plan, "house mouse")
    draws = SimpleNamespace(cases=(("house mouse", ""),), weight=np.ones(1),
                            now=np.zeros((1, len(graph.keys)), dtype=bool))  # fmt: skip
    cover = cover_of(job, plan, graph, cast(Any, draws))
    assert cover.seen.catches == 1
    assert sum(cover.caught) == 1
