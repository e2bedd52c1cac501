"""What the statement says of the study is what the committed study found."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from wainscot.all_clear.outcome import IF_SHY

ROOT = Path(__file__).resolve().parents[2]
FOUND = json.loads((ROOT / "study" / "results" / "all_clear.json").read_text("utf-8"))


def test_houses_called_free_are_free_as_often_as_claimed_where_the_model_holds() -> None:
    held = FOUND["conditions"]["model holds"]
    low, high = held["band_99"]
    assert FOUND["houses"] == 500
    assert low <= held["free"] <= high


def test_the_lower_figure_on_the_statement_is_that_of_the_study() -> None:
    shy = FOUND["conditions"]["as used, trap shy"]
    assert pytest.approx(shy["free"] / shy["called free"], abs=0.006) == IF_SHY.value
    assert shy["share"] < FOUND["conditions"]["as used"]["share"]


def test_the_page_prints_what_was_found() -> None:
    page = (ROOT / "docs" / "all-clear.md").read_text("utf-8")
    for name, one in FOUND["conditions"].items():
        row = f"| {name} | {one['called free']} | {one['free']} | {one['share']:.3f} |"
        assert row in page
