"""The opening sheet: what a framer may rely on, and what must never stand on it."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import msgspec
import pytest
import shapely
from tests import houses
from tests.papers import sheets

from wainscot.drawing import Drawing, as_svg
from wainscot.job import Job
from wainscot.openings import Signed, Wanted
from wainscot.papers.opening_sheet import (
    SheetView,
    as_pdf,
    as_png,
    last_day,
    sheet_files,
    svg_files,
)
from wainscot.papers.opening_sheet.model import OpeningPage
from wainscot.quantity import length

HOUSES = ("bungalow", "semi", "ranch")


def _page(view: SheetView, words: str) -> OpeningPage:
    return next(page for page in view.pages if words in page.title)


def _cut_boxes(drawing: Drawing) -> list[tuple[float, float, float, float]]:
    return [shapely.Polygon(one.points).bounds for one in drawing.shapes if one.layer == "cut"]


def test_every_opening_of_the_set_has_its_page() -> None:
    job = sheets.house("semi")
    choice = sheets.choice_of(job)
    view = sheets.sheet_of("semi")
    assert len(view.pages) >= 40
    told = sorted(key for page in view.pages for key in page.ids)
    assert told == sorted(choice.all_of_it.openings)
    assert [line.number for line in view.lines] == [page.number for page in view.pages]


def test_only_what_is_not_sawn_shares_a_page() -> None:
    view = sheets.sheet_of("ranch")
    shared = [page for page in view.pages if len(page.ids) > 1]
    assert shared
    assert all(not page.marks and not page.drawings for page in shared)


@pytest.mark.parametrize("name", HOUSES)
def test_without_a_signature_every_page_says_do_not_cut(name: str) -> None:
    for page in sheets.sheet_of(name).pages:
        assert page.stamp == "not authorised"
        assert page.stamp_words.startswith("NOT AUTHORISED: do not ")


def test_what_is_signed_says_by_whom_and_that_hold_points_come_first() -> None:
    job = sheets.house("ranch")
    one = sheets.choice_of(job).all_of_it.openings[0]
    view = sheets.sheet(job, signed=Signed(authorised={one: "A. Owner, 2026-05-01"}))
    page = next(page for page in view.pages if one in page.ids)
    assert page.stamp == "authorised"
    assert "A. Owner" in page.said
    assert page.holds
    assert page.stamp_words == "AUTHORISED: hold points first"
    assert sum(other.stamp == "authorised" for other in view.pages) == 1


def test_what_is_signed_has_a_page_whatever_set_is_shown() -> None:
    job = sheets.house("ranch")
    everything = set(sheets.choice_of(job, 0.05).all_of_it.openings)
    least = set(sheets.choice_of(job, 0.05).least.openings)
    one = min(everything - least)
    view = sheets.sheet(job, 0.05, Signed(authorised={one: "A. Owner"}), which="least")
    assert any(one in page.ids for page in view.pages)


def test_what_is_declined_has_no_page_and_stays_with_its_risk() -> None:
    job = sheets.house("ranch")
    one = next(
        key for key in sheets.choice_of(job).all_of_it.openings if key.startswith("strip of wall")
    )
    view = sheets.sheet(job, signed=Signed(declined={one: "A. Owner, 2026-05-01, too dear"}))
    assert not any(one in page.ids for page in view.pages)
    (line,) = view.declined
    assert "too dear" in line
    assert "in 100 that it leaves soil" in line
    assert "Do not open" in line


def test_a_job_with_nothing_to_open_still_makes_a_sheet() -> None:
    view = sheets.sheet(sheets.house("bungalow"), chance=0.0, which="balanced")
    assert view.pages == ()
    assert "Nothing is worth opening" in view.summary
    assert len(as_png(view, ppi=20)) == 1


def test_a_page_an_opening_and_one_in_front() -> None:
    view = sheets.sheet_of("ranch")
    pages = len(as_png(view, ppi=20))
    # Where the hold points need more room than a page has, they run on to a second.
    assert 1 + len(view.pages) <= pages <= 3 + len(view.pages) * 1.25
    assert len(as_png(view, "half", ppi=20)) > pages


@pytest.mark.parametrize("name", HOUSES)
def test_the_blade_goes_through_the_board_and_no_deeper(name: str) -> None:
    """Common practice, no source: the blade is set to the board."""
    _, _, ways = sheets.parts(sheets.house(name))
    board = {way.id: way.cuts[0].board for way in ways if way.cuts}
    seen = 0
    for page in sheets.sheet_of(name).pages:
        depth = dict(page.facts).get("Blade depth")
        if depth is None:
            continue
        seen += 1
        told = re.match(r"""(.+?) \((.+?)\), never deeper""", depth)
        assert told, depth
        thick = board[page.ids[0]]
        assert all(length(one) <= thick + 1e-9 for one in told.groups())
        assert length(told.group(1)) > thick - 0.0254 / 16 - 1e-9
        (section,) = [one for one in page.drawings if one.key.endswith("section")]
        (cut,) = _cut_boxes(section)
        assert cut[3] - cut[1] == pytest.approx(thick)
        blade = next(sign for sign in section.signs if sign.kind == "blade")
        assert min(abs(blade.at[1] - edge) for edge in (cut[1], cut[3])) < 1e-9
    assert seen


@pytest.mark.parametrize("name", HOUSES)
def test_what_is_printed_never_reaches_past_the_cut_that_was_judged(name: str) -> None:
    _, _, ways = sheets.parts(sheets.house(name))
    area, seen = {way.id: way.cuts for way in ways}, 0
    for page in sheets.sheet_of(name).pages:
        exact = [cut for key in page.ids for cut in area[key] if cut.sawn]
        if not exact or not page.drawings:
            continue
        drawn = _cut_boxes(page.drawings[0])
        assert len(drawn) == len(exact)
        total = sum((east - west) * (north - south) for west, south, east, north in drawn)
        judged = sum(cut.area for cut in exact)
        assert total <= judged + 1e-6
        assert total >= 0.7 * judged
        seen += 1
    assert seen


def test_no_drawn_cut_crosses_what_runs_in_the_wall_or_floor() -> None:
    beside = 0
    for page in (page for name in HOUSES for page in sheets.sheet_of(name).pages):
        for drawing in page.drawings[:1]:
            for cut, run in sheets.cut_across(drawing):
                assert not cut.intersects(run), page.title
                beside += 1
    assert beside


@pytest.mark.parametrize("name", HOUSES)
def test_the_pilot_hole_lies_within_the_cut_and_on_no_member(name: str) -> None:
    seen = 0
    for page in sheets.sheet_of(name).pages:
        for drawing in page.drawings[:1]:
            pilots = [sign for sign in drawing.signs if sign.kind == "pilot"]
            boxes = [shapely.box(*one) for one in _cut_boxes(drawing)]
            assert len(pilots) == len(boxes)
            members = shapely.union_all(
                [
                    shapely.Polygon(shape.points, shape.holes)
                    for shape in drawing.shapes
                    if shape.layer == "member"
                ]
            )
            for sign in pilots:
                point = shapely.Point(sign.at)
                assert any(box.contains(point) for box in boxes)
                assert not members.contains(point), page.title
                seen += not members.is_empty
    assert seen


def test_marks_on_a_wall_are_told_to_an_eighth_and_five_millimetres() -> None:
    seen = 0
    for name in HOUSES:
        for page in sheets.sheet_of(name).pages:
            for mark in page.marks:
                if "saw line" in mark.what and "elevation" in page.drawings[0].key:
                    metric, inches = sorted(
                        (mark.first, mark.second), key=lambda one: not one.endswith("mm")
                    )
                    assert int(metric.removesuffix(" mm")) % 5 == 0
                    assert (length(inches) / 0.0254 * 8) == pytest.approx(
                        round(length(inches) / 0.0254 * 8), abs=1e-6
                    )
                    seen += 1
    assert seen


def test_the_job_s_own_tape_comes_first() -> None:
    metric = next(page for page in sheets.sheet_of("bungalow").pages if page.marks)
    feet = next(page for page in sheets.sheet_of("ranch").pages if page.marks)
    assert metric.marks[0].first.endswith("mm")
    assert feet.marks[0].first.endswith('"')
    assert feet.marks[0].second.endswith("mm")


def _from_below() -> OpeningPage:
    return _page(sheets.sheet_of("semi"), "Cut the subfloor from the crawl space")


def test_a_cut_from_below_is_mirrored_and_says_so() -> None:
    page = _from_below()
    drawing = page.drawings[0]
    assert drawing.mirrored
    assert "MIRRORED" in as_svg(drawing)
    assert "MIRRORED" in dict(page.facts)


def test_what_is_cut_from_above_or_in_a_wall_is_not_mirrored() -> None:
    for page in sheets.sheet_of("semi").pages:
        for drawing in page.drawings:
            looked_up = "ceiling" in drawing.key or page.title == _from_below().title
            assert drawing.mirrored == (looked_up and not drawing.key.endswith("section"))


def test_a_cut_from_below_is_measured_from_a_datum_found_on_both_sides() -> None:
    page = _from_below()
    facts = dict(page.facts)
    assert "the pin" in facts["Datum 0"]
    assert "west of the pin" in {mark.where for mark in page.marks} | {
        part for mark in page.marks for part in mark.where.split(" / ")
    } or "east of the pin" in {mark.where for mark in page.marks}
    assert '+/- 3 mm (1/8") from a pin left in place' in facts["Tolerance"]
    assert '+/- 13 mm (1/2") without' in facts["Tolerance"]
    assert "reads so much shorter below" in facts["Never from a wall"]
    for mark in page.marks:
        assert re.fullmatch(r"\d+ mm( / \d+ mm)?", mark.first)


def test_the_pin_lies_beside_the_cut_and_between_the_joists() -> None:
    drawing = _from_below().drawings[0]
    (pin,) = [sign for sign in drawing.signs if sign.kind == "pin"]
    point = shapely.Point(pin.at)
    (cut,) = [shapely.box(*one) for one in _cut_boxes(drawing)]
    assert shapely.distance(point, cut) > 0.0
    for shape in drawing.shapes:
        if shape.layer == "member":
            member = shapely.Polygon(shape.points, shape.holes)
            assert shapely.distance(point, member) > 0.01
        if shape.layer == "fixture":
            assert shapely.distance(point, shapely.LineString(shape.points)) > 0.02


def test_hold_points_and_who_signs_them_stand_on_the_page() -> None:
    job = sheets.house("bungalow")
    choice = sheets.choice_of(job)
    for page in sheets.sheet_of("bungalow").pages:
        wanted = {
            hold.hazard
            for one in choice.openings
            if one.id in page.ids
            for hold in one.holds
            if hold.standing != "care"
        }
        assert {hold.hazard for hold in page.holds} == wanted
        assert all(hold.who and hold.evidence and hold.first for hold in page.holds)
        assert "licensed trade" in page.defer


# --- what a job file may hold ------------------------------------------------

HOSTILE = (
    '#image("/etc/passwd")',
    '#panic("markup was run")',
    "<script>alert(1)</script>",
    "*bold* _it_ $x$ `raw` @label <l> \\ // /* ",
    "]#[#",
    "\u202eevil\u202c \u05d0\u05d1\u05d2 \u0627\u0644\u0645\u0637\u0628\u062e",
    "A very long name " * 20,
    "\x00\x07\x1b[31m tab\there",
    "{{7*7}} ${HOME} %%c ^J",
)


def _renamed(name: str) -> Job:
    document = houses.ranch()
    for entity in document["entities"].values():
        if "name" in entity:
            entity["name"] = name
    return houses.as_job({**document, "title": name})


@pytest.mark.parametrize("name", HOSTILE)
def test_names_are_set_as_text_whatever_they_hold(name: str) -> None:
    view = sheets.sheet(_renamed(name), which="least", chance=0.2)
    assert view.pages
    # Were a name read as markup, ``#panic`` and an unmatched bracket would stop the page.
    assert as_pdf(view).startswith(b"%PDF")
    for text in svg_files(view).values():
        assert "<script" not in text
        assert "\x1b" not in text


def test_a_page_that_runs_markup_would_be_noticed() -> None:
    typst = pytest.importorskip("typst")
    with pytest.raises(typst.TypstError):
        typst.compile(HOSTILE[1].encode(), format="pdf")


# --- the same every time -----------------------------------------------------


def test_the_same_sheet_gives_the_same_bytes() -> None:
    job = sheets.house("ranch")
    first, second = (sheet_files(sheets.sheet(job, 0.1, which="least")) for _ in range(2))
    assert first.keys() == second.keys()
    assert first == second
    assert "opening-sheet.pdf" in first
    assert any(name.endswith(".dxf") for name in first)


def test_the_date_is_the_job_s_own_and_never_today_s() -> None:
    document = houses.ranch()
    document["entities"]["look"] = {
        "kind": "inspection", "place": {"of": next(
            key for key, one in document["entities"].items() if one["kind"] == "room")},
        "at": "2031-02-03T10:00:00+00:00",
    }  # fmt: skip
    assert last_day(houses.as_job(document)) == "2031-02-03"
    view = sheets.sheet(sheets.house("ranch"), 0.1, which="least", date="")
    assert b"CreationDate (D:19700101" in as_pdf(view) or b"CreationDate" not in as_pdf(view)
    odd = msgspec.structs.replace(view, date="the third of May")
    assert as_pdf(odd).startswith(b"%PDF")


def test_letters_are_nine_points_or_more() -> None:
    """9 pt are 3.175 mm; a drawing is set at its own size."""
    for text in svg_files(sheets.sheet_of("ranch")).values():
        sizes = [float(one) for one in re.findall(r'font-size="([0-9.]+)"', text)]
        assert min(sizes) >= 31.7


def test_wanted_openings_alone_can_be_shown() -> None:
    job = sheets.house("ranch")
    label = sheets.parts(job)[1].labels[list(sheets.parts(job)[1].kinds).index("stud bay")]
    view = sheets.sheet(job, 0.0, wanted=Wanted(must=(label,)), which="balanced")
    assert any(label in row.labels for page in view.pages for row in page.reached)


@pytest.mark.parametrize("name", HOUSES)
def test_the_patch_is_as_large_as_the_hole_that_is_marked_out(name: str) -> None:
    seen = 0
    for page in sheets.sheet_of(name).pages:
        board = next((one for one in page.patch if one.what.startswith(("Board", "Floor"))), None)
        marks = [length(mark.first) for mark in page.marks if "saw line" in mark.what]
        if board is None or len(marks) != 4 or "pin" in page.marks[0].where:
            continue
        seen += 1
        told = re.match(r"(.+?) x (.+?) \(", board.amount)
        assert told, board.amount
        sizes = sorted(length(one) for one in told.groups())
        hole = sorted((abs(marks[1] - marks[0]), abs(marks[3] - marks[2])))
        assert sizes == pytest.approx(hole, abs=1e-6), page.title
    assert seen


def test_a_drawing_that_goes_alone_says_whether_it_may_be_cut_by() -> None:
    view = sheets.sheet_of("bungalow")
    texts = svg_files(view)
    for page in view.pages:
        for drawing in page.drawings:
            words = " ".join(ET.fromstring(texts[f"{drawing.key}.svg"]).itertext())
            assert "NOT AUTHORISED: do not cut" in words
            assert view.version in words
            assert "NOT AUTHORISED" not in as_svg(drawing, ground=False)


def test_what_is_signed_has_a_page_though_no_set_wants_it() -> None:
    document = houses.ranch()
    way = next(
        one.id for one in sheets.parts(houses.as_job(document))[2] if one.act == "access panel"
    )
    document["entities"]["word"] = {
        "kind": "authorisation", "openings": [way], "by": "A. Owner", "at": "2026-05-01",
    }  # fmt: skip
    view = sheets.sheet(houses.as_job(document), 0.0, which="least")
    (page,) = view.pages
    assert page.ids == (way,)
    assert page.stamp == "authorised"
    assert "A. Owner" in page.said


def test_what_is_declined_stays_on_the_plan() -> None:
    job = sheets.house("ranch")
    one = next(
        key for key in sheets.choice_of(job).all_of_it.openings if key.startswith("strip of wall")
    )
    view = sheets.sheet(job, signed=Signed(declined={one: "A. Owner"}))
    (sign,) = [s for plan in view.plans for s in plan.signs if s.text == "D1"]
    assert sign.faint
    assert view.declined[0].startswith("D1: ")
