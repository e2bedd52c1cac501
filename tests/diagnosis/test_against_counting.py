"""The whole diagnosis of a small house against counting every state.

The oracle (``small.exact``) is numpy brute force over passages, ways in (each by itself, not
merged), load, soil and nest: 2^8 x 3^5 x 3 states.  The gate is that of a Monte Carlo answer: error
over its standard error at most 4.5, and at most 0.03, with fixed seeds.
"""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from scipy.special import logit

from small import evidence_of, exact, finds, graph, look, usual
from wainscot.diagnosis import Case, Effort, weigh_cases
from wainscot.signs import weigh

MOST = 0.03
ERRORS = 4.5

LOGS = {
    "nothing logged": [],
    "every form of evidence": usual(),
    "old signs only": [
        look("i1", (6,), finds("droppings", "many", freshness="old"), share_seen=0.8),
        look("i2", (0,), finds("trap night", "nothing"), method="trap", nights=20),
    ],
    "a catch": [
        look("i1", (5,), finds("trap night", "caught"), method="trap", nights=2),
        look("i2", (6,), finds("opened and seen", "nest"), method="opened"),
    ],
    "looked everywhere": [
        look(f"i{v}", (v,), method="borescope", share_seen=0.9) for v in range(1, 7)
    ],
}


def diagnosed(placed, seed=5, **effort):
    house, evidence = graph(), evidence_of(placed)
    case = Case("norway rat", "", 1.0, house, evidence)
    answer, draws = weigh_cases((case,), effort=Effort(seed, 8, 4096, **effort))
    return house, evidence, answer, draws


@pytest.mark.parametrize("name", LOGS)
def test_chances_of_voids_and_ways_in_are_those_of_counting(name: str):
    house, evidence, answer, _ = diagnosed(LOGS[name])
    truth = exact(house, evidence)
    index = house.index()
    assert answer.settled
    for void in answer.voids:
        v = index[void.id]
        for said, field, error in (
            (void.soiled, "soiled", void.soiled_error),
            (void.now, "now", void.now_error),
            (void.ever, "ever", None),
            (void.heavy, "heavy", None),
            (void.nest, "nest", None),
        ):
            off = abs(said - truth[field][v])
            assert off <= MOST, (void.id, field)
            assert error is None or off <= ERRORS * error, (void.id, field)
    # an undrawn way in and a colony settled inside share a void: they are parted exactly
    used = dict(zip(house.source_keys, 1.0 - truth["source"][:, 0], strict=True))
    now = dict(zip(house.source_keys, truth["source"][:, 2], strict=True))
    said = {one.id: one for one in answer.entries}
    for key, pool in (("drain", "drain"), ("u_w1", "unknown: outside, north side"),
                      ("u_k", "unknown: outside, south side")):  # fmt: skip
        assert abs(said[pool].used - used[key]) <= MOST
        assert abs(said[pool].now - now[key]) <= MOST
        assert abs(said[pool].used - used[key]) <= ERRORS * said[pool].error
    assert abs(answer.hypotheses[0].log_evidence - truth["log_evidence"]) < 0.15


def test_cases_are_weighed_by_prior_and_evidence():
    placed = usual()
    rat, mouse = graph(), graph(species="house mouse", source_prior=graph().source_prior[:])
    tight = graph(guess="tight", prior_open=graph().prior_open * 0.4)
    cases = (
        Case("norway rat", "", 0.5, rat, evidence_of(placed, "norway rat")),
        Case("house mouse", "", 0.3, mouse, evidence_of(placed, "house mouse")),
        Case("norway rat", "tight", 0.2, tight, evidence_of(placed, "norway rat")),
    )
    answer, _ = weigh_cases(cases, effort=Effort(3, 8, 4096))
    exacts = [exact(case.graph, case.evidence) for case in cases]
    raw = np.array([case.prior * np.exp(e["log_evidence"])
                    for case, e in zip(cases, exacts, strict=True)])  # fmt: skip
    weight = raw / raw.sum()
    said = {(one.species, one.guess): one.weight for one in answer.hypotheses}
    for case, share in zip(cases, weight, strict=True):
        assert abs(said[case.species, case.guess] - share) < 0.04
    for void in answer.voids:
        v = rat.index()[void.id]
        mixed = sum(share * e["soiled"][v] for share, e in zip(weight, exacts, strict=True))
        assert abs(void.soiled - mixed) <= MOST


@pytest.mark.parametrize("name", ["every form of evidence", "a catch"])
def test_leaving_an_inspection_out_gives_what_counting_without_it_gives(name: str):
    placed = LOGS[name]
    house, evidence, answer, _ = diagnosed(placed)
    truth = exact(house, evidence)
    opened = {one.id for one in answer.voids if one.seen}
    for each in placed:
        without = exact(house, evidence_of([one for one in placed if one is not each]))
        said = {one.void: one for one in answer.contributions if one.inspection == each.key}
        for v, key in enumerate(house.keys):
            if not house.hidden[v] or key in opened:
                continue
            change = logit(truth["soiled"][v]) - logit(without["soiled"][v])
            told = said[key].log_odds if key in said else 0.0
            assert key not in said or said[key].reliable
            assert abs(told - change) < max(0.25, 0.12 * abs(change)), (each.key, key)


def test_the_reasons_of_every_void_are_those_of_counting_without_each_inspection():
    placed = usual()
    house = graph()
    case = Case("norway rat", "", 1.0, house, evidence_of(placed))
    effort = Effort(5, 8, 4096)
    plain, _ = weigh_cases((case,), effort=effort)
    answer, draws = weigh_cases((case,), effort=effort, why=True)
    assert answer == plain
    truth = exact(house, case.evidence)
    opened = {one.id for one in answer.voids if one.seen}
    hidden = {key for key, unseen in zip(house.keys, house.hidden, strict=True) if unseen}
    assert set(draws.why.voids) == hidden
    assert set(draws.why.words) == {each.key for each in placed}
    for each in placed:
        without = exact(house, evidence_of([one for one in placed if one is not each]))
        for v, key in enumerate(house.keys):
            if key in opened or key not in hidden:
                continue
            said = [one for one in draws.why.voids[key].weighs if one.inspection == each.key]
            change = logit(truth["soiled"][v]) - logit(without["soiled"][v])
            told = said[0].log_odds if said else 0.0
            assert abs(told - change) < max(0.25, 0.12 * abs(change)), (each.key, key)
    for key, why in draws.why.voids.items():
        assert why.way is not None
        assert why.way.voids[-1] == key
        assert 0.0 < why.way.share <= 1.0


def test_the_draws_hold_the_same_chances():
    house, evidence, answer, draws = diagnosed(usual())
    truth = exact(house, evidence)
    assert abs(draws.weight.sum() - 1.0) < 1e-9
    assert draws.status == "settled"
    assert np.abs(draws.weight @ draws.ever - truth["ever"]).max() <= MOST
    assert np.abs(draws.weight @ draws.now - truth["now"]).max() <= MOST
    assert np.abs(draws.weight @ draws.nest - truth["nest"]).max() <= MOST
    soiled = (draws.soil > 0) | draws.nest
    assert np.abs(draws.weight @ soiled - truth["soiled"]).max() <= MOST
    drain = draws.entry_ids.index("drain")
    assert np.abs(draws.weight @ (draws.entry[:, drain] == 2) - truth["source"][0, 2]) <= MOST
    assert draws.run.shape == (len(draws.weight), 1)
    assert (draws.now <= draws.ever).all()
    assert not soiled[~draws.ever].any()
    assert len(answer.digest) == 64


def test_the_answer_depends_on_the_seed_not_on_threads_nor_on_order():
    placed = usual()
    first = msgspec.json.encode(diagnosed(placed, threads=1)[2])
    again = msgspec.json.encode(diagnosed(placed[::-1], threads=2)[2])
    other = msgspec.json.encode(diagnosed(placed, seed=6)[2])
    assert first == again
    assert first != other


def test_the_order_of_cases_changes_nothing():
    placed = usual()
    cases = [
        Case(
            species, guess, 0.25, graph(species=species, guess=guess), evidence_of(placed, species)
        )
        for species in ("norway rat", "house mouse")
        for guess in ("a", "b")
    ]
    one, _ = weigh_cases(tuple(cases), effort=Effort(2, 4, 512))
    two, _ = weigh_cases(tuple(reversed(cases)), effort=Effort(2, 4, 512))
    assert msgspec.json.encode(one) == msgspec.json.encode(two)


@pytest.mark.parametrize("how", ["side by side", "one after the other"])
def test_splitting_a_passage_changes_nothing(how: str):
    placed, house = usual(), graph()
    truth = exact(house, evidence_of(placed))
    changed = _parallel(house) if how == "side by side" else _series(house)
    evidence = weigh(placed, changed, "norway rat")
    answer, _ = weigh_cases(
        (Case("norway rat", "", 1.0, changed, evidence),), effort=Effort(9, 8, 4096)
    )
    said = {one.id: one for one in answer.voids}
    for v, key in enumerate(house.keys):
        assert abs(said[key].soiled - truth["soiled"][v]) <= MOST
        assert abs(said[key].now - truth["now"][v]) <= MOST


def _parallel(house):
    """The passage between f2 and w1 as two that together are open as often."""
    chance = 1.0 - np.sqrt(1.0 - house.prior_open[3])
    first = house.prior_open.copy()
    first[3] = chance
    return _with_passage(house, first, (3, 4), chance)


def _series(house):
    """The same passage with an empty bay in its middle."""
    half = np.sqrt(house.prior_open[3])
    first = house.prior_open.copy()
    first[3] = half
    edges = house.edges.copy()
    edges[3] = (3, 7)
    voids = {
        name: (*getattr(house, name), getattr(house, name)[3])
        for name in ("labels", "kinds", "words", "owners", "storeys", "polygon", "faces")
    }
    arrays = {
        name: np.append(getattr(house, name), getattr(house, name)[3])
        for name in ("hidden", "bottom", "top", "volume")
    }
    longer = msgspec.structs.replace(
        house, keys=(*house.keys, "middle"), edges=edges, **voids, **arrays
    )
    return _with_passage(longer, first, (4, 7), half)


def _with_passage(house, chances, ends, chance):
    tuples = {
        name: (*getattr(house, name), "new")
        for name in ("passage_keys", "passage_rule", "passage_words")
    }
    return msgspec.structs.replace(
        house,
        edges=np.vstack([house.edges, np.array([ends], dtype=np.int32)]),
        prior_open=np.append(chances, chance),
        prior_run=np.ones(len(chances) + 1),
        aperture=np.vstack([house.aperture, house.aperture[:1]]),
        gnawable=np.append(house.gnawable, False),
        passage_at=np.vstack([house.passage_at, house.passage_at[:1]]),
        **tuples,
    )
