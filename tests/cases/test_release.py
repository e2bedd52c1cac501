"""A hold point is settled by a named person on evidence, at one place, and no caution is."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from wainscot import demos, job
from wainscot.access import site_of, ways_to_open
from wainscot.cli import main
from wainscot.job import Job
from wainscot.openings.signing import released
from wainscot.walk import survey


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    path = tmp_path / "mine.json"
    path.write_text(demos.text("semi_1930s"), encoding="utf-8")
    return path


def held(one: Job) -> set[str]:
    seen = survey(one)
    offered = ways_to_open(seen.plan, seen.graph, site_of(one))
    return {hold.key for way in offered for hold in way.holds}


def test_what_is_released_waits_no_longer_there_and_everywhere_else_it_does(mine: Path) -> None:
    before = run("release", mine)
    assert {"lead/kitchen", "lead/hall"} <= set(before.stdout.split())
    done = run("release", mine, "lead/kitchen", "--by", "A. Tester", "--evidence", "swab 12")
    assert done.exit_code == 0, done.stderr
    after = set(run("release", mine).stdout.split())
    assert "lead/kitchen" not in after
    assert "lead/hall" in after
    assert "lead/kitchen" not in held(job.read(mine.read_text(encoding="utf-8")))


def test_without_a_name_or_evidence_nothing_is_written(mine: Path) -> None:
    text = mine.read_bytes()
    for words in (
        ("--by", "A. Tester"),
        ("--evidence", "swab 12"),
        ("--by", " ", "--evidence", "x"),
    ):
        told = run("release", mine, "lead/kitchen", *words)
        assert (told.exit_code, "who settled it" in told.stderr) == (2, True)
    assert mine.read_bytes() == text


def test_a_release_without_evidence_in_the_file_releases_nothing() -> None:
    one = job.read(demos.text("semi_1930s"))
    empty = released(one, "lead/kitchen", by="A. Tester", evidence="")
    assert "lead/kitchen" in held(empty)


def test_a_caution_is_never_signed_away(mine: Path) -> None:
    one = job.read(demos.text("semi_1930s"))
    care = {key for key in held(one) if key.startswith("infection")}
    assert care
    told = run("release", mine, min(care), "--by", "A. Tester", "--evidence", "swab 12")
    assert told.exit_code == 2
    assert care <= held(released(one, min(care), by="A. Tester", evidence="swab 12"))


def test_a_wrong_key_is_told_the_nearest(mine: Path) -> None:
    told = run("release", mine, "lead/kitchn", "--by", "A. Tester", "--evidence", "swab 12")
    assert told.exit_code == 2
    assert "lead/kitchen" in told.stderr
