"""Every form of sign at once against counting: rows, zones, ways in, and smells with their soil.

Counted in numpy over passages, ways in, load, and soil and nest of every void that a smell depends
on; nothing of the project's inference is used.  A smell ties the soils of voids together, so that
they cannot be summed out one by one.  Gate: error over its standard error at most 4.5, and at most
0.03, with fixed seeds.  The house and the log are invented.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from small import find_parts, finds, graph, look
from wainscot.diagnosis import Case, Effort, weigh_cases
from wainscot.signs import KINDS, Evidence, weigh
from wainscot.voids.graph import Graph

MOST, ERRORS = 0.03, 4.5


def house() -> Graph:
    """The small house with wider gaps, so that air moves."""
    wide = np.full((8, 2), 0.06)
    wide[2:7] = 0.006
    return graph(aperture=wide)


def sums_over_soil(evidence: Evidence, members: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Sums over the members' cells with the smells: [3^m, L] and by void and cell [.., m, 6]."""
    cells = np.array(list(product(range(6), repeat=len(members))))
    logs = np.zeros(len(cells))
    for r, curve in enumerate(evidence.linear_log_likelihood):
        sent = np.zeros(len(cells))
        for k in range(evidence.linear_offsets[r], evidence.linear_offsets[r + 1]):
            place = int(np.flatnonzero(members == evidence.linear_void[k])[0])
            sent += evidence.linear_soil[k][cells[:, place]]
        logs += np.interp(np.log(np.maximum(sent, 1e-12)), evidence.linear_grid, curve)
    smelt = np.exp(logs)
    reaches = np.array(list(product(range(3), repeat=len(members))))
    loads = len(evidence.load_prior)
    total = np.zeros((len(reaches), loads))
    by_cell = np.zeros((len(reaches), loads, len(members), 6))
    rows = evidence.detail[evidence.row_of[members]]
    for code, reach in enumerate(reaches):
        for load in range(loads):
            each = [rows[i, load, reach[i]][cells[:, i]] for i in range(len(members))]
            weight = smelt * np.prod(each, axis=0)
            total[code, load] = weight.sum()
            for i in range(len(members)):
                by_cell[code, load, i] = np.bincount(cells[:, i], weight, 6)
    return total, by_cell


def count(place: Graph, evidence: Evidence) -> dict[str, np.ndarray]:
    voids, ways = len(place.keys), len(place.source_keys)
    members = np.unique(evidence.linear_void)
    total_of, cells_of = sums_over_soil(evidence, members)
    others = np.setdiff1d(np.arange(voids), members)
    states = np.array(list(product(range(3), repeat=ways)))
    start = np.prod((place.source_prior * evidence.source_factor)[np.arange(ways), states], axis=1)
    chance = place.prior_open * place.prior_run
    on = np.array(list(product((0, 1), repeat=len(chance))))
    passage = np.prod(np.where(on, chance, 1.0 - chance), axis=1)
    rows = evidence.detail[evidence.row_of]
    power = 3 ** np.arange(len(members))[::-1]
    total, cell, ever, now = 0.0, np.zeros((voids, 6)), np.zeros(voids), np.zeros(voids)
    for weight, part in zip(passage, find_parts(place), strict=True):
        same = part[:, None] == part[place.source_void][None, :]
        reach = np.max(np.where(same[None], states[:, None, :], 0), axis=2)
        base = weight * start * zones(evidence, reach)
        code = reach[:, members] @ power
        for load, prior in enumerate(evidence.load_prior):
            free = rows[others[None], load, reach[:, others]]
            alone = free.sum(axis=2)
            both = prior * base * alone.prod(axis=1)
            full = both * total_of[code, load]
            total += full.sum()
            ever += full @ (reach > 0)
            now += full @ (reach == 2)
            cell[members] += np.einsum("s,smc->mc", both, cells_of[code, load])
            cell[others] += np.einsum("s,svc->vc", full, free / alone[..., None])
    cell /= total
    return {
        "soiled": 1.0 - cell[:, 0],
        "heavy": cell[:, 4:].sum(axis=1),
        "nest": cell[:, 1::2].sum(axis=1),
        "ever": ever / total,
        "now": now / total,
        "log_evidence": np.log(total),
    }


def zones(evidence: Evidence, reach: np.ndarray) -> np.ndarray:
    chance = np.ones(len(reach))
    for z, false in enumerate(evidence.zone_false):
        quiet = np.full(len(reach), 1.0 - false)
        for m in range(evidence.zone_offsets[z], evidence.zone_offsets[z + 1]):
            quiet *= 1.0 - evidence.zone_hit[m][reach[:, evidence.zone_void[m]]]
        chance *= (1.0 - quiet) if evidence.zone_heard[z] else quiet
    return chance


def smelt(amount: str, key: str = "smell", **fields):
    return look(key, (0,), finds("odour", amount), method="nose", **fields)


EVERYTHING = [
    look("a1", (1,), finds("droppings", "few", length=0.021), share_seen=0.4),
    look("a2", (2,), finds("gnawing", "cable", freshness="fresh"), method="borescope"),
    look("a3", (3,), finds("burrow", "one"), share_seen=0.5, at="2026-03-01"),
    look("a4", (0,), finds("tracks", "few"), method="dust patch", nights=1),
    look("a5", (5,), finds("thermal anomaly", "clear"), method="thermal camera"),
    look("a6", (0,), finds("bait take", "part"), method="bait point", nights=2),
    look("a7", (0,), finds("camera night", "nothing"), method="camera", nights=2),
    look("a8", (6,), finds("carcass", "remains", freshness="old"), share_seen=0.3),
    look("b1", (), finds("drain test", "open"), source=0, method="smoke test"),
    look("b2", (), finds("rub mark", "faint"), source=0, share_seen=0.5, at="2026-04-01"),
    look("c1", (0,), finds("occupant's report", "often"), zone=(4, 5), method="asked",
         grade="told", finished=False),
    look("c2", (), finds("sound"), zone=(4, 5, 6), method="ear", finished=False),
    look("d1", (2, 3), finds("urine stain", "few"), method="borescope", share_seen=0.6),
    look("d2", (4,), method="borescope", share_seen=0.4),
    look("d3", (4,), method="borescope", share_seen=0.5),
    smelt("clear"),
]  # fmt: skip

LOGS = {
    "a strong smell alone": [smelt("strong")],
    "no smell": [smelt("none"), look("x", (1,), finds("droppings", "few"), share_seen=0.3)],
    "a meter": [look("m", (0,), finds("odour", ppm=30.0), method="meter")],
    "a room and a sink unit": [
        smelt("strong"),
        look("y", (1,), finds("odour", "faint"), method="nose"),
    ],
    "every form": EVERYTHING,
}


@pytest.mark.parametrize("name", LOGS)
def test_every_chance_is_that_of_counting(name: str):
    place = house()
    evidence = weigh(LOGS[name], place, "norway rat")
    assert len(evidence.linear_log_likelihood) >= 1
    truth = count(place, evidence)
    case = Case("norway rat", "", 1.0, place, evidence)
    answer, draws = weigh_cases((case,), effort=Effort(11, 8, 4096))
    assert answer.settled
    index = place.index()
    for void in answer.voids:
        v = index[void.id]
        for field, error in (
            ("soiled", void.soiled_error), ("now", void.now_error), ("ever", 1.0),
            ("heavy", 1.0), ("nest", 1.0),
        ):  # fmt: skip
            off = abs(getattr(void, field) - truth[field][v])
            assert off <= MOST, (name, void.id, field)
            assert off <= ERRORS * error, (name, void.id, field)
    assert abs(answer.hypotheses[0].log_evidence - truth["log_evidence"]) < 0.15
    soiled = (draws.soil > 0) | draws.nest
    assert np.abs(draws.weight @ soiled - truth["soiled"]).max() <= MOST


def test_the_log_with_every_form_holds_every_kind_that_speaks():
    told = {find.kind for each in EVERYTHING for find in each.inspection.finds}
    plain = {"droppings", "urine stain", "rub mark", "sound"}
    assert plain <= told
    forms = {KINDS[name].form for name in told}
    assert forms == {"row", "zone", "linear"}
    assert {KINDS[name].zone_of for name in told} >= {"around", "here"}


def test_a_smell_moves_what_counting_gives_and_not_only_a_little():
    place = house()
    found = look("z", (3,), finds("droppings", "few"), share_seen=0.4)
    sink = place.index()["sink"]
    chances = {
        word: count(place, weigh([smelt(word), found], place, "norway rat"))["soiled"][sink]
        for word in KINDS["odour"].amounts
    }
    assert chances["strong"] > chances["none"] + 0.15
    assert chances["clear"] > chances["none"] + 0.15
