"""Walls that would stand in each other's way give way: at inner corners, and at a slant."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import shapely

from wainscot.plan.facing import MIN_OVERLAP
from wainscot.plan.model import Room, Wall


def trimmed(walls: Sequence[Wall], rooms: Sequence[Room] = ()) -> list[Wall]:
    """Return walls of one level cut back where two would stand in the same corner.

    At an inner corner the two walls share a square; the one whose id sorts last ends before it.

    Parameters
    ----------
    walls : sequence of Wall
        Walls of one level.
    rooms : sequence of Room
        Rooms of that level; a wall at a slant, or beside one, keeps out of them.
    """
    out = _out_of_rooms(sorted(walls, key=lambda one: (one.id, one.low)), rooms)
    for n in range(len(out)):
        for m in range(n + 1, len(out)):
            if out[n].side.turn != out[m].side.turn:
                out[m] = _cut_by(out[m], shapely.Polygon(out[n].ring))
            elif out[n].side.axis != out[m].side.axis:
                out[m] = _cut_back(out[m], _block(out[n]))
    return [one for one in out if one.high - one.low > MIN_OVERLAP]


def _out_of_rooms(walls: list[Wall], rooms: Sequence[Room]) -> list[Wall]:
    """Cut walls that lean into a room; where all is square there are none."""
    slanted = {room.id for room in rooms if any(side.turn for side in room.sides)}
    if not slanted and len({side.turn for room in rooms for side in room.sides}) < 2:
        return walls
    shapes = {room.id: shapely.Polygon(room.polygon) for room in rooms}
    out = []
    for one in walls:
        cut = one
        for key, shape in shapes.items():
            if (key in slanted or one.side.turn) and key not in (one.side.room, one.facing):
                cut = _cut_by(cut, shape)
        out.append(cut)
    return out


def _block(one: Wall) -> tuple[float, float, float, float]:
    return one.side.rectangle(one.low, one.high, 0.0, one.thickness)


def _cut_by(one: Wall, shape: shapely.Polygon) -> Wall:
    """Return a wall without what lies in a shape, and without the shorter rest beyond it."""
    shared = shapely.Polygon(one.ring).intersection(shape)
    if shared.area < 1e-6:
        return one
    taken = [one.side.on_axis((x, y)) for x, y in shapely.get_coordinates(shared).tolist()]
    below, above = min(taken) - one.low, one.high - max(taken)
    if below < above:
        return msgspec.structs.replace(one, low=min(max(taken), one.high))
    return msgspec.structs.replace(one, high=max(min(taken), one.low))


def _cut_back(one: Wall, other: tuple[float, float, float, float]) -> Wall:
    """Return a wall without the end that lies in another block."""
    mine = _block(one)
    low = (max(mine[0], other[0]), max(mine[1], other[1]))
    high = (min(mine[2], other[2]), min(mine[3], other[3]))
    if high[0] - low[0] < 1e-6 or high[1] - low[1] < 1e-6:
        return one
    along = 0 if one.side.axis == "x" else 1
    if low[along] - one.low < 1e-6:
        return msgspec.structs.replace(one, low=high[along])
    if one.high - high[along] < 1e-6:
        return msgspec.structs.replace(one, high=low[along])
    return one
