"""A drawing mirrored twice is itself, and a chain of dimensions closes on either tape."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wainscot.drawing import (
    PENCIL,
    Chain,
    Disc,
    Drawing,
    Letters,
    Shape,
    Sign,
    as_svg,
    mirrored,
    segments,
)
from wainscot.drawing.layout import on_paper
from wainscot.drawing.model import stop
from wainscot.drawing.svg import paper_size
from wainscot.quantity import Units, length

POINTS = st.tuples(st.floats(-9, 9), st.floats(-9, 9))


def _drawing(points: list[tuple[float, float]], turn: float) -> Drawing:
    stops = sorted({round(x, 3) for x, _ in points})
    return Drawing(
        key="any",
        title="any",
        window=(-10.0, -10.0, 11.0, 10.0),
        shapes=(Shape("cut", tuple(points), True, holes=(tuple(points),)),),
        discs=(Disc("service", points[0], 0.05),),
        signs=(Sign("look", points[0], turn=turn, nudge=(1.0, 2.0)),),
        letters=(Letters(points[0], "any", "start", nudge=(1.0, 0.0)),),
        chains=(
            Chain("x", tuple(stop(x, x + 10.0, PENCIL) for x in stops), -10.0, -1),
            Chain("y", (stop(0.0, 0.0, PENCIL), stop(1.0, 1.0, PENCIL)), 11.0, 1),
        ),
        north=turn,
    )


@given(st.lists(POINTS, min_size=3, max_size=6), st.floats(-3, 3))
def test_mirrored_twice_is_the_same_drawing(points: list[tuple[float, float]], turn: float) -> None:
    drawing = _drawing(points, turn)
    once = mirrored(drawing)
    twice = mirrored(once)
    assert once.mirrored
    assert not twice.mirrored
    assert twice.shapes == drawing.shapes
    assert twice.discs == drawing.discs
    assert twice.letters == drawing.letters
    assert twice.chains == drawing.chains
    assert twice.window == drawing.window
    assert twice.north == pytest.approx(drawing.north)
    assert once.shapes[0].points[0] == (0.0 - points[0][0], points[0][1])


def test_north_stays_up_and_east_becomes_west_where_one_looks_up() -> None:
    up = _drawing([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0)], math.pi / 2)
    assert mirrored(up).north == pytest.approx(math.pi / 2)
    east = msgspec.structs.replace(up, signs=(Sign("look", (1.0, 0.0), turn=0.0),))
    assert mirrored(east).signs[0].turn == pytest.approx(math.pi)


@given(st.lists(st.floats(0, 20), min_size=2, max_size=7, unique=True))
def test_what_is_printed_between_stops_adds_up_to_what_is_printed_in_all(
    places: list[float],
) -> None:
    ordered = tuple(stop(x, x, PENCIL) for x in sorted(places))
    ends = (ordered[0], ordered[-1])
    both_tapes: tuple[Units, Units] = ("m", "ft-in")
    for units in both_tapes:
        pieces = [length(first) for first, _ in segments(Chain("x", ordered, 0, -1), units, PENCIL)]
        whole = length(segments(Chain("x", ends, 0, -1), units, PENCIL)[0][0])
        assert sum(pieces) == pytest.approx(whole, abs=1e-6)


def test_a_drawing_keeps_to_its_box() -> None:
    drawing = _drawing([(0.0, 0.0), (5.0, 0.0), (5.0, 4.0)], 0.0)
    paper = on_paper(drawing)
    assert paper.width <= drawing.box[0]
    assert paper.height <= drawing.box[1]
    assert paper_size(drawing)[0] <= drawing.box[0]


def test_words_of_a_drawing_are_text_and_nothing_else() -> None:
    words = '<script>alert("x")</script>&amp;\x00'
    drawing = Drawing(
        "any", words, (0, 0, 1, 1), letters=(Letters((0.5, 0.5), words),), about=words
    )
    text = as_svg(drawing)
    assert "<script" not in text
    assert "&lt;script&gt;" in text
    assert "\x00" not in text
