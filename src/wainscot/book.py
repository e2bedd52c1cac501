"""The firm's rates: what an opening, a check and a callback cost, and what follows from that.

A void is opened when leaving it shut costs more than opening it.  The default rates are hours of
work, so the decision does not depend on a currency; a firm types its own over them::

    currency = "USD"
    hour = 85          # what an hour on site is sold for
    open_bay = 2.5     # hours to open and close one typical bay

>>> round(chance_to_open(DEFAULT), 2)
0.25
>>> read_book('open_bay = 6').open_bay.value
6.0

Hours of opening and making good stand in ``work`` and ``repair``; they are typed as tables::

    [work]
    kick_board = 0.25
    [repair.tile]
    corner = 2

What is bought, other trades and a visit stand in ``material``, ``trade`` and ``business``.  Their
defaults are hours of work that they are worth, so that a firm which types nothing but its ``hour``
gets a price; what it types in there is its own price::

    [material]
    board = 9.5        # a square metre, in the firm's currency
    [business]
    tax = 8            # per cent

Limits: what is not marked with a source is a judgement.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from typing import Any, Literal, TypeVar

import msgspec

from wainscot.errors import Fault, InputError, unknown_word
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


class Material(msgspec.Struct, frozen=True):
    """What is bought, in hours of work that it is worth; what a firm types is its own price."""

    sheet: Cited = judged(0.01, "h/m2", "plastic sheet for walls and ceilings")
    floor_cover: Cited = judged(0.02, "h/m2", "board or paper on the floor, one layer")
    tape: Cited = judged(0.003, "h/m", "along every edge")
    post: Cited = judged(0.05, "h/each", "a post that holds a sheet, used many times")
    zip_door: Cited = judged(0.2, "h/each", "a door in a sheet")
    exhaust_day: Cited = judged(0.8, "h/day", "a filtered exhaust unit with its filters")
    board: Cited = judged(0.1, "h/m2", "board, screws, tape, compound")
    tile: Cited = judged(0.4, "h/m2", "tile, backing, adhesive, grout")
    floor: Cited = judged(0.3, "h/m2", "boards or panel, blocking, adhesive")
    solution: Cited = judged(0.05, "h/L", "cleaning solution as it is mixed")
    bag: Cited = judged(0.03, "h/each", "two bags, one in the other")
    protection: Cited = judged(0.3, "h/each", "overalls, gloves, filters of one person for a day")
    waste: Cited = judged(0.004, "h/kg", "to the tip, its fee included")
    seal: Cited = judged(0.15, "h/each", "mesh, sheet or mortar for one place")
    trap: Cited = judged(0.05, "h/each", "a trap with its box")


class Trade(msgspec.Struct, frozen=True):
    """What an hour of another trade costs, in hours of the crew; what a firm types is its price."""

    finisher: Cited = judged(1.0, "h/h", "carpenter or plasterer who makes good")
    mason: Cited = judged(1.2, "h/h", "bricks out and back")


class Labour(msgspec.Struct, frozen=True):
    """Hours that are not those of opening and making good."""

    hang: Cited = judged(0.03, "h/m2", "hang and tape a sheet, take it down folded inwards")
    clean: Cited = judged(0.15, "h/m2", "wet, wait, pick up, wipe, wet again, of a void's faces")
    nest: Cited = judged(1.0, "h/each", "soak, bag and carry out a nest")
    bag: Cited = judged(0.1, "h/each", "seal, bag again, carry down")
    water_off: Cited = judged(0.5, "h/each", "shut off, drain, fill, look for drips")
    trap: Cited = judged(0.1, "h/each", "set or look at one trap and write it down")


class Business(msgspec.Struct, frozen=True):
    """What belongs to no piece of work."""

    travel: Cited = judged(1.0, "h/visit", "two people there and back, half an hour each way each")
    minimum: Cited = judged(4.0, "h/job", "a job that costs less is charged so")
    tax: Cited = judged(0.0, "%", "none until it is typed in")
    spread: Cited = judged(
        0.2, "1", "hours of a stage come out so far above or below, as a standard deviation"
    )
    crew: Cited = judged(2.0, "people", "who work at once")
    day: Cited = judged(7.0, "h", "hours on site that a person has in a day")
    rounds_quiet: Cited = judged(2.0, "visits", "rounds of the traps where nothing is caught")
    rounds_in_use: Cited = judged(4.0, "visits", "further rounds where animals are still in")


class Book(msgspec.Struct, frozen=True):
    """The firm's rates; every hour is one person's hour on site."""

    currency: str = ""
    """Code of the currency; empty where money is counted in hours."""
    hour: Cited = judged(1.0, "currency/h", "money is counted in hours until a rate is typed in")
    open_bay: Cited = judged(4.0, "h", "cut, look, close and make good one plastered stud bay")
    check: Cited = judged(0.5, "h", "set up, one borescope hole, look, plug it")
    callback_light: Cited = judged(16.0, "h", "two people back for a day: odour or a find left")
    callback_heavy: Cited = judged(32.0, "h", "the same for two days: reopen, clean again")
    callback_nest: Cited = judged(40.0, "h", "reopen and clean again, animals settled anew")
    trap_round: Cited = judged(0.75, "h", "all traps of a house looked at once, travel apart")
    callback_counts: Cited = judged(
        2.0, "1", "an hour of callback in hours of opening: nobody pays for it, and trust is lost"
    )
    """What the balanced set of openings holds against a callback; 1 counts hours alone."""
    work: Work = Work()
    repair: Repairs = Repairs()
    material: Material = Material()
    trade: Trade = Trade()
    labour: Labour = Labour()
    business: Business = Business()


DEFAULT = Book()
"""What is used where the firm typed nothing in."""

_LARGEST = 1e6


def read_book(text: str, form: Literal["toml", "json"] = "toml") -> Book:
    """Return the default rates with the firm's own over them.

    Parameters
    ----------
    text : str
        Content of the firm's file: a name and a number for each rate that differs.
    form : {"toml", "json"}
        How it is written.

    Raises
    ------
    InputError
        If the text cannot be read, names an unknown rate or gives one that is no positive number.
    """
    typed = _parsed(text, form)
    found = list(_faults(DEFAULT, typed, "rates"))
    if found:
        raise InputError(found)
    return _over(DEFAULT, typed)


def repair_of(book: Book, finish: str) -> Repair:
    """Return what it takes to make good a finish; ``other`` where the book does not name it.

    Parameters
    ----------
    book : Book
        The firm's rates.
    finish : str
        As the plan says it: ``lath and plaster``.
    """
    found = getattr(book.repair, finish.replace(" ", "_"), book.repair.other)
    return found if isinstance(found, Repair) else book.repair.other


def price_of(book: Book, table: str, name: str) -> Cited:
    """Return a price; a default in hours is turned into money by the firm's hour.

    Parameters
    ----------
    book : Book
        The firm's rates.
    table : str
        ``material``, ``trade`` or ``business``.
    name : str
        Row of that table.

    Returns
    -------
    Cited
        [currency/unit]
    """
    found: Cited = getattr(getattr(book, table), name)
    typed = _typed_unit(table, found.unit)
    if found.unit == typed:
        return found
    return msgspec.structs.replace(found, value=found.value * book.hour.value, unit=typed)


_PRICED = ("material", "trade", "business")
"""Tables whose defaults are worth hours and whose typed rates are money."""


def _typed_unit(table: str, unit: str) -> str:
    return f"currency/{unit[2:]}" if table in _PRICED and unit.startswith("h/") else unit


def cost_to_open(book: Book) -> float:
    """Return what opening and closing one typical bay costs.

    Returns
    -------
    float
        Hours times the hourly rate. [currency]
    """
    return book.open_bay.value * book.hour.value


def cost_to_check(book: Book) -> float:
    """Return what one small check costs.

    Returns
    -------
    float
        Hours times the hourly rate. [currency]
    """
    return book.check.value * book.hour.value


def loss_if_left(book: Book, light: float, heavy: float, nest: float) -> float:
    """Return the expected cost of callbacks if a void is left shut.

    Parameters
    ----------
    light : float
        Chance that it is lightly soiled and holds no nest. [1]
    heavy : float
        Chance that it is heavily soiled and holds no nest. [1]
    nest : float
        Chance that it holds a nest. [1]

    Returns
    -------
    float
        Sum of chance times cost. [currency]
    """
    hours = (
        light * book.callback_light.value
        + heavy * book.callback_heavy.value
        + nest * book.callback_nest.value
    )
    return hours * book.hour.value


def chance_to_open(book: Book) -> float:
    """Return the chance of light soiling above which opening costs less than leaving.

    Returns
    -------
    float
        Cost of opening over cost of a callback, at most 1. [1]
    """
    return min(1.0, book.open_bay.value / book.callback_light.value)


def chance_to_check(book: Book) -> float:
    """Return the chance of light soiling above which a small check costs less than leaving.

    Returns
    -------
    float
        Cost of a check over cost of a callback, at most 1. [1]
    """
    return min(1.0, book.check.value / book.callback_light.value)


def _parsed(text: str, form: Literal["toml", "json"]) -> dict[str, Any]:
    try:
        typed = tomllib.loads(text) if form == "toml" else json.loads(text)
    except (ValueError, RecursionError) as error:
        cure = "write one rate a line, such as open_bay = 4"
        what = f"it is not {form.upper()} ({error})"
        raise InputError([Fault("bad-book", "the rates", what, cure)]) from None
    if not isinstance(typed, dict):
        cure = 'write {"open_bay": 4}'
        raise InputError([Fault("bad-book", "the rates", "they are no object in braces", cure)])
    return typed


def _faults(default: msgspec.Struct, typed: dict[str, Any], path: str) -> Iterator[Fault]:
    names = [field.name for field in msgspec.structs.fields(default)]
    for name, value in typed.items():
        here = f"{path}.{name}"
        known = getattr(default, name, None) if name in names else None
        if name not in names:
            yield unknown_word("unknown-rate", here, "rate", name, names)
        elif isinstance(known, Cited):
            if not _is_rate(value):
                what = f"{value!r} is no rate in {_typed_unit(_table(path), known.unit)}"
                yield Fault(
                    "bad-rate", here, what, f"write a number above zero, such as {name} = 4"
                )
        elif isinstance(known, msgspec.Struct):
            if isinstance(value, dict):
                yield from _faults(known, value, here)
            else:
                what = f"{value!r} is no table of rates"
                yield Fault(
                    "bad-rate", here, what, f"write [{here.removeprefix('rates.')}] above it"
                )
        elif not isinstance(value, str):
            yield Fault("bad-rate", here, f"{value!r} is no currency", 'write currency = "USD"')


def _is_rate(value: object) -> bool:
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    return number and 0 < value <= _LARGEST  # type: ignore[operator]


S = TypeVar("S", bound=msgspec.Struct)


def _table(path: str) -> str:
    return path.rpartition(".")[2]


def _over(default: S, typed: dict[str, Any], table: str = "") -> S:
    """Return the default with what was typed over it, all of it known to be sound."""
    own: dict[str, Any] = {}
    for name, value in typed.items():
        known = getattr(default, name)
        if isinstance(known, Cited):
            unit = _typed_unit(table, known.unit)
            own[name] = Cited(float(value), unit, "the firm's own rates", name, "read")
        else:
            own[name] = _over(known, value, name) if isinstance(known, msgspec.Struct) else value
    return msgspec.structs.replace(default, **own)
