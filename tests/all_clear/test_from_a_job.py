"""The all-clear of a job against every night counted out in plain loops, and what it rests on."""

from __future__ import annotations

from math import exp
from types import SimpleNamespace
from typing import Any, cast

import msgspec
import numpy as np
import pytest

from houses import as_job, bungalow
from wainscot import voids
from wainscot.all_clear import AllClear, all_clear
from wainscot.all_clear.cover import centres, cover_of
from wainscot.all_clear.of_job import ENDS_IT
from wainscot.book import DEFAULT, Book, read_book
from wainscot.plan.model import Plan
from wainscot.sealing import Remaining, Seal, Sealing, SealList
from wainscot.voids.graph import Graph

House = tuple[Plan, Graph]
SPREAD = 6.1
"""Of Norway rats. [m]"""
TRAP = {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-03-01"}
SEALED = {"kind": "seal", "closes": "x", "material": "mortar", "by": "Crew", "photo": "p",
          "at": "2026-02-01"}  # fmt: skip
LONG = {
    "trap": TRAP,
    "seal": SEALED,
    "look": {"kind": "trap_check", "trap": "trap", "at": "2026-07-29", "state": "set"},
}
"""A hundred and fifty empty nights after the seal."""


@pytest.fixture(scope="module")
def house() -> House:
    plan = voids.framed(as_job(bungalow())).plan
    return plan, voids.build(plan, "norway rat")


def _look(at: str, state: str, **more: Any) -> dict[str, Any]:
    return {"kind": "trap_check", "trap": "trap", "at": at, "state": state, **more}


def _draws(graph: Graph, in_use: int, species: str = "norway rat") -> Any:
    """Return ten draws; in so many of them the first hidden void is in use, and soiled."""
    now = np.zeros((10, len(graph.keys)), dtype=bool)
    now[:in_use, np.flatnonzero(graph.hidden)[:1]] = True
    return SimpleNamespace(cases=((species,),), weight=np.full(10, 0.1), now=now,
                           soil=now.astype(np.uint8))  # fmt: skip


def _sealing(*remaining: str, seals: tuple[Seal, ...] = ()) -> Sealing:
    """Return lists of which only that of Norway rats as built leaves anything."""
    left = tuple(Remaining(why, why, (), 1) for why in remaining)
    lists = [
        SealList(cast(Any, species), cast(Any, grade), seals if mine else (), 0.0,
                 left if mine else (), "")
        for species in ("house mouse", "norway rat") for grade in ("as built", "if they gnaw")
        for mine in [(species, grade) == ("norway rat", "as built")]
    ]  # fmt: skip
    return Sealing(tuple(lists), (), (), (), (), ())


def _cleared(
    house: House, entities: dict[str, Any], sealing: Sealing | None = None, in_use: int = 2,
    species: str = "norway rat", **more: Any,
) -> AllClear:  # fmt: skip
    document = bungalow()
    document["entities"] |= entities
    plan, graph = house
    return all_clear(as_job(document), plan, graph, _draws(graph, in_use, species),
                     sealing or _sealing(), **more)  # fmt: skip


def _nights(
    absent: float, where: list[float], nights: list[list[float]], back: float
) -> list[float]:
    """Return the chance that they are gone after each empty night, void by void."""
    out, there = [], [(1.0 - absent) * share for share in where]
    for caught in nights:
        there = [one + absent * back * share for one, share in zip(there, where, strict=True)]
        absent *= 1.0 - back
        there = [one * (1.0 - chance) for one, chance in zip(there, caught, strict=True)]
        whole = absent + sum(there)
        absent, there = absent / whole, [one / whole for one in there]
        out.append(absent)
    return out


@pytest.mark.parametrize(("in_use", "again"), [(2, 0.3), (8, 0.2)])
def test_every_night_has_its_date_its_catch_and_its_chance_at_three_rates(
    house: House, in_use: int, again: float
) -> None:
    entities = {
        "trap": TRAP, "a": _look("2026-03-03", "set"), "b": _look("2026-03-06", "caught", count=2),
        "c": _look("2026-03-08", "set"),
    }  # fmt: skip
    found = _cleared(house, entities, in_use=in_use)
    document = bungalow()
    document["entities"] |= entities
    cover = cover_of(as_job(document), *house, _draws(house[1], in_use))
    where, nightly = cover.where.tolist(), cover.nightly
    assert [one.day for one in found.by_night] == [f"2026-03-0{day}" for day in range(2, 9)]
    assert [one.caught for one in found.by_night] == [0, 0, 0, 0, 2, 0, 0]
    # Low, middle and high of the stated range are 0.05, 0.1 and 0.2.
    for name, times in (("low", 0.5), ("middle", 1.0), ("high", 2.0)):
        scaled = (nightly * times).tolist()
        before = _nights(1.0 - in_use / 10, where, scaled[:4], 0.0003)
        # Of the nights after a catch the first starts from 0.3, or from what was thought before.
        after = _nights(again, where, scaled[5:], 0.0003)
        told = [getattr(one, name) for one in found.by_night]
        assert told == pytest.approx([*before, 0.0, *after])
    last = found.by_night[-1]
    assert found.statement.chance == pytest.approx(last.low)
    assert found.statement.chance_range == pytest.approx((last.low, last.middle, last.high))
    assert found.rate == cover.rate
    assert found.watching == cover.seen
    assert (found.species, found.since, found.not_placed) == ("norway rat", "", ())
    # The catch was two nights before the last look.
    assert found.statement.outcome == "not over"


def test_many_traps_at_the_high_end_catch_for_certain_and_not_more(house: House) -> None:
    entities = {"seal": SEALED}
    for n in range(20):
        entities[f"t{n}"] = TRAP
        entities[f"c{n}"] = {**_look("2026-03-16", "set"), "trap": f"t{n}"}
    found = _cleared(house, entities)
    document = bungalow()
    document["entities"] |= entities
    cover = cover_of(as_job(document), *house, _draws(house[1], 2))
    assert float(cover.nightly.max()) > 0.5
    high = [[min(2.0 * float(one), 1.0) for one in night] for night in cover.nightly]
    assert [one.high for one in found.by_night] == pytest.approx(
        _nights(0.8, cover.where.tolist(), high, 0.0003)
    )
    assert found.statement.chance_range[2] == pytest.approx(found.by_night[-1].high)


def test_seven_nights_after_a_catch_it_is_open_again(house: House) -> None:
    entities = {"trap": TRAP, "a": _look("2026-03-03", "caught")}
    for last, outcome in (("2026-03-09", "not over"), ("2026-03-10", "not yet known")):
        found = _cleared(house, {**entities, "b": _look(last, "set")})
        assert found.statement.outcome == outcome
        assert found.statement.rests_on[0].startswith(f"{int(last[-2:]) - 3} nights of traps")
    one = _cleared(house, {"trap": TRAP, "a": _look("2026-03-03", "caught")})
    assert one.statement.chance == 0.0


def test_it_is_over_where_all_is_sealed_and_nothing_stays_open(house: House) -> None:
    found = _cleared(house, LONG)
    assert found.statement.outcome == "over"
    assert found.since == "2026-02-01"
    assert found.statement.valid_until == "2026-08-28"
    assert found.statement.warranty == ()
    # What only another animal's list leaves, or this one's if they gnaw, changes nothing.
    mouse = _cleared(house, LONG, _sealing("declined"), species="house mouse")
    assert mouse.statement.limits == _cleared(house, LONG, species="house mouse").statement.limits
    # Roof rats pass what Norway rats pass.
    roof = _cleared(house, LONG, _sealing("declined"), species="roof rat")
    assert roof.statement.limits[0].startswith("1 known way in stays open")


@pytest.mark.parametrize(
    ("changed", "outcome"),
    [
        ({"shared": True}, "quiet and monitored"),
        ({"terms": {"kind": "closing_terms", "shared": True}}, "quiet and monitored"),
        ({"seal": {**SEALED, "photo": ""}}, "not yet known"),
        ({"seals": (Seal("gap", "gap", "passage", 1, 1.0, "", "mortar"),)}, "not yet known"),
    ],
)
def test_a_shared_house_and_an_open_list_are_never_called_over(
    house: House, changed: dict[str, Any], outcome: str
) -> None:
    entities = LONG | {key: one for key, one in changed.items() if key in ("terms", "seal")}
    found = _cleared(house, entities, _sealing(seals=changed.get("seals", ())),
                     shared=changed.get("shared", False))  # fmt: skip
    assert found.statement.outcome == outcome
    unsealed = outcome == "not yet known"
    assert found.statement.settles[0].startswith("close what is on the seal list") == unsealed


@pytest.mark.parametrize(
    ("why", "back", "told"),
    [
        ("declined", 0.01, "1 known way in stays open"),
        ("cannot be reached", 0.01, "1 known way in stays open"),
        ("left open", 0.01, "1 known way in stays open"),
        ("belongs to a neighbour", 0.003, "1 way belongs to a neighbour"),
        ("not drawn yet", 0.003, "1 way belongs to a neighbour"),
        ("must stay open", 0.003, "1 way belongs to a neighbour"),
    ],
)
def test_what_stays_open_lowers_every_night(house: House, why: str, back: float, told: str) -> None:
    found = _cleared(house, LONG, _sealing(why, why)).statement
    one = _cleared(house, LONG, _sealing(why)).statement
    assert one.limits[0].startswith(told)
    assert found.limits[0].startswith("2 ")
    assert one.limits[1:] == found.limits[1:]
    assert one.outcome in ("quiet and monitored", "not yet known")
    # 1 - Pi / SSe before the next return, over 1 - Pi (epiR), at the low end of the last night.
    document = bungalow()
    document["entities"] |= LONG
    cover = cover_of(as_job(document), *house, _draws(house[1], 2))
    night = float(cover.where @ cover.nightly[-1]) / 2
    assert one.ceiling == pytest.approx((1 - back / night) / (1 - back))


def test_what_the_firm_answers_for_ends_as_is_said(house: House) -> None:
    terms = {"kind": "closing_terms", "warranty": "We come back"}
    found = _cleared(house, {"terms": terms})
    assert found.statement.warranty == ("We come back", ENDS_IT)
    assert found.statement.valid_until == ""


# One more trap, and when to stop.

SHORT = {"seal": SEALED, "trap": TRAP, "a": _look("2026-03-13", "set")}


def _doubt(house: House, where: np.ndarray[Any, Any], at: int | None) -> tuple[float, list[float]]:
    """Return what a week leaves of the doubt, and the nightly chance with one more trap there."""
    document = bungalow()
    document["entities"] |= SHORT
    now = cover_of(as_job(document), *house, _draws(house[1], 2)).tonight
    assert now is not None
    middles = centres(house[1])
    chances, doubt = [], 0.0
    for v in range(len(where)):
        more = 0.0
        if at is not None:
            more = 0.1 * exp(-float(((middles[v] - middles[at]) ** 2).sum()) / (2 * SPREAD**2))
        chances.append(1.0 - (1.0 - float(now[v])) * (1.0 - more))
        doubt += float(where[v]) * (1.0 - chances[-1]) ** 7
    return doubt, chances


def _until(nights: list[float], wanted: float, so_far: int) -> int:
    return next(n for n, one in enumerate(nights[so_far - 1 :]) if one >= wanted)


def test_the_next_trap_stands_where_a_week_leaves_the_least_doubt(house: House) -> None:
    found = _cleared(house, SHORT)
    _, graph = house
    document = bungalow()
    document["entities"] |= SHORT
    cover = cover_of(as_job(document), *house, _draws(graph, 2))
    hidden = np.flatnonzero(graph.hidden).tolist()
    best = min(hidden, key=lambda v: _doubt(house, cover.where, v)[0])
    assert found.next_trap.at == graph.words[best]
    past = [[0.5 * float(one) for one in night] for night in cover.nightly]
    for at, told in ((best, found.next_trap.nights), (None, found.next_trap.without)):
        ahead = [0.5 * one for one in _doubt(house, cover.where, at)[1]]
        course = _nights(0.8, cover.where.tolist(), past + [ahead] * 200, 0.0003)
        assert told == _until(course, 0.95, len(past))
    assert dict(found.statement.nights_for)[0.95] == found.next_trap.without
    assert dict(found.statement.nights_for)[0.99] == _until(course, 0.99, len(past))


def test_without_a_look_a_trap_is_told_but_no_night(house: House) -> None:
    plan, graph = house
    found = _cleared(house, {})
    assert found.next_trap.at in graph.words
    assert (found.next_trap.nights, found.next_trap.without) == (None, None)
    assert found.by_night == ()
    assert found.stopping.nights is None
    assert found.statement.chance == pytest.approx(0.8)
    bare = msgspec.structs.replace(graph, hidden=np.zeros(len(graph.keys), dtype=bool))
    nothing = _cleared((plan, bare), {})
    assert (nothing.next_trap.at, nothing.next_trap.nights, nothing.next_trap.without) == (
        "", None, None)  # fmt: skip


@pytest.mark.parametrize(
    ("book", "a_night", "callback", "currency"),
    # A round of traps takes 0.75 h every three nights, a callback to a nest 40 h.
    [(DEFAULT, 0.25, 40.0, ""), (read_book('currency = "USD"\nhour = 80'), 20.0, 3200.0, "USD"),
     (read_book("trap_round = 6\ncallback_nest = 16"), 2.0, 16.0, "")],
)  # fmt: skip
def test_watching_stops_where_it_costs_least(
    house: House, book: Book, a_night: float, callback: float, currency: str
) -> None:
    found = _cleared(house, SHORT, book=book).stopping
    assert (found.a_night, found.callback) == pytest.approx((a_night, callback))
    assert found.currency == currency
    document = bungalow()
    document["entities"] |= SHORT
    cover = cover_of(as_job(document), *house, _draws(house[1], 2))
    past = [[0.5 * float(one) for one in night] for night in cover.nightly]
    ahead = [0.5 * one for one in _doubt(house, cover.where, None)[1]]
    course = _nights(0.8, cover.where.tolist(), past + [ahead] * 200, 0.0003)
    cost = [a_night * n + callback * (1 - one) for n, one in enumerate(course[len(past) - 1 :])]
    assert found.nights == min(range(len(cost)), key=lambda n: cost[n])


def test_smells_what_was_left_shut_and_traps_that_are_nowhere_are_handed_on(house: House) -> None:
    smell = {"kind": "air_reading", "room": "kitchen", "at": "2026-03-03", "of": "odour",
             "value": 3.0}  # fmt: skip
    _, graph = house
    first = int(np.flatnonzero(graph.hidden)[0])
    found = _cleared(house, {"smell": smell, "trap": {**TRAP, "place": {}}}, _sealing("declined"))
    assert [one.room for one in found.smells] == ["kitchen"]
    assert found.not_placed == ("trap",)
    assert found.callback.left_shut == (f"{graph.words[first]} (20 in 100 that it is soiled)",)
    assert found.callback.open_ways == ("declined (declined)",)
    assert found.callback.traps == ("trap",)
    seen = np.zeros(len(graph.keys))
    seen[first] = 1.0
    assert _cleared(house, {}, looked=seen).callback.left_shut == ()
