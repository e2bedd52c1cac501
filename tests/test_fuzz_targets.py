"""What the fuzzer begins with goes through each target, without the fuzzer; and its own parts."""

from __future__ import annotations

import importlib
import json
import random
from pathlib import Path

import pytest
from fuzz import TARGETS
from fuzz.__main__ import RESULTS, tally
from fuzz.mutate import mutated
from fuzz.one import watched


@pytest.mark.parametrize("name", TARGETS)
def test_what_a_target_begins_with_breaks_nothing(name: str) -> None:
    target = importlib.import_module(f"fuzz.targets.{name}")
    seeds = target.seeds()
    assert len(seeds) > 1
    for data in seeds:
        target.one(data)


def test_a_finding_is_written_down_once_with_its_input(tmp_path: Path) -> None:
    def breaks(data: bytes) -> None:
        if data != b"good":
            raise KeyError(data)

    run = watched(breaks, tmp_path)
    for data in (b"good", b"first", b"second"):
        run(data)
    (told,) = map(json.loads, (tmp_path / "findings.jsonl").read_text().splitlines())
    assert told["place"] == "KeyError in test_fuzz_targets.py, breaks"
    assert (tmp_path / told["input"]).read_bytes() == b"first"


def test_changed_json_is_json_still_and_the_same_seed_changes_it_alike() -> None:
    data = b'job\n{"a": [1, 2.5, {"b": "c"}], "d": null}'

    def of_bytes(_: bytes, most: int) -> bytes:
        return b"bytes"[:most]

    made = [mutated(data, 1000, seed, of_bytes) for seed in range(300)]
    assert made == [mutated(data, 1000, seed, of_bytes) for seed in range(300)]
    changed = [one for one in made if one != b"bytes"]
    assert len({*changed}) > 50
    for one in changed:
        name, _, content = one.partition(b"\n")
        assert name == b"job"
        json.loads(content)


def test_of_several_lines_one_is_changed() -> None:
    data = b'{"a": 1}\n{"b": 2}\n{"c": 3}\n'
    chance = random.Random(1)
    for _ in range(100):
        made = mutated(data, 1000, chance.randrange(1 << 30), lambda data, _: data)
        same = set(made.splitlines()) & set(data.splitlines())
        assert len(same) >= 2


def test_executions_and_edges_are_read_off_what_the_fuzzer_tells() -> None:
    told = """#2\tINITED cov: 12 ft: 12 corp: 1/1b exec/s: 0 rss: 50Mb
#4096\tpulse  cov: 340 ft: 12 corp: 1/1b exec/s: 0 rss: 50Mb
Done 5000 in 2 second(s)
stat::number_of_executed_units: 5000"""
    assert tally(told) == {"executions": 5000, "edges": 340}
    assert tally("") == {"executions": 0, "edges": 0}


def test_the_results_that_are_committed_are_of_every_target_and_without_a_finding() -> None:
    told = json.loads(RESULTS.read_text())
    assert set(told["targets"]) == set(TARGETS)
    for one in told["targets"].values():
        assert one["executions"] > 0
        assert one["edges"] > 0
        assert one["findings"] == []
