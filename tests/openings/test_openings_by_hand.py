"""Four openings and four draws whose every sum was done on paper: prices, gains, what is missed."""

from __future__ import annotations

import ctypes
from types import SimpleNamespace
from typing import Any

import msgspec
import numpy as np
import pytest
from row import opening

from wainscot.access import Charge, Reach
from wainscot.book import read_book
from wainscot.errors import InputError
from wainscot.openings import Asked, Judge, Problem, Solution, plans, problem_of, solve, solving
from wainscot.openings.judging_draws import chance_of, missed
from wainscot.openings.quiet import stdout_kept_clean
from wainscot.openings.solving import every

# a, b, c, d at 1, 2, 3, 4; a and b share a charge of 5.  a lays void 0 open, b half of void 1,
# c all of it, d void 2; nothing reaches void 3.
FOUR = Problem(
    ids=("a", "b", "c", "d"), cost=np.array([1.0, 2.0, 3.0, 4.0]), charges=("k",),
    charge=np.array([5.0]), link_opening=np.array([0, 1], dtype=np.int32),
    link_charge=np.array([0, 0], dtype=np.int32),
    pair_opening=np.array([0, 1, 2, 3], dtype=np.int32),
    pair_void=np.array([0, 1, 1, 2], dtype=np.int32), share=np.array([1.0, 0.5, 1.0, 1.0]),
    loss=np.array([10.0, 8.0, 2.0, 1.0]),
)  # fmt: skip
DIRTY = np.array([[1, 0, 0, 0], [1, 1, 0, 0], [0, 0, 1, 1], [0, 0, 0, 0]], dtype=bool)
HEAVY = np.array([[0, 0, 0, 0], [0, 1, 0, 0], [0, 0, 0, 1], [0, 0, 0, 0]], dtype=bool)
WEIGHT = np.array([0.4, 0.3, 0.2, 0.1])


def judge(**asked: Any) -> Judge:
    """Return the four openings with ``d`` forbidden."""
    return Judge(FOUR, DIRTY, HEAVY, WEIGHT, Asked(forbidden=(3,), **asked), 0.0)


# The numbers of the choice.


def test_a_choice_as_numbers() -> None:
    first = msgspec.structs.replace(
        opening("a", hours=1.0), repair=30.0, reaches=(Reach(1, 0.8), Reach(2, 0.499)),
        charges=(Charge("k1", "room", "r", "r", 0.5),),
    )  # fmt: skip
    second = msgspec.structs.replace(
        opening("b", hours=0.5), reaches=(Reach(2, 0.01), Reach(3, 0.0099)),
        charges=(Charge("k2", "finish", "f", "f", 2.0), Charge("k1", "room", "r", "r", 0.5)),
    )  # fmt: skip
    loss, book = np.array([0.0, 4.0, 3.0, 2.0]), read_book("hour = 40")
    one = problem_of([first, second], loss, book)
    assert (one.ids, one.charges) == (("a", "b"), ("k1", "k2"))
    assert one.cost.tolist() == [60.0, 20.0]  # 90 and 30 minutes at 40 an hour
    assert one.charge.tolist() == [20.0, 80.0]
    assert list(zip(one.link_opening, one.link_charge, strict=True)) == [(0, 0), (1, 1), (1, 0)]
    # 0.8 counts as all, 0.499 as 49 hundredths, less than a hundredth as nothing.
    pairs = zip(one.pair_opening, one.pair_void, one.share, strict=True)
    assert list(pairs) == [(0, 1, 1.0), (0, 2, 0.49), (1, 2, 0.01)]
    assert one.loss.tolist() == loss.tolist()
    extra = np.array([5.0, 0.0])
    more = problem_of([first, second], loss, book, paid=frozenset({"k2"}), extra=extra)
    assert more.cost.tolist() == [65.0, 20.0]
    assert more.charge.tolist() == [20.0, 0.0]
    assert (more.price([0, 1]), more.price([0]), more.price([])) == (105.0, 85.0, 0.0)
    nothing = problem_of([], loss, book)
    assert (nothing.ids, nothing.cost.shape, nothing.price([])) == ((), (0,), 0.0)
    assert nothing.loss_left([]) == 9.0
    assert nothing.reached([]).tolist() == [0.0] * 4


@pytest.mark.parametrize(("share", "counted"), [(0.29, 0.29), (0.2999, 0.29), (0.7999, 0.79)])
def test_a_share_counts_to_the_hundredth_downwards(share: float, counted: float) -> None:
    # 100 x 0.29 is 28.999... in a machine; that is still 29 hundredths.
    one = problem_of([opening("a", 0, share=share)], np.ones(1), read_book(""))
    assert one.share.tolist() == [counted]


def test_of_two_openings_of_one_void_the_one_that_reaches_most_counts() -> None:
    assert FOUR.best_share([0, 1]).tolist() == [1.0, 0.5, 0.0, 0.0]
    assert FOUR.best_share([1, 2]).tolist() == [0.0, 1.0, 0.0, 0.0]
    assert FOUR.most_share().tolist() == [1.0, 1.0, 1.0, 0.0]
    assert FOUR.reached([0, 1]).tolist() == [1.0, 0.0, 0.0, 0.0]
    assert FOUR.loss_left([0, 1]) == 4.0 + 2.0 + 1.0
    assert FOUR.price([0, 1]) == 1.0 + 2.0 + 5.0


def test_a_void_counts_from_the_chance_asked_and_only_where_something_reaches_it() -> None:
    assert every(FOUR, np.array([0.01, 0.009, 0.5, 0.9]), 0.01) == (0, 2)
    half = msgspec.structs.replace(FOUR, share=np.array([0.5, 0.5, 0.25, 0.01]))
    assert every(half, np.ones(4), 0.5) == (0, 1, 2)


# What is missed, draw by draw.


def test_a_set_comes_to_what_paper_and_pencil_say() -> None:
    one = judge()
    assert one.chance.tolist() == pytest.approx([0.7, 0.3, 0.2, 0.2])
    assert one.reachable.tolist() == [True, True, False, False]
    point = one.point("some", [0, 1], 2.0, 0.25)
    assert (point.name, point.weight, point.gap) == ("some", 2.0, 0.25)
    assert (point.openings, point.voids) == (("a", "b"), 1)
    assert (point.cost, point.loss_left) == (8.0, 7.0)
    # The second draw misses void 1, the third voids 2 and 3, which nothing allowed reaches.
    assert point.missed == pytest.approx(0.3 + 0.2)
    assert point.avoidable == pytest.approx(0.3)
    assert point.number == pytest.approx(0.3 * 1 + 0.2 * 2)
    assert point.heavy == pytest.approx(0.3 + 0.2)
    assert point.heavy_avoidable == pytest.approx(0.3)
    # Four blocks of one draw: off the mean by -0.2, 0.15, 0.1 and -0.05; 4 / 3 of their squares.
    assert point.error == pytest.approx((4 / 3 * 0.075) ** 0.5)


def errors(*values: int) -> float:
    """Return the error of the chance of one void that was soiled in these draws."""
    dirty = np.array(values, dtype=bool)[:, None]
    weight = np.full(len(values), 1.0 / len(values))
    shut = np.zeros(1, dtype=bool)
    return missed(dirty, dirty, weight, shut, shut).error


def test_the_error_is_that_of_the_means_of_sixteen_stretches() -> None:
    # Of few draws each is a stretch: the error of a mean, s / sqrt(n), with s over n - 1.
    few = (1, 0, 0, 1, 1)
    assert errors(*few) == pytest.approx(np.std(few, ddof=1) / 5**0.5)
    # Every stretch of two draws holds one: their means do not differ at all.
    assert errors(*(1, 0) * 16) == pytest.approx(0.0, abs=1e-12)
    # Eight stretches of ones and eight of noughts, whatever their length.
    assert errors(*(1,) * 24, *(0,) * 24) == pytest.approx((0.25 / 15) ** 0.5)
    assert errors(1, 0) == pytest.approx(0.5)
    assert errors(1) == float("inf")


def test_a_chance_never_passes_one() -> None:
    assert chance_of([True, True], np.array([0.5, 0.5000001])) == 1.0
    assert chance_of([True, False], np.array([0.25, 0.75])) == 0.25


# One by one, and simpler rules.


def test_what_the_next_opening_gains() -> None:
    never = -np.inf
    # 2 x 10 - 1 - 5; 2 x half of 8 - 2 - 5; 2 x 8 - 3; d is forbidden.
    assert judge()._gain([], 2.0).tolist() == [14.0, 1.0, 13.0, never]
    assert judge()._gain([0], 2.0).tolist() == [never, 6.0, 13.0, never]  # the charge is paid
    assert judge()._gain([2], 2.0).tolist() == [14.0, -7.0, never, never]  # b shows nothing more
    assert judge()._gain([1], 2.0).tolist() == [19.0, never, 5.0, never]


def test_greedy_takes_the_best_each_time_and_stops_where_nothing_gains() -> None:
    one = judge().greedy(2.0)
    assert (one.name, one.openings, one.weight, one.gap) == ("greedy", ("a", "c"), 2.0, None)
    assert judge(given=(1,)).greedy(2.0).openings == ("a", "b", "c")
    # c gains 0.375 x 8 - 3 = 0, which is no gain; a 0.375 x 10 - 6.
    assert judge().greedy(0.375).openings == ()
    none = Judge(
        problem_of([], FOUR.loss, read_book("")), DIRTY, HEAVY, WEIGHT, Asked(), 0.0
    ).greedy(2.0)  # fmt: skip
    assert none.openings == ()


def test_everything_and_the_nearest_signs() -> None:
    one = judge().everything()
    assert (one.name, one.openings, one.weight) == ("open everything", ("a", "c"), None)
    assert one.gap == pytest.approx(0.0, abs=1e-6)
    assert judge(given=(1,)).everything().openings == ("a", "b", "c")
    row = [(0, 1), (1, 2), (2, 3)]
    for found, pairs, opened in (
        ([1], row, ("a", "c")), ([0], row, ("a", "c")), ([1], [], ("c",)), ([0], [(2, 3)], ("a",)),
        ([1], [(0, 1)], ("a", "c")), ([3], row, ()), ([], row, ()),
    ):  # fmt: skip
        near = judge().near_signs(found, pairs)
        assert (near.name, near.openings, near.weight) == ("nearest signs", opened, None)
        assert near.gap == pytest.approx(0.0, abs=1e-6)


def test_all_of_it_for_the_money_there_is() -> None:
    whole = judge().all_of_it()
    assert (whole.name, whole.openings, whole.weight) == ("open it all", ("a", "c"), None)
    assert whole.gap == pytest.approx(0.0, abs=1e-6)
    # 9 cannot be had for 8: a and b save 10 and half of 8, more than a or c alone.
    tight = judge(most=8.0).all_of_it()
    assert (tight.name, tight.openings, tight.weight) == ("open it all", ("a", "b"), None)
    assert judge(most=8.0, must=(1,)).all_of_it().openings == ("c",)
    # What must be opened is opened, however unlikely.
    clean = Judge(FOUR, DIRTY & False, HEAVY & False, WEIGHT, Asked(must=(2,)), 0.0)
    assert clean.all_of_it().openings == ("d",)


def test_every_set_is_searched_to_the_gap_that_was_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[float] = []

    def watched(*words: Any, gap: float, **named: Any) -> Solution:
        told.append(gap)
        return solve(*words, gap=gap, **named)

    monkeypatch.setattr(plans, "solve", watched)
    one = Judge(FOUR, DIRTY, HEAVY, WEIGHT, Asked(), 0.125)
    for make in (one.everything, one.all_of_it):
        make()
    one.best("some", 1.0)
    one.near_signs([1], [])
    assert told == [0.125] * 4


def test_the_curve_names_its_points_in_rising_order() -> None:
    names = [point.name for point in judge().curve(2.0)]
    assert names == [
        "nothing", "callback x 0.125", "callback x 0.25", "callback x 0.5", "least", "balanced",
        "callback x 4", "callback x 8", "callback x 16", "open it all",
    ]  # fmt: skip
    start = judge(given=(1,)).curve(1.0)
    assert (start[0].openings, start[0].weight, start[0].gap) == (("b",), 0.0, None)
    assert [point.name for point in start if point.weight == 1.0] == ["balanced"]
    third = judge(must=(0,)).curve(3.0)
    assert [point.weight for point in third] == [0.125, 0.25, 0.5, 1, 2, 3, 4, 8, 16, None]
    assert [point.name for point in third if point.weight == 3.0] == ["balanced"]
    assert all("a" in point.openings for point in third)


# Within the programme.


def test_only_what_may_pay_or_is_asked_for_goes_into_the_programme() -> None:
    # 0.5 x 10 > 1; 0.5 x half of 8 = 2 does not save more than 2; 0.5 x 8 > 3; 0.5 x 2 < 4.
    assert solving._useful(FOUR, 0.5, ()).tolist() == [True, False, True, False]
    assert solving._useful(FOUR, 0.5, (1,)).tolist() == [True, True, True, False]
    assert solving._useful(FOUR, 0.0, (2,)).tolist() == [False, False, False, True]
    # The last opening reaches nothing at all.
    fewer = msgspec.structs.replace(
        FOUR, pair_opening=FOUR.pair_opening[:3], pair_void=FOUR.pair_void[:3],
        share=FOUR.share[:3],
    )  # fmt: skip
    assert solving._useful(fewer, 0.5, ()).tolist() == [True, False, True, False]


def test_charges_of_one_opening_go_into_its_cost_and_alike_ones_into_one() -> None:
    # c0 and c2 are shared by a and b, c1 is of c alone, c3 of b and c.
    links = [(1, 0), (0, 0), (2, 1), (0, 2), (1, 2), (1, 3), (2, 3)]
    many = msgspec.structs.replace(
        FOUR, charges=("c0", "c1", "c2", "c3"), charge=np.array([5.0, 7.0, 0.5, 0.25]),
        link_opening=np.array([o for o, _ in links], dtype=np.int32),
        link_charge=np.array([c for _, c in links], dtype=np.int32),
    )  # fmt: skip
    one = solving._folded(many)
    assert one.cost.tolist() == [1.0, 2.0, 10.0, 4.0]
    assert many.cost.tolist() == [1.0, 2.0, 3.0, 4.0]
    assert (len(one.charges), one.charge.tolist()) == (2, [5.5, 0.25])
    shared = list(zip(one.link_opening, one.link_charge, strict=True))
    assert shared == [(0, 0), (1, 0), (1, 1), (2, 1)]
    for size in ([0], [1], [2], [0, 2], [0, 1, 2, 3]):
        assert one.price(size) == many.price(size)


def test_each_void_is_taken_in_steps_of_the_shares_that_are_reached() -> None:
    free = np.ones(4, dtype=bool)
    # Of void 1 either b or c takes the first half of 8, c alone the second; 1 is out of reach.
    held = [((0,), 10.0), ((1, 2), 4.0), ((2,), 4.0), ((3,), 2.0)]
    assert solving._steps(FOUR, free) == (held, 1.0)
    free[2] = False
    assert solving._steps(FOUR, free) == ([held[0], ((1,), 4.0), held[3]], 1.0 + 4.0)
    # What the same openings take is one step; where nothing is to lose there is none.
    joined = msgspec.structs.replace(
        FOUR, pair_opening=np.array([0, 0, 2, 3], dtype=np.int32),
        pair_void=np.array([0, 1, 3, 2], dtype=np.int32), loss=np.array([10.0, 8.0, 0.0, 1.0]),
    )  # fmt: skip
    assert solving._steps(joined, np.ones(4, dtype=bool)) == ([((0,), 14.0), ((2,), 1.0)], 4.0)


def test_what_must_be_reached_is_reached_as_far_as_anything_allowed_does() -> None:
    free = np.ones(4, dtype=bool)
    assert solving._reaching(FOUR, 1, free) == (2,)
    assert solving._reaching(FOUR, 1, np.array([1, 1, 0, 1], dtype=bool)) == (1,)
    assert solving._reaching(FOUR, 3, free) == ()
    enough = msgspec.structs.replace(FOUR, share=np.array([1.0, 0.8, 1.0, 1.0]))
    assert solving._reaching(enough, 1, free) == (1, 2)
    with pytest.raises(InputError) as told:
        solve(FOUR, must=(0, 3, 2), forbidden=np.array([0, 0, 0, 1], dtype=bool))
    (fault,) = told.value.faults
    assert "reaches 2 of the voids" in fault.what


def test_the_gap_is_the_part_of_the_objective_above_the_bound() -> None:
    # a: 1 + 5 to pay, 8 + 2 + 1 left, twice: 28.
    one = solving._solution(FOUR, (0,), 2.0, 21.0)
    assert (one.chosen, one.cost, one.loss_left, one.objective, one.gap) == ((0,), 6, 11, 28, 0.25)
    assert solving._solution(FOUR, (0,), 2.0, 30.0).gap == 0.0
    assert solving._solution(FOUR, (), 0.0, -1.0).gap == 0.0
    assert solving._bound(SimpleNamespace(fun=3.0, mip_dual_bound=2.0)) == 2.0
    assert solving._bound(SimpleNamespace(fun=3.0, mip_dual_bound=None)) == 3.0
    small = solve(msgspec.structs.replace(FOUR, loss=np.full(4, 0.25)))
    assert (small.chosen, small.objective, small.gap) == ((), 1.0, 0.0)


def test_the_solver_is_told_the_time_and_no_wider_gap_than_was_asked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    told: list[dict[str, Any]] = []
    right = solving.milp

    def watched(*words: Any, **named: Any) -> Any:
        told.append(named)
        return right(*words, **named)

    monkeypatch.setattr(solving, "milp", watched)
    found = solve(FOUR, 2.0, gap=0.08, seconds=7.0)
    assert {one["options"]["time_limit"] for one in told} == {7.0}
    # Half the gap for the charges, a quarter for the openings: together no more than was asked.
    assert [one["options"]["mip_rel_gap"] for one in told] == [0.04, 0.02]
    # First the charge alone has to be whole, then the openings; the steps never.
    whole = [np.flatnonzero(one["integrality"]).tolist() for one in told]
    assert whole == [[4], [0, 1, 2, 3]]
    assert found.chosen == (0, 2)


@pytest.mark.parametrize("error", [OSError, AttributeError, TypeError])
def test_where_the_c_library_cannot_be_got_at_nothing_fails(
    error: type[Exception], monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(_: object) -> Any:
        raise error("not here")

    monkeypatch.setattr(ctypes, "CDLL", none)
    with stdout_kept_clean():
        pass
    found = solve(FOUR, 2.0, gap=0.0)
    assert found.chosen == (0, 2)
