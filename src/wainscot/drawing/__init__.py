"""One drawing, many forms: what is drawn once as frozen data comes out as SVG, as DXF, on paper.

    made = Drawing("cut", "The cut", (0, 0, 2.4, 2.4), shapes=(Shape("cut", corners, closed=True),))
    as_svg(made)          # text
    as_dxf(made)          # bytes; needs the package ezdxf

Shapes lie in metres on the drawing's own axes; letters, marks and the gaps of dimension lines are
sized on paper, in millimetres.  A drawing knows no job and no building.

Limits: flat, straight lines and circles; text on one line.
"""

from wainscot.drawing.dxf import as_dxf
from wainscot.drawing.lengths import BELOW, PENCIL, Grain, between, both, inwards, rounded
from wainscot.drawing.model import (
    Chain,
    Disc,
    Drawing,
    Letters,
    Shape,
    Sign,
    Stop,
    mirrored,
    segments,
)
from wainscot.drawing.svg import as_svg

__all__ = [
    "BELOW",
    "PENCIL",
    "Chain",
    "Disc",
    "Drawing",
    "Grain",
    "Letters",
    "Shape",
    "Sign",
    "Stop",
    "as_dxf",
    "as_svg",
    "between",
    "both",
    "inwards",
    "mirrored",
    "rounded",
    "segments",
]
