"""Lengths for a pencil: rounded on either tape, inwards where a saw must not go further."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wainscot.drawing import BELOW, PENCIL, both, inwards, rounded
from wainscot.drawing.lengths import shown
from wainscot.quantity import Units, length

LENGTHS = st.floats(min_value=0.0, max_value=30.0)
UNITS = st.sampled_from(["m", "ft-in"])


@pytest.mark.parametrize(
    ("metres", "grain", "first", "second"),
    [
        # By hand: 412.7 mm is 16.248 in, so 16-1/4 in to the eighth; 415 mm to the 5 mm.
        (0.4127, PENCIL, "415 mm", "1'-4 1/4\""),
        # 16-1/4 in exactly, of which the nearest sixteenth is itself.
        (0.41275, BELOW, "413 mm", "1'-4 1/4\""),
        # One yard and half an inch: 927.1 mm.
        (0.9271, PENCIL, "925 mm", "3'-0 1/2\""),
        (0.0, PENCIL, "0 mm", '0"'),
    ],
)
def test_a_length_is_told_on_both_tapes(
    metres: float, grain: object, first: str, second: str
) -> None:
    assert both(metres, "m", grain) == (first, second)  # type: ignore[arg-type]
    assert both(metres, "ft-in", grain) == (second, first)  # type: ignore[arg-type]


@given(LENGTHS, UNITS, st.sampled_from([PENCIL, BELOW]))
def test_what_is_told_reads_back_as_what_was_rounded(
    metres: float, units: Units, grain: object
) -> None:
    on_tape = rounded(metres, units, grain)  # type: ignore[arg-type]
    assert length(shown(on_tape, units, grain)) == pytest.approx(on_tape, abs=1e-6)  # type: ignore[arg-type]
    half = (0.0254 / grain.parts if units == "ft-in" else grain.step) / 2  # type: ignore[attr-defined]
    assert abs(on_tape - metres) <= half + 1e-9


@given(LENGTHS, st.floats(min_value=0.05, max_value=5.0), UNITS)
def test_a_cut_on_the_tape_never_reaches_past_the_one_that_was_judged(
    low: float, wide: float, units: Units
) -> None:
    start, stop = inwards(low, low + wide, units, PENCIL)
    assert start >= low - 2e-6
    assert stop <= low + wide + 2e-6
    assert start < stop


@given(LENGTHS, UNITS)
def test_a_length_on_a_mark_of_the_tape_stays_there(metres: float, units: Units) -> None:
    on_tape = rounded(metres, units, PENCIL)
    for way in ("up", "down", "nearest"):
        assert rounded(on_tape, units, PENCIL, way) == pytest.approx(on_tape, abs=1e-9)  # type: ignore[arg-type]
