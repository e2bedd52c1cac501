"""What a judged rate would change if it were off, against counting with the changed rate.

``small.exact`` counts every state of a small invented house with numpy; the draws of one diagnosis
are only reweighed.  Gate: chances within 0.03, as for the diagnosis itself.
"""

from __future__ import annotations

from itertools import product

import msgspec
import numpy as np
import pytest

from small import evidence_of, exact, finds, graph, look, usual
from wainscot.diagnosis import Case, Effort
from wainscot.diagnosis import sensitivity as step
from wainscot.diagnosis.bands import Outlook, band
from wainscot.signs import DEFAULT, again, weigh
from wainscot.signs.scaling import RateName, judged_rates, scaled

EFFORT = Effort(7, 8, 8192)


def case(placed) -> Case:
    return Case("norway rat", "", 1.0, graph(), evidence_of(placed))


@pytest.fixture(scope="module")
def result():
    return step.of_cases((case(usual()),), effort=EFFORT)


def under(words: str, factor: float, placed=None):
    name = next(one for one in judged_rates() if one.words == words)
    return exact(graph(), again(evidence_of(placed or usual()), scaled(DEFAULT, name, factor)))


def test_reweighed_chances_are_those_of_counting_with_the_changed_rate(result):
    before = exact(graph(), evidence_of(usual()))["soiled"]
    assert len(result.effects) >= 20
    for one in result.effects[::7]:
        v = graph().words.index(one.void)
        after = under(one.rate, one.factor)["soiled"][v]
        assert abs(one.chance[0] - before[v]) <= 0.03, one.rate
        assert abs(one.chance[1] - after) <= 0.03, one.rate
        assert abs((one.chance[1] - one.chance[0]) - (after - before[v])) <= 0.02, one.rate


def test_what_is_said_to_change_nothing_changes_nothing_in_counting(result):
    before = exact(graph(), evidence_of(usual()))["soiled"]
    hidden = graph().hidden
    told = {one.rate for one in result.effects}
    still = [one for one in judged_rates() if one.words not in told]
    assert len(still) == result.silent
    for name in still[::20]:
        for factor in step.FACTORS:
            after = under(name.words, factor)["soiled"]
            assert np.abs(after - before)[hidden].max() < 0.02, name.words


def bands_near(answer):
    """Bands of each void by counting, with any other that lies within 0.02 of its chances."""
    found = []
    for v, hidden in enumerate(graph().hidden):
        nest, heavy = float(answer["nest"][v]), float(answer["heavy only"][v])
        light = float(answer["soiled"][v]) - heavy - nest
        moves = product((-0.02, 0.0, 0.02), repeat=3)
        near = [np.maximum([light + a, heavy + b, nest + c], 0.0).tolist() for a, b, c in moves]
        found.append({band(Outlook(*each), hidden=bool(hidden)) for each in near})
    return found


def test_bands_that_would_change_are_those_of_counting(result):
    before = bands_near(with_heavy_only(evidence_of(usual())))
    plain = 0
    for one in result.effects[:4]:
        name = next(each for each in judged_rates() if each.words == one.rate)
        evidence = again(evidence_of(usual()), scaled(DEFAULT, name, one.factor))
        after = bands_near(with_heavy_only(evidence))
        changed = {each.label: each for each in one.bands}
        for v, label in enumerate(graph().labels):
            if label in changed:
                assert changed[label].was in before[v], (one.rate, label)
                assert changed[label].would_be in after[v], (one.rate, label)
            elif graph().hidden[v]:
                assert before[v] & after[v], (one.rate, label)
            plain += label in changed and not before[v] & after[v]
    assert plain >= 1, "some change is far from any edge"


def with_heavy_only(evidence):
    """Exact chances with heavy soil without a nest, from the rows with nests struck out."""
    answer = exact(graph(), evidence)
    heavy_nest = []
    for v in range(7):
        rows = evidence.detail.copy()
        own = len(rows)
        row = rows[evidence.row_of[v]].copy()
        row[..., :5] = 0.0
        index = evidence.row_of.copy()
        index[v] = own
        only = msgspec.structs.replace(
            evidence, detail=np.concatenate([rows, row[None]]), row_of=index
        )
        with np.errstate(invalid="ignore", divide="ignore"):
            part = exact(graph(), only)["log_evidence"]
        heavy_nest.append(np.exp(part - answer["log_evidence"]))
    return {**answer, "heavy only": answer["heavy"] - np.array(heavy_nest)}


def test_the_most_telling_come_first(result):
    order = [(bool(one.next_check), len(one.bands)) for one in result.effects]
    assert order == sorted(order, reverse=True)
    assert result.rates == len(judged_rates())


def test_where_draws_cannot_be_reweighed_they_are_taken_anew(monkeypatch):
    names = tuple(
        one
        for one in judged_rates()
        if one.words in ("droppings: false alarms", "narrow voids: soil")
    )
    monkeypatch.setattr(step, "judged_rates", lambda rates: names)
    monkeypatch.setattr(step, "TRUSTED", -np.inf)
    found = step.of_cases((case(usual()),), effort=EFFORT)
    assert found.effects
    assert all(one.rerun for one in found.effects)
    for one in found.effects:
        v = graph().words.index(one.void)
        assert abs(one.chance[1] - under(one.rate, one.factor)["soiled"][v]) <= 0.03


def test_the_next_check_is_asked_with_draws_of_the_changed_rate(monkeypatch):
    name = RateName("soil", "narrow", "")
    monkeypatch.setattr(step, "judged_rates", lambda rates: (name,))
    asked = []

    def ask(draws, rates):
        asked.append((draws, rates))
        soiled = draws.weight @ ((draws.soil > 0) | draws.nest)
        return draws.void_ids[int(np.argmax(soiled))] + f" {soiled.max():.2f}"

    found = step.of_cases((case(usual()),), effort=EFFORT, next_check=ask)
    assert len(asked) == 1 + len(step.FACTORS)
    for (draws, rates), factor in zip(asked, (1.0, *step.FACTORS), strict=True):
        assert abs(draws.weight.sum() - 1.0) < 1e-9
        truth = exact(graph(), again(evidence_of(usual()), scaled(DEFAULT, name, factor)))
        soiled = draws.weight @ ((draws.soil > 0) | draws.nest)
        assert np.abs(soiled - truth["soiled"]).max() <= 0.03
        assert rates.classes["narrow"].soil == scaled(DEFAULT, name, factor).classes["narrow"].soil
    assert found.next_check
    assert all(one.next_check for one in found.effects)


def test_smells_and_repeats_are_reweighed_too(monkeypatch):
    wanted = (
        "smell: nest adds",
        "smell: false alarms",
        "nose: how far a second look repeats the first",
    )
    names = tuple(one for one in judged_rates() if one.words in wanted)
    assert len(names) == 3
    placed = [
        look("a", (0,), finds("odour", "strong"), method="nose"),
        look("b", (0,), finds("odour", "clear"), method="nose"),
        look("c", (3,), finds("droppings", "few"), share_seen=0.4),
    ]
    wide = graph(aperture=np.full((8, 2), 0.06))
    monkeypatch.setattr(step, "judged_rates", lambda rates: names)
    start = Case("norway rat", "", 1.0, wide, weigh(placed, wide, "norway rat"))
    reweighed = step.of_cases((start,), effort=EFFORT)
    monkeypatch.setattr(step, "TRUSTED", -np.inf)
    anew = step.of_cases((start,), effort=EFFORT)
    drawn = {(one.rate, one.factor, one.void): one.chance for one in anew.effects}
    common = [one for one in reweighed.effects if (one.rate, one.factor, one.void) in drawn]
    assert common
    for one in common:
        assert abs(one.chance[1] - drawn[one.rate, one.factor, one.void][1]) <= 0.03


def test_it_is_said_in_lines_that_begin_with_what_matters(result):
    told = step.lines(result, most=3)
    assert "judged rates" in told[0]
    assert len(told) <= 5
    assert "halved" in told[1] or "doubled" in told[1]
    nothing = step.of_cases((case([]),), effort=Effort(1, 4, 256))
    assert step.lines(nothing)


@pytest.mark.parametrize("name", judged_rates(), ids=lambda one: one.words)
def test_every_rate_can_be_halved_and_doubled_and_stays_a_rate(name):
    # what is nearly sure cannot be doubled, but it can be halved
    assert scaled(DEFAULT, name, 0.5) != DEFAULT
    for factor in step.FACTORS:
        changed = scaled(DEFAULT, name, factor)
        again(evidence_of(usual()), changed)
        for row in changed.classes.values():
            assert np.allclose(np.sum(row.soil, axis=1), 1.0)
            assert 0.0 <= min(row.nest) <= max(row.nest) <= 1.0
        assert abs(sum(changed.load) - 1.0) < 1e-9
        for method in changed.methods.values():
            assert all(0.0 < each <= 1.0 for each in method.shows.values())
        said = changed.kind("opened and seen").numbers("said")
        assert np.allclose(said.sum(axis=1), 1.0)


def test_the_range_of_a_void_ends_where_counting_with_those_rates_does():
    told = step.ranges_of_cases((case(usual()),), effort=EFFORT)
    house = graph()
    before = exact(house, evidence_of(usual()))["soiled"]
    for v, key in enumerate(house.keys):
        if not house.hidden[v]:
            assert key not in told
            continue
        one = told[key]
        assert one.low <= before[v] + 0.03
        assert one.high >= before[v] - 0.03
        for end, words in ((one.low, one.lowest_by), (one.high, one.highest_by)):
            rate, _, how = words.rpartition(", ")
            factor = {"halved": 0.5, "doubled": 2.0}.get(how, 0.0)
            after = under(rate, factor)["soiled"][v] if rate else before[v]
            assert abs(end - after) <= 0.03, (key, words)
        assert len(one.tried) <= step.MOST_TRIED
        for rate in one.tried:
            name, _, how = rate.rate.rpartition(", ")
            after = under(name, {"halved": 0.5, "doubled": 2.0}[how])["soiled"][v]
            assert abs(rate.chance - after) <= 0.03, (key, rate)
        if one.lowest_by or one.highest_by:
            assert one.tried[0].rate in (one.lowest_by, one.highest_by)
    for name in judged_rates()[::15]:
        for factor in step.FACTORS:
            after = under(name.words, factor)["soiled"]
            for v, key in enumerate(house.keys):
                if key in told:
                    low, high = told[key].low - 0.03, told[key].high + 0.03
                    assert low <= after[v] <= high, (name.words, factor, key)
