"""The chance by night and a smell over days: what is drawn is what was calculated."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from command import run
from houses import bungalow

DECAY = (4.0, 3.1, 2.6, 2.2, 2.05, 2.0, 1.95)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A house that was trapped for nine nights, one catch, and smelt at since it was cleaned."""
    document: dict[str, Any] = bungalow()
    document["title"] = "Mill & <Barn>"
    entities = document["entities"]
    for n, room in enumerate(("kitchen", "bathroom")):
        entities[f"t{n}"] = {"kind": "trap", "place": {"of": room}, "at": "2026-03-01"}
        for night in (3, 6, 9):
            caught = {"state": "caught"} if (n, night) == (0, 3) else {
                "state": "set"}  # fmt: skip
            entities[f"t{n}_{night}"] = {
                "kind": "trap_check", "trap": f"t{n}", "at": f"2026-03-{1 + night:02}", **caught,
            }  # fmt: skip
    entities["r"] = {"kind": "air_reading", "room": "kitchen", "of": "odour", "value": 4.0,
                     "at": "2026-01-01", "product_days": 0}  # fmt: skip
    for n, value in enumerate(DECAY):
        day = date(2026, 2, 1) + timedelta(days=4 * n)
        entities[f"r{n}"] = {"kind": "air_reading", "room": "kitchen", "of": "odour",
                             "value": value, "at": day.isoformat()}  # fmt: skip
    where = tmp_path_factory.mktemp("pictures")
    (where / "job.json").write_text(json.dumps(document))
    told = run("all-clear", str(where / "job.json"), "--draws", "256", "--svg", str(where / "out"))
    assert told.exit_code == 0, told.output
    return where / "out"


def test_both_pictures_are_sound_and_say_what_they_show(folder: Path) -> None:
    names = sorted(one.name for one in folder.iterdir())
    assert names == ["chance-by-night.svg", "smell-1-odour.svg"]
    for one in folder.iterdir():
        text = one.read_text(encoding="utf-8")
        ElementTree.fromstring(text)
        assert "<desc" in text
        assert "<Barn>" not in text


def test_a_catch_is_marked_and_the_line_falls_there(folder: Path) -> None:
    text = (folder / "chance-by-night.svg").read_text(encoding="utf-8")
    assert "1 caught" in text
    assert "the low end decides" in text.replace("\n", " ")


def test_every_reading_has_its_mark_where_its_value_lies(folder: Path) -> None:
    """Marks against heights worked out by hand: most = 1.15 x 4, from 376 px up over 236 px."""
    text = (folder / "smell-1-odour.svg").read_text(encoding="utf-8")
    marks = re.findall(r'<path d="M([0-9.]+) ([0-9.]+)L[^"]*Z" fill="#74300E"', text)
    assert len(marks) == len(DECAY)
    for (_, top), value in zip(marks, DECAY, strict=True):
        assert float(top) + 7 == pytest.approx(376 - 236 * value / (1.15 * 4.0), abs=0.06)
    assert "falls to" in text
