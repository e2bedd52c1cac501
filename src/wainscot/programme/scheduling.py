"""Who does what when, with the people there are: list scheduling, and a bound to hold it against.

    plan = best_of(tasks, crews, hours)
    plan.end, bound(tasks, crews, hours)

Two ways to build a schedule from a list (serial: each task in turn as early as it fits; parallel:
at each moment whatever may begin, by the list) over seven ways to order the list; the earliest end
is taken (Kolisch 1996 and Kolisch & Hartmann 1999 describe both, from memory), and then tasks are
tried earlier and later in its list.  The bound is the
greater of the longest chain, people aside, and the work of each crew with what must come before
and after it.

Limits: a task takes one crew, for all of its time; it may lie over a night unless it is whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

import msgspec
import numpy as np

from wainscot.programme.hours import QUARTERS, Hours

Starts = list[int]


class Task(msgspec.Struct, frozen=True):
    """Something that takes time and perhaps people."""

    length: int
    """Worked slots, or slots of the clock where nobody works on it. [slot]"""
    after: tuple[int, ...] = ()
    """Tasks that are done before it begins; all of lower index."""
    crew: str = ""
    """Who does it; empty for a wait, which runs through nights and days off."""
    need: int = 1
    """How many of the crew."""
    whole: bool = False
    """True where it does not lie over a night if it fits into a day."""


class Schedule(msgspec.Struct, frozen=True):
    """When each task begins and ends."""

    starts: tuple[int, ...]
    ends: tuple[int, ...]
    """Each as t. [slot]"""
    rule: str
    """How the list was ordered, and how the schedule was built."""

    @property
    def end(self) -> int:
        """When everything is done. [slot]."""
        return max(self.ends, default=0)


def fit(task: Task, w: int, hours: Hours) -> int:
    """Return the first worked slot from w on in which a task may begin, people aside.

    Parameters
    ----------
    task : Task
        One that is worked.
    w : int
        [slot]
    hours : Hours
        When people work.
    """
    left = hours.day - w % hours.day
    return w + left if task.whole and left < task.length <= hours.day else w


def _alone(task: Task, ready: int, hours: Hours) -> tuple[int, int]:
    """Begin and end of a task that need not wait for people."""
    if not task.crew:
        return ready, ready + task.length
    w = fit(task, hours.worked_before(ready), hours)
    return hours.clock(w), hours.done(w + task.length)


class _Busy:
    """How many of each crew are taken, by worked slot."""

    def __init__(self, crews: Mapping[str, int]) -> None:
        self.crews = crews
        self.taken: dict[str, list[int]] = {name: [] for name in crews}

    def free(self, task: Task, w: int) -> int:
        """Return w where the task may begin there; else the slot after the last that bars it."""
        taken, most = self.taken[task.crew], self.crews[task.crew] - task.need
        for slot in range(min(w + task.length, len(taken)) - 1, w - 1, -1):
            if taken[slot] > most:
                return slot + 1
        return w

    def take(self, task: Task, w: int) -> None:
        taken, end = self.taken[task.crew], w + task.length
        taken.extend([0] * (end - len(taken)))
        for slot in range(w, end):
            taken[slot] += task.need


def serial(
    tasks: Sequence[Task], crews: Mapping[str, int], hours: Hours, order: Sequence[int]
) -> tuple[Starts, Starts]:
    """Return begin and end of each task, taken in turn, each as early as it fits.

    Parameters
    ----------
    tasks : sequence of Task
        What is to be done.
    crews : mapping of str to int
        How many there are of each.
    hours : Hours
        When people work.
    order : sequence of int
        Every task once, none before those that it comes after.
    """
    busy, starts, ends = _Busy(crews), [0] * len(tasks), [0] * len(tasks)
    for n in order:
        task = tasks[n]
        ready = max((ends[before] for before in task.after), default=0)
        if not task.crew:
            starts[n], ends[n] = ready, ready + task.length
            continue
        w = hours.worked_before(ready)
        while True:
            later = busy.free(task, fit(task, w, hours))
            if later == fit(task, w, hours):
                w = later
                break
            w = later
        busy.take(task, w)
        starts[n], ends[n] = hours.clock(w), hours.done(w + task.length)
    return starts, ends


def parallel(
    tasks: Sequence[Task], crews: Mapping[str, int], hours: Hours, rank: Sequence[float]
) -> tuple[Starts, Starts]:
    """Return begin and end of each task where whatever may begin does so, the first by rank.

    Parameters
    ----------
    tasks, crews, hours
        As for :func:`serial`.
    rank : sequence of float
        The lowest goes first. [1]
    """
    busy, starts, ends = _Busy(crews), [-1] * len(tasks), [0] * len(tasks)
    waiting = sorted(range(len(tasks)), key=lambda n: (rank[n], n))
    t = 0
    while waiting:
        w = hours.worked_before(t)
        working = hours.clock(w) == t
        for n in tuple(waiting):
            task = tasks[n]
            if any(starts[before] < 0 or ends[before] > t for before in task.after):
                continue
            if task.crew and not (working and fit(task, w, hours) == w and busy.free(task, w) == w):
                continue
            starts[n] = t
            ends[n] = hours.done(w + task.length) if task.crew else t + task.length
            if task.crew:
                busy.take(task, w)
            waiting.remove(n)
        morning = hours.clock(w) if not working else hours.clock((w // hours.day + 1) * hours.day)
        t = min([morning, *(end for end in ends if end > t)])
    return starts, ends


def _stretched(task: Task, hours: Hours) -> float:
    """Length in slots of the clock, nights and days off spread evenly."""
    return task.length * (QUARTERS / hours.day if task.crew else 1.0)


def _tails(tasks: Sequence[Task], hours: Hours) -> list[float]:
    """For each task its length and that of the longest chain behind it, in slots of the clock."""
    tails = [0.0] * len(tasks)
    behind = [0.0] * len(tasks)
    for n in range(len(tasks) - 1, -1, -1):
        task = tasks[n]
        tails[n] = _stretched(task, hours) + behind[n]
        for before in task.after:
            behind[before] = max(behind[before], tails[n])
    return tails


def _heads(tasks: Sequence[Task], hours: Hours) -> list[int]:
    """When each task may begin at the earliest, people aside."""
    starts, ends = [0] * len(tasks), [0] * len(tasks)
    for n, task in enumerate(tasks):
        ready = max((ends[before] for before in task.after), default=0)
        starts[n], ends[n] = _alone(task, ready, hours)
    return starts


def _followers(tasks: Sequence[Task]) -> list[int]:
    found: list[set[int]] = [set() for _ in tasks]
    for n in range(len(tasks) - 1, -1, -1):
        for before in tasks[n].after:
            found[before] |= {n, *found[n]}
    return [len(each) for each in found]


def _ranks(tasks: Sequence[Task], hours: Hours) -> dict[str, list[float]]:
    """Each way to order the list, as a rank: the lowest goes first."""
    tails, heads, many = _tails(tasks, hours), _heads(tasks, hours), _followers(tasks)
    direct = [0.0] * len(tasks)
    for task in tasks:
        for before in task.after:
            direct[before] += task.length
    return {
        "longest chain behind": [-one for one in tails],
        "least slack": [head + tail for head, tail in zip(heads, [-one for one in tails],
                                                          strict=True)],
        "most that follows": [-float(one) for one in many],
        "greatest weight": [-(task.length + one) for task, one in zip(tasks, direct, strict=True)],
        "longest first": [-float(task.length) for task in tasks],
        "shortest first": [float(task.length) for task in tasks],
        "as the plans have it": [float(n) for n in range(len(tasks))],
    }  # fmt: skip


def listed(tasks: Sequence[Task], rank: Sequence[float]) -> list[int]:
    """Return the tasks by rank, none before those that it comes after.

    Parameters
    ----------
    tasks : sequence of Task
        What is to be done.
    rank : sequence of float
        The lowest goes first. [1]
    """
    missing = [len(task.after) for task in tasks]
    behind: list[list[int]] = [[] for _ in tasks]
    for n, task in enumerate(tasks):
        for before in task.after:
            behind[before].append(n)
    ready = {n for n, count in enumerate(missing) if count == 0}
    order = []
    while ready:
        n = min(ready, key=lambda each: (rank[each], each))
        ready.remove(n)
        order.append(n)
        for later in behind[n]:
            missing[later] -= 1
            if missing[later] == 0:
                ready.add(later)
    return order


def best_of(
    tasks: Sequence[Task], crews: Mapping[str, int], hours: Hours,
    dislike: Callable[[Sequence[int], Sequence[int]], float] | None = None,
) -> Schedule:  # fmt: skip
    """Return the schedule that ends first over all rules, both ways.

    Parameters
    ----------
    tasks, crews, hours
        As for :func:`serial`.
    dislike : callable, optional
        Of begins and ends: of schedules that end at once, the one with least of it. [1]
    """
    judge = dislike or (lambda _, ends: float(sum(ends)))
    if not tasks:
        return Schedule((), (), "nothing to do")
    tried = _by_every_rule(tasks, crews, hours)
    best = min(tried, key=lambda one: (one.end, judge(one.starts, one.ends)))
    return best if len(tasks) < _FEW else _moved(tasks, crews, hours, best, judge)


def _by_every_rule(
    tasks: Sequence[Task], crews: Mapping[str, int], hours: Hours
) -> Iterator[Schedule]:
    for rule, rank in _ranks(tasks, hours).items():
        for way, (starts, ends) in (
            ("serial", serial(tasks, crews, hours, listed(tasks, rank))),
            ("parallel", parallel(tasks, crews, hours, rank)),
        ):
            yield Schedule(tuple(starts), tuple(ends), f"{rule}, {way}")


_FEW = 2
MOVES = 300
"""Tries of taking one task earlier or later in the list. Judgement. [1]"""
MOVES_EACH = 8
"""At most so many for each task there is. Judgement. [1]"""


def _moved(
    tasks: Sequence[Task], crews: Mapping[str, int], hours: Hours, best: Schedule,
    judge: Callable[[Sequence[int], Sequence[int]], float],
) -> Schedule:  # fmt: skip
    """Take one task at a time earlier or later in the list, and keep what is no worse."""
    rng = np.random.Generator(np.random.Philox(len(tasks)))
    rank = [float(one) for one in best.starts]
    least, rule = (best.end, judge(best.starts, best.ends)), best.rule
    for _ in range(min(MOVES, MOVES_EACH * len(tasks))):
        n, to = (int(one) for one in rng.integers(len(tasks), size=2))
        tried = [*rank]
        tried[n] = rank[to] + (0.5 if rank[to] > rank[n] else -0.5)
        starts, ends = serial(tasks, crews, hours, listed(tasks, tried))
        worth = (max(ends), judge(starts, ends))
        if worth <= least:
            if worth < least:
                rule = f"{best.rule}, then moved"
                best = Schedule(tuple(starts), tuple(ends), best.rule)
            least, rank = worth, tried
    return msgspec.structs.replace(best, rule=rule)


def order_of(schedule: Schedule, tasks: Sequence[Task]) -> list[int]:
    """Return the list that gives a schedule again, with other lengths too: by when tasks begin.

    Parameters
    ----------
    schedule : Schedule
        Of the tasks.
    tasks : sequence of Task
        What is to be done.
    """
    return listed(tasks, [float(one) for one in schedule.starts])


def bound(tasks: Sequence[Task], crews: Mapping[str, int], hours: Hours) -> int:
    """Return a time before which no schedule can end, as t. [slot]

    Parameters
    ----------
    tasks, crews, hours
        As for :func:`serial`.

    Notes
    -----
    For a crew, any time h and any length of chain: its tasks that cannot begin before h and have
    such a chain behind them take at least their sum over the crew's number; the last of them is
    then followed by what must follow it.
    """
    heads = _heads(tasks, hours)
    least = max(
        (_alone(task, head, hours)[1] for task, head in zip(tasks, heads, strict=True)), default=0
    )
    behind: list[list[int]] = [[] for _ in tasks]
    for n, task in enumerate(tasks):
        for before in task.after:
            behind[before].append(n)
    tails = _tails(tasks, hours)
    left = [tail - _stretched(task, hours) for task, tail in zip(tasks, tails, strict=True)]
    for crew, number in crews.items():
        mine = [n for n, task in enumerate(tasks) if task.crew == crew]
        for tail in sorted({left[n] for n in mine}):
            some = sorted((n for n in mine if left[n] >= tail), key=lambda n: -heads[n])
            work = 0
            for at, first in enumerate(some):
                work += tasks[first].length * tasks[first].need
                if at + 1 < len(some) and heads[some[at + 1]] == heads[first]:
                    continue
                w = hours.worked_before(heads[first]) + -(-work // number)
                done = hours.done(w)
                least = max(least, _last(tasks, behind, left, some[: at + 1], done, hours, least))
    return least


def _last(
    tasks: Sequence[Task], behind: Sequence[Sequence[int]], left: Sequence[float],
    some: Sequence[int], done: int, hours: Hours, least: int,
) -> int:  # fmt: skip
    """When everything can be done at the earliest if the last of some tasks is done then."""
    found = -1
    for n in sorted(some, key=lambda each: left[each]):
        end, ends = done, {n: done}
        queue = sorted(_all_behind(behind, n))
        for later in queue:
            ready = max(ends[before] for before in tasks[later].after if before in ends)
            ends[later] = _alone(tasks[later], ready, hours)[1]
            end = max(end, ends[later])
        found = end if found < 0 else min(found, end)
        if found <= least:
            break
    return found


def _all_behind(behind: Sequence[Sequence[int]], n: int) -> set[int]:
    found: set[int] = set()
    stack = list(behind[n])
    while stack:
        one = stack.pop()
        if one not in found:
            found.add(one)
            stack += behind[one]
    return found


def critical(tasks: Sequence[Task], schedule: Schedule, hours: Hours) -> set[int]:
    """Return the tasks on the chains that the end hangs on: by precedence or by the same people.

    Parameters
    ----------
    tasks : sequence of Task
        What is to be done.
    schedule : Schedule
        Of them.
    hours : Hours
        When people work.
    """
    starts, ends = schedule.starts, schedule.ends
    stack = [n for n, end in enumerate(ends) if end == schedule.end]
    found: set[int] = set()
    by_crew: dict[str, list[int]] = {}
    for n, task in enumerate(tasks):
        by_crew.setdefault(task.crew, []).append(n)
    while stack:
        n = stack.pop()
        if n in found:
            continue
        found.add(n)
        before = list(tasks[n].after)
        if tasks[n].crew:
            before += [one for one in by_crew[tasks[n].crew] if ends[one] <= starts[n]]
        stack += [one for one in before if _alone(tasks[n], ends[one], hours)[0] == starts[n]]
    return found
