"""The firm's rates and what follows from them, by hand."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wainscot.book import (
    DEFAULT,
    Book,
    chance_to_check,
    chance_to_open,
    cost_to_check,
    cost_to_open,
    loss_if_left,
    read_book,
)
from wainscot.errors import InputError


def test_every_default_rate_says_that_it_is_a_judgement_and_why() -> None:
    for field in msgspec.structs.fields(Book):
        if field.name != "currency":
            rate = getattr(DEFAULT, field.name)
            assert rate.is_judgement
            assert rate.source


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
