"""Over, quiet and monitored, not over, or not yet known: with a probability and its limits.

One survivor that lives in some void is asked about; the nights say how surely a trap near enough
would have caught it.  A void that no trap covers keeps its share of the doubt.

    found = judge(Case(...)); found.outcome, found.chance

Limits: traps are taken as independent and animals as alike.  Nobody has published the chance that
a trap catches a mouse or rat in a lived-in house in a night, so the job's own catches or a stated
range are told and the low end decides; a wary survivor makes even that too good
(docs/all-clear.md has the study).
"""

from __future__ import annotations

from typing import Literal

import msgspec
import numpy as np

from wainscot.all_clear.absence import ceiling
from wainscot.all_clear.rate import AT_TRAP, Rate, stated
from wainscot.arrays import Floats
from wainscot.sources import Cited, judged

Outcome = Literal["over", "quiet and monitored", "not over", "not yet known"]

__all__ = ["AT_TRAP", "Case", "Statement", "judge"]

SPREAD: dict[str, Cited] = {
    "house mouse": Cited(
        3.9, "m", "Coulombe 1962 (package secr)", "3.8 to 4.0 m fitted", "derived"
    ),
    "norway rat": judged(6.1, "m", "15 m, the usual distance from the nest, over 2.45"),
    "roof rat": Cited(25.37, "m", "Mackenzie et al. 2022", "outdoors in a city, abstract", "read"),
}
"""Scale of the half-normal fall-off from trap to home. [m]"""

RETURN_NEIGHBOUR = judged(
    0.003, "1", "chance a night of a way back from a neighbour, a year: 2 in 3"
)
RETURN_OPEN = judged(0.01, "1", "chance a night of a way back by a hole that is known and open")
RETURN_SHUT = judged(0.0003, "1", "chance a night of a way back where nothing drawn is open")
COVERED = judged(0.5, "1", "chance to have caught it from which a void counts as covered")
POOR = judged(
    0.1, "1", "share of the doubt in voids not covered above which nothing is called over"
)
SURE = judged(0.95, "1", "chance from which it is called over")
RECENT = judged(7.0, "nights", "a catch within so many nights says that it is not over")
IF_SHY = Cited(
    0.85, "1", "study of 500 simulated houses, docs/all-clear.md",
    "free among those called free at 0.95, three animals in ten shunning traps", "derived",
)  # fmt: skip
"""What "95 in 100" is worth where it is not known how wary the animals are. [1]"""
GOOD_FOR = judged(30.0, "day", "days for which a statement is good")


STATED = stated()


class Case(msgspec.Struct, frozen=True):
    """What a judgement rests on: N nights, V voids."""

    absent_before: float
    """Chance that nothing was in use before the first of these nights. [1]"""
    where: Floats
    """[V] where one would live, sums to 1. [1]"""
    nightly: Floats
    """[N, V] chance that any trap catches what lives there, at the middle of the range; zeros for
    a night on which none stood. [1]"""
    open_ways: int
    """Ways in that are known and stay open."""
    not_ours: int
    """Ways that belong to a neighbour, are not drawn, or have to stay open (a flue, a flap)."""
    nights_since_catch: float | None
    """None where nothing was caught since the last seal. [nights]"""
    sealed: bool
    """Whether every seal of the list is made and signed for."""
    shared: bool
    """A shop or a shared building, which stays watched whatever the number."""
    rate: Rate = STATED
    """How surely a trap catches; ``nightly`` is of its middle."""
    tonight: Floats | None = None
    """[V] the same of the traps that stand now; those of the last night where it is None. [1]"""


class Statement(msgspec.Struct, frozen=True):
    """The all-clear statement, as data."""

    outcome: Outcome
    chance: float
    """That they are gone, at the low end of the range: the figure that decides. [1]"""
    chance_range: tuple[float, float, float]
    """Low, middle, high. [1]"""
    ceiling: float
    """What no number of empty nights exceeds while the ways stay as they are. [1]"""
    uncovered: float
    """Share of where one would live that no trap covers. [1]"""
    rests_on: tuple[str, ...]
    limits: tuple[str, ...]
    settles: tuple[str, ...]
    """What would settle it."""
    nights_for: tuple[tuple[float, int | None], ...]
    """For 0.95 and 0.99: further empty nights with the traps of the last night. [1]"""
    valid_until: str = ""
    """Last day on which it is good, if nothing changes; empty where nothing was watched."""
    warranty: tuple[str, ...] = ()
    """The firm's own terms as agreed, and what ends them."""


def nightly_return(case: Case) -> float:
    """Return the chance a night that they come back.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    float
        [1]
    """
    if case.open_ways:
        return RETURN_OPEN.value
    return RETURN_NEIGHBOUR.value if case.not_ours else RETURN_SHUT.value


def course_by_void(absent: float, where: Floats, nightly: Floats, come_back: float) -> Floats:
    """Return the chance of absence after each night, the survivor's home unknown.

    Parameters
    ----------
    absent : float
        Before the first night. [1]
    where : Floats
        [V] where one would live, sums to 1. [1]
    nightly : Floats
        [N, V] chance to catch it there. [1]
    come_back : float
        Chance a night that one comes back. [1]

    Returns
    -------
    Floats
        [N] [1]
    """
    gone, here = absent, (1.0 - absent) * where
    out = np.empty(len(nightly))
    for night, caught in enumerate(nightly):
        here = here + gone * come_back * where
        gone *= 1.0 - come_back
        here = here * (1.0 - caught)
        whole = gone + float(here.sum())
        gone, here = (gone / whole, here / whole) if whole > 0 else (0.0, here)
        out[night] = gone
    return out


def ahead(case: Case, more: Floats | None = None) -> Floats:
    """Return the chance after 0, 1, 2 ... further empty nights, at the low end: [366]. [1]

    Parameters
    ----------
    case : Case
        The case, with a night at least.
    more : Floats, optional
        [V] chance that one more trap catches what lives there, at the middle of the range. [1]
    """
    scale = case.rate.low / case.rate.middle
    last = case.nightly[-1] if case.tonight is None else case.tonight
    if more is not None:
        last = 1.0 - (1.0 - last) * (1.0 - more)
    # The low end of a rate is never above its middle, so that no chance rises above one.
    whole = scale * np.concatenate([case.nightly, np.tile(last, (365, 1))])
    reached = course_by_void(case.absent_before, case.where, whole, nightly_return(case))
    return np.asarray(reached[len(case.nightly) - 1 :])


def further_nights(case: Case, wanted: float, more: Floats | None = None) -> int | None:
    """Return the further empty nights, trapped as the last one, until the chance is as wanted.

    Parameters
    ----------
    case : Case
        The case.
    wanted : float
        Chance of absence. [1]
    more : Floats, optional
        As for :func:`ahead`. [1]
    """
    if not len(case.nightly):
        return None
    enough = np.flatnonzero(ahead(case, more) >= wanted)
    return int(enough[0]) if len(enough) else None


def cheapest_stop(case: Case, a_night: float, callback: float) -> int | None:
    """Return the further empty nights after which stopping costs least, None without a night.

    What a further night costs against what a callback would, times the chance that they are still
    there (the reasoning of Regan et al. 2006, abstract read).  Told beside the chance, never
    instead of it.

    Parameters
    ----------
    case : Case
        The case.
    a_night : float
        Cost of one more night. [currency]
    callback : float
        Cost of having stopped while they are there. [currency]
    """
    if not len(case.nightly):
        return None
    left = 1.0 - ahead(case)
    return int(np.argmin(a_night * np.arange(len(left)) + callback * left))


def judge(case: Case) -> Statement:
    """Return the statement for a case.

    Parameters
    ----------
    case : Case
        What it rests on.
    """
    back = nightly_return(case)
    rate = case.rate
    ends = tuple(_chance(case, each / rate.middle, back)
                 for each in (rate.low, rate.middle, rate.high))  # fmt: skip
    missed = _missed(case)
    uncovered = float(case.where[missed > 1.0 - COVERED.value].sum())
    mean = float(case.where @ case.nightly[-1]) if len(case.nightly) else 0.0
    top = ceiling(back, mean * rate.low / rate.middle)
    limits = _limits(case, uncovered)
    return Statement(
        _outcome(case, ends[0], uncovered), ends[0], (ends[0], ends[1], ends[2]), top, uncovered,
        _rests_on(case), limits, _settles(case, uncovered),
        tuple((wanted, further_nights(case, wanted)) for wanted in (0.95, 0.99)),
    )  # fmt: skip


def _chance(case: Case, scale: float, back: float) -> float:
    caught = case.nights_since_catch is not None
    # A look later on the day of the catch has no night of its own and clears nothing.
    if caught and (case.nights_since_catch == 0 or not len(case.nightly)):
        return 0.0
    if not len(case.nightly):
        return case.absent_before
    nightly = np.clip(case.nightly * scale, 0.0, 1.0)
    return float(course_by_void(case.absent_before, case.where, nightly, back)[-1])


def _missed(case: Case) -> Floats:
    """Return for each void the chance that one who lives there was missed on all nights: [V]."""
    out: Floats = np.prod(1.0 - case.nightly, axis=0) if len(case.nightly) else np.ones(
        len(case.where)
    )  # fmt: skip
    return out


def _outcome(case: Case, low: float, uncovered: float) -> Outcome:
    if case.nights_since_catch is not None and case.nights_since_catch < RECENT.value:
        return "not over"
    if not case.sealed or uncovered > POOR.value or low < SURE.value:
        return "not yet known"
    if case.open_ways or case.not_ours or case.shared:
        return "quiet and monitored"
    return "over"


def _rests_on(case: Case) -> tuple[str, ...]:
    nights = int(case.nightly.any(axis=1).sum()) if len(case.nightly) else 0
    return (
        f"{nights} nights of traps without a catch since the last seal or catch",
        f"a chance of {case.rate.low:.2g} to {case.rate.high:.2g} a night that a trap catches "
        f"what lives where it stands: {case.rate.why}",
        "the diagnosis' chance of animals in use now as the starting point",
    )


def _limits(case: Case, uncovered: float) -> tuple[str, ...]:
    out = []
    if case.open_ways:
        ways = "1 known way in stays" if case.open_ways == 1 else (
            f"{case.open_ways} known ways in stay")  # fmt: skip
        out.append(f"{ways} open: they may come back any night")
    if case.not_ours:
        out.append(
            "1 way belongs to a neighbour, is not drawn or has to stay open"
            if case.not_ours == 1 else
            f"{case.not_ours} ways belong to a neighbour, are not drawn or have to stay open"
        )  # fmt: skip
    if not case.nightly.any():
        out.append("no trap has stood a night yet since the last seal or catch")
    elif uncovered > 0:
        out.append(
            f"in {_in_100(uncovered)} of every 100 places where an animal would live, the traps so "
            "far would sooner have missed it than caught it"
        )
    out.append(
        "nobody knows how wary the last animal is: of every 100 simulated houses that were called "
        f"free at {100 * SURE.value:.0f} in 100 though three animals in ten shun traps, "
        f"{100 * IF_SHY.value:.0f} were free"
    )
    out.append(f"good for {GOOD_FOR.value:.0f} days; not after work on the building or a new sign")
    return tuple(out)


def _in_100(share: float) -> str:
    """Return a share above none in a hundred, never as none and never as all where it is not."""
    if share < 0.005:
        return "<1"
    return ">99" if 0.995 <= share < 1.0 else f"{100 * share:.0f}"


def _settles(case: Case, uncovered: float) -> tuple[str, ...]:
    out = []
    if not case.sealed:
        out.append("close what is on the seal list, with photo and name")
    if uncovered > POOR.value:
        out.append("set traps near the voids that none covers")
    needed = further_nights(case, SURE.value)
    nights = "1 further empty night" if needed == 1 else f"{needed} further empty nights"
    out.append(nights if needed else
               "no number of empty nights with these traps: close the open ways, add traps"
               if needed is None else "nothing more: the chance is 95 in 100 or above")  # fmt: skip
    return tuple(out)


def helps_most(where: Floats, nightly: Floats, gains: Floats) -> int:
    """Return the void at which one more trap lowers the doubt most.

    Parameters
    ----------
    where : Floats
        [V] where one would live. [1]
    nightly : Floats
        [V] chance a night with the traps there are. [1]
    gains : Floats
        [C, V] the same of one more trap at each candidate alone. [1]
    """
    week = 7
    missed = ((1.0 - nightly) * (1.0 - gains)) ** week @ where
    return int(np.argmin(missed))
