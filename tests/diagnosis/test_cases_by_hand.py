"""Which cases a job has and in which order, from plans and graphs that are given."""

from __future__ import annotations

from importlib import import_module
from types import SimpleNamespace

import msgspec
import numpy as np
import pytest

from small import graph
from wainscot.diagnosis.cases import cases, decisive_species, species_of
from wainscot.diagnosis.cautions import (
    CONFINED,
    DISEASE,
    GAS,
    OLD_PAINT,
    POISON,
    POWER,
    STRUCTURE,
    cautions,
)
from wainscot.diagnosis.mapping import void_map
from wainscot.job import Job
from wainscot.signs import DEFAULT
from wainscot.species import SPECIES, weights

step = import_module("wainscot.diagnosis.cases")


def job(**entities):
    return Job("j", entities=entities)


def named(*names):
    return {f"s{n}": {"kind": "species", "species": name} for n, name in enumerate(names)}


def look(kind, species, amount="", **fields):
    find = {"kind": kind, "species": species, "amount": amount}
    return {"kind": "inspection", "place": {"of": "r"}, "finds": [find], **fields}


def test_species_that_the_job_names_share_the_chance_by_their_weight():
    every = weights("")
    assert species_of(job()) == pytest.approx({
        name: every[name] / sum(every.values()) for name in SPECIES})  # fmt: skip
    two = species_of(job(**named("roof rat", "house mouse")))
    total = every["roof rat"] + every["house mouse"]
    assert two == pytest.approx({
        name: every[name] / total for name in ("roof rat", "house mouse")})  # fmt: skip
    assert species_of(job(**named("roof rat"))) == {"roof rat": 1.0}
    there = weights("UK")
    told = species_of(job(s={"kind": "settings", "country": "UK"}))
    assert told == pytest.approx({name: there[name] / sum(there.values()) for name in SPECIES})


def test_pairs_share_a_tenth_and_what_is_alone_the_rest():
    caught = {name: look("trap night", name, "caught", method="trap", nights=1)
              for name in ("roof rat", "norway rat", "house mouse")}  # fmt: skip
    looks = {name.replace(" ", "_"): one for name, one in caught.items()}
    assert decisive_species(job(**looks)) == ("house mouse", "norway rat", "roof rat")
    told = species_of(job(**looks, **named("roof rat")))
    assert told == pytest.approx({
        "roof rat": 0.9, "house mouse and norway rat": 1 / 30, "house mouse and roof rat": 1 / 30,
        "norway rat and roof rat": 1 / 30})  # fmt: skip
    strange = look("no such kind", "roof rat")
    assert decisive_species(job(a=strange, b=caught["house mouse"])) == ("house mouse",)


def test_a_case_is_a_guess_with_a_species_the_likeliest_first(monkeypatch):
    notes = (SimpleNamespace(words="joists guessed"), SimpleNamespace(words="studs guessed"))
    framings = [
        SimpleNamespace(guess=guess, weight=weight, plan=SimpleNamespace(assumptions=said), job=n)
        for n, (guess, weight, said) in enumerate((("b", 0.25, ()), ("a", 0.25, ()),
                                                   ("c", 0.5, notes)), 1)
    ]  # fmt: skip
    asked = []
    monkeypatch.setattr(step.voids_step, "framings", lambda job: framings)
    monkeypatch.setattr(step.voids_step, "build", lambda plan, species: (plan, species))
    monkeypatch.setattr(step, "read_signs", lambda *given, rates: (given, rates))
    monkeypatch.setattr(step, "species_of",
                        lambda job: (asked.append(job), {"z": 0.5, "y": 0.5})[1])  # fmt: skip
    found = cases("the job", rates="others")
    assert [(one.guess, one.species, one.prior) for one in found] == [
        ("c", "y", 0.25), ("c", "z", 0.25), ("a", "y", 0.125), ("a", "z", 0.125),
        ("b", "y", 0.125), ("b", "z", 0.125)]  # fmt: skip
    first = found[0]
    plan = framings[2].plan
    assert first.graph == (plan, "y")
    assert first.evidence == ((3, plan, (plan, "y"), "y"), "others")
    assert first.assumptions == ("joists guessed", "studs guessed")
    assert found[-1].assumptions == ()
    assert set(asked) == {"the job"}
    assert cases("the job")[0].evidence[1] is DEFAULT


def test_cautions_come_in_one_order():
    gas = {"kind": "service", "type": "gas", "path": [[0, 0, 0], [1, 0, 0]]}
    water = {**gas, "type": "supply"}
    every = (DISEASE, POWER, GAS, STRUCTURE, OLD_PAINT, CONFINED, POISON)
    assert cautions(job(g=water, h=gas), 2.0) == every
    assert cautions(job(g=water)) == (DISEASE, POWER, STRUCTURE, OLD_PAINT, POISON)
    new = job(s={"kind": "settings", "year_built": 2000})
    assert cautions(new) == (DISEASE, POWER, STRUCTURE, POISON)
    assert OLD_PAINT in cautions(job(s={"kind": "settings"}))


def test_where_several_voids_lie_at_a_spot_the_smallest_stands_for_it():
    house = graph()
    square = np.array([[0.0, 0.0], [7.0, 0.0], [7.0, 1.0], [0.0, 1.0]])
    other = msgspec.structs.replace(
        house, keys=tuple(f"o{v}" for v in range(7)), polygon=(square,) * 7,
        volume=np.array([9.0, 3, 2, 2, 8, 8, 8]))  # fmt: skip
    # The kitchen alone is no hidden void; of the two smallest the first by name.
    assert void_map(house, other).tolist() == [0, 2, 2, 2, 2, 2, 2]
    high = msgspec.structs.replace(other, bottom=np.full(7, 0.5), top=np.full(7, 0.6))
    assert void_map(house, high).tolist() == [0, 2, 2, 2, 2, 2, 2]
    above = msgspec.structs.replace(other, bottom=np.full(7, 0.51))
    assert void_map(house, above).tolist() == [-1] * 7
    none = msgspec.structs.replace(
        other, keys=(), polygon=(), bottom=np.zeros(0), top=np.zeros(0), hidden=np.zeros(0, bool)
    )
    assert void_map(house, none).tolist() == [-1] * 7
    some = msgspec.structs.replace(other, keys=("o0", "bath", "o2", "sink", "o4", "o5", "o6"))
    assert void_map(house, some).tolist() == [0, 3, 2, 2, 2, 2, 1]
