"""All lists as one: numbers, letters and hours against the lists that they come from."""

from __future__ import annotations

import pytest

from houses import as_job, bungalow, ranch, semi
from wainscot.sealing import Sealing, Terms, left_of, letter, ranges, rows_of, seal_lists


@pytest.fixture(scope="module", params=[bungalow, semi, ranch])
def sealing(request: pytest.FixtureRequest) -> Sealing:
    return seal_lists(as_job(request.param()), Terms(given_up=("crawl space",)) if
                      request.param is ranch else Terms())  # fmt: skip


def test_every_seal_stands_in_one_row_and_hours_add_up(sealing: Sealing) -> None:
    rows = rows_of([one.seals for one in sealing.lists])
    assert [row.number for row in rows] == list(range(1, len(rows) + 1))
    keys = [key for row in rows for key in row.keys]
    assert sorted(keys) == sorted({one.key for each in sealing.lists for one in each.seals})
    for n, each in enumerate(sealing.lists):
        assert sum(row.hours[n] for row in rows) == pytest.approx(each.hours, abs=0.02 * len(rows))
        asked = {one.key for one in each.seals}
        for row in rows:
            assert bool(row.hours[n]) == bool({*row.keys} & asked)
    assert all(len(row.spots) >= len(row.keys) for row in rows)


def test_every_way_that_stays_open_has_a_letter_of_its_own(sealing: Sealing) -> None:
    left = left_of(sealing.lists)
    assert len({one.letter for one in left}) == len(left)
    for n, each in enumerate(sealing.lists):
        assert sum(one.lists[n] for one in left) == len(each.remaining)


def test_numbers_and_letters_in_words() -> None:
    assert ranges([3, 1, 2, 7, 9, 10]) == "1 to 3, 7, 9, 10"
    assert ranges([]) == ""
    assert [letter(n) for n in (0, 25, 26, 51, 52)] == ["a", "z", "aa", "az", "ba"]
