"""A drawing as DXF, in millimetres at full size, with real dimension entities.

``$INSUNITS`` says millimetres and ``$MEASUREMENT`` metric, whatever tape the job is told in; what
stands on a dimension is its rounded figure on both tapes.  Layers have the names of what they hold.

Limits: needs the package ezdxf; letters are sized for the scale that the drawing has on paper.
"""

from __future__ import annotations

import io
import math
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from wainscot.drawing.chains import figures
from wainscot.drawing.layout import Paper, on_paper, row_offset
from wainscot.drawing.model import SMALL, Chain, Drawing, Point, Shape, Sign, segments
from wainscot.errors import WainscotError

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document

CAPITAL = 0.73
"""Height of a capital to the size of its letters; a DXF text is as high as its capitals. [1]"""
MILLIMETRES, METRIC = 4, 1
"""Group codes of the DXF reference: $INSUNITS 4, $MEASUREMENT 1."""

_COLOURS = {
    "room": 7, "outline": 8, "member": 8, "board": 8, "service": 5, "clear": 9, "fixture": 8,
    "void": 5, "cut": 1, "done": 1, "dimension": 7, "mark": 7, "words": 7,
}  # fmt: skip


class MissingPackageError(WainscotError):
    """A package that makes a kind of file is not installed."""

    def __init__(self, package: str, what: str) -> None:
        super().__init__(
            f"{what} needs the package {package}; install it with: pip install {package}"
        )


def as_dxf(drawing: Drawing) -> bytes:
    """Return a drawing as a DXF file; the same drawing gives the same bytes.

    Parameters
    ----------
    drawing : Drawing
        The drawing.

    Raises
    ------
    MissingPackageError
        If ezdxf is not installed.
    """
    document = _new()
    space = document.modelspace()
    paper = on_paper(drawing)
    height = SMALL * CAPITAL * paper.scale
    for shape in drawing.shapes:
        _shape(space, shape)
    for disc in drawing.discs:
        space.add_circle(_mm(disc.centre), disc.radius * 1000, dxfattribs={"layer": disc.layer})
    for one in drawing.letters:
        at = (one.at[0] + one.nudge[0] * paper.scale / 1000,
              one.at[1] + one.nudge[1] * paper.scale / 1000)  # fmt: skip
        _text(space, one.text, at, one.size * CAPITAL * paper.scale, "words", one.anchor)
    for sign in drawing.signs:
        _sign(space, sign, height)
    for chain in drawing.chains:
        _chain(space, chain, drawing, paper)
    west, south, _, _ = drawing.window
    note = "MIRRORED: seen looking up. " if drawing.mirrored else ""
    for n, text in enumerate((f"{note}{drawing.title}", drawing.note)):
        under = (west, south - (45 + 6 * n) * paper.scale / 1000)
        if text:
            _text(space, text, under, height * 1.2, "words", "start")
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode("utf-8")


def _new() -> Document:
    try:
        import ezdxf
    except ImportError:
        raise MissingPackageError("ezdxf", "a DXF drawing") from None
    # Otherwise the clock and fresh ids go into every file.
    fixed = ezdxf.options  # type: ignore[attr-defined] # not in its list of names
    fixed.set("core", "write_fixed_meta_data_for_testing", "true")
    document = ezdxf.new("R2010")  # type: ignore[attr-defined] # likewise
    document.header["$INSUNITS"] = MILLIMETRES
    document.header["$MEASUREMENT"] = METRIC
    document.header["$LUNITS"] = 2
    for name, colour in _COLOURS.items():
        document.layers.add(name, color=colour)
    return document


def _mm(point: Point) -> Point:
    return (point[0] * 1000, point[1] * 1000)


def _shape(space: Any, shape: Shape) -> None:
    attributes = {"layer": shape.layer}
    for ring in (shape.points, *shape.holes):
        space.add_lwpolyline([_mm(p) for p in ring], close=shape.closed, dxfattribs=attributes)
    if shape.layer == "cut" and shape.closed:
        hatch = space.add_hatch(color=_COLOURS["cut"], dxfattribs=attributes)
        hatch.set_pattern_fill("ANSI31", scale=20)
        hatch.paths.add_polyline_path([_mm(p) for p in shape.points], is_closed=True)


def _text(space: Any, text: str, at: Point, height: float, layer: str, anchor: str) -> None:
    from ezdxf.enums import TextEntityAlignment as Align

    align = {"start": Align.LEFT, "middle": Align.CENTER, "end": Align.RIGHT}[anchor]
    made = space.add_text(plain(text), height=height, dxfattribs={"layer": layer})
    made.set_placement(_mm(at), align=align)


def plain(text: str) -> str:
    """Return text without what a DXF reader takes for a code: ``%%d``, ``^J``, line ends."""
    kept = "".join(c if c.isprintable() else " " for c in text)
    return kept.replace("%%", "% %").replace("^", "^ ").replace("\\", "/")


def _sign(space: Any, sign: Sign, height: float) -> None:
    x, y = _mm(sign.at)
    size = height
    if sign.kind in ("blade", "look"):
        back = (x - size * 2 * math.cos(sign.turn), y - size * 2 * math.sin(sign.turn))
        space.add_line(back, (x, y), dxfattribs={"layer": "mark"})
        return
    for start, end in (((x - size, y), (x + size, y)), ((x, y - size), (x, y + size))):
        space.add_line(start, end, dxfattribs={"layer": "mark"})
    if sign.kind in ("pilot", "corner", "number"):
        space.add_circle((x, y), size / 2, dxfattribs={"layer": "mark"})
    if sign.text:
        _text(space, sign.text, ((x + size * 0.6) / 1000, (y + size * 0.6) / 1000), height, "mark",
              "start")  # fmt: skip


def _chain(space: Any, chain: Chain, drawing: Drawing, paper: Paper) -> None:
    """Real dimensions; their figures stand where they stand on paper, so that none overlap."""
    height = SMALL * CAPITAL * paper.scale
    base = chain.base * 1000 + chain.side * row_offset(chain, drawing, paper.scale) * paper.scale
    places = {one.segment: one.at for one in figures(chain, drawing, paper)}
    pairs = segments(chain, drawing.units, drawing.grain)
    for n, ((a, b), pair) in enumerate(zip(pairwise(chain.stops), pairs, strict=True)):
        if abs(b.at - a.at) < 1e-9:
            continue
        across = chain.axis == "x"
        ends = [_mm((s.at, chain.base) if across else (chain.base, s.at)) for s in (a, b)]
        made = space.add_linear_dim(
            base=(ends[0][0], base) if across else (base, ends[0][1]),
            p1=ends[0], p2=ends[1], angle=0 if across else 90, text=f"{pair[0]}\\P{pair[1]}",
            text_rotation=0, dimstyle="Standard",
            override={"dimtxt": height, "dimasz": height * 0.6, "dimexe": height * 0.3,
                      "dimexo": height * 0.3, "dimgap": height * 0.3, "dimtsz": height * 0.4},
            dxfattribs={"layer": "dimension"},
        )  # fmt: skip
        if n in places:
            x, y = places[n]
            made.set_location(((x - paper.left) * paper.scale, (paper.base - y) * paper.scale))
        made.render()
