"""What is told first, and what is not told, when checks are ranked."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from scene import access, draws, evidence, graph, unknown_hold

from wainscot.book import read_book
from wainscot.checks import lines, rank
from wainscot.checks.outcomes import look_table
from wainscot.checks.words import spans
from wainscot.diagnosis.bands import Outlook, band
from wainscot.signs import DEFAULT

BOOK = read_book('currency = "GBP"\nhour = 60')
ROW = [access(f"hole/F{i}", i) for i in range(1, 7)]


def ranked(ways, book=BOOK, looked=None, **more):
    return rank(draws(**more), graph(), evidence(looked), tuple(ways), book)


def test_looks_are_ordered_by_worth_less_cost() -> None:
    result = ranked(ROW)
    nets = [check.net for check in result.checks]
    assert nets == sorted(nets, reverse=True)
    assert all(check.net == pytest.approx(check.worth - check.cost) for check in result.checks)


def test_quarter_of_an_hour_at_sixty_an_hour_costs_fifteen() -> None:
    assert ranked(ROW[:1]).checks[0].cost == pytest.approx(15.0)


def test_a_dearer_way_to_the_same_void_is_named_behind_the_cheaper_one() -> None:
    result = ranked([*ROW, access("board/F2", 2, minutes=60.0)])
    chosen = next(check for check in result.checks if check.access == "hole/F2")
    assert chosen.others == ("board/F2",)
    assert [check.access for check in result.checks].count("board/F2") == 0


def test_naming_a_check_twice_changes_no_other_check() -> None:
    once = {check.access: check.net for check in ranked(ROW).checks}
    twice = {check.access: check.net for check in ranked([*ROW, access("again/F1", 1)]).checks}
    assert {key: twice[key] for key in once if key in twice} == pytest.approx(
        {key: once[key] for key in once if key in twice}
    )


def test_the_order_in_which_ways_come_changes_nothing() -> None:
    assert ranked(ROW).checks == ranked(ROW[::-1]).checks


def test_a_place_that_was_seen_wholly_is_worth_nothing_to_see_again() -> None:
    looked = np.zeros(7)
    looked[1] = 1.0
    check = next(c for c in ranked(ROW, looked=looked).checks if c.access == "hole/F1")
    assert check.worth == pytest.approx(0.0, abs=1e-6)
    assert not check.pays


def test_nothing_is_drilled_before_it_is_known_what_lies_behind() -> None:
    drill = access("drill/F1", 1, disturbance="hole", holds=(unknown_hold(),))
    check = ranked([drill]).checks[0]
    assert check.first == ("sweep for cables",)
    assert check.words.startswith("First find out (services), then look by")
    assert check.minutes == pytest.approx(25.0)


def test_when_no_look_pays_it_says_what_to_open() -> None:
    result = ranked([access("slow/F1", 1, minutes=6000.0)], used=0.98)
    assert result.time_to_open
    assert result.open_now[0].startswith("joist bay F1")
    text = "\n".join(lines(result))
    assert "Time to open" in text
    assert "Open joist bay F1" in text


def test_while_a_look_pays_only_what_no_look_could_spare_is_to_be_opened_already() -> None:
    result = ranked(ROW)
    assert not result.time_to_open
    pooled, row = draws(), graph()
    hidden = np.flatnonzero(row.hidden)
    light = ((pooled.soil == 1) & (pooled.nest == 0)).mean(axis=0)
    heavy = ((pooled.soil == 2) & (pooled.nest == 0)).mean(axis=0)
    nest = (pooled.nest > 0).mean(axis=0)
    outlook = {row.labels[v]: Outlook(light[v], heavy[v], nest[v]) for v in hidden}
    named = {label for label, one in outlook.items() if band(one, BOOK) == "open"}
    assert set(result.open_labels) == named


def test_a_quiet_house_gets_neither_a_check_nor_an_opening() -> None:
    result = ranked(ROW, used=0.001)
    assert result.time_to_open
    assert result.open_now == ()
    assert "No look pays" in lines(result)[0]


def test_without_a_currency_chances_stand_instead_of_worth() -> None:
    result = ranked(ROW, book=read_book(""))
    assert not result.money
    assert "moves the chances by" in result.checks[0].words
    assert "worth 1" not in result.checks[0].words


def test_a_line_says_worth_cost_chance_and_what_it_settles() -> None:
    words = ranked([access("board/F2", 2, 3)]).checks[0].words
    assert "GBP, costs 15 minutes" in words
    assert "in 100 that it shows something" in words
    assert "settles F" in words


def test_a_drain_test_and_a_framing_fact_are_weighed_beside_looks() -> None:
    drain = access(
        "drain test/1", method="", sources=(0,),
        shows=((0.9, 0.3, 0.1), (0.1, 0.7, 0.9)),
    )  # fmt: skip
    framing = access("nail lines/joists", method="", answers="joists", right=0.93)
    found = {check.access: check for check in ranked([*ROW, drain, framing]).checks}
    assert found["drain test/1"].worth > 0
    assert found["nail lines/joists"].worth > 0
    assert "which way the framing runs" in found["nail lines/joists"].words


def test_a_useless_framing_look_is_worth_nothing() -> None:
    guess = access("coin/joists", method="", answers="joists", right=0.5)
    assert ranked([guess]).checks[0].worth == pytest.approx(0.0, abs=1e-6)


def test_ways_that_no_table_speaks_of_are_named_not_ranked() -> None:
    result = ranked([*ROW, access("crystal/F1", 1, method="crystal ball")])
    assert result.not_weighed == ("crystal",)
    assert "Not weighed (no rates yet): crystal." in lines(result)


def test_a_method_becomes_weighed_once_the_tables_know_it() -> None:
    camera = access("camera/F1", 1, method="camera", nights=2, share=1.0)
    methods = {**DEFAULT.methods, "camera": msgspec.structs.replace(
        DEFAULT.methods["trap"], name="camera"
    )}  # fmt: skip
    rates = msgspec.structs.replace(DEFAULT, methods=methods)
    result = rank(draws(), graph(), evidence(), (camera,), BOOK, rates=rates)
    assert result.not_weighed == ()
    assert result.checks[0].shows > 0.1


def test_rooms_are_looked_at_but_never_told_to_be_opened() -> None:
    result = ranked([access("slow/F1", 1, minutes=6000.0)], used=0.98)
    assert not any("kitchen," in words and "bay" not in words for words in result.open_now)
    assert "the kitchen" not in result.open_now


def test_same_seed_same_answer() -> None:
    assert ranked(ROW) == ranked(ROW)


@pytest.mark.parametrize("method", sorted(DEFAULT.methods))
@pytest.mark.parametrize("species", ["house mouse", "norway rat", "roof rat"])
def test_outcomes_of_every_method_are_chances_that_sum_to_one(method: str, species: str) -> None:
    table = look_table(method, 0.6, 3, species, DEFAULT)
    assert table.min() >= -1e-12
    assert table.sum(axis=0) == pytest.approx(np.ones(table.shape[1:]))


def test_by_lamp_more_share_seen_means_more_is_found_where_there_is_soil() -> None:
    few, most = (
        look_table("eye and lamp", share, 0, "norway rat", DEFAULT) for share in (0.2, 0.9)
    )
    nothing_few, nothing_most = few[0].reshape(3, 6), most[0].reshape(3, 6)
    assert (nothing_most[1:, 2:] <= nothing_few[1:, 2:] + 1e-12).all()
    assert (nothing_most[1:, 4] < nothing_few[1:, 4]).all()


def test_the_outcome_nothing_is_what_a_finished_empty_look_says() -> None:
    # The same product that signs multiply into a row for a finished look without a find; here put
    # together by hand from the table of rates for one cell: light soil, no nest, reached now.
    look = look_table("borescope", 1.0, 0, "norway rat", DEFAULT)[0].reshape(3, 6)[2, 2]
    by_hand = np.ones(3)  # by load of the house
    for kind, sensitivity in DEFAULT.methods["borescope"].shows.items():
        rate = DEFAULT.kind(kind)
        key = next(key for key in ("left_light", "left_now", "met") if key in rate.values)
        left = rate.numbers(key, "norway rat").sum(axis=-1)
        by_hand = by_hand * (1 - sensitivity * left) * (1 - float(rate.numbers("false").sum()))
    assert look == pytest.approx(float(by_hand @ DEFAULT.load), rel=1e-6)


@pytest.mark.parametrize(
    ("labels", "words"),
    [
        (("F3", "F4", "F5"), "F3 to F5"),
        (("N7", "F4", "F3"), "N7 and F3, F4"),
        (("F9", "F10", "F11", "W2"), "F9 to F11 and W2"),
        (("A1", "B1", "C1", "D1", "E1"), "A1, B1, C1 and 2 more"),
        (("loft",), "loft"),
    ],
)
def test_labels_that_follow_each_other_are_told_as_a_run(
    labels: tuple[str, ...], words: str
) -> None:
    assert spans(labels) == words
