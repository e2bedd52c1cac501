"""The seal map holds every line of the list under its number, in both themes."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree

import pytest

from houses import as_job, ranch
from wainscot.picture import Sheet, draw
from wainscot.picture.sealed import seal_map
from wainscot.sealing import Sealing, Terms, left_of, rows_of, seal_lists
from wainscot.walk import Survey, survey


@pytest.fixture(scope="module")
def made() -> tuple[Survey, Sealing, Sheet]:
    job = as_job(ranch())
    surveyed = survey(job)
    graph = surveyed.graph
    first = {kind: key for key, kind in zip(graph.keys[::-1], graph.kinds[::-1], strict=True)}
    terms = Terms(given_up=("crawl space",), cannot_wait=(first["room"],),
                  nests=(first["stud bay"],))  # fmt: skip
    sealing = seal_lists(job, terms, guess=surveyed.guess)
    sheet = seal_map(surveyed.job, surveyed.plan, surveyed.graph, sealing, date="3 June 2026")
    return surveyed, sealing, sheet


def test_every_line_has_a_mark_and_every_mark_a_line(made: tuple[Survey, Sealing, Sheet]) -> None:
    _, sealing, sheet = made
    marks = [one for panel in sheet.panels for one in panel.seals]
    rows = rows_of([one.seals for one in sealing.lists])
    assert {one.label.rstrip("mr") for one in marks if one.sort == "close"} == {
        str(row.number) for row in rows
    }
    assert {one.label for one in marks if one.sort == "open"} == {
        one.letter for one in left_of(sealing.lists)
    }
    assert sealing.isolation is not None
    assert sealing.isolation.seals
    parted = rows_of([sealing.isolation.seals])
    assert {one.label for one in marks if one.sort == "part"} == {
        f"P{row.number}" for row in parted
    }
    assert [line.label for line in sheet.close] == [str(row.number) for row in rows]


def test_marks_lie_where_the_places_lie(made: tuple[Survey, Sealing, Sheet]) -> None:
    _, sealing, sheet = made
    rows = rows_of([one.seals for one in sealing.lists])
    places = {str(row.number): {spot.at[:2] for spot in row.spots} for row in rows}
    for panel in sheet.panels:
        for one in panel.seals:
            if one.sort == "close":
                assert one.at in places[one.label.rstrip("mr")]


def test_what_is_for_one_animal_alone_says_so(made: tuple[Survey, Sealing, Sheet]) -> None:
    _, sealing, sheet = made
    for row in rows_of([one.seals for one in sealing.lists]):
        names = {each.species for each, hours in zip(sealing.lists, row.hours, strict=True)
                 if hours}  # fmt: skip
        tail = {"house mouse": "m", "norway rat": "r"}[names.pop()] if len(names) == 1 else ""
        labels = {one.label for panel in sheet.panels for one in panel.seals
                  if one.sort == "close" and one.label.rstrip("mr") == str(row.number)}  # fmt: skip
        assert labels == {f"{row.number}{tail}"}


@pytest.mark.parametrize("theme", ["day", "night"])
def test_it_is_drawn_with_what_is_left_to_the_animals(
    made: tuple[Survey, Sealing, Sheet], theme: str
) -> None:
    surveyed, _, sheet = made
    svg = draw(sheet, theme)
    ElementTree.fromstring(svg)
    assert svg.count("url(#given-up)") > 1
    for said in ("Seal map: what to close", "Stays open all the same", "Part at once (hours)"):
        assert said in svg
    lost = [one for panel in sheet.panels for one in panel.voids if one.state == "given up"]
    kinds = dict(zip(surveyed.graph.keys, surveyed.graph.kinds, strict=True))
    assert lost
    assert {kinds[one.id] for one in lost} == {"crawl space"}
