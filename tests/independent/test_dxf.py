"""DXF drawings, read back with ezdxf: sizes, units, the same again when mirrored, closed chains."""

from __future__ import annotations

import io
import re
from fractions import Fraction
from itertools import pairwise

import ezdxf
import pytest
from tests.papers import sheets

from wainscot.access.scene import Scene
from wainscot.drawing import PENCIL, Chain, Drawing, Shape, as_dxf, mirrored
from wainscot.drawing.model import stop
from wainscot.papers.opening_sheet import dxf_files
from wainscot.papers.opening_sheet.elevation import elevation
from wainscot.papers.opening_sheet.walls import SeenWall


def _read(content: bytes):  # type: ignore[no-untyped-def]
    return ezdxf.read(io.StringIO(content.decode("utf-8")))  # type: ignore[attr-defined]


def _lines(document, layer: str) -> list[list[tuple[float, float]]]:  # type: ignore[no-untyped-def]
    query = document.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
    return [[(p[0], p[1]) for p in one.get_points("xy")] for one in query]


def _wide(points: list[tuple[float, float]]) -> float:
    return max(x for x, _ in points) - min(x for x, _ in points)


def _a_wall_of_3600() -> Drawing:
    """The kitchen of the small house is 3.6 m deep, so its west wall is 3,600 mm long."""
    plan, graph, ways = sheets.parts(sheets.house("bungalow"))
    scene = Scene(plan, graph, sheets.site_of(sheets.house("bungalow")))
    cut = next(
        cut
        for way in ways
        for cut in way.cuts
        if cut.part == "wall" and cut.room == "kitchen" and cut.side.endswith("w1") and cut.sawn
    )
    drawing, _ = elevation(SeenWall(scene, cut), [cut], "wall", "A wall")
    return drawing


def test_a_wall_of_3600_mm_measures_3600_mm() -> None:
    document = _read(as_dxf(_a_wall_of_3600()))
    assert _wide(_lines(document, "room")[0]) == pytest.approx(3600.0, abs=0.5)


def test_units_are_millimetres_and_metric() -> None:
    # DXF reference: $INSUNITS 4 is millimetres, $MEASUREMENT 1 is metric.
    document = _read(as_dxf(_a_wall_of_3600()))
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1


def test_a_reader_finds_no_fault() -> None:
    for name, content in dxf_files(sheets.sheet_of("ranch")).items():
        auditor = _read(content).audit()
        assert not auditor.errors, (name, auditor.errors)


def test_the_chain_of_dimensions_closes() -> None:
    document = _read(as_dxf(_a_wall_of_3600()))
    across = [one for one in document.modelspace().query("DIMENSION") if abs(one.dxf.angle) < 1e-9]
    assert len(across) >= 3
    assert sum(one.get_measurement() for one in across) == pytest.approx(3600.0, abs=0.5)
    ends = sorted(tuple(sorted((one.dxf.defpoint2.x, one.dxf.defpoint3.x))) for one in across)
    for (_, stop_at), (start, _) in pairwise(ends):
        assert stop_at == pytest.approx(start, abs=1e-6)


def _printed(text: str) -> tuple[int, Fraction]:
    """Millimetres and inches of ``1000 mm`` over ``3'-3 3/8"``, read by nothing of the program."""
    found = re.fullmatch(r"""(\d+) mm\\P(?:(\d+)'-)?(?:(\d+)(?= |"))? ?(?:(\d+/\d+))?\"""", text)
    assert found, text
    feet, whole, part = found.group(2) or 0, found.group(3) or 0, found.group(4) or 0
    return int(found.group(1)), 12 * int(feet) + int(whole) + Fraction(part)


def test_what_is_printed_adds_up_on_both_tapes() -> None:
    document = _read(as_dxf(_a_wall_of_3600()))
    across = [
        _printed(one.dxf.text)
        for one in document.modelspace().query("DIMENSION")
        if abs(one.dxf.angle) < 1e-9
    ]
    assert sum(metric for metric, _ in across) == 3600
    # 3,600 mm are 141.73 in, so 141-3/4 in to the eighth.
    assert sum((inches for _, inches in across), Fraction(0)) == Fraction(1134, 8)


def test_mirrored_coordinates_mirror_twice_to_themselves() -> None:
    drawing = _a_wall_of_3600()
    plain, once, twice = (
        _lines(_read(as_dxf(one)), "cut")[0]
        for one in (drawing, mirrored(drawing), mirrored(mirrored(drawing)))
    )
    assert once == [(pytest.approx(-x), pytest.approx(y)) for x, y in plain]
    assert twice == [(pytest.approx(x), pytest.approx(y)) for x, y in plain]


def test_the_same_drawing_gives_the_same_bytes() -> None:
    assert as_dxf(_a_wall_of_3600()) == as_dxf(_a_wall_of_3600())


def test_words_hold_no_codes_of_the_format() -> None:
    drawing = Drawing(
        "any", "%%dwater^Jpipe\n0\nLINE", (0, 0, 1, 1),
        shapes=(Shape("room", ((0, 0), (1, 0), (1, 1)), True),),
        chains=(Chain("x", (stop(0, 0, PENCIL), stop(1, 1, PENCIL)), 0, -1),),
    )  # fmt: skip
    document = _read(as_dxf(drawing))
    assert not document.modelspace().query("LINE[layer=='0']")
    (text,) = document.modelspace().query("TEXT")
    assert "%%" not in text.dxf.text
    assert "LINE" in text.dxf.text
