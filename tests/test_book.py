"""The firm's rates and what follows from them, by hand."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wainscot.book import (
    DEFAULT,
    Book,
    Repair,
    Repairs,
    Work,
    chance_to_check,
    chance_to_open,
    cost_to_check,
    cost_to_open,
    loss_if_left,
    price_of,
    read_book,
    repair_of,
)
from wainscot.errors import InputError
from wainscot.sources import Cited


def test_every_default_rate_says_that_it_is_a_judgement_and_why() -> None:
    for field in msgspec.structs.fields(Book):
        rate = getattr(DEFAULT, field.name)
        if field.name in ("currency", "work", "repair", "signs"):
            continue
        rows = [rate] if isinstance(rate, Cited) else list(msgspec.structs.astuple(rate))
        rows = [one for one in rows if isinstance(one, Cited)]  # days and zone are words
        assert all(one.is_judgement and one.source for one in rows)


def test_hours_of_work_and_repair_say_where_they_come_from() -> None:
    rates = [getattr(DEFAULT.work, field.name) for field in msgspec.structs.fields(Work)]
    for finish in msgspec.structs.fields(Repairs):
        repair = getattr(DEFAULT.repair, finish.name)
        rates += [getattr(repair, field.name) for field in msgspec.structs.fields(Repair)]
    assert all(rate.source and rate.unit in ("h", "h/m2", "1") for rate in rates)
    # The estimating manual prints 0.010, 0.023 and 0.030 h/ft2 for board, lath and board sheathing.
    for finish, printed in (("plasterboard", 0.010), ("lath and plaster", 0.023),
                            ("floor boards", 0.030)):  # fmt: skip
        assert repair_of(DEFAULT, finish).cut.value * 0.3048**2 == pytest.approx(printed)


def test_a_firm_types_hours_of_work_as_tables() -> None:
    book = read_book("[work]\nkick_board = 0.25\n[repair.tile]\ncorner = 2")
    assert book.work.kick_board.value == 0.25
    assert book.work.panel == DEFAULT.work.panel
    assert (book.repair.tile.corner.value, book.repair.tile.corner.unit) == (2.0, "h/m2")
    assert book.repair.tile.cut == DEFAULT.repair.tile.cut
    assert repair_of(book, "no such finish") == book.repair.other


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("[work]\nkick_bord = 1", "rates.work.kick_bord"),
        ("work = 3", "rates.work"),
        ("[repair.tile]\ncorner = -1", "rates.repair.tile.corner"),
    ],
)
def test_a_wrong_table_of_rates_is_told_with_its_path(text: str, path: str) -> None:
    with pytest.raises(InputError) as caught:
        read_book(text)
    assert [fault.path for fault in caught.value.faults] == [path]


def test_opening_pays_from_the_chance_at_which_both_cost_the_same() -> None:
    # 3 h against 12 h at any rate: even at one chance in four.
    book = read_book("hour = 85\nopen_bay = 3\ncallback_light = 12\ncheck = 0.6")
    assert chance_to_open(book) == 0.25
    assert chance_to_check(book) == pytest.approx(0.05)
    assert cost_to_open(book) == 255
    assert cost_to_check(book) == pytest.approx(51)
    assert loss_if_left(book, 0.25, 0, 0) == cost_to_open(book)


def test_a_loss_is_the_sum_of_chance_times_cost() -> None:
    text = '{"hour": 10, "callback_light": 1, "callback_heavy": 2, "callback_nest": 4}'
    book = read_book(text, "json")
    assert loss_if_left(book, 0.5, 0.25, 0.125) == pytest.approx(10 * (0.5 + 0.5 + 0.5))


@given(st.floats(0.1, 100), st.floats(0.1, 100), st.floats(1, 1000))
def test_the_price_of_an_hour_does_not_change_what_is_opened(
    open_bay: float, callback: float, hour: float
) -> None:
    text = f"open_bay = {open_bay!r}\ncallback_light = {callback!r}\n"
    dear = read_book(text + f"hour = {hour!r}")
    assert chance_to_open(dear) == chance_to_open(read_book(text))
    assert 0 < chance_to_open(dear) <= 1


def test_the_firms_own_rates_are_no_judgement_of_ours() -> None:
    book = read_book('currency = "GBP"\nopen_bay = 6')
    assert book.currency == "GBP"
    assert not book.open_bay.is_judgement
    assert book.open_bay.unit == "h"
    assert book.check == DEFAULT.check


@pytest.mark.parametrize(
    ("text", "path", "cure"),
    [
        ("open_bays = 3", "rates.open_bays", "'open_bay'"),
        ("open_bay = 0", "rates.open_bay", "above zero"),
        ("open_bay = nan", "rates.open_bay", "above zero"),
        ('open_bay = "3 h"', "rates.open_bay", "above zero"),
        ("open_bay = true", "rates.open_bay", "above zero"),
        ("currency = 1", "rates.currency", "currency ="),
        ('[team]\ndays = "monday"', "rates.team.days", "mon tue"),
        ('[team]\noff = "25 December"', "rates.team.off", "2026-12-25"),
        ('[team]\nzone = "Mars/Base"', "rates.team.zone", "America/Chicago"),
        ("[team]\nzone = 3", "rates.team.zone", "America/Chicago"),
        ("open_bay 3", "the rates", "one rate a line"),
    ],
)
def test_a_bad_rate_is_told_with_its_place_and_cure(text: str, path: str, cure: str) -> None:
    with pytest.raises(InputError) as caught:
        read_book(text)
    (fault,) = caught.value.faults
    assert fault.path == path
    assert cure in fault.cure


def test_all_bad_rates_are_told_at_once() -> None:
    with pytest.raises(InputError) as caught:
        read_book('{"open_bay": -1, "chek": 2}', "json")
    assert [fault.code for fault in caught.value.faults] == ["bad-rate", "unknown-rate"]
    with pytest.raises(InputError):
        read_book("[]", "json")


def test_what_is_bought_is_worth_hours_until_the_firm_types_its_own_price() -> None:
    assert price_of(DEFAULT, "material", "board").value == pytest.approx(0.1)
    book = read_book("hour = 80\n[material]\nboard = 9.5\n[business]\ntax = 8")
    assert price_of(book, "material", "sheet").value == pytest.approx(0.8)  # 0.01 h/m2 at 80
    board = price_of(book, "material", "board")
    assert (board.value, board.unit) == (9.5, "currency/m2")
    assert not board.is_judgement
    assert (book.business.tax.value, book.business.tax.unit) == (8.0, "%")
