"""What the verdict says on both sides of each of its bounds, from an answer written by hand."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from wainscot.chance import in_ten, word
from wainscot.diagnosis.bands import Outlook, band, costs
from wainscot.diagnosis.entries import undrawn_words
from wainscot.diagnosis.verdict import species_words, verdict


def _void(words, soiled, *, hidden=True, looked=0.0, seen=""):
    return SimpleNamespace(words=words, soiled=soiled, hidden=hidden, looked=looked, seen=seen)


def _entry(words, used):
    return SimpleNamespace(words=words, used=used)


def _animal(species, weight):
    return SimpleNamespace(species=species, weight=weight)


RAT = (_animal("norway rat", 1.0),)
VOIDS = (
    _void("room R", 0.99, hidden=False), _void("bay A", 0.9), _void("bay B", 0.6, looked=0.5),
    _void("bay C", 0.5, seen="light"), _void("bay D", 0.5), _void("bay E", 0.2),
)  # fmt: skip


def _said(*, voids=VOIDS, entries=(), animals=RAT, misfits=(), ever=0.9, now=0.7, settled=True):
    return verdict(voids, entries, animals, misfits, ever=ever, now=now, settled=settled)


def test_the_three_likeliest_hidden_voids_from_a_half_on_are_named_and_no_room():
    said = _said()
    assert "likeliest soiled: bay A (" in said
    assert "bay C (light)" in said
    assert not any(name in said for name in ("bay D", "bay E", "room R"))
    # Where none reaches a half, the first alone; where all is open to the eye, none.
    assert "likeliest soiled: bay E (" in _said(voids=(VOIDS[0], VOIDS[5], _void("bay F", 0.1)))
    assert "bay F" not in _said(voids=(VOIDS[5], _void("bay F", 0.1)))
    assert "no hidden void is drawn" in _said(voids=VOIDS[:1])


def test_what_nobody_looked_into_is_counted_over_hidden_voids():
    assert _said().endswith("nobody has looked into 4 of 5 hidden voids.")


@pytest.mark.parametrize(("second", "named"), [(0.54, True), (0.539, False)])
def test_a_second_way_in_is_named_from_six_tenths_of_the_first_on(second, named):
    entries = (_entry("the drain", 0.9), _entry("a vent", second), _entry("a gap", 0.538))
    said = _said(entries=entries)
    assert "likeliest way in: the drain (" in said
    assert (" or a vent (" in said) == named
    assert "a gap" not in said


@pytest.mark.parametrize(("used", "clear"), [(0.33, True), (0.329, False)])
def test_below_a_third_no_way_in_is_clear(used, clear):
    said = _said(entries=(_entry("the drain", used),))
    assert ("likeliest way in: the drain" in said) == clear
    assert ("how they came in is not clear" in said) == (not clear)


def test_a_third_way_in_is_never_named():
    entries = tuple(_entry(name, 0.8) for name in ("one way", "two ways", "three ways"))
    assert "three ways" not in _said(entries=entries)


def test_now_is_told_alone_from_a_half_on_and_beside_ever_below():
    assert f", here now: {word(0.5)} ({in_ten(0.5)}); " in _said(now=0.5)
    ever, now = (f"{word(one)} ({in_ten(one)})" for one in (0.9, 0.49))
    assert f", here at some time: {ever}, now: {now}; " in _said(now=0.49)


@pytest.mark.parametrize(("ever", "speaks"), [(0.33, True), (0.329, False)])
def test_below_a_third_what_was_logged_hardly_speaks_for_animals(ever, speaks):
    said = _said(ever=ever, now=0.1)
    assert ("hardly speaks for animals" in said) == (not speaks)
    assert "nobody has looked into 4 of 5 hidden voids" in said


def test_what_is_not_settled_and_what_is_not_explained_is_said():
    assert _said().startswith("Norway rats, ")
    assert _said(settled=False).startswith("Not settled, take it as rough: Norway rats, ")
    low = _said(settled=False, ever=0.1, now=0.1)
    assert low.startswith("Not settled, take it as rough: what was logged")
    assert "not explained" not in _said()
    assert "; 1 sign not explained; " in _said(misfits=("a",))
    assert "; 2 signs not explained; " in _said(misfits=("a", "b"))
    assert _said(voids=()).startswith("Nothing is drawn yet")


def test_the_animal_has_its_chance_unless_the_job_names_it_and_cases_of_one_animal_add_up():
    assert species_words((_animal("norway rat", 0.6), _animal("norway rat", 0.4))) == "norway rats"
    assert species_words((_animal("house mouse", 0.9), _animal("norway rat", 0.1))) == (
        "house mice at least (about 9 in 10)")  # fmt: skip
    assert species_words((_animal("house mouse", 0.89), _animal("norway rat", 0.11))) == (
        f"house mice at least ({in_ten(0.89)})")  # fmt: skip
    assert species_words((_animal("house mouse", 0.2), _animal("roof rat", 0.8))) == (
        "roof rats at least (about 8 in 10)")  # fmt: skip
    # A tie goes by name, whatever the order.
    tie = (_animal("norway rat", 0.5), _animal("house mouse", 0.5))
    assert species_words(tie) == species_words(tie[::-1])
    assert species_words(tie).startswith("house mice at least")
    both = (_animal("house mouse and norway rat", 0.95), _animal("norway rat", 0.05))
    assert "at least" not in species_words(both)


def test_a_room_is_left_where_leaving_costs_no_more_than_looking():
    clean = Outlook(0.0, 0.0, 0.0)
    assert band(clean, hidden=False) == "leave"
    dirty = Outlook(0.2, 0.6, 0.2)
    assert costs(dirty)["check first"] < costs(dirty)["leave"]
    assert band(dirty, hidden=False) == "check first"
    assert band(dirty) == "open"


def test_what_lies_beyond_the_drawing_is_called_so():
    assert undrawn_words("outside, north side") == "a way in nobody drew: outside, north side"
    assert (
        undrawn_words("not drawn yet, hall") == "a way in nobody drew: beyond what is drawn, hall"
    )
