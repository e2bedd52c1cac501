"""``wainscot cut``: the words, what is kept in the job, and that the set of openings holds it."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

import pytest

from command import run
from houses import as_job, ranch
from wainscot import job as jobs

LYING = ("--along", "6 in", "--bottom", "2 ft 4 in", "--width", "12 in", "--height", "16 in")


@pytest.fixture
def house(tmp_path: Path) -> str:
    document = ranch()
    document["entities"]["partition"]["first_stud"] = {"value": 0, "basis": "measured"}
    path = tmp_path / "ranch.json"
    path.write_text(jobs.write(as_job(document)), encoding="utf-8")
    return str(path)


def test_a_refused_cut_is_told_and_its_moved_twin_is_kept_and_opened(house: str) -> None:
    said = run("cut", house, "bath_room/w1", *LYING)
    assert said.exit_code == 0
    assert " ".join(said.stdout.split()).startswith("Refused: it would cut or touch: stud; the")
    assert "own_cut" not in Path(house).read_text(encoding="utf-8")
    kept = run("cut", house, "bath_room/w1", *LYING, "--moved", "--by", "A. Tester", "--json")
    assert json.loads(kept.stdout)["standing"] == "refused"
    held = jobs.read(Path(house).read_bytes()).entities["own_cut_1"]
    assert (held["bottom"], held["height"]) == ("2 ft 4 in", "16 in"), "what stays is as typed"
    assert held["along"] != "6 in"
    told = json.loads(run("openings", house, "--draws", "256", "--json").stdout)
    (mine,) = [one for one in told["openings"] if one["given"] == "own_cut_1"]
    for name in ("least", "balanced", "all_of_it"):
        assert mine["id"] in told[name]["openings"]
    assert [one["standing"] for one in told["own_cuts"]] == ["allowed"]
    assert mine["status"] == "planned"
    done = run("authorise", house, "--opening", mine["id"], "--by", "the owner", "--draws", "256")
    assert done.exit_code == 0, done.stderr


def test_the_sheet_draws_it_with_the_lengths_that_were_typed(house: str, tmp_path: Path) -> None:
    where = ("--along", "2 in", "--bottom", "10 in", "--width", "13 in", "--height", "16 in")
    assert run("cut", house, "den/s1", *where, "--keep").exit_code == 0
    out = tmp_path / "drawings"
    done = run("openings", house, "--draws", "256", "--svg", str(out), "--set", "least")
    assert done.exit_code == 0, done.stderr
    elevations = [
        set(re.findall(r">([^<>]+)<", unescape(path.read_text("utf-8"))))
        for path in out.glob("opening-*-elevation.svg")
    ]
    # What was typed is what stands between the ticks, as a tape in feet and inches prints it.
    assert any({'2"', "1'-1\"", '10"', "1'-4\""} <= texts for texts in elevations)


def test_a_side_that_is_not_there_and_a_cut_without_height_are_refused(house: str) -> None:
    said = run("cut", house, "bath_room/w9", *LYING)
    assert said.exit_code == 2
    assert "w9" in said.stderr
    none = run("cut", house, "bath_room/w1", "--along", "1 in", "--width", "1 ft", "--height", "0")
    assert none.exit_code == 2
