"""How chances are said.

Bounds: IPCC Fourth Assessment Report (2007), likelihood table in the front matter (very unlikely
< 10 %, unlikely < 33 %, about as likely as not 33 to 66 %, likely > 66 %, very likely > 90 %).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wainscot import chance


@pytest.mark.parametrize(
    ("value", "said"),
    [(0.0, "<5"), (0.0249, "<5"), (0.025, "5"), (0.07, "5"), (0.08, "10"), (0.5, "50"),
     (0.83, "85"), (0.974, "95"), (0.975, ">95"), (1.0, ">95")],
)  # fmt: skip
def test_a_number_is_the_nearest_five_and_never_nought_or_a_hundred(value: float, said: str):
    assert chance.percent(value) == said


@pytest.mark.parametrize(
    ("value", "said"),
    [(0.0, "very unlikely"), (0.0999, "very unlikely"), (0.10, "unlikely"), (0.3299, "unlikely"),
     (0.33, "even chance"), (0.66, "even chance"), (0.6601, "likely"), (0.90, "likely"),
     (0.9001, "very likely"), (1.0, "very likely")],
)  # fmt: skip
def test_words_change_at_the_published_bounds(value: float, said: str):
    assert chance.word(value) == said


@given(st.floats(0.0, 1.0))
def test_a_number_never_lies_more_than_half_a_step_away(value: float):
    said = chance.percent(value)
    if said == "<5":
        assert value < 0.025
    elif said == ">95":
        assert value >= 0.975
    else:
        assert abs(int(said) - 100.0 * value) <= 2.5 + 1e-9


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_greater_chance_never_gets_a_smaller_word(one: float, other: float):
    low, high = sorted((one, other))
    assert chance.class_of(low) <= chance.class_of(high)


@pytest.mark.parametrize("bad", [-0.01, 1.01, float("nan")])
def test_what_is_no_chance_is_refused(bad: float):
    for say in (chance.percent, chance.word, chance.in_ten):
        with pytest.raises(ValueError, match="between 0 and 1"):
            say(bad)


def test_in_a_sentence_a_chance_is_so_many_in_ten():
    assert chance.in_ten(0.68) == "about 7 in 10"
    assert chance.in_ten(0.01) == "less than 1 in 10"
    assert chance.in_ten(0.99) == "more than 9 in 10"


def test_the_tenth_lies_in_the_class_of_the_word_beside_it():
    for thousandths in range(1001):
        value = thousandths / 1000
        said, word = chance.in_ten(value), chance.word(value)
        if said.startswith("about"):
            assert chance.word(int(said.split()[1]) / 10) == word, value
        else:
            assert word in ("very unlikely", "very likely"), value
    assert (chance.word(0.65), chance.in_ten(0.65)) == ("even chance", "about 6 in 10")


def test_a_sum_that_passes_one_by_rounding_is_one_and_more_than_that_is_refused():

    assert chance.percent(1.0 + 2.0**-52) == ">95"
    assert chance.word(1.0 + 1e-12) == "very likely"
    assert chance.in_ten(-1e-12) == "less than 1 in 10"
    for wrong in (1.0 + 1e-6, -1e-6, float("nan")):
        with pytest.raises(ValueError, match="between 0 and 1"):
            chance.word(wrong)
