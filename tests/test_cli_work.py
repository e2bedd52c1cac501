"""``wainscot contain``, ``clean`` and ``dry``: what they print, refuse and write."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from command import run
from wainscot import demos
from wainscot.demos import LABEL
from wainscot.schema import text_of


@pytest.fixture
def house(tmp_path: Path) -> Path:
    path = tmp_path / "house.json"
    path.write_text(demos.text(), encoding="utf-8")
    return path


@pytest.fixture
def label(tmp_path: Path) -> Path:
    path = tmp_path / "label.toml"
    path.write_text(LABEL, encoding="utf-8")
    return path


def with_entities(house: Path, **more: dict[str, Any]) -> None:
    document = json.loads(house.read_text(encoding="utf-8"))
    document["entities"] |= more
    house.write_text(json.dumps(document), encoding="utf-8")


def flat(text: str) -> str:
    return " ".join(text.split())


def test_contain_says_first_what_must_be_settled_before_a_fan(house: Path) -> None:
    told = run("contain", str(house), "--room", "Kitchen")
    assert told.exit_code == 0, told.stderr
    assert told.stdout.startswith("STOP, find out first (combustion/house)")
    assert "Units: 1" in flat(told.stdout)
    found = json.loads(run("contain", str(house), "--room", "kitchen", "--json").stdout)
    assert found["exhaust"]["flow"] >= found["exhaust"]["by_leakage"]


def test_contain_tells_where_a_warm_house_pulls_as_hard(house: Path) -> None:
    told = run("contain", str(house), "--room", "Kitchen", "--outside", "0 F", "--height", "18 ft")
    assert "watch a manometer" in flat(told.stdout)
    alone = run("contain", str(house), "--room", "Kitchen", "--height", "18 ft")
    assert (alone.exit_code, "--outside" in alone.stderr) == (2, True)


def test_contain_tells_what_reaches_the_other_rooms_and_whether_the_draught_holds(
    house: Path,
) -> None:
    told = flat(run("contain", str(house), "--room", "Kitchen", "--outside", "14 F").stdout)
    assert "Next door, dose as a share" in told
    assert "Weakest pull at the sheets" in told
    found = json.loads(
        run("contain", str(house), "--room", "Kitchen", "--outside", "14 F", "--json").stdout
    )
    jsonschema.Draft202012Validator(json.loads(text_of("containment"))).validate(found)
    assert {one["room"] for one in found["spread"]["rooms"]} >= {"Hall", "Utility", "Bathroom"}


def test_a_released_hold_point_leaves_the_containment(house: Path) -> None:
    assert "combustion/house" in run("release", str(house)).stdout
    signed = run("release", str(house), "combustion/house", "circuits/wetting", "--by", "A. Tester",
                 "--evidence", "no burner in the house; alarm tested")  # fmt: skip
    assert signed.exit_code == 0, signed.stderr
    assert "combustion/house" not in run("contain", str(house), "--room", "Kitchen").stdout
    assert "circuits/wetting" not in run("release", str(house)).stdout


def test_an_unknown_room_is_told_with_the_nearest(house: Path) -> None:
    told = run("contain", str(house), "--room", "Kitchn")
    assert told.exit_code == 2
    assert "write 'kitchen'" in told.stderr


def test_clean_prints_the_plan_of_the_voids_that_were_named(house: Path, label: Path) -> None:
    told = run("clean", str(house), "--label", str(label), "--air", "68 F", "--humidity", "50 %",
               "--void", "F26")  # fmt: skip
    assert told.exit_code == 0, told.stderr
    assert told.stdout.startswith("STOP, sign first (circuits/wetting)")
    assert "joist bay F26" in told.stdout
    assert "not even with a HEPA vacuum" in flat(told.stdout)


def test_clean_refuses_a_humidity_without_its_unit_and_dry_removal(
    house: Path, label: Path
) -> None:
    given = ["clean", str(house), "--label", str(label), "--air", "68 F", "--void", "F26"]
    assert "humidity-unclear" in run(*given, "--humidity", "50").stderr
    dry = run(*given, "--humidity", "50 %", "--dry-method", "vacuum", "--signed-by", "A. Tester")
    assert dry.exit_code == 2
    assert "dry removal is refused" in dry.stderr
    assert dry.stdout == ""


def test_clean_stops_at_a_label_for_other_surfaces(house: Path, label: Path) -> None:
    label.write_text(LABEL.replace('"wood", ', ""), encoding="utf-8")
    told = run("clean", str(house), "--label", str(label), "--air", "68 F", "--humidity", "50 %",
               "--void", "F26")  # fmt: skip
    assert told.exit_code == 2
    assert "label-surface" in told.stderr


def test_dry_forecasts_from_the_readings_of_the_job_and_says_what_bars_closing(
    house: Path,
) -> None:
    nothing = run("dry", str(house), "--air", "70 F", "--humidity", "45 %")
    assert "No moisture reading" in nothing.stdout
    given = ["dry", str(house), "--air", "70 F", "--humidity", "45 %", "--target", "-3"]
    assert run(*given).exit_code == 2
    readings = {
        f"wet{day}": {"kind": "air_reading", "room": "kitchen", "at": f"2025-03-{10 + day}",
                      "of": "moisture percent", "value": value}
        for day, value in enumerate((28.0, 24.0, 21.0, 18.5))
    }  # fmt: skip
    with_entities(house, **readings)
    told = flat(run("dry", str(house), "--air", "70 F", "--humidity", "45 %").stdout)
    assert "Kitchen: day " in told
    assert "18.5 % is over the limit of 15 %" in told
    assert "cables not looked at" in told
    assert "STOP circuits/wetting" in told
    damp = flat(run("dry", str(house), "--air", "70 F", "--humidity", "85 %").stdout)
    assert "15 % is never reached" in damp


def test_a_label_is_written_into_the_job_and_clean_goes_by_it(house: Path, label: Path) -> None:
    given = ["clean", str(house), "--air", "68 F", "--humidity", "50 %", "--void", "F26"]
    alone = run(*given)
    assert (alone.exit_code, "run wainscot label" in flat(alone.stderr)) == (2, True)
    assert run("label", str(house), str(label), "--by", "A. Tester").exit_code == 0
    assert "contact time 10 min" in flat(run(*given).stdout)
    label.write_text(LABEL.replace('contact_time = "10 min"', ""), encoding="utf-8")
    refused = run("label", str(house), str(label))
    assert (refused.exit_code, "label-missing" in refused.stderr) == (2, True)


def test_applied_tells_what_failed_and_what_the_crew_wrote(house: Path, label: Path) -> None:
    assert "No application is in the job" in flat(run("applied", str(house)).stdout)
    run("label", str(house), str(label))
    at = "2026-05-20T09:{}:00+00:00".format
    with_entities(
        house,
        wet={"kind": "application", "label": "label_1", "place": {"of": "kitchen"}, "at": at("00")},
        end={"kind": "contact", "application": "wet", "at": at("06"), "what": "end"},
        me={"kind": "crew_log", "who": "A. Tester", "at": at("00"), "what": "in"},
    )
    told = flat(run("applied", str(house), "--now", at("40")).stdout)
    assert "Kitchen, started 2026-05-20T09:00:00+00:00 (wet): FAILED: wet for 6 of 10 min" in told
    assert "OVERDUE: call A. Tester now" in told
    assert "alarms nobody" in told
    found = json.loads(run("applied", str(house), "--now", at("40"), "--json").stdout)
    assert [one["standing"] for one in found["applied"]] == ["failed"]
    jsonschema.Draft202012Validator(json.loads(text_of("applied"))).validate(found)
