"""A crew's days at one house, by the command line only: sign, open, log bay by bay, walk again."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from houses import as_job, bungalow, semi
from wainscot import plan, walk
from wainscot.cli import main

DRAWS = ("--draws", "512")


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, list(arguments))


def openings(file: Path) -> dict[str, Any]:
    told = run("openings", str(file), "--json", *DRAWS)
    assert told.exit_code == 0, told.stderr
    found: dict[str, Any] = json.loads(told.stdout)
    return found


def walked(file: Path) -> str:
    told = run("walk", str(file), *DRAWS)
    assert told.exit_code == 0, told.stderr
    return " ".join(told.stdout.split())


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("house") / "bungalow.json"
    file.write_text(json.dumps(bungalow()), encoding="utf-8")
    return file


@pytest.fixture
def file(house: Path, tmp_path: Path) -> Path:
    copy = tmp_path / "job.json"
    copy.write_bytes(house.read_bytes())
    return copy


def floor_bays(choice: dict[str, Any]) -> list[str]:
    """Labels that the balanced set wants to lay open, the likeliest first."""
    wanted = set(choice["balanced"]["openings"])
    labels = [v for one in choice["openings"] if one["id"] in wanted for v in one["voids"]]
    return list(dict.fromkeys(labels))


def test_before_anybody_signed_nobody_cuts(file: Path) -> None:
    assert "None of it is authorised yet: nobody cuts." in walked(file)


def test_signed_opened_and_logged_the_next_walk_leaves_out_what_lies_open(file: Path) -> None:
    before = openings(file)
    signed = run("authorise", str(file), "--set", "balanced", "--by", "the owner",
                 "--at", "2025-03-04", *DRAWS)  # fmt: skip
    assert signed.exit_code == 0, signed.stderr
    assert "All of it is authorised." in walked(file)
    clean, nest, *_ = floor_bays(before)
    logged = run("opened", str(file), f"{clean}=clean", f"{nest}=nest", "--by", "crew",
                 "--at", "2025-03-05")  # fmt: skip
    assert logged.exit_code == 0, logged.stderr
    after = openings(file)
    assert after["known_clean"] == [clean]
    assert after["open_already"] == [nest]
    wanted = set(after["balanced"]["openings"])
    for one in after["openings"]:
        if one["id"] in wanted:
            assert not {*one["voids"], *one["partly"]} <= {clean, nest}, one["id"]
    said = walked(file)
    assert f"Opened and clean: {clean}." in said
    assert f"Open, to be cleaned: {nest}." in said


def test_what_a_find_calls_for_beyond_the_signature_is_a_change_order_with_its_cost(
    file: Path,
) -> None:
    before = openings(file)
    few = before["least"]["openings"][:1]
    assert run("authorise", str(file), "--opening", few[0], "--by", "the owner",
               *DRAWS).exit_code == 0  # fmt: skip
    opened = next(one for one in before["openings"] if one["id"] == few[0])
    assert run("opened", str(file), f"{opened['voids'][0]}=nest").exit_code == 0
    after = openings(file)
    assert after["change_order"] > 0
    status = {one["id"]: one["status"] for one in after["openings"]}
    asked = [name for name in after["balanced"]["openings"] if name not in few]
    assert asked
    assert {status[name] for name in asked} == {"change order"}
    assert "Change order, beyond what is authorised: " in walked(file)


def test_a_declined_opening_stays_with_the_risk_that_it_leaves(file: Path) -> None:
    before = openings(file)
    # One whose voids nothing else reaches: then declining it must leave a risk.
    first = before["all_of_it"]["openings"][0]
    done = run("authorise", str(file), "--decline", first, "--reason", "new tiles", "--by",
               "the owner", *DRAWS)  # fmt: skip
    assert done.exit_code == 0, done.stderr
    after = openings(file)
    assert not any(first in point["openings"] for point in after["curve"])
    (left,) = after["declined"]
    assert (left["id"], left["said"]) == (first, "the owner, new tiles")
    assert "Declined (the owner, new tiles): " in walked(file)


def test_results_that_cannot_be_are_refused_and_nothing_is_written(file: Path) -> None:
    before = file.read_bytes()
    for arguments, words in (
        (("Q9=clean",), "no void is called 'Q9'"),
        (("B1=dusty",), "write one of clean, light, heavy, nest"),
        (("B1",), "as VOID=SIGHT"),
        (("B1=clean", "B1=nest"), "told twice"),
        (("B1=clean", "--at", "yesterday"), "at"),
    ):
        told = run("opened", str(file), *arguments)
        assert told.exit_code == 2, arguments
        assert words in told.stderr
        assert file.read_bytes() == before


def test_every_hidden_void_of_the_house_can_be_logged_and_is_found_again(
    file: Path, tmp_path: Path
) -> None:
    voids = json.loads(run("voids", str(file), "--json").stdout)["voids"]
    labels = [one["label"] for one in voids if one["hidden"]]
    out = tmp_path / "all.json"
    sights = [f"{label}={('clean', 'light', 'heavy', 'nest')[n % 4]}"
              for n, label in enumerate(labels)]  # fmt: skip
    assert run("opened", str(file), *sights, "--out", str(out)).exit_code == 0
    after = openings(out)
    assert set(after["known_clean"]) == set(labels[::4])
    assert set(after["known_clean"]) | set(after["open_already"]) == set(labels)
    assert after["balanced"]["openings"] == []


def test_a_label_is_that_of_the_framing_guess_which_the_crew_s_plan_shows(tmp_path: Path) -> None:
    file = tmp_path / "semi.json"
    file.write_text(json.dumps(semi()), encoding="utf-8")
    guesses = [key for key, _, _ in plan.hypotheses(as_job(semi()))]
    assert len(guesses) > 1
    for guess in guesses:
        graph = walk.survey(as_job(semi()), guess=guess).graph
        bay = next(v for v, kind in enumerate(graph.kinds) if kind == "joist bay")
        out = tmp_path / f"{guess}.json"
        told = run("opened", str(file), f"{graph.labels[bay]}=clean", "--guess", guess,
                   "--out", str(out))  # fmt: skip
        assert told.exit_code == 0, told.stderr
        assert graph.words[bay] in " ".join(told.stderr.split())
        (logged,) = [
            one for key, one in json.loads(out.read_text())["entities"].items()
            if key.startswith("opened_")
        ]  # fmt: skip
        low, high = graph.polygon[bay].min(axis=0), graph.polygon[bay].max(axis=0)
        assert all(a <= x <= b for a, x, b in zip(low, logged["place"]["at"], high, strict=True))
    # Without a guess it is the one that the answer stands under.
    answer = walk.walk(as_job(semi()), seed=1, draws=512).survey
    label = next(answer.graph.labels[v] for v, kind in enumerate(answer.graph.kinds)
                 if kind == "joist bay")  # fmt: skip
    told = run("opened", str(file), f"{label}=clean", "--out", "-", *DRAWS)
    assert told.exit_code == 0
    assert f"opened_{label}" in json.loads(told.stdout)["entities"]
    told = run("opened", str(file), f"{label}=clean", "--guess", "no such")
    assert (told.exit_code, "unknown-guess" in told.stderr) == (2, True)
