"""Which judged rate matters most to what is opened: each halved and doubled in turn.

For every house the voids to open are chosen under the judged rates and under each changed one (a
void is opened where leaving it costs more).  What a wrong rate costs is the difference in hours,
both counted under the rates as judged: opening in vain, and callbacks of what is left.  Rates that
cost most are those to measure first.

- Rates of the signs (``signs/tables``): draws taken once and weighed anew, drawn again where that
  cannot be trusted (:class:`wainscot.diagnosis.sensitivity.Trial`).
- Rules of passages and sorts of ways in (``voids/tables``): the same by their own prior ratio, one
  rule at a time; sorts of ways in are always drawn again.
- Rates of the book that the decision hangs on: exactly.

``another seed`` draws the same house again with nothing changed: what costs no more than that is
noise.

Limits: one rate at a time, decisions void by void with one typical opening; houses of the first
generator after two or three visits; a rate that no look of these houses hangs on costs nothing here
and may elsewhere.
"""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np

from study.houses import lived_in
from study.sharing import shared_out
from wainscot.arrays import Bools, Floats
from wainscot.book import DEFAULT as BOOK
from wainscot.book import Book
from wainscot.diagnosis.cases import Case, cases
from wainscot.diagnosis.pareto import EFFECTIVE, TRUSTED, effective, smooth
from wainscot.diagnosis.posterior import void_chances
from wainscot.diagnosis.problem import passage_prior
from wainscot.diagnosis.sampling import Effort, sample_cases
from wainscot.diagnosis.sensitivity import FACTORS, Trial
from wainscot.diagnosis.variants import FIELDS
from wainscot.signs import DEFAULT
from wainscot.signs.scaling import judged_rates
from wainscot.simulate.other import MOST
from wainscot.voids.graph import Graph

HOUSES, FIRST_SEED = 12, 130_000
DRAWS, POPULATIONS = 2048, 8
NOISE = "another seed"
BOOK_RATES = ("open_bay", "callback_light", "callback_heavy", "callback_nest")
BOOTSTRAP, BOOTSTRAP_SEED = 4000, 8


def of_house(seed: int) -> dict[str, Any]:
    """Return for each rate and factor the hours that it costs and the voids decided otherwise.

    Parameters
    ----------
    seed : int
        Of the house.
    """
    case = cases(lived_in(seed).job)[0]
    effort = Effort(seed, POPULATIONS, DRAWS, 1)
    trial = Trial(sample_cases((case,), effort, "study", None), effort, BOOK, DEFAULT, None)
    decided = Decided(trial)
    found: dict[str, Any] = {NOISE: decided.against(_drawn(case, effort, "again"))}
    for name in judged_rates(DEFAULT):
        for factor in FACTORS:
            under = trial.under(name, factor)
            if under is not None:
                found[_key(name.words, factor)] = decided.against(under.outlook)
    for words, factor, graph in _graphs(case.graph):
        found[_key(words, factor)] = decided.against(_under(trial, graph, effort))
    for name in BOOK_RATES:
        for factor in FACTORS:
            rate = getattr(BOOK, name)
            other = msgspec.structs.replace(
                BOOK, **{name: msgspec.structs.replace(rate, value=rate.value * factor)}
            )
            words = f"book: {name.replace('_', ' ')}"
            found[_key(words, factor)] = decided.cost(decided.open(trial.outlook, other))
    return {"voids": int(decided.mine.sum()), "opened": int(decided.base.sum()), "rates": found}


def _key(words: str, factor: float) -> str:
    return f"{words}|{factor:g}"


class Decided:
    """What is opened as judged, and what another choice would cost.

    Parameters
    ----------
    trial : Trial
        The draws as judged.
    """

    def __init__(self, trial: Trial) -> None:
        self.outlook = trial.outlook
        self.mine: Bools = np.asarray(trial.graph.hidden) & np.array(trial.open)
        self.base = self.open(self.outlook, BOOK)

    def open(self, outlook: Floats, book: Book) -> Bools:
        """Return the voids that are opened: [V]."""
        return np.asarray((_left(outlook, book) > book.open_bay.value) & self.mine)

    def against(self, outlook: Floats) -> list[float]:
        """Return the hours that deciding by these chances costs, and how many voids differ."""
        return self.cost(self.open(outlook, BOOK))

    def cost(self, chosen: Bools) -> list[float]:
        """Return the same for a choice that was made already."""
        saved = _left(self.outlook, BOOK) - BOOK.open_bay.value
        more = float((saved * (self.base.astype(float) - chosen)).sum())
        return [round(more, 4), int((chosen != self.base).sum())]


def _left(outlook: Floats, book: Book) -> Floats:
    """Return what leaving each void shut costs: [V]. [h]"""
    rates = (book.callback_light, book.callback_heavy, book.callback_nest)
    return np.asarray(np.array([one.value for one in rates]) @ outlook)


def _drawn(case: Case, effort: Effort, stage: str) -> Floats:
    chances = void_chances(sample_cases((case,), effort, stage, None))
    return np.stack([chances[field].mean for field in FIELDS])


def _graphs(graph: Graph) -> list[tuple[str, float, Graph]]:
    """Return the graph with each rule of passages, and each sort of way in, halved and doubled."""
    found = []
    for rule in sorted(set(graph.passage_rule)):
        mine = np.array([one == rule for one in graph.passage_rule])
        for factor in FACTORS:
            chance = np.where(mine, np.minimum(graph.prior_open * factor, MOST), graph.prior_open)
            changed = msgspec.structs.replace(graph, prior_open=chance)
            found.append((f"passages: {rule}", factor, changed))
    for sort in sorted(set(graph.source_sort)):
        mine = np.array([one == sort for one in graph.source_sort])
        for factor in FACTORS:
            active = graph.source_prior[:, 1:] * np.where(mine, factor, 1.0)[:, None]
            active *= np.minimum(1.0, MOST / np.maximum(active.sum(axis=1), 1e-12))[:, None]
            prior = np.column_stack([1.0 - active.sum(axis=1), active])
            changed = msgspec.structs.replace(graph, source_prior=prior)
            found.append((f"ways in: {sort}", factor, changed))
    return found


def _under(trial: Trial, graph: Graph, effort: Effort) -> Floats:
    """Return the chances under another graph's priors, weighed anew or drawn again."""
    (one,) = trial.all
    case = msgspec.structs.replace(one.sample.case, graph=graph)
    if np.array_equal(graph.source_prior, one.sample.case.graph.source_prior):
        was, now = (passage_prior(each) for each in (one.sample.case.graph, graph))
        other = was != now
        bits = np.unpackbits(one.population.run, axis=1, bitorder="little")[:, : len(was)]
        run = bits[:, other].astype(float)
        ratio = run @ np.log(now[other] / was[other])
        ratio += (1.0 - run) @ np.log((1.0 - now[other]) / (1.0 - was[other]))
        logs, k = smooth(one.base + ratio)
        if k < TRUSTED and effective(logs) >= min(EFFECTIVE, effective(one.base) / 2.0):
            weight = np.exp(logs - logs.max())
            return np.einsum("k,fkv->fv", weight / weight.sum(), one.values)
    return _drawn(case, effort, "study")


def run(count: int) -> dict[str, Any]:
    """Return the rates by what they cost, the dearest first.

    Parameters
    ----------
    count : int
        Houses.
    """
    houses = shared_out("rates", of_house, range(FIRST_SEED, FIRST_SEED + count))
    ranked = ranking(houses)
    noise = next(one for one in ranked if one["rate"] == NOISE)
    return {
        "houses": count, "first_seed": FIRST_SEED, "draws": DRAWS, "rates": ranked,
        "hidden_voids": sum(one["voids"] for one in houses),
        "opened_as_judged": sum(one["opened"] for one in houses),
        "tried": len(ranked) - 1,
        "passes": sum(one["hours"][1] > noise["hours"][2] for one in ranked) > 0,
    }  # fmt: skip


def ranking(houses: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return each rate with the hours a house that the worse of half and double costs.

    Parameters
    ----------
    houses : list of dict
        From :func:`of_house`.
    """
    rng = np.random.default_rng(BOOTSTRAP_SEED)
    again = rng.integers(len(houses), size=(BOOTSTRAP, len(houses)))
    keys = sorted({key for one in houses for key in one["rates"]})
    table = {key: np.array([one["rates"].get(key, [0.0, 0]) for one in houses]) for key in keys}
    rows = []
    for words in sorted({key.partition("|")[0] for key in keys}):
        mine = {key: table[key] for key in keys if key.partition("|")[0] == words}
        worst = max(mine, key=lambda key: float(mine[key][:, 0].mean()))
        hours = mine[worst][:, 0]
        low, high = np.quantile(hours[again].mean(axis=1), [0.025, 0.975])
        rows.append({
            "rate": words, "worst": worst.partition("|")[2],
            "hours": [round(float(one), 3) for one in (hours.mean(), low, high)],
            "voids": round(float(mine[worst][:, 1].mean()), 2),
            "houses": int((mine[worst][:, 1] > 0).sum()),
        })  # fmt: skip
    return sorted(rows, key=lambda one: (-one["hours"][0], one["rate"]))
