"""Schedules against every course of small cases, and the bound against the best of them."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from wainscot.job import Job
from wainscot.programme import Hours, Task, best_of, bound, working_hours
from wainscot.programme.planning import first_day
from wainscot.programme.scheduling import critical

WEEK = working_hours("2026-11-30", 4, begins=32, days="mon tue thu", off="2026-12-01")
CREWS = {"a": 1, "b": 2}


def case(seed: int) -> list[Task]:
    """Five tasks of one to five slots, some of them waits, some whole, with some precedence."""
    rng = np.random.default_rng(seed)
    tasks = []
    for n in range(5):
        after = tuple(m for m in range(n) if rng.random() < 0.3)
        crew = str(rng.choice(["a", "a", "b", ""]))
        need = int(rng.integers(1, 3)) if crew == "b" else 1
        length = int(rng.integers(1, 6)) if crew else int(rng.integers(1, 150))
        tasks.append(Task(length, after, crew, need, bool(crew and rng.random() < 0.3)))
    return tasks


class Oracle:
    """Tries every begin of every task, slot by slot on the wall, with no notion of lists."""

    def __init__(self, tasks: list[Task], crews: dict[str, int], hours: Hours) -> None:
        self.tasks, self.crews, self.hours = tasks, crews, hours
        # The slots that are worked, straight from the calendar.
        self.open = [d * 96 + hours.begins + s for d in hours.days[:12] for s in range(hours.day)]
        self.taken = {crew: dict.fromkeys(self.open, 0) for crew in crews}
        self.best = 10**9

    def least(self, at_most: int) -> int:
        """Return the earliest end, knowing that one is at most so."""
        self.best = at_most + 1
        self._try(0, [])
        return self.best

    def _try(self, n: int, ends: list[int]) -> None:
        if n == len(self.tasks):
            self.best = min(self.best, max(ends))
            return
        task = self.tasks[n]
        ready = max((ends[m] for m in task.after), default=0)
        if not task.crew:
            if ready + task.length < self.best:
                self._try(n + 1, [*ends, ready + task.length])
            return
        for at, slot in enumerate(self.open):
            mine = self.open[at : at + task.length]
            if slot < ready or len(mine) < task.length:
                continue
            if mine[-1] + 1 >= self.best:
                return
            nights = mine[-1] // 96 != slot // 96
            if task.whole and nights and task.length <= self.hours.day:
                continue
            taken = self.taken[task.crew]
            if any(taken[each] + task.need > self.crews[task.crew] for each in mine):
                continue
            for each in mine:
                taken[each] += task.need
            self._try(n + 1, [*ends, mine[-1] + 1])
            for each in mine:
                taken[each] -= task.need


def test_200_small_cases_lie_between_the_bound_and_the_best_there_is() -> None:
    gaps = []
    for seed in range(200):
        tasks = case(seed)
        found, least = best_of(tasks, CREWS, WEEK), bound(tasks, CREWS, WEEK)
        best = Oracle(tasks, CREWS, WEEK).least(found.end)
        assert least <= best <= found.end, seed
        gaps.append(found.end - best)
        _holds(tasks, found.starts, found.ends)
    # Reported, not promised: list scheduling is no proof, and these cases are small.
    print(f"best found in {gaps.count(0)} of 200, most {max(gaps)} slots late")
    assert gaps.count(0) >= 190


def _holds(tasks: list[Task], starts: tuple[int, ...], ends: tuple[int, ...]) -> None:
    """Precedence, people, working hours and whole days, counted slot by slot."""
    worked = {d * 96 + WEEK.begins + s for d in WEEK.days[:40] for s in range(WEEK.day)}
    for n, task in enumerate(tasks):
        assert all(ends[m] <= starts[n] for m in task.after)
        mine = [t for t in range(starts[n], ends[n]) if t in worked or not task.crew]
        assert len(mine) == task.length
        if task.whole and task.length <= WEEK.day:
            assert mine[0] // 96 == mine[-1] // 96
    for crew, number in CREWS.items():
        some = [n for n, task in enumerate(tasks) if task.crew == crew]
        for t in worked:
            assert sum(tasks[n].need for n in some if starts[n] <= t < ends[n]) <= number


def test_the_clock_and_the_worked_slots_agree() -> None:
    # Monday 30 November; the Tuesday is off, so that the fifth slot is Thursday's first, at 8.
    assert WEEK.wall(WEEK.clock(4)).isoformat() == "2026-12-03T08:00:00"
    assert WEEK.wall(WEEK.done(4)).isoformat() == "2026-11-30T09:00:00"
    for w in range(40):
        assert WEEK.worked_before(WEEK.clock(w)) == w
        assert WEEK.worked_before(WEEK.done(w)) == w


def test_what_the_end_hangs_on_is_a_chain_without_slack() -> None:
    # Two crews' worth of work for one: the long task, then the short one; the wait is beside it.
    tasks = [Task(3, (), "a"), Task(2, (), "a"), Task(1, (0,))]
    plan = best_of(tasks, CREWS, WEEK)
    hung = critical(tasks, plan, WEEK)
    assert {0, 1} <= hung
    assert plan.end == bound(tasks, CREWS, WEEK)


def test_work_begins_the_day_after_the_last_that_is_told_and_words_tell_none() -> None:
    def begun(**days: str) -> str:
        agreed = {key: {"kind": "authorisation", "by": "M. Owner", "at": at, "openings": ["x"]}
                  for key, at in days.items()}  # fmt: skip
        return first_day(Job(id="job_a", entities=agreed), date(2026, 11, 2))

    assert begun() == "2026-11-03"
    assert begun(a="last Monday, by phone") == "2026-11-03"
    assert begun(a="2026-11-06", b="2026-11-05T09:00:00+00:00", c="soon") == "2026-11-07"


def test_nothing_to_do_ends_at_once() -> None:
    assert best_of([], CREWS, WEEK).end == 0 == bound([], CREWS, WEEK)


@pytest.mark.parametrize("length", [1, 4, 9])
def test_a_task_over_a_day_lies_over_the_night_and_a_whole_one_only_if_it_must(length: int) -> None:
    plan = best_of([Task(2, (), "a"), Task(length, (0,), "a", 1, True)], CREWS, WEEK)
    same_day = WEEK.wall(plan.starts[1]).date() == WEEK.wall(plan.ends[1] - 1).date()
    assert same_day == (length <= WEEK.day)
