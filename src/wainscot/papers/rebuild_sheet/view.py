"""From openings that are signed for to what a carpenter puts back, and what is signed before."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from wainscot.access import Access, CutAt
from wainscot.drawing import PENCIL, Grain
from wainscot.drawing.lengths import both
from wainscot.job import AirReading, SealMade, typed
from wainscot.papers.answers import Answers
from wainscot.papers.electricians_sheet.view import at_gnawed_cable
from wainscot.papers.on_site import labels_of, lies_open, room_of, signed_ways
from wainscot.papers.opening_sheet.patch import size
from wainscot.papers.said import Said, Say
from wainscot.quantity import Units

SIXTEENTH = Grain(16, 0.001)
FINISHES = ("plasterboard", "ceiling board", "lath and plaster", "plaster", "tile", "panelling",
            "floor boards", "vinyl", "kick board", "bath panel", "cabinet back",
            "brick", "boxing")  # fmt: skip
"""Finishes that the paper has words of its own for; others are said as they are."""
COUNTED = ("close", "board", "finish")
"""Words of the estimate's lines that putting back is made of."""


class Opening(msgspec.Struct, frozen=True):
    """One opening to be put back."""

    number: str
    words: Said
    place: str
    open: bool
    """True where it is logged as open; else it is signed for and still shut."""
    signed: str
    cuts: tuple[str, ...]
    """Sizes with how many there are; empty where nothing is sawn or taken up."""
    area: str
    """What is broken without a drawn size, in m2; empty where nothing is."""
    alike: Said
    """Labels of all spaces, where several openings alike stand as one; else empty."""
    finish: Said
    thick: str
    """Of the board that is cut."""
    insulated: bool
    """True where the plan says so."""
    rated: bool
    """True where it lies in what parts two dwellings."""
    panel: bool
    """True where a panel stays in the hole, so that it can be opened again."""
    gnawed: bool
    """True where it lies at a cable that was logged as gnawed."""
    electrician: bool
    """True where cables had to be swept for before it was opened."""
    seals: tuple[Said, ...]
    """What has to be closed in the spaces that it lays open and is not signed for yet."""
    moisture: str
    """Last reading that is logged in its room; empty without one."""
    counted: tuple[str, ...]
    """What the estimate counts for it, or for all of several alike together."""


class View(msgspec.Struct, frozen=True):
    """A rebuild sheet."""

    openings: tuple[Opening, ...]
    rated: bool
    """True where any of them is in what parts two dwellings."""


def view(known: Answers, say: Say) -> View | None:
    """Return the sheet; None where nothing that is signed for is taken off or cut."""
    by = {way.id: (one.by, one.at) for way, one in signed_ways(known)}
    groups: dict[tuple[object, ...], list[Access]] = {}
    for way, _ in signed_ways(known):
        if way.disturbance != "none":
            alone = way.id if way.disturbance == "cut" else ""
            key = (not lies_open(known, way), way.act, way.room, way.finish, by[way.id], alone)
            groups.setdefault(key, []).append(way)
    if not groups:
        return None
    found = sorted(groups.values(), key=lambda some: not lies_open(known, some[0]))
    told = tuple(_told(known, str(n), some, by[some[0].id], say) for n, some in enumerate(found, 1))
    return View(told, any(one.rated for one in told))


def _told(
    known: Answers, number: str, some: list[Access], by: tuple[str, str], say: Say
) -> Opening:
    way, broken = some[0], some[0].disturbance == "cut" and not some[0].cuts
    signed = ", ".join(part for part in (by[0], say.day(by[1])) if part)
    units = known.plan.units
    sawn = [cut for cut in way.cuts if cut.board > 0]
    return Opening(
        number, say(way.words), room_of(known, way), lies_open(known, way), signed,
        tuple(_sizes(way.cuts, units, say)), f"{way.area:.2f}" if broken and way.area > 0 else "",
        say(labels_of(known, some) if len(some) > 1 else ""), _finish(way.finish, say),
        _thick(sawn[0].board, units) if sawn else "", _insulated(known, way),
        any(hold.key.startswith("rated wall/") for hold in (*way.holds, *way.released)),
        way.act == "access panel", any(one in at_gnawed_cable(known) for one in some),
        any(map(_electrician, some)),
        tuple(dict.fromkeys(seal for one in some for seal in _seals(known, one, say))),
        _moisture(known, way, say), tuple(_counted(known, some, say)),
    )  # fmt: skip


def _sizes(cuts: tuple[CutAt, ...], units: Units, say: Say) -> Iterator[str]:
    found: dict[tuple[str, str], int] = {}
    for cut in cuts:
        wide, high = size(cut)
        key = (_length(wide, units), _length(high, units))
        found[key] = found.get(key, 0) + 1
    for (one, other), count in found.items():
        yield say.word("pieces", n=count, wide=one, high=other)


def _length(value: float, units: Units) -> str:
    first, second = both(value, units, PENCIL, "nearest")
    return f"{first} ({second})"


def _thick(value: float, units: Units) -> str:
    """Return the thickness of a board, which no pencil grain would do."""
    if units == "m":
        return f"{1000 * value:.4g} mm"
    return both(value, units, SIXTEENTH, "nearest")[0]


def _finish(finish: str, say: Say) -> Said:
    if finish in FINISHES:
        return Said(say.word(f"finish_{finish.replace(' ', '_')}"), say.language)
    return say(finish)


def _insulated(known: Answers, way: Access) -> bool:
    plan = known.plan
    walls = {wall.id: wall.insulated for wall in plan.walls}
    floors = {room.id: plan.storey(room.storey).floor.insulated for room in plan.rooms}
    return any(
        walls.get(cut.side, False) if cut.part == "wall" else
        cut.part == "floor" and floors.get(cut.room, False)
        for cut in way.cuts
    )  # fmt: skip


def _electrician(way: Access) -> bool:
    return any(hold.key.startswith(("services/", "live parts/"))
               for hold in (*way.holds, *way.released))  # fmt: skip


def _seals(known: Answers, way: Access, say: Say) -> Iterator[Said]:
    """Yield what the seal list has in the spaces that an opening lays open, unless signed for."""
    spaces = {known.graph.keys[reach.void] for reach in way.reaches}
    made = {one.closes for one in typed(known.job).values()
            if isinstance(one, SealMade) and one.by and one.photo}  # fmt: skip
    told: set[str] = set()
    for found in known.sealing.lists if known.sealing else ():
        for seal in found.seals:
            if found.grade == "as built" and seal.key not in made | told and any(
                spot.void in spaces for spot in seal.spots
            ):  # fmt: skip
                told.add(seal.key)
                yield say(seal.words)


def _moisture(known: Answers, way: Access, say: Say) -> str:
    found = [one for one in typed(known.job).values()
             if isinstance(one, AirReading) and one.of == "moisture percent"
             and one.room == way.room]  # fmt: skip
    if not found:
        return ""
    last = max(found, key=lambda one: one.at)
    told = say.word("moisture_logged", n=f"{last.value:g}", day=say.day(last.at))
    return f"{told}, {last.by}" if last.by else told


def _counted(known: Answers, some: list[Access], say: Say) -> Iterator[str]:
    """Yield hours and board that the estimate counts for an opening, or for several alike."""
    keys = {f"open and clean/{part} {way.id}" for way in some for part in COUNTED} | {
        f"open and clean/{one.key}" for way in some for one in way.charges if one.kind == "finish"
    }
    sums: dict[tuple[str, str], float] = {}
    for line in known.estimate.lines if known.estimate else ():
        if line.key in keys and not line.extra:
            sort = (line.key.partition("/")[2].split(" ")[0], line.unit)
            sums[sort] = sums.get(sort, 0.0) + line.quantity
    for (part, unit), quantity in sums.items():
        yield say.word(f"counted_{part}", n=f"{round(quantity, 2):g}", unit=say(unit))
