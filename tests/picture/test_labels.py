"""Plates find free places near where they belong."""

from hypothesis import given
from hypothesis import strategies as st

from wainscot.picture.labels import Box, Placer, around

FRAME = Box(200, 200, 400, 400)


def test_overlap_is_the_shared_area() -> None:
    one = Box(0, 0, 10, 10)
    assert one.overlap(Box(5, 5, 10, 10)) == 25
    assert one.overlap(Box(0, 0, 100, 100)) == 100
    assert one.overlap(Box(10, 0, 10, 10)) == 0


@given(st.lists(st.tuples(st.floats(100, 300), st.floats(100, 300)), min_size=2, max_size=5))
def test_a_few_plates_never_lie_on_each_other(spots: list[tuple[float, float]]) -> None:
    placer = Placer(FRAME)
    boxes = [placer.place(around(x, y, 40, 20), 40, 20) for x, y in spots]
    for i, one in enumerate(boxes):
        assert all(one.overlap(other) == 0 for other in boxes[:i])


def test_the_first_candidate_wins_where_it_is_free() -> None:
    assert Placer(FRAME).place(around(50, 60, 40, 20), 40, 20) == Box(50, 60, 40, 20)


def test_a_crowded_place_is_left_for_the_next_one() -> None:
    placer = Placer(FRAME)
    placer.take(Box(50, 60, 40, 20))
    assert placer.place([(50, 60), (150, 60)], 40, 20) == Box(150, 60, 40, 20)
