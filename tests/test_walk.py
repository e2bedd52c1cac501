"""The steps in order, kept in memory by content."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import msgspec
import pytest

from wainscot import demos, job, walk
from wainscot.book import read_book
from wainscot.errors import InputError
from wainscot.signs import DEFAULT
from wainscot.signs.learnt import chance_of, learnable, with_factors

DRAWS = 256


@pytest.fixture(scope="module")
def demo() -> job.Job:
    return job.read(demos.text("terraced_cottage"))


def test_every_demo_is_sound() -> None:
    for name in demos.names():
        assert walk.check(job.read(demos.text(name))) == ()


def test_an_unknown_demo_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        demos.text("../../pyproject")


def test_the_same_input_is_not_worked_out_twice(demo: job.Job) -> None:
    calls: list[float] = []
    first = walk.walk(demo, draws=DRAWS, progress=calls.append)
    heard = len(calls)
    again = walk.walk(demo, draws=DRAWS, progress=calls.append)
    assert heard > 0
    assert len(calls) == heard
    assert again.diagnosis is first.diagnosis


def test_checks_are_those_of_the_draws_and_kept_with_them(demo: job.Job) -> None:
    first = walk.walk(demo, draws=DRAWS)
    assert first.checks is not None
    assert walk.walk(demo, draws=DRAWS).checks is first.checks
    labels = set(first.survey.graph.labels)
    assert {label for check in first.checks.checks for label in check.settles} <= labels


def test_the_firms_rates_reach_bands_and_checks(demo: job.Job) -> None:
    dear = read_book('currency = "GBP"\nhour = 60\nopen_bay = 400')
    walked = walk.walk(demo, draws=DRAWS, book=dear)
    assert walked.checks is not None
    assert (walked.checks.money, walked.checks.currency) == (True, "GBP")
    # Opening at ten times the dearest callback (40 h, the default) pays for no void.
    assert not [each for each in walked.diagnosis.voids if each.band == "open"]
    assert walked.checks.time_to_open
    assert walked.checks.open_now == ()


def test_nothing_drawn_is_nothing_to_check() -> None:
    assert walk.walk(job.new("Empty", "m", seed=1), draws=DRAWS).checks is None


def test_another_seed_or_another_fact_is_worked_out_anew(demo: job.Job) -> None:
    first = walk.walk(demo, draws=DRAWS)
    assert walk.walk(demo, draws=DRAWS, seed=2).diagnosis.digest != first.diagnosis.digest
    entities = {**demo.entities, "facts": {**demo.entities["facts"], "year_built": 1935}}
    changed = msgspec.structs.replace(demo, entities=entities)
    assert walk.survey(changed) is not walk.survey(demo)


def test_the_survey_is_that_of_the_likeliest_hypothesis(demo: job.Job) -> None:
    walked = walk.walk(demo, draws=DRAWS)
    best = max(walked.diagnosis.hypotheses, key=lambda each: each.weight)
    assert (walked.survey.species, walked.survey.guess) == (best.species, best.guess)
    known = set(walked.survey.graph.keys)
    assert sum(each.id in known for each in walked.diagnosis.voids) == len(known)


def test_the_clock_is_an_argument(demo: job.Job) -> None:
    ticks = iter(range(10))
    walked = walk.walk(demo, draws=DRAWS, clock=lambda: float(next(ticks)))
    assert [took for _, took in walked.timings] == [1.0] * 6


def test_faults_come_from_every_step_before_anything_is_built(demo: job.Job) -> None:
    bath = {**demo.entities["bath"], "against": "n9"}
    look = {**demo.entities["look_03"], "method": "dowsing"}
    broken = msgspec.structs.replace(
        demo, entities={**demo.entities, "bath": bath, "look_03": look}
    )
    for step in (walk.walk, walk.survey):
        with pytest.raises(InputError) as caught:
            step(broken)
        paths = {fault.path for fault in caught.value.faults}
        assert {"entities.bath.against", "entities.look_03.method"} <= paths


def test_a_process_ends_in_silence_though_the_kernel_is_still_held(tmp_path: Path) -> None:
    # A failed test keeps its frames to the very end, and with them what the library made.
    path = tmp_path / "test_held.py"
    path.write_text(
        "from wainscot.diagnosis import kernel\n"
        "held = []\n"
        "def test_fails():\n    held.append(kernel.Instance())\n    assert False\n"
    )
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", str(path)]
    alone = {**os.environ, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}  # others' plugins take seconds
    done = subprocess.run(
        command, capture_output=True, text=True, check=False, cwd=tmp_path, env=alone
    )
    assert "1 failed" in done.stdout
    assert "Exception ignored" not in done.stderr


def test_ranges_are_tried_round_the_rates_that_the_firm_has_learnt(
    demo: job.Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    rate = learnable()[0]
    book = read_book(f'[signs]\n"{rate.words}" = 0.5', "toml")
    monkeypatch.setattr(walk, "rate_ranges", lambda job, *, rates, **_: rates)
    tried: Any = walk.ranges(demo, book=book, seed=12)
    assert tried == with_factors(DEFAULT, book.signs)
    assert chance_of(tried, rate) != chance_of(DEFAULT, rate)
    assert walk.ranges(demo, seed=12) == DEFAULT
