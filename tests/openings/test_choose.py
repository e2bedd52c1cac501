"""The three sets on draws whose numbers are known by hand.

A callback of light soiling costs 16 hours in the book, so a bay pays from 1/16 for each hour that
its opening costs; the balanced set counts a callback twice, so there it pays from 1/32.
"""

from __future__ import annotations

import os
import subprocess
import sys

import msgspec
import numpy as np
import pytest
from row import BAYS, draws, graph, opening, singles

from wainscot.access import Site
from wainscot.book import DEFAULT, read_book
from wainscot.errors import InputError
from wainscot.openings import Known, Signed, Wanted, choose, lines
from wainscot.openings.quiet import stdout_kept_clean


def ids(*numbers: int) -> tuple[str, ...]:
    return tuple(f"bay/{n}" for n in numbers)


def test_each_set_opens_what_is_likelier_than_cost_over_callback() -> None:
    choice = choose(draws(), graph(), singles(), DEFAULT, gap=0.0)
    # One hour against 16: worth it from 1 in 16 = 0.0625, so 0.1 is opened and 0.05 is not.
    assert choice.least.openings == ids(1, 2, 3, 4)
    assert choice.least.cost == pytest.approx(4.0)
    assert choice.least.loss_left == pytest.approx(16 * 0.05)
    # A callback counted twice: from 1 in 32.
    assert choice.balanced.openings == ids(1, 2, 3, 4, 5)
    # Open it all: every bay of 1 in 100 or more.
    assert choice.all_of_it.openings == ids(1, 2, 3, 4, 5)


def test_open_it_all_opens_what_may_well_be_soiled_and_nothing_that_merely_pays() -> None:
    # 0.005 x 16 hours = 0.08 saved for 0.05 hours: it pays, but 5 in 1,000 is below 1 in 100.
    rare = draws((0.9, 0.6, 0.3, 0.1, 0.05, 0.005))
    ways = (*singles()[:5], opening("bay/6", 6, hours=0.05))
    choice = choose(rare, graph(), ways, DEFAULT, gap=0.0)
    assert choice.least.openings == ids(1, 2, 3, 4, 6)
    assert choice.all_of_it.openings == ids(1, 2, 3, 4, 5)


def test_the_firm_says_what_a_callback_counts() -> None:
    hours_alone = choose(draws(), graph(), singles(), read_book("callback_counts = 1"), gap=0.0)
    assert hours_alone.balanced.openings == hours_alone.least.openings == ids(1, 2, 3, 4)
    # Below the least set nothing is called balanced.
    small = choose(draws(), graph(), singles(), read_book("callback_counts = 0.1"), gap=0.0)
    assert small.balanced.openings == ids(1, 2, 3, 4)
    rare = draws((0.9, 0.6, 0.3, 0.1, 0.05, 0.01))
    much = choose(rare, graph(), singles(), read_book("callback_counts = 7"), gap=0.0)
    assert much.balanced.openings == ids(1, 2, 3, 4, 5, 6)
    assert much.balanced.weight == 7.0


def test_what_is_missed_is_counted_on_the_draws() -> None:
    pooled = draws((0.9, 0.6, 0.3, 0.1, 0.05, 0.04))
    choice = choose(pooled, graph(), singles(), DEFAULT, gap=0.0)
    shut = (pooled.soil[:, [5, 6]] > 0).any(axis=1)
    assert choice.least.missed == choice.least.avoidable == pytest.approx(shut.mean())
    assert choice.least.number == pytest.approx(0.05 + 0.04)
    assert choice.all_of_it.missed == 0.0
    # Independent draws: the error is that of a share, to the noise of sixteen blocks.
    p = shut.mean()
    assert choice.least.error == pytest.approx(np.sqrt(p * (1 - p) / len(shut)), rel=0.5)


def test_heavy_soil_and_nests_missed_are_counted_apart_from_light_soil() -> None:
    pooled = draws((0.9, 0.05, 0.05, 0.05))
    soil, nest = pooled.soil.copy(), pooled.nest.copy()
    soil[:, 2] *= 2
    nest[:, 3] = soil[:, 3]
    mixed = msgspec.structs.replace(pooled, soil=soil, nest=nest)
    ways = tuple(one for one in singles(hours=8.0) if one.id != "bay/3")
    point = choose(mixed, graph(), ways, DEFAULT, gap=0.0).least
    assert point.openings == ids(1)
    assert point.missed == pytest.approx((soil[:, [2, 3, 4]] > 0).any(axis=1).mean())
    assert point.heavy == pytest.approx(((soil[:, 2] > 1) | (nest[:, 3] > 0)).mean())
    # Nothing reaches bay 3, so its nest is no fault of the set.
    assert point.heavy_avoidable == pytest.approx(0.05)


def test_a_shared_charge_is_paid_once_and_can_tip_the_choice() -> None:
    # 0.9 x 16 = 14.4 saves bay 1; with 20 hours to set up, only several bays together pay.
    dear = singles(hours=1.0, room=20.0)
    choice = choose(draws(), graph(), dear, DEFAULT, gap=0.0)
    assert choice.least.openings == ids(1, 2, 3, 4)
    assert choice.least.cost == pytest.approx(24.0)
    dearer = singles(hours=1.0, room=40.0)
    assert choose(draws(), graph(), dearer, DEFAULT, gap=0.0).least.openings == ()


def test_one_by_one_is_beaten_where_work_is_shared() -> None:
    # 2 x 0.9 x 16 = 28.8 does not pay 31 hours for the first bay alone; five bays pay 35.
    choice = choose(draws(), graph(), singles(room=30.0), DEFAULT, gap=0.0)
    greedy = next(point for point in choice.compared if point.name == "greedy")
    assert choice.balanced.openings == ids(1, 2, 3, 4, 5)
    assert greedy.openings == ()
    assert greedy.cost + 2 * greedy.loss_left > choice.balanced.cost


def test_a_strip_replaces_single_bays_where_it_is_cheaper() -> None:
    ways = (*singles(), opening("strip/1", 1, 2, 3, hours=2.0))
    choice = choose(draws(), graph(), ways, DEFAULT, gap=0.0)
    assert set(choice.balanced.openings) == {"strip/1", "bay/4", "bay/5"}


def test_an_opening_that_reaches_half_saves_half_and_does_not_count_as_reached() -> None:
    ways = (opening("half/1", 1, share=0.5),)
    choice = choose(draws(), graph(), ways, DEFAULT, gap=0.0)
    nothing = choice.curve[0].loss_left
    assert choice.balanced.openings == ("half/1",)
    assert nothing - choice.balanced.loss_left == pytest.approx(0.5 * 0.9 * 16)
    assert choice.balanced.voids == 0
    assert "F1" in choice.not_reached


def test_a_budget_a_void_that_must_and_an_opening_that_must_not() -> None:
    wanted = Wanted(must=("F6",), without=("bay/1",), most=3.0)
    choice = choose(draws(), graph(), singles(), DEFAULT, wanted=wanted, gap=0.0)
    assert choice.balanced.openings == ids(2, 3, 6)
    assert all(point.cost <= 3.0 + 1e-9 for point in choice.curve)


@pytest.mark.parametrize(
    ("wanted", "code"),
    [
        (Wanted(must=("F99",)), "unknown-void"),
        (Wanted(without=("bay/77",)), "unknown-opening"),
        (Wanted(must=("F1", "F2"), most=1.5), "too-dear"),
        (Wanted(must=("F1",), without=("bay/1",)), "unreachable-void"),
    ],
)
def test_what_cannot_be_had_is_refused_with_the_cure(wanted: Wanted, code: str) -> None:
    with pytest.raises(InputError, match=code):
        choose(draws(), graph(), singles(), DEFAULT, wanted=wanted)


def test_what_is_kept_is_left_alone_or_weighed_at_its_price() -> None:
    known = Known(kept={0: ("the tiles",)})
    alone = choose(draws(), graph(), singles(), DEFAULT, known=known, gap=0.0)
    assert "bay/1" not in alone.least.openings
    assert alone.kept == ("the tiles",)
    # Kept work is judged at 16 hours more; 14.4 hours of callbacks do not pay that, 43.2 do.
    weighed = choose(
        draws(), graph(), singles(), DEFAULT, known=known, wanted=Wanted(weigh_kept=True), gap=0.0
    )
    assert "bay/1" not in weighed.least.openings
    book = read_book("callback_light = 48")
    dear = choose(
        draws(), graph(), singles(), book, known=known, wanted=Wanted(weigh_kept=True), gap=0.0
    )
    assert "bay/1" in dear.least.openings
    assert next(one for one in dear.openings if one.id == "bay/1").kept == ("the tiles",)


def test_without_a_signature_an_opening_is_planned_work() -> None:
    known = Known(signed=Signed(authorised={"bay/1": "the owner, 2 May"}))
    choice = choose(draws(), graph(), singles(), DEFAULT, known=known, gap=0.0)
    status = {one.id: one.status for one in choice.openings}
    assert status["bay/1"] == "authorised"
    assert status["bay/2"] == "planned"
    text = "\n".join(lines(choice))
    assert "1 of 5 openings are authorised; at the others nobody cuts." in text
    assert "authorised by the owner, 2 May" in text
    unsigned = "\n".join(lines(choose(draws(), graph(), singles(), DEFAULT, gap=0.0)))
    assert "None of it is authorised yet: nobody cuts." in unsigned


def test_a_declined_opening_is_never_chosen_and_stays_with_its_risk() -> None:
    known = Known(signed=Signed(declined={"bay/2": "the owner, 2 May, new paint"}))
    choice = choose(draws(), graph(), singles(), DEFAULT, known=known, gap=0.0)
    assert not any("bay/2" in point.openings for point in choice.curve)
    (left,) = choice.declined
    assert left.chance == pytest.approx(0.6)
    assert left.loss == pytest.approx(0.6 * 16)
    assert "new paint" in "\n".join(lines(choice))


def test_after_opening_only_what_is_still_worth_it_is_proposed() -> None:
    known = Known(seen={1: "heavy", 2: "clean"}, signed=Signed(authorised={"bay/1": "owner"}))
    choice = choose(draws(), graph(), singles(room=2.0), DEFAULT, known=known, gap=0.0)
    assert choice.balanced.openings == ids(3, 4, 5)
    assert choice.known_clean == ("F2",)
    assert choice.open_already == ("F1",)
    # The room is set up already: the change order pays three bays and no set-up.
    assert choice.change_order == pytest.approx(3.0)
    assert {one.status for one in choice.openings if one.id != "bay/1"} == {"change order"}


def test_the_curve_falls_in_loss_and_rises_in_cost() -> None:
    choice = choose(draws(), graph(), singles(room=1.5), DEFAULT, gap=0.0)
    points = [point for point in choice.curve if point.weight is not None]
    assert len([point for point in points if point.weight]) >= 8
    costs = [point.cost for point in points]
    losses = [point.loss_left for point in points]
    assert costs == sorted(costs)
    assert losses == sorted(losses, reverse=True)


def test_baselines_by_hand() -> None:
    known = Known(found_in=frozenset({3}))
    choice = choose(draws(), graph(), singles(), DEFAULT, known=known, gap=0.0)
    by_name = {point.name: point for point in choice.compared}
    assert by_name["open everything"].openings == ids(*range(1, BAYS + 1))
    assert by_name["nearest signs"].openings == ids(2, 3, 4)
    assert by_name["greedy"].openings == ids(1, 2, 3, 4, 5)


def test_the_price_of_an_hour_does_not_change_what_is_opened() -> None:
    cheap = choose(draws(), graph(), singles(room=2.0), DEFAULT, gap=0.0)
    dear = choose(draws(), graph(), singles(room=2.0), read_book("hour = 85"), gap=0.0)
    assert cheap.balanced.openings == dear.balanced.openings
    assert dear.balanced.cost == pytest.approx(85 * cheap.balanced.cost)


def test_the_same_input_gives_the_same_choice() -> None:
    one = choose(draws(), graph(), singles(room=2.0), DEFAULT)
    other = choose(draws(), graph(), singles(room=2.0), DEFAULT)
    assert msgspec.json.encode(one) == msgspec.json.encode(other)


def test_what_the_solver_prints_never_reaches_the_data_stream(
    capfd: pytest.CaptureFixture[str],
) -> None:
    # The line as upstream tells of it (jump-dev/HiGHS.jl, issue 312).
    stray = b"HighsMipSolverData::transformNewIntegerFeasibleSolution tmpSolver.run();\n"
    with stdout_kept_clean():
        os.write(1, stray)
        os.write(1, b"of another thread\n")
    os.write(1, b"data\n")
    out, error = capfd.readouterr()
    assert (out, error) == ("of another thread\ndata\n", "")


def test_what_the_c_library_holds_back_is_caught_as_well() -> None:
    # Standard output is a pipe here, so the C library keeps the line until it is made to write.
    code = (
        "import ctypes\n"
        "from wainscot.openings.quiet import stdout_kept_clean\n"
        "with stdout_kept_clean():\n"
        "    ctypes.CDLL(None).printf(b'HighsMipSolverData::x\\n')\n"
        "print('data')\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert (done.stdout, done.stderr) == ("data\n", "")


def test_what_adds_up_in_a_room_is_a_stop_of_every_cut_there() -> None:
    # 40 CFR 745.83: 6 ft2 (0.557 m2) a room is minor repair; five cuts of 0.15 m2 are more.
    cuts = [
        msgspec.structs.replace(
            one, disturbance="cut", finish="painted board", area=0.15, room="kitchen"
        )
        for one in singles()
    ]
    held = [
        choose(draws(), graph(), some, DEFAULT, known=Known(site=Site(1934, "US")), gap=0.0)
        for some in (cuts, cuts[:3])
    ]
    keys = [{hold.key for one in choice.openings for hold in one.holds} for choice in held]
    assert keys == [{"lead area/kitchen"}, set()]
    assert all(one.holds for one in held[0].openings)
