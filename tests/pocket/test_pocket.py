"""What a phone carries: small, whole, in step with the signs; replays are exact."""

from __future__ import annotations

import base64
import gzip
import importlib.util
import json
import struct
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
import pytest

from wainscot.book import DEFAULT
from wainscot.diagnosis import diagnose, kernel
from wainscot.diagnosis.cases import cases
from wainscot.diagnosis.problem import make as problem_of
from wainscot.errors import WainscotError
from wainscot.job import Find, Inspection, Job
from wainscot.pocket import PhoneCase, PhoneResult, differences, make, replay, sayings, written
from wainscot.pocket.making import OWN_DRAWS, POPULATIONS, own_seed
from wainscot.pocket.replaying import decode
from wainscot.pocket.sayings import key_of, looks
from wainscot.signs import DEFAULT as RATES
from wainscot.signs import KINDS
from wainscot.simulate import house, inspect, spread

SHARED = Path(__file__).parents[1] / "shared"


def small() -> Job:
    job = house(seed=3, storeys=1, rooms=2)
    return inspect(job, spread(job, seed=3), seed=3, visits=1)


def as_phone(job: Job) -> PhoneResult:
    """Return a result as a phone of the job makes it, drawn by the office's own kernel."""
    made = []
    for case in cases(job):
        problem, _ = problem_of(case.graph, case.evidence)
        seed = own_seed(1, case.species, case.guess)
        data = kernel.encode(problem, seed=seed, draws=OWN_DRAWS // POPULATIONS)
        runs = kernel.run_bytes(data, populations=2)
        digests = tuple(one.digest for one in runs)
        made.append(PhoneCase(case.species, case.guess, data, runs[0].input_digest, digests))
    return PhoneResult(kernel.load_module()[2], 1, OWN_DRAWS, 2, tuple(made), "")


def test_every_look_that_a_phone_can_log_has_a_name_of_its_own() -> None:
    names = [key_of(one) for one in looks()]
    assert len(names) == len(set(names))
    kinds = {name.partition("|")[0] for name in names} - {""}
    assert kinds == {name for name, one in KINDS.items() if one.form != "silence"}


def test_silence_says_less_of_what_was_only_peeped_at() -> None:
    told = sayings("norway rat")
    rows = []
    for amount in ("peep", "part", "all"):
        look = Inspection(finds=[Find("looked and saw nothing", amount)])
        saying = told.entries[key_of(look)]
        rows.append(float(told.factors[saying.cell[0].factor][0, 2, 4]))
    assert rows[0] > rows[1] > rows[2]


def test_smells_wait_for_the_office() -> None:
    told = sayings("house mouse").entries
    assert all(told[key_of(one)].waits == (one.finds[0].kind == "odour" or one.method in (
        "nose", "meter")) for one in looks() if one.finished is False or one.grade == "seen"
        if RATES.methods[one.method].since_laid is False)  # fmt: skip


def test_three_hundred_voids_with_their_draws_are_under_a_megabyte() -> None:
    job = house(seed=5, storeys=2, rooms=10)
    job = inspect(job, spread(job, seed=5), seed=5, visits=2)
    _, drawn = diagnose(job, seed=1)
    pocket = make(job, drawn, DEFAULT, seed=1)
    assert pocket is not None
    assert len(drawn.void_ids) >= 300
    assert sum(one.draws.count for one in pocket.cases) == 4096
    assert len(gzip.compress(written(pocket), 6)) < 1_000_000
    draws = msgspec.to_builtins(pocket.cases[0].draws)
    raw = sum(len(base64.b64decode(one)) for one in draws.values() if isinstance(one, str))
    assert raw < 1_000_000


def test_a_house_too_big_for_a_phone_has_no_pocket() -> None:
    _, drawn = diagnose(small(), seed=1, draws=256)
    bare = msgspec.structs.replace(drawn, samples=())
    assert make(small(), bare, DEFAULT, seed=1) is None
    assert written(None) == b"null"


def test_bytes_read_back_are_the_problem_they_were_made_of() -> None:
    case = cases(small())[0]
    problem, _ = problem_of(case.graph, case.evidence)
    again = decode(kernel.encode(problem, seed=2**64 - 1, draws=128))
    for name in (*kernel.DOUBLES, *kernel.INTEGERS, "source_named", "zone_heard"):
        assert np.array_equal(getattr(problem, name), getattr(again, name)), name


def test_what_a_phone_drew_is_drawn_again_to_the_last_bit_and_a_change_is_seen() -> None:
    job = small()
    result = as_phone(job)
    digest = replay(result)
    assert digest == replay(result, threads=1)
    assert differences(result, job) == {
        " / ".join(filter(None, (one.species, one.guess))): 0.0 for one in result.cases
    }
    first = result.cases[0]
    spoiled = bytearray(first.input)
    at = 80  # the first passage's chance
    struct.pack_into("<d", spoiled, at, struct.unpack_from("<d", spoiled, at)[0] * 0.5 + 0.01)
    other = msgspec.structs.replace(first, input=bytes(spoiled))
    changed = msgspec.structs.replace(result, cases=(other, *result.cases[1:]))
    with pytest.raises(WainscotError, match="its digest"):
        replay(changed)
    assert max(differences(changed, job).values()) > 1e-3


def test_a_result_of_another_kernel_is_refused_by_name() -> None:
    result = msgspec.structs.replace(as_phone(small()), module="0" * 64)
    with pytest.raises(WainscotError, match="made by kernel 000000000000"):
        replay(result)


def test_a_find_that_the_office_does_not_know_shows_in_the_difference() -> None:
    job = small()
    looked = [key for key, one in job.entities.items() if one["kind"] == "inspection"]
    less = msgspec.structs.replace(
        job, entities={key: one for key, one in job.entities.items() if key != looked[0]}
    )
    assert max(differences(as_phone(job), less).values()) > 1e-6


def _made() -> Any:
    spec = importlib.util.spec_from_file_location("_make_pocket", SHARED / "make_pocket.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return json.loads(module.text())


def _same(one: Any, two: Any, path: str) -> None:
    assert type(one) is type(two), path
    if isinstance(one, dict):
        assert sorted(one) == sorted(two), path
        for key in one:
            _same(one[key], two[key], f"{path}/{key}")
    elif isinstance(one, list):
        assert len(one) == len(two), path
        for n, pair in enumerate(zip(one, two, strict=True)):
            _same(*pair, f"{path}/{n}")
    elif isinstance(one, float):
        assert one == pytest.approx(two, rel=1e-9, abs=1e-12), path
    elif isinstance(one, str) and len(one) > 500:
        assert len(one) == len(two), path  # an array: its last bits are the machine's
    else:
        assert one == two, path


def test_the_program_still_answers_the_shared_pocket_as_written() -> None:
    kept = json.loads((SHARED / "pocket.json").read_text(encoding="utf-8"))
    _same(kept, _made(), "")
