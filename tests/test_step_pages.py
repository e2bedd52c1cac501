"""Every step of the river has its page: idea, equation, source, limits, where it is wrong."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from wainscot import quantity

DOCS = Path(__file__).resolve().parent.parent / "docs"
STEPS = ("plan", "voids", "air", "access", "signs", "diagnosis", "checks", "openings",
         "containment", "cleaning", "sealing", "all_clear", "estimate", "programme", "papers",
         "walk", "store", "api")  # fmt: skip
ROWS = ("idea", "equation", "source", "where it is known to be wrong")


@pytest.mark.parametrize("step", STEPS)
def test_the_page_of_a_step_says_idea_equation_source_limits_and_where_it_is_wrong(
    step: str,
) -> None:
    page = (DOCS / f"{step.replace('_', '-')}.md").read_text("utf-8")
    for row in ROWS:
        (said,) = re.findall(rf"^\| {row} \| (.+) \|$", page, re.M)
        assert said.strip()
    assert re.search(r"^## Limits\n\n?.{40}", page, re.M)


def test_every_step_stands_in_the_river_and_on_its_picture() -> None:
    start = (DOCS / "start.md").read_text("utf-8")
    for step in STEPS:
        assert f"({step.replace('_', '-')}.md)" in start
    picture = (DOCS / "pictures" / "river.svg").read_text("utf-8")
    for step in STEPS[:14]:
        assert step.replace("_", " ") in picture


def test_every_unit_that_is_read_is_on_the_page_of_units() -> None:
    page = (DOCS / "units.md").read_text("utf-8")
    for table in ("_LENGTHS", "_AREAS", "_VOLUMES", "_MASSES", "_DURATIONS"):
        for unit in getattr(quantity, table):
            assert f"`{unit}`" in page, unit


def test_the_pictures_of_the_field_guide_are_small_and_few() -> None:
    names = re.findall(r'src="(pictures/[^"]+)"', (DOCS / "field-guide.md").read_text("utf-8"))
    assert 3 <= len(names) <= 6
    for name in names:
        assert (DOCS / name).stat().st_size < 60_000, name
