"""Figures of hazard rules against the rules as printed."""

from __future__ import annotations

import pytest

from wainscot.access.hazards.chimney import CLEARANCE
from wainscot.access.hazards.infection import SOAK
from wainscot.access.hazards.lead import LEAD_YEAR, MINOR_DAYS, MINOR_INSIDE
from wainscot.access.hazards.vermiculite import LAST_YEAR
from wainscot.access.years import ASBESTOS_UK, ASBESTOS_US


def test_minor_repair_is_six_square_feet_a_room_inside() -> None:
    # 40 CFR 745.83 as quoted by the regulator's archived answers: "6 square feet or less"; a strip
    # of 864 square inches.  1 in = 25.4 mm exactly.
    assert MINOR_INSIDE.value == pytest.approx(864 * 0.0254**2)
    assert round(MINOR_INSIDE.value, 3) == 0.557


def test_minor_repair_counts_thirty_days() -> None:
    # 40 CFR 745.83: jobs in one room within the same 30 days are one.
    assert MINOR_DAYS.value == 30


def test_target_housing_is_of_before_1978() -> None:
    # 40 CFR 745, target housing: constructed prior to 1978.
    assert LEAD_YEAR.value == 1978


def test_asbestos_is_presumed_in_buildings_of_no_later_than_1980() -> None:
    # 29 CFR 1926.1101(b), (k)(1): installed no later than 1980.
    assert ASBESTOS_US.value == 1980


def test_uk_surveys_come_before_work_on_buildings_of_before_2000() -> None:
    # HSE guidance on CAR 2012 and HSG264, second-hand.
    assert ASBESTOS_UK.value == 2000


def test_the_vermiculite_mine_closed_in_1990() -> None:
    # EPA and ATSDR, Current Best Practices for Vermiculite Attic Insulation, May 2003:
    # the mine near Libby gave much of the world's vermiculite until 1990.
    assert LAST_YEAR.value == 1990


def test_droppings_soak_five_minutes() -> None:
    # CDC, Clean Up! (rodents), step 2: let it soak for 5 minutes.
    assert SOAK.value == 5
    assert SOAK.unit == "min"


def test_a_chimney_keeps_two_inches() -> None:
    # IRC R1003.18: 2 in (51 mm) air space for chimneys inside or in an outside wall.
    assert round(CLEARANCE.value * 1000) == 51
