"""What one trap covers, night by night, against the formula written out."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from houses import as_job, bungalow
from wainscot import voids
from wainscot.all_clear.cover import Cover, centres, cover_of
from wainscot.all_clear.outcome import SPREAD
from wainscot.job import Place
from wainscot.plan.model import Plan
from wainscot.voids.graph import Graph
from wainscot.voids.points import point_of

TRAP = {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-03-01"}


@pytest.fixture(scope="module")
def house() -> tuple[Plan, Graph]:
    plan = voids.framed(as_job(bungalow())).plan
    return plan, voids.build(plan, "house mouse")


def _cover(house: tuple[Plan, Graph], **entities: dict[str, Any]) -> Cover:
    document = bungalow()
    document["entities"] |= {"trap": TRAP, **entities}
    plan, graph = house
    now = np.zeros((4, len(graph.keys)), dtype=bool)
    # In use in three draws of four, in the first hidden void.
    now[:3, np.flatnonzero(graph.hidden)[0]] = True
    draws = SimpleNamespace(
        cases=(("house mouse and norway rat",),), weight=np.full(4, 0.25), now=now
    )
    return cover_of(as_job(document), plan, graph, cast(Any, draws))


def _look(at: str, state: str, **more: Any) -> dict[str, Any]:
    return {"kind": "trap_check", "trap": "trap", "at": at, "state": state, **more}


def _kernel(house: tuple[Plan, Graph]) -> np.ndarray[Any, Any]:
    plan, graph = house
    at = point_of(plan, Place(of="kitchen"))
    away = ((centres(graph) - np.array(at)) ** 2).sum(axis=1)
    return np.asarray(np.exp(-away / (2 * SPREAD["house mouse"].value ** 2)))


def test_the_first_night_of_a_new_trap_is_worth_a_quarter(house: tuple[Plan, Graph]) -> None:
    found = _cover(house, a=_look("2026-03-03", "set"))
    # One night of lag for mice: of two nights 1.25 are worth something, spread over both; the
    # stated middle is one in ten.
    night = 1 - (1 - 0.1 * _kernel(house)) ** (1.25 / 2)
    assert found.nightly == pytest.approx(np.array([night, night]))
    assert found.caught == (0, 0)
    assert found.tonight == pytest.approx(0.1 * _kernel(house))
    assert (found.species, found.before) == ("house mouse", pytest.approx(0.25))
    assert found.last_look - found.first_day == pytest.approx(2.0)
    assert found.last_catch == 0.0


def test_where_one_would_live_is_what_the_draws_say_and_a_little_everywhere_hidden(
    house: tuple[Plan, Graph],
) -> None:
    _, graph = house
    where = _cover(house).where
    share = np.where(graph.hidden, 0.01, 0.0)
    share[np.flatnonzero(graph.hidden)[0]] += 0.75
    assert where == pytest.approx(share / share.sum())


def test_the_nights_before_a_catch_say_nothing_and_it_counts_in_the_night_it_ends(
    house: tuple[Plan, Graph],
) -> None:
    found = _cover(house, a=_look("2026-03-03", "caught", species="house mouse", count=2),
                   b=_look("2026-03-05", "set", taken_up=True))  # fmt: skip
    assert found.caught == (0, 2, 0, 0)
    assert not found.nightly[:2].any()
    assert found.nightly[2] == pytest.approx(0.1 * _kernel(house))
    assert found.tonight is not None
    # Taken up, so nothing stands tonight.
    assert not found.tonight.any()
    assert found.last_look - found.last_catch == pytest.approx(2.0)


def test_without_a_look_nothing_is_covered_and_a_trap_nowhere_covers_nothing(
    house: tuple[Plan, Graph],
) -> None:
    alone = _cover(house)
    assert (alone.nightly.shape[0], alone.tonight, alone.caught) == (0, None, ())
    nowhere = {**TRAP, "place": {}}
    found = _cover(house, trap=nowhere, a=_look("2026-03-03", "set"))
    assert found.lost == ("trap",)
    assert found.seen.trap_nights == pytest.approx(2.0)
    assert not found.nightly.any()
