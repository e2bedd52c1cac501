"""The queue of the simulated day, against two formulas of queueing theory."""

from __future__ import annotations

import numpy as np
from study.crews import BATCH, EVENTS, NO_SIGNAL, PHOTOS, VISITS, WALKS, waits, working_day


def test_one_server_waits_as_pollaczek_and_khinchine_say() -> None:
    # M/D/1: mean wait = rho s / (2 (1 - rho)); Kleinrock, Queueing Systems 1 (1975), 5.6, from
    # memory.
    source = np.random.default_rng(1)
    arrivals = np.cumsum(source.exponential(1.0, 400_000))
    found = waits(list(arrivals), [0.6] * len(arrivals), 1).mean()
    assert abs(found / (0.6 * 0.6 / (2 * 0.4)) - 1) < 0.03


def test_two_servers_wait_as_erlang_says() -> None:
    # M/M/2: mean wait = s rho^2 / (1 - rho^2) with rho a server's load; Erlang's C formula for two
    # servers, from memory.
    source = np.random.default_rng(2)
    arrivals = np.cumsum(source.exponential(1.0, 400_000))
    found = waits(list(arrivals), list(source.exponential(1.2, len(arrivals))), 2).mean()
    assert abs(found / (1.2 * 0.36 / (1 - 0.36)) - 1) < 0.04


def test_days_have_as_much_as_was_said() -> None:
    days = [working_day(400, np.random.default_rng(seed)) for seed in range(3, 9)]
    visits = 6 * 400 * VISITS
    events, photos, walks = (sum(len(day[k]) for day in days) for k in range(3))
    assert abs(photos / (visits * PHOTOS) - 1) < 0.02
    assert abs(events / (visits * EVENTS / BATCH) - 1) < 0.03
    assert abs(walks / (visits * (NO_SIGNAL + (1 - NO_SIGNAL) * WALKS)) - 1) < 0.03
    assert all((np.diff(one) >= 0).all() for day in days for one in day)
