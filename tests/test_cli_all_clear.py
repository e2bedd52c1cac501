"""The commands that end a job: seals, traps, all-clear."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from command import SCREEN, run
from houses import bungalow
from wainscot.all_clear import all_clear
from wainscot.job import read
from wainscot.schema import text_of
from wainscot.sealing import Terms
from wainscot.walk import walk

FEW = ("--draws", "256")


def _traps(nights: int = 12) -> dict[str, Any]:
    found: dict[str, Any] = {
        "seal_1": {"kind": "seal", "closes": "none", "material": "mortar", "by": "Crew",
                   "photo": "p", "at": "2026-03-01"},
    }  # fmt: skip
    for n, room in enumerate(("kitchen", "bathroom")):
        found[f"t{n}"] = {"kind": "trap", "place": {"of": room}, "at": "2026-03-01"}
        found[f"t{n}_c"] = {
            "kind": "trap_check", "trap": f"t{n}", "at": f"2026-03-{1 + nights:02}", "state": "set"
        }  # fmt: skip
    return found


@pytest.fixture
def house(tmp_path: Path) -> Path:
    document = bungalow()
    document["entities"] |= _traps()
    path = tmp_path / "job.json"
    path.write_text(json.dumps(document))
    return path


def _valid(name: str, found: object) -> None:
    jsonschema.Draft202012Validator(json.loads(text_of(name))).validate(found)


def test_seals_are_listed_side_by_side_with_what_stays_open(house: Path) -> None:
    found = run("seals", str(house), "--second", "kitchen")
    assert found.exit_code == 0, found.output
    # One list, a column an animal and grade; nothing is told twice.
    assert found.output.count("outside, north side") == 1
    assert "Second layer round Kitchen" in found.output
    assert "never meshed" in found.output
    # A crew reads it on one screen of a terminal.
    assert len(run("seals", str(house)).output.splitlines()) <= SCREEN
    # Every way in stays open until the traps say it is quiet: common practice, no source.
    _, _, order = found.output.partition("so that nobody is shut in")
    lines = [line for line in order.splitlines() if re.match(r"  \d\. ", line)]
    assert [line[5:14] for line in lines] == [
        "close the", "set traps", "wait unti", "close the", "watch on "
    ]  # fmt: skip
    answer = json.loads(run("seals", str(house), "--json").output)
    assert len(answer["lists"]) == 4
    assert answer["judged"]
    _valid("seals", answer)


def test_the_seal_map_is_written_and_no_job_is_written_over(house: Path, tmp_path: Path) -> None:
    drawn = run("seals", str(house), "--svg", "-", "--date", "3 June 2026")
    assert drawn.exit_code == 0, drawn.output
    assert drawn.stdout.startswith("<svg")
    assert "3 June 2026" in drawn.stdout
    told = run("seals", str(house), "--svg", str(tmp_path / "map.svg"), "--date", "3 June 2026")
    assert (tmp_path / "map.svg").read_text(encoding="utf-8") == drawn.stdout
    assert "What to close" in told.stdout
    assert run("seals", str(house), "--svg", "-", "--json").exit_code == 2
    assert run("seals", str(house), "--svg", str(house)).exit_code == 2


def test_a_void_that_is_not_there_is_refused_in_a_line(house: Path) -> None:
    found = run("seals", str(house), "--give-up", "attic")
    assert found.exit_code == 2
    assert "no void is called 'attic'" in found.output


def test_traps_tells_nights_and_the_next_round(house: Path) -> None:
    found = run("traps", str(house), "--today", "2026-03-20")
    assert found.exit_code == 0, found.output
    assert "24.0 trap nights, 0 caught" in found.output
    assert "look at the trap t0: overdue: 7 nights since" in found.output


def test_the_statement_says_what_it_rests_on_and_what_would_settle_it(house: Path) -> None:
    found = run("all-clear", str(house), *FEW)
    assert found.exit_code == 0, found.output
    # The list of the bungalow is not closed, so it is not known yet, whatever the traps say.
    assert found.output.startswith("not yet known")
    for part in (
        "rests on:",
        "but:",
        "would settle it:",
        "for 95 in 100:",
        "85 were free",
        "good for 30 days",
    ):
        assert part in " ".join(found.output.split())


def test_a_catch_after_the_last_seal_is_not_over(house: Path) -> None:
    document = json.loads(house.read_text())
    document["entities"]["t0_c"] |= {"state": "caught", "species": "norway rat"}
    house.write_text(json.dumps(document))
    found = json.loads(run("all-clear", str(house), *FEW, "--json").output)
    assert found["statement"]["outcome"] == "not over"
    assert found["statement"]["chance"] == 0.0
    assert found["watching"]["catches"] == 1
    _valid("all-clear", found)


def test_walk_holds_seals_and_statement(house: Path, tmp_path: Path) -> None:
    told = run("walk", str(house), *FEW, "--out", str(tmp_path / "out"))
    assert told.exit_code == 0, told.output
    _, _, closing = told.stdout.partition("CLOSE UP")
    for part in ("house mouse", "norway rat", "stays open", "IS IT OVER", "\nnot yet known\n"):
        assert part in closing
    found = json.loads(run("walk", str(house), *FEW, "--json").stdout)
    for name in ("seals", "all-clear"):
        _valid(name, found[name])
        assert json.loads((tmp_path / "out" / f"{name}.json").read_text()) == found[name]


def test_terms_that_cannot_be_met_stop_nothing_but_the_closing(house: Path) -> None:
    document = json.loads(house.read_text())
    document["entities"]["terms"] = {"kind": "closing_terms", "given_up": ["attic"]}
    house.write_text(json.dumps(document))
    told = run("walk", str(house), *FEW, "--json")
    assert told.exit_code == 0, told.output
    assert "closing waits: given up: no void is called 'attic'" in " ".join(told.stderr.split())
    found = json.loads(told.stdout)
    assert found["answer"]["verdict"]
    assert found["seals"] is None


def test_validate_refuses_terms_that_name_what_is_not_there(house: Path) -> None:
    document = json.loads(house.read_text())
    key = next(k for k, one in document["entities"].items() if one["kind"] == "entry_point")
    document["entities"]["terms"] = {
        "kind": "closing_terms", "given_up": ["loft", "attic"], "twice": ["Kitchen"],
        "cannot_wait": ["nursery"], "declined": [key, f"{key}x", "edge/outside, north side"],
    }  # fmt: skip
    house.write_text(json.dumps(document))
    told = run("validate", str(house))
    assert told.exit_code == 2
    for part in (
        "entities.terms.given_up[1]: no void is called 'attic'; name a void",
        "entities.terms.cannot_wait[0]: no void is called 'nursery'",
        f"entities.terms.declined[1]: no way is called '{key}x'; write '{key}' [unknown-way]",
        "3 faults; nothing was written",
    ):
        assert part in told.stderr
    document["entities"]["terms"] |= {"given_up": ["loft"], "cannot_wait": [], "declined": [key]}
    house.write_text(json.dumps(document))
    assert run("validate", str(house)).exit_code == 0


@pytest.mark.parametrize(
    "checks",
    [
        {},
        {"early": {"trap": "t0", "at": "2026-03-05", "state": "caught"}},
        # Two looks on the last day: what was caught in the morning is not undone by noon.
        {"t0_c": {"trap": "t0", "at": "2026-03-13T06:00:00Z", "state": "caught"},
         "t1_c": {"trap": "t1", "at": "2026-03-13T12:00:00Z", "state": "set"}},
    ],
)  # fmt: skip
def test_the_last_night_is_the_statement(house: Path, checks: dict[str, dict[str, str]]) -> None:
    # Traps after the last seal are no signs, so one walk serves for all.
    document = json.loads(house.read_text())
    walked = walk(read(json.dumps(document)), draws=256, closing=Terms())
    seen, drawn, sealing = walked.survey, walked.drawn, walked.sealing
    assert drawn is not None
    assert sealing is not None
    for key, one in checks.items():
        document["entities"][key] = {"kind": "trap_check", **one}
    job = read(json.dumps(document))
    found = all_clear(job, seen.plan, seen.graph, drawn, sealing)
    last = found.by_night[-1]
    said = found.statement
    assert (last.low, last.middle, last.high) == pytest.approx(said.chance_range, abs=1e-12)
    assert said.chance == said.chance_range[0]
    assert sum(night.caught for night in found.by_night) == len(checks.keys() - {"t1_c"})


def test_a_check_of_a_trap_that_is_not_there_is_a_fault(house: Path) -> None:
    document = json.loads(house.read_text())
    document["entities"]["t0_c"]["trap"] = "trap_9"
    house.write_text(json.dumps(document))
    found = run("traps", str(house))
    assert found.exit_code == 2
    assert "trap_9" in found.output
