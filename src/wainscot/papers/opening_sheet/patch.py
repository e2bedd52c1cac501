"""What it takes to close an opening: board, backing, blocking, fasteners, computed from its cuts.

    patch_list(cuts, setting)

Amounts follow from the edges of the cuts; spacings of fasteners and sizes of battens are common
practice.  Local code and the maker's words come first.

Limits: what is found rotten, wet or gnawed behind the board comes on top; compound and paint come
with the estimate.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import msgspec

from wainscot.access import CutAt
from wainscot.drawing import BELOW, PENCIL, Grain
from wainscot.papers.opening_sheet.model import Item
from wainscot.papers.opening_sheet.telling import Pair, distance, in_words
from wainscot.quantity import Units
from wainscot.sources import Cited

BOARD_SCREWS = Cited(12 * 0.0254, "m", "common practice", "screws at 12 in", "common practice")
FLOOR_SCREWS = Cited(6 * 0.0254, "m", "common practice", "screws at 6 in", "common practice")
CLEATS = Cited(12 * 0.0254, "m", "common practice", "two rows at 12 in", "common practice")
TAPE_WASTE = Cited(0.10, "1", "construction estimating textbook", "waste 10 % tape", "read")
BOARD_WASTE = Cited(0.05, "1", "construction estimating textbook", "waste 5 % board", "read")
BRICK = Cited(
    0.225 * 0.075, "m2", "common practice", "stretcher 215 x 65 mm and a 10 mm joint", "derived"
)  # fmt: skip
SHEET_US = Cited(32 * 0.3048**2, "m2", "trade pages", "4 x 8 ft sheet", "second-hand")
SHEET_UK = Cited(1.2 * 2.4, "m2", "common practice", "1200 x 2400 mm sheet", "memory")

_SIXTEENTHS = Grain(16, 0.001)
_CUT = "computed from the cut"
_HABIT = "from the cut; spacing: common practice"


class Setting(msgspec.Struct, frozen=True):
    """What a cut is closed in."""

    units: Units
    made_good: bool
    """False where a panel closes it."""
    masonry: bool
    crossed: int
    """Members that each cut lies across."""
    clear: float
    """Clear width between members. [m]"""
    depth: float
    """Depth of joists. [m]"""
    pieces: tuple[tuple[Pair, Pair], ...] = ()
    """Width and height of each cut as it is marked out, on both tapes; empty: as judged."""


def size(cut: CutAt) -> tuple[float, float]:
    """Return width and height (or length) of a cut. [m]

    Parameters
    ----------
    cut : CutAt
        The cut.
    """
    if cut.part == "wall":
        return math.dist(cut.outline[0], cut.outline[-1]), cut.top - cut.bottom
    return math.dist(cut.outline[0], cut.outline[1]), math.dist(cut.outline[1], cut.outline[2])


def patch_list(cuts: Sequence[CutAt], setting: Setting) -> tuple[Item, ...]:
    """Return what closes these cuts, alike cuts together.

    Parameters
    ----------
    cuts : sequence of CutAt
        Cuts of one opening.
    setting : Setting
        What they are closed in.
    """
    sawn = [cut for cut in cuts if cut.sawn]
    whole = [cut for cut in cuts if not cut.sawn]
    if setting.masonry:
        return tuple(_bricks(cuts))
    items = [*_whole(whole, setting)] if whole else []
    if not sawn:
        return tuple(items)
    if not setting.made_good:
        return tuple(_access_panel(sawn, setting))
    floor = [cut for cut in sawn if cut.part == "floor"]
    board = [cut for cut in sawn if cut.part != "floor"]
    return (*items, *_floor(floor, setting), *_board(board, setting))


def _lengths(value: float, setting: Setting) -> str:
    return in_words(*distance(value, setting.units, PENCIL, "up"))


def _pieces(cuts: Sequence[CutAt], setting: Setting) -> str:
    """``2 pieces 595 x 350 mm``, each size once."""
    found: dict[str, int] = {}
    for one, other in setting.pieces or map(_judged_size, cuts, [setting.units] * len(cuts)):
        told = f"{one[0]} x {other[0]} ({one[1]} x {other[1]})"
        found[told] = found.get(told, 0) + 1
    return "; ".join(f"{n} of {told}" if n > 1 else told for told, n in found.items())


def _judged_size(cut: CutAt, units: Units) -> tuple[Pair, Pair]:
    wide, high = size(cut)
    return distance(wide, units, PENCIL, "down"), distance(high, units, PENCIL, "down")


def _thickness(cut: CutAt, setting: Setting) -> str:
    if setting.units == "m":
        return f"{cut.board * 1000:.4g} mm"
    return distance(cut.board, "ft-in", _SIXTEENTHS)[0]


def _around(length: float, spacing: float) -> int:
    """Fasteners along a line, both ends included."""
    return math.ceil(length / spacing - 1e-9) + 1


def _board(cuts: Sequence[CutAt], setting: Setting) -> Iterator[Item]:
    if not cuts:
        return
    sizes = [size(cut) for cut in cuts]
    yield Item(f"Board, {_thickness(cuts[0], setting)} as found", _pieces(cuts, setting), _CUT)
    upright = sum(2 * high for _, high in sizes)
    level = sum(2 * wide for wide, _ in sizes)
    yield Item(
        "Cleats 38 x 38 mm (2x2) beside the cut",
        f"{2 * len(cuts)} pieces, {_lengths(upright, setting)} in all", _CUT,
    )  # fmt: skip
    yield Item(
        "Backing strips behind the other edges",
        f"{2 * len(cuts) * (setting.crossed + 1)} pieces, {_lengths(level, setting)} in all", _CUT,
    )  # fmt: skip
    screws = sum(
        2 * _around(high, BOARD_SCREWS.value) + 2 * max(_around(wide, BOARD_SCREWS.value) - 2, 0)
        + setting.crossed * _around(high, BOARD_SCREWS.value)
        for wide, high in sizes
    )  # fmt: skip
    cleats = sum(2 * _around(high, CLEATS.value) + 4 for _, high in sizes)
    yield Item("Board screws", f"{screws}", _HABIT)
    yield Item("Screws for cleats and backing", f"{cleats}", _HABIT)
    around = sum(2 * (wide + high) for wide, high in sizes) * (1 + TAPE_WASTE.value)
    yield Item("Joint tape, 10 % over", _lengths(around, setting), _CUT)


def _floor(cuts: Sequence[CutAt], setting: Setting) -> Iterator[Item]:
    if not cuts:
        return
    sizes = [size(cut) for cut in cuts]
    yield Item(f"Floor board, {_thickness(cuts[0], setting)} as found",
               _pieces(cuts, setting), _CUT)  # fmt: skip
    along = sum(2 * long for long, _ in sizes)
    yield Item("Cleats 38 x 63 mm (2x3) on the joists",
               f"{2 * len(cuts)} pieces, {_lengths(along, setting)} in all", _CUT)  # fmt: skip
    clear = in_words(*distance(setting.clear, setting.units, BELOW))
    yield Item(f"Blocking at both ends, {_lengths(setting.depth, setting)} deep",
               f"{2 * len(cuts)} pieces of {clear}", _CUT)  # fmt: skip
    edge = sum(
        2 * _around(long, FLOOR_SCREWS.value) + 2 * max(_around(wide, FLOOR_SCREWS.value) - 2, 0)
        for long, wide in sizes
    )
    cleats = sum(4 * _around(long, CLEATS.value) + 8 for long, _ in sizes)
    yield Item("Floor screws", f"{edge}", _HABIT)
    yield Item("Screws for cleats and blocking", f"{cleats}", _HABIT)


def _access_panel(cuts: Sequence[CutAt], setting: Setting) -> Iterator[Item]:
    yield Item("Access panel with its frame", _pieces(cuts, setting), _CUT)
    edges = sum(2 * (wide + high) for wide, high in map(size, cuts))
    yield Item("Trimmers behind the frame", _lengths(edges, setting), _CUT)


def _bricks(cuts: Sequence[CutAt]) -> Iterator[Item]:
    area = sum(cut.area for cut in cuts)
    yield Item("Bricks laid back in their bond (sort and keep what comes out)",
               f"about {math.ceil(area / BRICK.value)}", "from the area of the cuts")  # fmt: skip
    yield Item("Mortar to match, never stronger than the old", "as found",
               "common practice; a competent person says which")  # fmt: skip


def _whole(cuts: Sequence[CutAt], setting: Setting) -> Iterator[Item]:
    area = sum(cut.area for cut in cuts) * (1 + BOARD_WASTE.value)
    sheet = SHEET_US if setting.units == "ft-in" else SHEET_UK
    what = {"floor": "Floor boards or panels", "ceiling": "Ceiling board"}.get(
        cuts[0].part, "Wall board"
    )
    if setting.units == "ft-in":
        amount = f"{area / 0.3048**2:.0f} sq ft ({area:.1f} m2)"
    else:
        amount = f"{area:.1f} m2 ({area / 0.3048**2:.0f} sq ft)"
    yield Item(
        f"{what}, {_thickness(cuts[0], setting)} as found, 5 % over",
        f"{amount}, {math.ceil(area / sheet.value)} sheets",
        "computed from the face",
    )
