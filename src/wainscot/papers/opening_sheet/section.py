"""A section through the board at a cut: how deep the blade goes, what lies behind, and no deeper.

Common practice, no source: the blade is set to the board, and the pilot hole shows how thick it is.
"""

from __future__ import annotations

import math
from typing import Literal

import msgspec

from wainscot.drawing import Drawing, Grain, Letters, Shape, Sign
from wainscot.drawing.model import Point
from wainscot.papers.opening_sheet.telling import distance, in_words
from wainscot.quantity import Units

BLADE = Grain(16, 0.001)
"""A blade is set to 1/16 in or 1 mm, downwards."""

Way = Literal["in", "down", "up", "up past the joists"]
"""Which way the blade goes: into a wall, down into a floor, up into a ceiling, up into the floor
between the joists."""


class Layers(msgspec.Struct, frozen=True):
    """What a blade meets, in its order."""

    way: Way
    board: float
    """[m]"""
    member: float
    """Depth of studs or joists. [m]"""
    thick: float
    """Their thickness. [m]"""
    clear: float
    """Clear width between them. [m]"""
    behind: str
    """Words for the void."""
    near: str
    """Words for where the blade comes from."""


def section(layers: Layers, units: Units, key: str) -> Drawing:
    """Return the section.

    Parameters
    ----------
    layers : Layers
        What the blade meets.
    units : {"ft-in", "m"}
        The job's tape.
    key : str
        Of the drawing.
    """
    flip = -1.0 if layers.way == "down" else 1.0
    wide, thick = min(layers.clear, 0.34), layers.thick
    last = layers.way == "up past the joists"
    deep = min(layers.member, 0.2)
    board_low, board_high = (deep, deep + layers.board) if last else (0.0, layers.board)
    joists = (0.0, deep) if last else (layers.board, layers.board + deep)

    def box(left: float, right: float, low: float, high: float) -> tuple[Point, ...]:
        return ((left, flip * low), (right, flip * low), (right, flip * high), (left, flip * high))

    edge = thick + 0.03
    shapes = [Shape("board", box(-edge, wide + edge, board_low, board_high), True)]
    shapes += [Shape("member", box(left, left + thick, *joists), True) for left in (-thick, wide)]
    tip = board_high
    saw = Shape("cut", box(0.0, wide, board_low, board_high), True)
    back = (board_high + 0.09) if last else joists[1] + 0.01
    ends = sorted((flip * -0.11, flip * back))
    figure = in_words(*distance(layers.board, units, BLADE, "down"))
    letters = (
        Letters((wide / 2, flip * ((joists[0] + joists[1]) / 2 if not last else tip + 0.05)),
                layers.behind),
        Letters((wide / 2, flip * -0.085), layers.near),
    )  # fmt: skip
    turn = -math.pi / 2 if flip < 0 else math.pi / 2
    return Drawing(
        key=key, title=f"blade {figure}, no deeper",
        window=(-edge - 0.01, ends[0], wide + edge + 0.01, ends[1]),
        shapes=(*shapes, saw), letters=letters,
        signs=(Sign("blade", (wide * 0.12, flip * tip), turn=turn),),
        units=units, box=(58.0, 36.0),
        about=f"Section: the blade goes through the board, {figure}, and no deeper.",
    )  # fmt: skip
