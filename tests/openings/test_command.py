"""The command line of openings: words, JSON, the curve, refusals."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import msgspec
import pytest
from click.testing import CliRunner

from houses import bungalow
from wainscot import schema
from wainscot.cli.openings import openings
from wainscot.diagnosis import diagnose
from wainscot.job import read
from wainscot.openings import plan_openings


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("job") / "job.json"
    file.write_text(json.dumps(bungalow()), encoding="utf-8")
    return file


def run(*arguments: object) -> tuple[int, str, str]:
    found = CliRunner().invoke(openings, [*map(str, arguments), "--draws", "256"])
    return found.exit_code, found.stdout, found.stderr


def test_words_fit_the_terminal_and_say_what_is_not_authorised(job: Path) -> None:
    code, out, _ = run(job, "--curve")
    assert code == 0
    assert max(map(len, out.splitlines())) <= 80
    for text in ("Least:", "Balanced:", "Open it all:", "Compared with:", "nobody cuts", "missed"):
        assert text in out
    assert out.count("callback x ") >= 6


def test_json_fits_its_schema(job: Path) -> None:
    code, out, _ = run(job, "--json")
    assert code == 0
    jsonschema.validate(json.loads(out), schema.openings_schema())
    assert schema.text_of("openings") == schema.rendered(schema.openings_schema())


def test_it_chooses_what_the_step_by_itself_chooses(job: Path) -> None:
    code, out, _ = run(job, "--json", "--gap", "0", "--seed", "3")
    assert code == 0
    one = read(job.read_text(encoding="utf-8"))
    _, drawn = diagnose(one, seed=3, draws=256)
    choice = plan_openings(one, drawn, gap=0.0)
    assert json.loads(out) == json.loads(msgspec.json.encode(choice))


def test_a_void_that_is_not_there_is_refused(job: Path) -> None:
    code, out, error = run(job, "--must", "Q9")
    assert (code, out) == (2, "")
    assert "unknown-void" in error


def test_a_budget_holds(job: Path) -> None:
    code, out, _ = run(job, "--max-cost", "3", "--json")
    assert code == 0
    assert all(point["cost"] <= 3 + 1e-9 for point in json.loads(out)["curve"])
