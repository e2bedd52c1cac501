"""Far signs with priors as a house has them: thirty random ladders, seeds fixed beforehand.

Outside: ``exact.frontier``, a dynamic programme without the kernel's code.  Ways in have a prior of
0.3, unknown ones 1e-4 to 1e-3 a void, passages 0.02 to 0.6; the signs lie at the far end.
"""

from __future__ import annotations

import numpy as np
import pytest
from exact import frontier
from problems import make, sign
from test_kernel_exact import differences

from wainscot.diagnosis.kernel import IN_TURNS, Problem, combine, run

SEEDS = range(30)


def random_ladder(seed: int) -> Problem:
    """2 x 8 to 2 x 20 voids; one or two signs in the last third, some looks in vain before it."""
    rng = np.random.default_rng(seed)
    columns = int(rng.integers(8, 21))
    voids = 2 * columns
    pairs = [(2 * c, 2 * c + 1) for c in range(columns)]
    pairs += [(2 * c + r, 2 * c + 2 + r) for c in range(columns - 1) for r in (0, 1)]
    passages = [(a, b, float(rng.uniform(0.02, 0.6))) for a, b in sorted(pairs, key=max)]
    ways = rng.choice(voids // 3, 3, replace=False)
    implicit = 10.0 ** rng.uniform(-4.0, -3.0)
    sources = [(int(v), (0.7, 0.15, 0.15), True) for v in ways]
    sources += [(v, (1 - implicit, implicit / 2, implicit / 2), False) for v in range(voids)]
    false = 10.0 ** rng.uniform(-6.0, -3.0)
    found = sign(false, 0.6, 0.7) if rng.random() < 0.5 else sign(false, 0.05, 0.7)
    rows = {int(v): found for v in rng.choice(np.arange(2 * voids // 3, voids), 2, replace=False)}
    empty = rng.choice(voids // 2, 3, replace=False)
    rows |= {int(v): sign(1.0, 0.4, 0.3) for v in empty}
    return make(voids, passages, sources, rows)


@pytest.mark.parametrize("flags", [0, IN_TURNS])
@pytest.mark.parametrize("seed", SEEDS)
def test_far_signs_with_the_priors_of_a_house(seed: int, flags: int) -> None:
    problem = random_ladder(seed)
    found, true = combine(run(problem, seed=seed, flags=flags)), frontier(problem)
    error, ratio = differences(found, true)
    assert error <= 0.05
    assert ratio <= 4.5
    assert abs(found.log_evidence - true.log_evidence) <= max(0.2, 4.5 * found.log_evidence_se)
