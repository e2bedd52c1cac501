"""The removal estimator against a direct search of the likelihood over number and catchability."""

from __future__ import annotations

import numpy as np
import pytest

from wainscot.all_clear.removal import chance_of, moran, zippin


@pytest.mark.parametrize("seed", range(30))
def test_the_likeliest_number_is_that_of_a_direct_search(seed: int) -> None:
    rng = np.random.default_rng(seed)
    left, catches = int(rng.integers(25, 60)), []
    p = float(rng.uniform(0.35, 0.7))
    for _ in range(int(rng.integers(3, 5))):
        one = int(rng.binomial(left, p))
        catches.append(one)
        left -= one
    if catches[0] <= catches[-1]:
        pytest.fail("the seed gives no decline: choose another range")
    total = sum(catches)
    grid = np.linspace(0.02, 0.98, 193)
    best = max(
        range(total, total + 150), key=lambda n: max(chance_of(catches, n, float(p)) for p in grid)
    )
    found = moran(catches)
    assert abs(found.number - best) <= 1.0
    assert found.interval[0] <= found.number <= found.interval[1]
    assert abs(zippin(catches).number - best) <= 2.0
