"""A phone that goes on without the office, against the office: the same bits, and the same chances.

A simulated house is visited twice and diagnosed by the office, which fills a pocket.  Then a phone
logs one to four looks as its tray writes them, weighs its draws anew and diagnoses in full (the
app's own modules, run by node).  The office runs the phone's bytes again: the digest must be the
same, and the bytes must be what the office makes of the job.  Where the weighed draws claim to
hold, every chance of soil must lie within 4.5 joint standard errors of the full diagnosis.
"""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
import shapely

from study.phone_app import Phone, phone, result_of
from wainscot import pocket
from wainscot.book import DEFAULT
from wainscot.diagnosis import diagnose
from wainscot.job import Job
from wainscot.simulate import Truth, house, inspect, scene, spread
from wainscot.voids.graph import Graph

FIRST_SEED = 90_000
HOUSES = 50
VISITS = 2
BOUND = 4.5
"""Joint standard errors that two answers may differ by. [1]"""
ROUNDING = 1e-9
"""Relative difference between the rows of two languages. [1]"""
PARTS = {"stud bay": "wall", "joist bay": "floor", "ceiling bay": "ceiling", "wall cavity": "wall"}


class Trial(msgspec.Struct, frozen=True):
    """What one house showed."""

    voids: int
    looks: int
    holds: bool
    """Whether the weighed draws claimed to hold."""
    worst: float
    """Greatest difference in joint standard errors. [1]"""
    replayed: bool
    difference: float
    """Of the phone's bytes from the office's own. [1]"""
    settled: bool
    waits: int
    """Looks that the phone left to the office."""


def visited(seed: int) -> tuple[Job, Truth]:
    """Return a house after two visits, and what is really in it."""
    rng = np.random.default_rng([seed, 17])
    job = house(seed, int(rng.integers(1, 3)), int(rng.integers(2, 5)))
    truth = spread(job, seed)
    return inspect(job, truth, seed, VISITS), truth


def tapped(job: Job, truth: Truth, at: str, seed: int) -> dict[str, Any]:
    """Return one to four looks as the app's tray writes them, found as the truth would have it."""
    rng = np.random.default_rng([seed, 23])
    graph = scene(job, truth.species, truth.guess).graph
    looks: dict[str, Any] = {}
    for n in range(int(rng.integers(1, 5))):
        v = int(rng.choice(np.flatnonzero(graph.hidden)))
        place = _place(job, graph, v)
        there = truth.voids[graph.keys[v]]
        look = {"kind": "inspection", "place": place, "method": "eye and lamp", "at": at,
                "grade": "seen"}  # fmt: skip
        if there.soil != "none" and rng.random() < 0.8:
            amount = "many" if there.soil == "heavy" else "few"
            age = ("unsure", "fresh" if there.reach == "now" else "old")[int(rng.integers(2))]
            find = {"kind": "droppings", "amount": amount, "freshness": age}
            looks[f"tapped_{n}"] = look | {"finished": False, "finds": [find]}
        elif there.reach == "now" and rng.random() < 0.4:
            around = place if "of" in place else place | {"radius": "1.5 m"}
            find = {"kind": "sound", "amount": "clear"}
            looks[f"tapped_{n}"] = look | {
                "place": around, "method": "ear", "finished": False, "finds": [find],
            }  # fmt: skip
        else:
            amount = ("all", "part", "peep")[int(rng.integers(3))]
            find = {"kind": "looked and saw nothing", "amount": amount}
            looks[f"tapped_{n}"] = look | {"finds": [find]}
    return looks


def _place(job: Job, graph: Graph, v: int) -> dict[str, Any]:
    owner = graph.owners[v]
    if job.entities.get(owner, {}).get("kind") == "fixture":
        return {"of": owner}
    point = shapely.Polygon(graph.polygon[v]).representative_point()
    at = [f"{point.x:.4f} m", f"{point.y:.4f} m"]
    return {"storey": graph.storeys[v], "at": at, "part": PARTS.get(graph.kinds[v], "floor")}


def trial(seed: int, app: Phone) -> Trial:
    """Return what one house shows.

    Parameters
    ----------
    seed : int
        Of all randomness.
    app : Phone
        The phone.
    """
    job, truth = visited(seed)
    _, drawn = diagnose(job, seed=seed)
    carried = pocket.make(job, drawn, DEFAULT, seed=seed)
    assert carried is not None
    looks = tapped(job, truth, carried.as_of, seed)
    later = msgspec.structs.replace(job, entities=job.entities | looks)
    said = app.ask(carried, later)
    result = result_of(said)
    full = {one["id"]: one for one in said["full"]["voids"]}
    worst = max(
        abs(one["soiled"] - full[one["id"]]["soiled"])
        / float(np.hypot(one["error"], full[one["id"]]["error"]))
        for one in said["once"]["voids"]
    )
    return Trial(
        voids=len(drawn.void_ids),
        looks=len(looks),
        holds=said["once"]["holds"],
        worst=worst,
        replayed=pocket.replay(result) == result.digest,
        difference=max(pocket.differences(result, later).values()),
        settled=said["full"]["settled"],
        waits=len(said["once"]["since"]["waits"]),
    )


def run(count: int) -> dict[str, Any]:
    """Return what so many houses show.

    Parameters
    ----------
    count : int
        Houses.
    """
    with tempfile.TemporaryDirectory() as folder, phone(Path(folder)) as app:
        found = [trial(seed, app) for seed in range(FIRST_SEED, FIRST_SEED + count)]
    held = [one for one in found if one.holds]
    others = [one.worst for one in found if not one.holds]
    return {
        "houses": len(found), "first_seed": FIRST_SEED, "voids": sum(one.voids for one in found),
        "looks": sum(one.looks for one in found),
        "left_to_the_office": sum(one.waits for one in found),
        "replayed": sum(one.replayed for one in found),
        "greatest_difference": max(one.difference for one in found),
        "claim_to_hold": len(held),
        "worst_where_it_holds": round(max(one.worst for one in held), 2),
        "worst_where_it_does_not": round(max(others, default=0.0), 2),
        "settled": sum(one.settled for one in found),
        "passes": all(one.replayed and one.difference <= ROUNDING for one in found)
        and all(one.worst <= BOUND for one in held),
    }  # fmt: skip
