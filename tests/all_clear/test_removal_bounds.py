"""Removal estimators at their bounds and on catches that come out in whole numbers by hand."""

from __future__ import annotations

from math import comb, exp, inf, lgamma, log, sqrt

import pytest

from wainscot.all_clear.removal import (
    LEAST,
    TOO_LOW,
    badness,
    carle_strub,
    delury,
    guarded,
    leslie,
    moran,
    robson_regier,
    sums,
    three_pass,
    too_few,
    two_pass,
    zippin,
)


def test_the_sums_of_the_notation() -> None:
    # k, T and X: of three passes the first counts twice, the second once.
    assert sums([5, 3, 1]) == (3, 9, 13)
    assert sums([]) == (0, 0, 0)


@pytest.mark.parametrize("form", [carle_strub, zippin, moran])
def test_one_pass_is_too_few(form: object) -> None:
    assert callable(form)
    for catches in ([], [7]):
        with pytest.raises(ValueError, match="two passes at least"):
            form(catches)
    with pytest.raises(ValueError, match="nothing was caught: no number can be estimated"):
        form([0, 0])


def test_catches_that_do_not_fall_enough_have_no_whole_number() -> None:
    # Two passes: (N + 0.5) (2 N - X - T)^2 - (N - T + 0.5) (2 N - X)^2, multiplied out, is
    # T (N (T - 2 X - 2) + X^2 + X + T / 2): it falls below zero only where X > T / 2 - 1.
    # Four and four: 8 (24 - 2 N), which is below zero from 13 on.
    assert zippin([4, 4]).number == 13
    for catches in ([3, 5], [2, 5], [0, 4], [3, 1, 2, 4]):
        with pytest.raises(ValueError, match="the catches do not fall: no estimate exists"):
            zippin(catches)


def test_the_likelihood_is_that_of_binomials() -> None:
    # Ten of which 4, 3 and 0 are caught: 10 over 4, 6 over 3, 3 over 0; p = T / (k N - X).
    p = 7 / (30 - 11)
    chance = comb(10, 4) * comb(6, 3) * p**7 * (1 - p) ** (6 + 3 + 3)
    assert badness(10, [4, 3, 0]) == pytest.approx(-log(chance))
    # All in the first pass: certain.
    assert badness(5, [5, 0]) == 0.0


def test_the_likelihood_interval_is_where_it_stays_within_192_hundredths() -> None:
    # Half of the 95 % point of chi squared with one degree of freedom: 3.841459 (any table).
    catches = [10, 6, 3, 1]
    found = moran(catches)
    assert found.badness == pytest.approx(badness(found.number, catches))
    assert found.caught == pytest.approx(20 / (4 * found.number - 45))
    for end in found.interval[1:]:
        assert badness(end, catches) - found.badness == pytest.approx(3.841459 / 2, abs=1e-5)
    # So few are left that the low end is what was caught.
    assert found.interval[0] == 20.0
    # The second hardly falls, so that its upper end lies far off.
    for slow in ([40, 25, 12], [25, 18, 14]):
        wide = moran(slow)
        for end in wide.interval:
            assert badness(end, slow) - wide.badness == pytest.approx(3.841459 / 2, abs=1e-5)


def test_where_all_fell_to_the_first_pass_the_number_is_the_catch() -> None:
    found = moran([9, 0, 0])
    assert (found.number, found.caught, found.badness) == (9.0, 1.0, 0.0)
    assert found.interval[0] == 9.0
    assert 9.0 < found.interval[1] < 10.0


def test_catches_that_set_no_upper_limit_say_so() -> None:
    catches = [5, 4, 4]
    found, why = guarded(catches)
    assert found is not None
    # Of ever more animals each pass catches by a Poisson of the mean catch; that is too likely yet.
    ever = sum(13 / 3 - one * log(13 / 3) + lgamma(one + 1) for one in catches)
    assert ever - found.badness < 3.841459 / 2
    assert found.interval[1] == inf
    assert why == "at least so many; the catches set no upper limit"
    assert 13.0 <= found.interval[0] < found.number


def test_what_cannot_carry_an_estimate_is_refused_with_its_reason() -> None:
    none = "nothing was caught: that says nothing about how many there are"
    assert (too_few([]), too_few([0, 0, 0])) == (none, none)
    assert too_few([9, 4]) == "fewer than three passes"
    assert LEAST == 10
    assert too_few([6, 2, 1]) == "fewer than 10 catches in all"
    assert too_few([6, 3, 1]) == ""
    for catches, why in (([0, 0, 0], none), ([9, 4], "fewer than three passes"),
                         ([6, 2, 1], "fewer than 10 catches in all"),
                         # X = 10 is just T (k - 1) / 2: they stay alike.
                         ([4, 2, 4], "the catches do not fall")):  # fmt: skip
        assert guarded(catches) == (None, why)
    found, why = guarded([5, 2, 3])
    assert found is not None
    found, why = guarded([10, 5, 2])
    assert found is not None
    assert found.number == moran([10, 5, 2]).number
    assert why == TOO_LOW


def test_two_passes_by_hand() -> None:
    # Twelve, then six: half are caught, 24 were there; sqrt(144 x 36 x 18 / 6^4) = sqrt(72).
    found = two_pass(12, 6)
    assert (found.number, found.caught) == (24.0, 0.5)
    assert found.error == pytest.approx(sqrt(72))
    assert found.caught_error == pytest.approx(sqrt(6 * 18 / 12**3))
    # Corrected for bias: (144 - 6) / 6, and all else alike.
    other = robson_regier(12, 6)
    assert other.number == 23.0
    assert (other.error, other.caught, other.caught_error) == (
        found.error, found.caught, found.caught_error)  # fmt: skip
    for form in (two_pass, robson_regier):
        for second in (12, 13):
            with pytest.raises(ValueError, match="the second pass did not catch fewer: no est"):
                form(12, second)
    assert two_pass(5, 0).error == two_pass(5, 0).caught_error == 0.0


def test_three_passes_by_hand() -> None:
    # 16, 8 and 4 of 32 by halves: the explicit form gives near that (Seber 2002, 7.24).
    k, total, x = sums([16, 8, 4])
    assert (k, total, x) == (3, 28, 40)
    root = sqrt(28**2 + 6 * 40 * 28 - 3 * 40**2)
    by_hand = (6 * 1600 - 3 * 40 * 28 - 784 + 28 * root) / (18 * 12)
    assert three_pass([16, 8, 4]) == pytest.approx(by_hand)
    assert three_pass([16, 8, 4]) == pytest.approx(32, abs=0.5)
    for catches in ([16, 8], [16, 8, 4, 2]):
        with pytest.raises(ValueError, match="three passes, neither more nor fewer"):
            three_pass(catches)


def test_errors_of_the_weighted_form_by_hand() -> None:
    # Seber 2002, 7.23, for 12 and 6: X = 12, p = 18 / (2 N - 12), q^k = (1 - p)^2.
    found = carle_strub([12, 6])
    number = found.number
    p = 18 / (2 * number - 12)
    q = 1 - p
    rest = 1 - q**2
    assert found.caught == pytest.approx(p)
    assert found.error == pytest.approx(
        sqrt(number * rest * q**2 / (rest**2 - (p * 2) ** 2 * q)))  # fmt: skip
    assert found.caught_error == pytest.approx(
        sqrt((q * p) ** 2 * rest / (number * (q * rest**2 - (p * 2) ** 2 * q**2))))  # fmt: skip
    # All at once: no spread is left to tell an error from.
    for catches in ([3, 0], [3, 0, 0]):
        sure = carle_strub(catches)
        assert (sure.number, sure.error, sure.caught, sure.caught_error) == (3.0, 0.0, 1.0, 0.0)


# Lines.


def test_a_line_that_fits_has_no_error() -> None:
    # Half of what is left each pass, of 32: catch per effort falls on a line through 32.
    found = leslie([16, 8, 4], [1.0, 1.0, 1.0])
    assert found.number == pytest.approx(32)
    assert found.caught == pytest.approx(0.5)
    assert found.fit == pytest.approx(1.0)
    assert (found.error, found.caught_error) == pytest.approx((0.0, 0.0), abs=1e-6)
    # With effort 2 a unit of it catches a quarter.
    assert leslie([16, 8, 4], [2.0] * 3).caught == pytest.approx(0.25)
    # Logs: ln 16, ln 8, ln 4 at 0, 1, 2 fall by ln 2; 16 / ln 2 were there.
    logs = delury([16, 8, 4], [1.0] * 3)
    assert logs.caught == pytest.approx(log(2))
    assert logs.number == pytest.approx(16 / log(2))
    assert logs.fit == pytest.approx(1.0)
    # Half of the pass's own effort is spent: the line starts half a pass later.
    assert delury([16, 8, 4], [1.0] * 3, "ricker").number == pytest.approx(
        16 * exp(log(2) / 2) / log(2))  # fmt: skip


def test_the_errors_of_a_line_by_hand() -> None:
    # Rates 6, 4 and 3 after 0, 6 and 10 caught: x - mean = (-16, 2, 14) / 3, spread 456 / 9.
    found = leslie([6, 4, 3], [1.0] * 3)
    mean, spread = 16 / 3, 456 / 9
    slope = (-16 / 3 * 6 + 2 / 3 * 4 + 14 / 3 * 3) / spread
    start = 13 / 3 - slope * mean
    missed = sum((y - start - slope * x) ** 2 for x, y in ((0, 6), (6, 4), (10, 3)))
    whole = sum((y - 13 / 3) ** 2 for y in (6, 4, 3))
    rest = sqrt(missed / 1)
    number = start / -slope
    assert found.caught == pytest.approx(-slope)
    assert found.number == pytest.approx(number)
    assert found.caught_error == pytest.approx(rest / sqrt(spread))
    assert found.fit == pytest.approx(1 - missed / whole)
    assert found.error == pytest.approx(
        rest / -slope * sqrt(1 / 3 + (number - mean) ** 2 / spread))  # fmt: skip


def test_a_line_needs_three_points_apart_that_fall() -> None:
    with pytest.raises(ValueError, match="three passes at least, not all at one point"):
        leslie([5, 3], [1.0, 1.0])
    with pytest.raises(ValueError, match="three passes at least, not all at one point"):
        leslie([0, 0, 0], [1.0, 1.0, 1.0])
    for catches in ([2, 2, 2], [1, 2, 3]):
        with pytest.raises(ValueError, match="the catch per effort does not fall: no estimate"):
            leslie(catches, [1.0] * 3)
    for zero in ([5, 3, 0], [5, -1, 3]):
        with pytest.raises(ValueError, match="a pass without a catch has no logarithm: use lesl"):
            delury(zero, [1.0] * 3)
    assert delury([0.5, 0.25, 0.125], [1.0] * 3).caught == pytest.approx(log(2))
