"""Run studies and write what they found.

    python -m study                 every study but "shelf", which wants more installed (hours on
                                    two idle cores)
    python -m study ranks           one of them
    python -m study ranks -n 60     fewer houses; nothing is written

Results go to study/results/NAME.json and pictures to docs/pictures/.  Seeds are fixed here, before
anything is looked at.  The exit code is 1 where a study that gates the engine fails.
"""

from __future__ import annotations

import argparse
import datetime
import json
import os
import platform
import sys
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from study import first_three, hypotheses, ranks, scores, several, svg, validation
from study.houses import answered, lived_in
from study.sharing import done_with
from wainscot.diagnosis import kernel

ROOT = Path(__file__).resolve().parents[1]
RESULTS = ROOT / "study" / "results"
PICTURES = ROOT / "docs" / "pictures"
LEVEL = 0.01
"""Chance that a sound engine fails one study. [1]"""

Found = dict[str, Any]


def ranks_of(seed: int, flags: int) -> list[float]:
    """Return the ranks of one house."""
    return ranks.ranks(answered(lived_in(seed), flags=flags))


def claim_of(seed: int) -> tuple[float, bool]:
    """Return claim and outcome of one house."""
    return first_three.claim(answered(lived_in(seed)))


def over(function: Callable[[int], Any], first: int, count: int) -> list[Any]:
    """Return a function's values for so many seeds, worked out in processes."""
    with ProcessPoolExecutor() as pool:
        return list(pool.map(function, range(first, first + count), chunksize=4))


def verdict(statistics: Found) -> bool:
    """Whether no statistic's ranks are less uniform than chance allows, all taken together."""
    from scipy import stats

    least = LEVEL / (2 * len(statistics))
    return all(
        one["p"] >= least and 2 * stats.norm.sf(abs(one["mean_z"])) >= least
        for one in statistics.values()
    )


def _ranks(first: int, count: int, flags: int) -> Found:
    found = np.array(over(partial(ranks_of, flags=flags), first, count))
    named = {name: ranks.uniformity(found[:, k]) for k, name in enumerate(ranks.NAMES)}
    return {"statistics": named, "uniform": verdict(named)}


def study_ranks(count: int) -> Found:
    """Ranks of the truth where species and framing are known."""
    found = _ranks(1000, count or 500, 0)
    return {**found, "first_seed": 1000, "passes": found["uniform"]}


def study_planted(count: int) -> Found:
    """The same with a fault planted: the tilt is never brought back to zero."""
    found = _ranks(1000, count or 500, kernel.NO_CORRECTION)
    return {**found, "first_seed": 1000, "passes": not found["uniform"]}


def study_cases(count: int) -> Found:
    """Ranks where species and joists are unknown."""
    found = np.array(over(hypotheses.ranks, 5000, count or 200))
    named = {name: ranks.uniformity(found[:, k]) for k, name in enumerate(hypotheses.NAMES)}
    return {"statistics": named, "first_seed": 5000, "passes": verdict(named)}


def study_several(count: int) -> Found:
    """Ranks where many looks go over several voids: an approximation, so fewer houses."""
    found = np.array(over(several.ranks_of, 40000, count or 100))
    named = {name: ranks.uniformity(found[:, k], bins=10) for k, name in enumerate(ranks.NAMES)}
    return {"statistics": named, "first_seed": 40000, "passes": verdict(named)}


def study_first_three(count: int) -> Found:
    """Whether the true way in is among the first three as often as claimed."""
    found = over(claim_of, 3000, count or 100)
    claims = np.array([one for one, _ in found])
    hits = sum(hit for _, hit in found)
    low, high = first_three.band(claims)
    return {
        "houses": len(found), "first_seed": 3000, "hits": hits,
        "claimed": round(float(claims.sum()), 2), "band_99": [low, high],
        "passes": low <= hits <= high,
    }  # fmt: skip


def study_scores(count: int) -> Found:
    """Chances of soil against the truth in the second generator, beside simpler rules."""
    learnt = over(scores.learnt, 7000, 100)
    voids, soiled = (np.array([one[k] for one in learnt]).sum(axis=0) for k in (0, 1))
    whole = soiled.sum() / voids.sum()
    share = (soiled + whole) / (voids + 1.0)
    houses = over(partial(scores.house, share=share), 8000, count or 200)
    found = scores.scores(houses)
    better = [
        one[f"{loss}_above_engine"][0] > 2 * one[f"{loss}_above_engine"][1]
        for rule, one in found.items() if rule != "engine"
        for loss in ("brier", "log_loss")
    ]  # fmt: skip
    return {
        "rules": found, "houses": len(houses), "first_seed": 8000,
        "learnt_on": {"houses": 100, "first_seed": 7000},
        "voids": sum(len(one["truth"]) for one in houses), "passes": all(better),
    }  # fmt: skip


def study_checking(count: int) -> Found:
    """The check that is worth most, beside the look nearest to a find and a random one."""
    from study import checking

    found = checking.summary(over(checking.one_house, 60000, count or 100))
    return {**found, "first_seed": 60000, "passes": checking.passes(found)}


def study_openings(count: int) -> Found:
    """What the three sets of openings come to where the truth is known, beside simpler rules."""
    from study import openings

    inside = openings.summary(over(openings.first, 19000, count or 300))
    outside = openings.summary(over(openings.second, 19500, count or 100))
    return {
        "model_holds": inside, "model_broken": outside, "first_seeds": [19000, 19500],
        "draws": 8 * openings.DRAWS,
        "passes": openings.passes(inside),
    }  # fmt: skip


def study_kills(count: int) -> Found:
    """What the record on disk loses when its writers are killed."""
    from study import faults

    return faults.kills(count or faults.KILLS)


def study_phones(count: int) -> Found:
    """Whether phones come to one record over a bad line."""
    from study import faults

    return faults.phones(count or faults.SEEDS)


def study_faults(count: int) -> Found:
    """What the record on disk loses under power cuts, failing acts and full disks; backups."""
    from study import faults

    return faults.run(count or faults.CUTS)


def study_tampering(count: int) -> Found:
    """Whether tampering with full access to the record is found where a head was given out."""
    from study import tampering

    return tampering.run(count or tampering.EACH)


def study_crews(count: int) -> Found:
    """How many crews one host holds, and where the second pays."""
    from study import crews

    return crews.run(count)


def study_hosts(count: int) -> Found:
    """Walks whose workers are killed, backups under load in PostgreSQL, photos in a store."""
    from study import hosts

    return hosts.run(count or hosts.KILLS)


def study_shelf(count: int) -> Found:
    """Photos in an S3-like store, over the wire."""
    from study import shelf

    return shelf.run(count or shelf.PHOTOS)


def study_phone(count: int) -> Found:
    """Whether a phone's own diagnosis is the office's, bit for bit, and its weighed draws hold."""
    from study import phone

    return phone.run(count or phone.HOUSES)


def study_all_clear(count: int) -> Found:
    """Whether houses called free at 95 % are free, where the model holds and where it does not."""
    from study import all_clear

    return all_clear.run(count or all_clear.HOUSES)


def study_odour(count: int) -> Found:
    """What solving the air of the house would change for smells; fails where its premise falls."""
    from study import odour

    houses = odour.compared(256 if count else odour.DRAWS)
    return {
        "draws": odour.DRAWS, "seeds": [1, 2], "houses": houses,
        "passes": odour.premise_holds(houses),
    }  # fmt: skip


def study_hard(count: int) -> Found:
    """Houses that are hard to read: right, "can't tell" or confidently wrong."""
    from study import hard

    return hard.run(count)


def study_both(count: int) -> Found:
    """What weighing two animals at once always would change; reported, not judged."""
    from study import both

    return both.run(count or both.HOUSES)


def study_decisions(count: int) -> Found:
    """The whole walk by what it comes to, beside simpler ways to decide."""
    from study import decisions

    return decisions.run(count or decisions.HOUSES, count or decisions.BROKEN)


def study_rates(count: int) -> Found:
    """Which judged rate matters most to what is opened."""
    from study import rates

    return rates.run(count or rates.HOUSES)


def study_turns(count: int) -> Found:
    """Draws of a large house, far flips in turns, beside draws with every flip."""
    from study import turns

    return turns.run(count or turns.HOUSES)


def study_large(_: int) -> Found:
    """The same in one house of some 20,000 voids."""
    from study import turns

    return turns.run_large()


def study_turned(count: int) -> Found:
    """Ranks of the truth where far flips are made in turns."""
    found = _ranks(180_000, count or 500, kernel.IN_TURNS)
    return {**found, "first_seed": 180_000, "passes": found["uniform"]}


def study_mutation(count: int) -> Found:
    """How many small faults put into five packages their tests find."""
    from study import mutation

    return mutation.run(count or mutation.EACH)


STUDIES: dict[str, Callable[[int], Found]] = {
    "ranks": study_ranks,
    "planted": study_planted,
    "cases": study_cases,
    "several": study_several,
    "first_three": study_first_three,
    "scores": study_scores,
    "checking": study_checking,
    "openings": study_openings,
    "faults": study_faults,
    "kills": study_kills,
    "phones": study_phones,
    "tampering": study_tampering,
    "crews": study_crews,
    "hosts": study_hosts,
    "phone": study_phone,
    "all_clear": study_all_clear,
    "odour": study_odour,
    "hard": study_hard,
    "both": study_both,
    "decisions": study_decisions,
    "rates": study_rates,
    "shelf": study_shelf,
    "turns": study_turns,
    "turned": study_turned,
    "large": study_large,
    "mutation": study_mutation,
}


ONLY_NAMED = ("shelf",)
"""Left out of the whole: it says itself what it wants installed."""


def pictures(name: str, found: Found) -> dict[str, str]:
    """Return the pictures of one study by file name."""
    if name == "ranks":
        title = "Rank of the truth among 99 draws, 500 houses (grey: 99 % band)"
        return {"calibration-ranks.svg": svg.rank_histograms(found["statistics"], title)}
    if name == "planted":
        title = "The same with a fault planted: the tilt never brought back to zero"
        drawn = svg.rank_histograms(found["statistics"], title, fault=True)
        return {"calibration-planted.svg": drawn}
    if name == "cases":
        title = "Species and joists unknown, 200 houses (grey: 99 % band)"
        return {"calibration-cases.svg": svg.rank_histograms(found["statistics"], title)}
    if name == "scores":
        title = "200 houses that break the model: claimed and true"
        return {"reliability.svg": svg.reliability(found["rules"], title)}
    if name in validation.STUDIES:
        return validation.pictures(name, found)
    return {}


def run(name: str, count: int) -> bool:
    """Run one study; write it down where it is whole.  Return whether it passes."""
    found = STUDIES[name](count)
    print(f"{name}: {'passes' if found['passes'] else 'FAILS'}", flush=True)
    for line, one in found.get("statistics", {}).items():
        print(
            f"  {line:24} houses {one['houses']:4}  p {one['p']:.4f}  mean z {one['mean_z']:+.2f}"
        )
    if "hits" in found:
        print(f"  hits {found['hits']}, claimed {found['claimed']}, band {found['band_99']}")
    for which in ("least", "balanced", "open it all") if name == "openings" else ():
        for claim, one in found["model_holds"][which]["claims"].items():
            print(
                f"  {which:12} {claim:24} {one['claimed']:.2f}  happened {one['happened']:.2f}  "
                f"z {one['z']:+.1f}"
            )
    for rule, one in found.get("rules", {}).items():
        print(f"  {rule:24} Brier {one['brier']:.4f}  log loss {one['log_loss']:.4f}")
    if not count:
        head = {
            "command": f"python -m study {name}",
            "date": datetime.date.today().isoformat(),
            "kernel": kernel.load_module()[2],
            "machine": f"{platform.machine()}, {os.cpu_count()} cores, "
            f"Python {platform.python_version()}",
        }
        RESULTS.mkdir(exist_ok=True)
        (RESULTS / f"{name}.json").write_text(json.dumps({**head, **found}, indent=1) + "\n")
        done_with(name)
        for file, content in pictures(name, found).items():
            PICTURES.mkdir(exist_ok=True)
            (PICTURES / file).write_text(content)
    return bool(found["passes"])


def main() -> int:
    """Run the studies named on the command line."""
    parser = argparse.ArgumentParser(prog="python -m study", description="Calibration studies.")
    parser.add_argument("names", nargs="*", help=", ".join(STUDIES))
    parser.add_argument("-n", type=int, default=0, help="houses; nothing is written then")
    chosen = parser.parse_args()
    unknown = [name for name in chosen.names if name not in STUDIES]
    if unknown:
        parser.error(f"no study is called {unknown[0]}; there are {', '.join(STUDIES)}")
    every = [name for name in STUDIES if name not in ONLY_NAMED]
    passed = [run(name, chosen.n) for name in chosen.names or every]
    return 0 if all(passed) else 1


if __name__ == "__main__":
    sys.exit(main())
