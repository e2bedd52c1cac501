"""Hours of opening and making good, by kind of opening and by finish.

Limits: what is not marked with a source is a judgement.
"""

from __future__ import annotations

import msgspec

from wainscot.sources import Cited, judged

FOOT2 = 0.3048**2
_MANUAL = "home-improvement estimating manual of 2018, demolition pages"
_PRACTICE = "common practice"


def _manual(hours_per_square_foot: float, where: str) -> Cited:
    return Cited(hours_per_square_foot / FOOT2, "h/m2", _MANUAL, where, "read")


class Work(msgspec.Struct, frozen=True):
    """Hours of each kind of opening before anything is cut, and what multiplies them.

    The time to take off and put back where nothing is broken; else to mark out, find the members,
    sheet and vacuum round one opening.
    """

    set_up_room: Cited = judged(1.0, "h", "floor covered, doors sheeted, lamp, vacuum, and cleared")
    enter: Cited = judged(1.0, "h", "hatch open, suits and lamps, two people in and out")
    board_between_studs: Cited = judged(0.5, "h", "find the studs, pilot hole, cut, vacuum")
    own_cut: Cited = judged(0.75, "h", "drawn on site: members found, pilot hole, cut, vacuum")
    strip_of_wall: Cited = judged(0.75, "h", "the same over several bays")
    whole_wall: Cited = judged(1.5, "h", "trim off and kept, sheets carried out")
    whole_ceiling: Cited = judged(2.0, "h", "the same overhead")
    whole_floor: Cited = judged(2.0, "h", "skirting off and kept, boards numbered and stacked")
    floor_between_joists: Cited = judged(0.75, "h", "covering back, joists found, boards out")
    ceiling_between_joists: Cited = judged(0.75, "h", "joists found from below, cut, sheet held")
    joists_from_below: Cited = judged(0.5, "h", "move along one bay on the back with a lamp")
    subfloor_from_below: Cited = judged(1.25, "h", "datum found on both sides, cut overhead")
    bricks_out: Cited = judged(4.0, "h", "plaster off, joints cut out, bricks out whole; a mason")
    kick_board: Cited = Cited(0.5, "h", _PRACTICE, "off and on: 1/4 to 1/2 h", "common practice")
    panel: Cited = Cited(1.5, "h", _PRACTICE, "tub apron panel 1 to 2 h", "common practice")
    front_boards: Cited = judged(1.0, "h", "boarding of a stair or boxing off and on")
    cabinet_back: Cited = judged(1.0, "h", "emptied, back cut, a new back screwed on")
    access_panel: Cited = judged(1.25, "h", "cut, frame and a panel that comes off again")
    cabinet_run_out: Cited = judged(4.0, "h", "emptied, unscrewed, out and in; two people")
    ceiling_tiles: Cited = judged(0.75, "h", "ladder moved along, tiles up and back")
    door: Cited = judged(0.25, "h", "emptied and swept out")
    fixture_out: Cited = judged(3.0, "h", "water off, out, in, tested; two people")
    loose_fixture_out: Cited = Cited(
        1.25, "h", _PRACTICE, "dishwasher out and in 1 to 1-1/2 h", "common practice"
    )
    connected_fixture_out: Cited = judged(2.0, "h", "out and in; the licensed trade's fee apart")
    insulation_lifted: Cited = judged(0.5, "h", "boards laid to stand on")
    insulation: Cited = _manual(0.006, "batts out 0.003 h/ft2, and the same to lay them back")
    ladder: Cited = Cited(1.25, "1", _MANUAL, "ceilings from a ladder +25 %", "read")
    protected: Cited = Cited(1.5, "1", _MANUAL, "containment and protective gear +50 %", "read")
    room_day: Cited = judged(2.0, "h", "a room out of use for a day, in hours that it is worth")
    water_day: Cited = judged(4.0, "h", "water off for a day, likewise")
    kept: Cited = judged(16.0, "h", "to open what the owner wants kept, where it is weighed at all")


class Repair(msgspec.Struct, frozen=True):
    """What it takes to cut and make good one finish.

    ``cut`` and ``close`` are per area of the cut [h/m2], ``each`` per opening, ``surface`` once per
    wall, floor or ceiling (coats over several visits), ``corner`` per area of that whole surface,
    because paint ends in a corner and tile may not match. [h], [h/m2]
    """

    cut: Cited
    close: Cited
    each: Cited
    surface: Cited
    corner: Cited


def _hours(value: float, why: str) -> Cited:
    return judged(value, "h", why)


def _rate(value: float, why: str) -> Cited:
    return judged(value, "h/m2", why)


_PAINT = _rate(0.15, "two coats on the whole surface, to the corner")
_HANG = Cited(0.025 / FOOT2, "h/m2", _PRACTICE, "hang and finish 0.02 to 0.03 h/ft2",
              "common practice")  # fmt: skip
_COATS = Cited(2.2, "h", "a published time for a small board patch", "three coats over 3-4 visits",
               "second-hand")  # fmt: skip
_NONE = _hours(0.0, "nothing to do")
_NO_RATE = _rate(0.0, "nothing to do")
_BOARD = Repair(
    _manual(0.010, "board off 0.010 h/ft2"), _HANG,
    _hours(0.5, "one more patch on a wall that is filled anyway"), _COATS, _PAINT,
)  # fmt: skip


class Repairs(msgspec.Struct, frozen=True):
    """What it takes by finish; ``other`` stands for any that is not named."""

    plasterboard: Repair = _BOARD
    ceiling_board: Repair = _BOARD
    lath_and_plaster: Repair = Repair(
        _manual(0.023, "plaster and lath off 0.023 h/ft2"),
        _rate(0.8, "board let in flush, or three coats"),
        _hours(1.0, "edges that crumble"),
        _hours(4.0, "three coats that dry in between"),
        _PAINT,
    )
    panelling: Repair = Repair(
        _rate(0.6, "boards off and kept"), _rate(0.6, "boards back"), _hours(0.5, "joints"),
        _hours(1.0, "touched up"), _rate(0.05, "wax or paint to the corner"),
    )  # fmt: skip
    tile: Repair = Repair(
        _rate(0.6, "tile and backing off"), _rate(2.0, "backing, tile, grout"),
        _hours(0.5, "cutting in"), _hours(3.0, "adhesive and grout on two days"),
        _rate(1.5, "tile that cannot be matched: the whole surface again"),
    )  # fmt: skip
    plaster: Repair = Repair(
        _rate(1.5, "plaster and masonry out"), _rate(3.0, "bricks back, plaster"),
        _hours(1.0, "bonding in"), _hours(4.0, "coats that dry in between"), _PAINT,
    )  # fmt: skip
    floor_boards: Repair = Repair(
        _manual(0.030, "board sheathing off 0.030 h/ft2"), _rate(0.3, "boards back, covering"),
        Cited(1.5, "h", _PRACTICE, "subfloor patch with blocking 1 to 2 h each", "common practice"),
        _NONE, _NO_RATE,
    )  # fmt: skip
    vinyl: Repair = Repair(
        _manual(0.017, "panel off 0.017 h/ft2"), _rate(0.3, "panel back"),
        _hours(1.5, "as floor boards"), _hours(1.0, "adhesive"),
        _rate(0.35, "sheet that cannot be pieced: the whole floor again"),
    )  # fmt: skip
    worktop: Repair = Repair(
        _rate(1.0, "lifted"), _rate(1.0, "laid back"), _hours(1.0, "joints sealed"), _NONE,
        _NO_RATE,
    )  # fmt: skip
    cabinet_back: Repair = Repair(
        _rate(0.5, "thin panel cut"), _rate(0.5, "new panel screwed on"), _NONE, _NONE, _NO_RATE
    )
    other: Repair = Repair(
        _rate(0.5, "not known"), _rate(1.0, "not known"), _hours(0.5, "not known"),
        _hours(1.5, "not known"), _rate(0.1, "not known"),
    )  # fmt: skip
