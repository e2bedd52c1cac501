"""The curve: every set where its figures say, named sets with their plates, words escaped."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import msgspec
import pytest
from tests.papers import sheets

from wainscot import chance
from wainscot.openings import Choice
from wainscot.picture.curve import HEIGHT, WIDTH, draw_curve


@pytest.fixture(scope="module")
def choice() -> Choice:
    return sheets.choice_of(sheets.house("bungalow"), 0.2)


@pytest.mark.parametrize("theme", ["day", "night"])
def test_the_three_sets_stand_with_their_figures(choice: Choice, theme: str) -> None:
    text = draw_curve(choice, title="A house", theme=theme)  # type: ignore[arg-type]
    words = " ".join(ET.fromstring(text).itertext())
    for one in (choice.least, choice.balanced, choice.all_of_it):
        assert one.name in words
        assert f"{chance.percent(one.missed)} in 100" in words.replace("&lt;", "<")
    for rule in choice.compared:
        assert rule.name in words
    assert draw_curve(choice, title="A house", theme=theme) == text  # type: ignore[arg-type]


def test_points_lie_within_the_picture_and_cost_more_to_the_right(choice: Choice) -> None:
    root = ET.fromstring(draw_curve(choice))
    for one in root.iter():
        for name, most in (("x", WIDTH), ("cx", WIDTH), ("y", HEIGHT), ("cy", HEIGHT)):
            if name in one.attrib:
                assert -1 <= float(one.attrib[name]) <= most + 1
    marks = [
        float(one.attrib["x"])
        for one in root.iter("{http://www.w3.org/2000/svg}rect")
        if one.attrib.get("width") == "7"
    ]
    # The last of them belongs to the key.
    assert marks[:-1] == sorted(marks[:-1])
    assert len(marks) == len(choice.curve) + 1


def test_letters_are_sixteen_pixels_or_more(choice: Choice) -> None:
    sizes = [float(one) for one in re.findall(r'font-size="([0-9.]+)"', draw_curve(choice))]
    assert min(sizes) >= 16


def test_a_title_is_text(choice: Choice) -> None:
    assert "<script" not in draw_curve(choice, title="<script>x</script>")


def test_a_curve_of_nothing_is_drawn(choice: Choice) -> None:
    nothing = msgspec.structs.replace(choice.least, cost=0.0, missed=0.0, openings=())
    empty = msgspec.structs.replace(
        choice, least=nothing, balanced=nothing, all_of_it=nothing, curve=(), compared=()
    )
    assert draw_curve(empty).startswith("<svg")
