"""What a figure taken from a finished wall is off by below the floor.

Sizes of dressed lumber and of blocks from memory (American Softwood Lumber Standard PS 20; block of
8 in nominal); the sums are arithmetic.
"""

from __future__ import annotations

import pytest

from wainscot.papers.opening_sheet.datum import WITH_PIN, WITHOUT_PIN, short_below

INCH = 0.0254


def test_a_2x4_wall_with_board_over_an_8_inch_foundation() -> None:
    # 3-1/2 in of stud and 1/2 in of board; 8 in block is 7-5/8 in: 3-5/8 in; concrete 8 in: 4 in.
    low, high = short_below(4 * INCH)
    assert low / INCH == pytest.approx(3 + 5 / 8)
    assert high / INCH == pytest.approx(4.0)
    assert (round(low * 1000), round(high * 1000)) == (92, 102)


def test_two_surveys_and_two_tapes_stay_within_the_tolerance_without_a_pin() -> None:
    # Two surveys at 1/4 in, two tapes at 1/8 in, by root of the sum of squares: 0.40 in.
    stacked = (2 * 0.25**2 + 2 * 0.125**2) ** 0.5
    assert stacked == pytest.approx(0.395, abs=0.005)
    assert stacked * INCH <= WITHOUT_PIN.value
    assert pytest.approx(0.125 * INCH) == WITH_PIN.value
