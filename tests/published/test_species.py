"""Facts of the three species against the figures as published.

Each row carries the value as printed; none was filled in from the program's own output.  These are
field and leaflet figures, so they are checked as printed, not as truths about every animal.
"""

from __future__ import annotations

import pytest

from wainscot.errors import InputError
from wainscot.species import SPECIES, species, weights

INCH = 0.0254

# State university extension guide to rodent exclusion methods: openings over 1/4 in (6 mm) for
# mice and over 1/2 in (13 mm) for rats are to be closed.  The metric figures are as printed.
OPENINGS = [("house mouse", 0.006, 1 / 4), ("norway rat", 0.013, 1 / 2), ("roof rat", 0.013, 1 / 2)]


@pytest.mark.parametrize(("name", "metres", "inches"), OPENINGS)
def test_the_opening_to_seal_is_the_printed_one(name: str, metres: float, inches: float) -> None:
    passage = SPECIES[name].passage
    assert passage.value == metres
    assert passage.value == pytest.approx(inches * INCH, abs=0.0005)
    assert passage.status == "read"


# Dropping lengths as printed [mm]: East Cambridgeshire (2014) and Wellingborough council leaflets,
# mouse 6 and 3; State of Connecticut and City of Green Bay pages, Norway rat 3/4 in and 3/4 to
# 1 in; roof rat 12 to 13 second-hand.
@pytest.mark.parametrize(
    ("name", "shortest", "longest"),
    [("house mouse", 3, 6), ("norway rat", 18, 25), ("roof rat", 12, 13)],
)
def test_droppings_are_as_long_as_printed(name: str, shortest: float, longest: float) -> None:
    low, high = SPECIES[name].dropping
    assert (low.value, high.value) == (shortest / 1000, longest / 1000)
    assert {low.status, high.status} <= {"read", "second-hand"}


def test_norway_rat_droppings_agree_with_the_inches_printed() -> None:
    low, high = SPECIES["norway rat"].dropping
    assert low.value == pytest.approx(3 / 4 * INCH, rel=0.06)
    assert high.value == pytest.approx(1 * INCH, rel=0.02)


# US Navy NAVFAC MO-310: mice travel about 10 ft (3 m), rarely over 30 ft (9 m).  State of
# Connecticut page: Norway rats 50 to 150 ft.  Roof rats 100 to 300 ft for food, second-hand.
@pytest.mark.parametrize(
    ("name", "usual", "most"),
    [("house mouse", 10, 30), ("norway rat", 50, 150), ("roof rat", 100, 300)],
)
def test_travel_agrees_with_the_feet_printed(name: str, usual: float, most: float) -> None:
    one = SPECIES[name]
    assert one.travel.value == pytest.approx(usual * 12 * INCH, rel=0.02)
    assert one.travel_most.value == pytest.approx(most * 12 * INCH, rel=0.02)


# Baker, Bodman & Timm 1994, seen second-hand: gnawed materials.
def test_wood_plastic_and_lead_do_not_keep_any_of_them_out() -> None:
    for one in SPECIES.values():
        assert {"wood", "plastic", "lead sheet", "aluminium sheet"} <= set(one.gnaws_through)
        assert "metal" not in one.gnaws_through


@pytest.mark.parametrize("country", ["", "US", "UK", "CA"])
def test_prior_weights_are_shares_of_one_and_say_that_they_are_judged(country: str) -> None:
    assert sum(weights(country).values()) == pytest.approx(1)
    assert all(one.weight.is_judgement for one in SPECIES.values())


def test_an_unknown_species_is_refused_with_the_nearest_name() -> None:
    with pytest.raises(InputError, match="write 'norway rat'"):
        species("norwegian rat")
