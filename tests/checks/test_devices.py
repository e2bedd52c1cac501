"""Camera nights, dust patches and traps are weighed by what their method shows."""

from __future__ import annotations

import numpy as np
import pytest

from wainscot.access.offer import all_acts
from wainscot.checks.outcomes import NOTHING, look_table
from wainscot.signs import DEFAULT

DEVICES = sorted(act.method for act in all_acts().values() if act.nights)


def test_every_act_with_a_method_has_a_row_in_the_signs_table():
    methods = {act.method for act in all_acts().values() if act.method}
    assert methods <= set(DEFAULT.methods)
    assert {"camera", "dust patch"} <= set(DEVICES)


@pytest.mark.parametrize("method", DEVICES)
def test_a_device_shows_animals_of_now_and_more_with_more_nights(method):
    one, five = (look_table(method, 1.0, n, "norway rat", DEFAULT) for n in (1, 5))
    for table in (one, five):
        assert np.allclose(table.sum(axis=0), 1.0)
        assert table.min() >= -1e-12
    now, past = slice(12, 18), slice(6, 12)
    assert (five[NOTHING, now] < one[NOTHING, now]).all()
    assert (one[NOTHING, now] < one[NOTHING, past] - 0.05).all()
    assert np.allclose(one[NOTHING, past], one[NOTHING, 0])
