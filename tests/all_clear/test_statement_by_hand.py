"""The statement of a case by plain recursion, and every line that it prints."""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np
import pytest

from wainscot.all_clear.outcome import (
    Case,
    ahead,
    cheapest_stop,
    course_by_void,
    further_nights,
    helps_most,
    judge,
)
from wainscot.all_clear.rate import Rate, stated

NONE = np.zeros((0, 2))


def _case(**changed: Any) -> Case:
    plain = Case(0.5, np.array([0.75, 0.25]), np.array([[0.4, 0.2], [0.2, 0.6]]), 0, 0, None, True,
                 False)  # fmt: skip
    return msgspec.structs.replace(plain, **changed)


def _after(absent: float, nights: list[tuple[float, float]], back: float) -> list[float]:
    """The chance after each night where one of two voids, 3 to 1, would be lived in."""
    one, other, out = 0.75 * (1 - absent), 0.25 * (1 - absent), []
    for first, second in nights:
        one, other = one + absent * back * 0.75, other + absent * back * 0.25
        absent *= 1 - back
        one, other = one * (1 - first), other * (1 - second)
        whole = absent + one + other
        absent, one, other = absent / whole, one / whole, other / whole
        out.append(absent)
    return out


def test_two_nights_by_fractions() -> None:
    # Missed: 3/4 x 1/2 x 1/2 + 1/4 x 1 x 0 = 3/16; from even odds 16 to 3.
    found = course_by_void(0.5, np.array([0.75, 0.25]), np.array([[0.5, 0.0], [0.5, 1.0]]), 0.0)
    assert found == pytest.approx([0.5 / (0.5 + 0.5 * 0.625), 16 / 19])
    # There for certain, and surely caught had they been: nothing is left to tell, told as none.
    sure = course_by_void(0.0, np.array([1.0]), np.ones((2, 1)), 0.0)
    assert sure.tolist() == [0.0, 0.0]
    assert course_by_void(0.5, np.ones(1), np.zeros((0, 1)), 0.0).tolist() == []
    # One void, half come back, nothing is looked at: half of half.
    assert course_by_void(0.5, np.ones(1), np.zeros((1, 1)), 0.5).tolist() == [0.25]


def test_low_middle_and_high_of_the_chance_and_its_ceiling() -> None:
    # The rate is 0.1 with ends 0.05 and 0.2: half of each night, and twice, at most certain.
    found = judge(_case())
    ends = [_after(0.5, nights, 0.0003)[-1] for nights in (
        [(0.2, 0.1), (0.1, 0.3)], [(0.4, 0.2), (0.2, 0.6)], [(0.8, 0.4), (0.4, 1.0)])]  # fmt: skip
    assert found.chance_range == pytest.approx(tuple(ends))
    assert found.chance == found.chance_range[0]
    # The last night at the low end: 0.75 x 0.1 + 0.25 x 0.3 = 0.15.
    assert found.ceiling == pytest.approx((1 - 0.0003 / 0.15) / (1 - 0.0003))
    # Missed on both nights: 0.48 and 0.32, so that nothing is uncovered.
    assert found.uncovered == 0.0
    assert judge(_case(nightly=NONE)).ceiling == 0.0
    assert judge(_case(nightly=NONE)).uncovered == 1.0
    assert judge(_case(nightly=NONE)).chance_range == (0.5, 0.5, 0.5)
    assert (found.valid_until, found.warranty) == ("", ())


def test_nights_to_come_are_those_of_the_traps_that_stand() -> None:
    case = _case()
    so_far = [(0.2, 0.1), (0.1, 0.3)]
    course = _after(0.5, so_far + [(0.1, 0.3)] * 365, 0.0003)
    assert ahead(case) == pytest.approx(course[1:])
    assert len(ahead(case)) == 366
    tonight = _case(tonight=np.array([0.8, 0.2]))
    assert ahead(tonight) == pytest.approx(
        _after(0.5, so_far + [(0.4, 0.1)] * 365, 0.0003)[1:])  # fmt: skip
    # One more trap: missed by both of them.
    more = np.array([0.5, 0.0])
    assert ahead(tonight, more) == pytest.approx(
        _after(0.5, so_far + [(0.45, 0.1)] * 365, 0.0003)[1:])  # fmt: skip
    for wanted in (0.6, 0.95, 0.99):
        told = next((n for n, one in enumerate(course[1:]) if one >= wanted), None)
        assert further_nights(case, wanted) == told
        assert further_nights(case, float(course[1]) - 1e-12) == 0
    assert further_nights(_case(nightly=NONE), 0.1) is None
    needed = {0.95: further_nights(case, 0.95), 0.99: further_nights(case, 0.99)}
    assert dict(judge(case).nights_for) == needed
    assert needed[0.95] is not None
    assert cheapest_stop(_case(nightly=NONE), 1.0, 1.0) is None


def test_what_it_rests_on_is_printed() -> None:
    assert judge(_case()).rests_on == (
        "2 nights of traps without a catch since the last seal or catch",
        "a chance of 0.05 to 0.2 a night that a trap catches what lives where it stands: "
        "nobody has published one for houses, so the low end decides",
        "the diagnosis' chance of animals in use now as the starting point",
    )
    own = judge(_case(rate=Rate(0.123, 0.2, 0.456, True, "own catches"), nightly=NONE))
    assert own.rests_on[0].startswith("0 nights of traps")
    assert own.rests_on[1].startswith("a chance of 0.12 to 0.46 a night")
    assert own.rests_on[1].endswith("where it stands: own catches")
    assert stated().why == "nobody has published one for houses, so the low end decides"
    assert stated("too few") == Rate(
        0.05, 0.1, 0.2, False,
        "nobody has published one for houses, so the low end decides; too few",
    )  # fmt: skip


ALWAYS_TOLD = (
    "nobody knows how wary the last animal is: of every 100 simulated houses that were called "
    "free at 95 in 100 though three animals in ten shun traps, 85 were free",
    "good for 30 days; not after work on the building or a new sign",
)


def test_its_limits_are_printed() -> None:
    assert judge(_case()).limits == ALWAYS_TOLD
    one = judge(_case(open_ways=1, not_ours=1)).limits
    assert one == (
        "1 known way in stays open: they may come back any night",
        "1 way belongs to a neighbour, is not drawn or has to stay open", *ALWAYS_TOLD,
    )  # fmt: skip
    assert judge(_case(open_ways=3, not_ours=2)).limits[:2] == (
        "3 known ways in stay open: they may come back any night",
        "2 ways belong to a neighbour, are not drawn or have to stay open",
    )  # fmt: skip
    none = "no trap has stood a night yet since the last seal or catch"
    assert judge(_case(nightly=NONE)).limits == (none, *ALWAYS_TOLD)


@pytest.mark.parametrize(
    ("share", "said"),
    [(0.0049, "<1"), (0.005, "0"), (0.25, "25"), (0.9949, "99"), (0.995, ">99"), (1.0, "100")],
)
def test_shares_of_a_hundred_are_never_none_nor_all(share: float, said: str) -> None:
    where, nightly = np.array([share, 1.0 - share]), np.array([[0.0, 0.9]])
    told = judge(_case(where=where, nightly=nightly)).limits[0]
    assert told.startswith(f"in {said} of every 100 places")


def test_what_would_settle_it_is_printed() -> None:
    some = judge(_case(sealed=False, nightly=np.array([[0.4, 0.4]])))
    assert some.settles[:2] == (
        "close what is on the seal list, with photo and name",
        "set traps near the voids that none covers",
    )
    assert len(some.settles) == 3
    assert judge(_case(nightly=NONE)).settles[-1] == (
        "no number of empty nights with these traps: close the open ways, add traps"
    )
    sure = _case(nightly=np.full((300, 2), 0.4))
    assert judge(sure).settles == ("nothing more: the chance is 95 in 100 or above",)
    # One night short of it.
    nights = further_nights(_case(nightly=np.full((1, 2), 0.4)), 0.95)
    assert nights is not None
    short = judge(_case(nightly=np.full((nights, 2), 0.4)))
    assert short.settles == ("1 further empty night",)


def test_a_week_of_one_more_trap() -> None:
    where, now = np.array([0.5, 0.5]), np.array([0.0, 0.3])
    # A week leaves 0.9^7 = 0.478 of the first; of the second 0.7^7 = 0.082, which a trap twice as
    # good hardly lowers.
    assert helps_most(where, now, np.array([[0.1, 0.0], [0.0, 0.9]])) == 0
    # Over a week: 0.8^7 + 1 < 0.88^7 + 0.88^7 x ... by hand 1.21 against 0.82.
    alike = np.array([[0.2, 0.0], [0.12, 0.12]])
    assert helps_most(where, np.zeros(2), alike) == 1
    # In one night it would be the other way round for 0.26: 0.74 + 1 < 0.88 + 0.88.
    assert helps_most(where, np.zeros(2), np.array([[0.26, 0.0], [0.12, 0.12]])) == 1
