"""One page of the sheet: one opening, or several alike at which nothing is sawn."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

import msgspec

from wainscot import chance
from wainscot.access import Access, HoldPoint, all_acts
from wainscot.access.model import DEFER
from wainscot.access.scene import Scene
from wainscot.access.surfaces import BOARDED
from wainscot.checks.words import spans
from wainscot.drawing import BELOW, Drawing
from wainscot.openings import Opening
from wainscot.papers.opening_sheet import elevation as walls
from wainscot.papers.opening_sheet import flats
from wainscot.papers.opening_sheet.datum import WITH_PIN, WITHOUT_PIN, offsets
from wainscot.papers.opening_sheet.flats import flat_drawing
from wainscot.papers.opening_sheet.model import (
    Hold,
    Item,
    Mark,
    OpeningPage,
    Reached,
    Stamp,
    VoidSaid,
)
from wainscot.papers.opening_sheet.patch import Setting, patch_list
from wainscot.papers.opening_sheet.section import BLADE, Layers, Way, section
from wainscot.papers.opening_sheet.seen_flat import SeenFlat
from wainscot.papers.opening_sheet.settled import Settled
from wainscot.papers.opening_sheet.telling import Pair, distance, in_words, short
from wainscot.papers.opening_sheet.walls import SeenWall
from wainscot.papers.opening_sheet.where import Placed, placed_of, room_plan

MOST_REACHED = 4


class Page:
    """Makes one page.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    number : str
        Number of the opening on the sheet.
    some : sequence of (Opening, Access)
        The opening, or several alike.
    said : mapping of str to VoidSaid
        What the diagnosis says of voids, by their ids.
    currency : str
        Code of the currency.
    settled : Settled
        What was released.
    """

    def __init__(
        self,
        scene: Scene,
        number: str,
        some: Sequence[tuple[Opening, Access]],
        said: Mapping[str, VoidSaid],
        currency: str,
        settled: Settled,
    ) -> None:
        self.scene, self.number, self.said = scene, number, said
        self.openings = [one for one, _ in some]
        self.ways = [way for _, way in some]
        self.first, self.way = some[0]
        self.cuts = tuple(cut for way in self.ways for cut in way.cuts)
        self.units = scene.plan.units
        self.currency = currency
        self.settled = settled

    @cached_property
    def below(self) -> bool:
        """True where somebody lies under the floor that is cut."""
        act = all_acts()[self.way.act]
        return act.enters and any(cut.part == "floor" for cut in self.cuts)

    @cached_property
    def voids(self) -> tuple[int, ...]:
        """Every void that is reached, once."""
        return tuple(dict.fromkeys(reach.void for way in self.ways for reach in way.reaches))

    @cached_property
    def placed(self) -> Placed:
        """Where it lies on the plan."""
        return placed_of(self.scene, self.number, self.ways)

    @property
    def room(self) -> str:
        """Room that it is done from or lies in; empty for a loft or crawl space."""
        return self.placed.room

    @property
    def storey(self) -> str:
        """Storey that it is drawn on."""
        return self.placed.storey

    @cached_property
    def seen_wall(self) -> SeenWall | None:
        """The wall that is cut, or None."""
        part = next((cut for cut in self.cuts if cut.part == "wall"), None)
        return SeenWall(self.scene, part) if part is not None else None

    @cached_property
    def seen_flat(self) -> SeenFlat | None:
        """The floor or ceiling that is cut, or None."""
        flat = [cut for cut in self.cuts if cut.part in ("floor", "ceiling")]
        return SeenFlat(self.scene, flat, self.below) if flat else None

    @cached_property
    def masonry(self) -> bool:
        """True where bricks or blocks are taken out."""
        seen = self.seen_wall
        if seen is None or seen.wall.build == "stud":
            return False
        return not any(self.scene.graph.kinds[void] in BOARDED for void in self.voids)

    @cached_property
    def sawn(self) -> bool:
        """True where a blade goes in."""
        return bool(self.cuts) and all(cut.sawn for cut in self.cuts) and not self.masonry

    def told(self) -> OpeningPage:
        """Return the page."""
        box = (58.0, 36.0) if self.cuts else (120.0, 110.0)
        where = room_plan(
            self.scene, self.placed, f"opening-{self.number}-where", self._turn(), box
        )
        drawings, marks = self._drawn()
        holds = tuple(_hold(one) for one in self._holds() if one.standing != "care")
        return OpeningPage(
            number=self.number,
            ids=tuple(one.id for one in self.openings),
            title=self._title(),
            place=self._place(),
            stamp=_stamp(self.first.status),
            stamp_words=self._stamp_words(),
            said=self._signature(),
            chance=chance.percent(max(one.chance for one in self.openings)),
            reached=tuple(self._reached()),
            facts=tuple(self._facts()),
            where=where,
            drawings=drawings,
            marks=marks,
            near=tuple(self._near()),
            holds=holds,
            released=self.settled.of(self.ways),
            cautions=tuple(self._cautions()),
            limits=tuple(dict.fromkeys(_bare(v.words) for way in self.ways for v in way.limits)),
            defer=DEFER,
            patch=self._patch(),
            kept=tuple(dict.fromkeys(name for one in self.openings for name in one.kept)),
            hours=f"{sum(one.hours for one in self.openings):.1f} h",
        )

    def _stamp_words(self) -> str:
        if self.first.status == "authorised":
            waits = any(one.standing != "care" for one in self._holds())
            return "AUTHORISED: hold points first" if waits else "AUTHORISED"
        if self.first.status == "declined":
            return "DECLINED: do not open"
        return f"NOT AUTHORISED: do not {'cut' if self.cuts else 'open'}"

    def _signature(self) -> str:
        if self.first.signed_by:
            return f"by {self.first.signed_by}"
        return {
            "change order": "change order, no signature recorded",
            "declined": "by the owner",
        }.get(self.first.status, "no signature recorded")

    def _title(self) -> str:
        if len(self.ways) == 1:
            return short(self.way.words, 150)
        labels = tuple(self.scene.graph.labels[void] for void in self.voids)
        act = short(self.way.words.partition(":")[0], 100)
        return f"{act}, {len(self.ways)} times: {spans(labels, 12)}"

    def _place(self) -> str:
        storey = short(self.scene.plan.storey(self.storey).name, 30)
        return (
            f"{short(self.scene.plan.room(self.room).name, 36)}, {storey}" if self.room else storey
        )

    def _turn(self) -> float | None:
        """Way one looks at the cut."""
        if self.seen_wall is None:
            return None
        way = self.seen_wall.side.direction
        return math.atan2(way[1], way[0])

    def _drawn(self) -> tuple[tuple[Drawing, ...], tuple[Mark, ...]]:
        key = f"opening-{self.number}"
        if self.seen_wall is not None:
            cuts = [cut for cut in self.cuts if cut.part == "wall"]
            room = short(self.seen_wall.room.name, 36)
            name = f"{room}, {self.seen_wall.side.facing} wall, from the room"
            drawn, marks = walls.elevation(self.seen_wall, cuts, f"{key}-elevation", name)
            if self.masonry:
                marks = tuple(
                    msgspec.structs.replace(one, what=one.what.replace("saw line", "edge"))
                    for one in marks
                )
        elif self.seen_flat is not None:
            part = "ceiling" if self.seen_flat.ceiling else "floor"
            sight = ", seen from below" if self.seen_flat.looking_up else ", from above"
            name = f"{short(self.seen_flat.room.name, 36)} {part}{sight}"
            drawn, marks = flat_drawing(self.seen_flat, f"{key}-{part}", name)
        else:
            return (), ()
        layers = self._layers()
        cross = (section(layers, self.units, f"{key}-section"),) if layers else ()
        return (drawn, *cross), marks

    def _layers(self) -> Layers | None:
        """What the blade meets, or None where there is none."""
        if not self.sawn:
            return None
        graph, void = self.scene.graph, self.voids[0]
        board = self.cuts[0].board
        if self.seen_wall is not None:
            wall = self.seen_wall.wall
            clear = min(wall.spacing - wall.stud_thickness, self._clear(void))
            return Layers("in", board, wall.stud_depth, wall.stud_thickness, clear,
                          graph.labels[void], short(self.seen_wall.room.name, 14))  # fmt: skip
        if self.seen_flat is None:
            return None
        floor = self.scene.plan.storey(self.storey).floor
        near = self.seen_flat.room.name
        clear = self._clear(self.voids[-1])
        if self.below:
            return Layers("up past the joists", board, floor.depth, floor.thickness, clear,
                          graph.labels[void], "crawl space")  # fmt: skip
        way: Way = "up" if self.seen_flat.ceiling else "down"
        depth = float(graph.top[void] - graph.bottom[void])
        return Layers(way, board, depth, floor.thickness, clear,
                      graph.labels[void], short(near, 14))  # fmt: skip

    def _clear(self, void: int) -> float:
        """Clear width of a bay: the shorter side of its outline. [m]"""
        ring = self.scene.graph.polygon[void]
        sides = [math.dist(ring[i], ring[i - 1]) for i in range(len(ring))]
        return float(min(sides))

    @cached_property
    def _shares(self) -> dict[int, float]:
        """Greatest share of each void that is reached. [1]"""
        found: dict[int, float] = {}
        for way in self.ways:
            for reach in way.reaches:
                found[reach.void] = max(reach.share, found.get(reach.void, 0.0))
        return found

    def _reached(self) -> Iterator[Reached]:
        """Voids by their chance, the likeliest first; those of which the same is said together."""
        graph = self.scene.graph
        groups: dict[tuple[str, str, str], list[int]] = {}
        for void in self._shares:
            known = self.said.get(graph.keys[void])
            head = (-known.chance, known.why) if known else (0.0, "")
            told = chance.percent(-head[0]) if known else ""
            groups.setdefault((told, head[1], graph.kinds[void]), []).append(void)
        order = sorted(groups.items(), key=lambda one: min(self._likeliest(v) for v in one[1]))
        for (told, why, _), voids in order[:MOST_REACHED]:
            yield Reached(
                labels=spans(tuple(graph.labels[void] for void in voids), 12),
                words=short(_without(graph.words[voids[0]], graph.labels[voids[0]]), 90),
                share=min(self._shares[void] for void in voids),
                chance=told,
                why=why,
            )
        rest = sum(len(voids) for _, voids in order[MOST_REACHED:])
        if rest:
            yield Reached(f"{rest} more", "less likely than these", 0.0, "", "")

    def _likeliest(self, void: int) -> float:
        known = self.said.get(self.scene.graph.keys[void])
        return -known.chance if known else 0.0

    def _facts(self) -> Iterator[tuple[str, str]]:
        if not self.cuts:
            yield "Nothing is sawn", "it comes off or out whole and goes back"
            return
        if self.masonry:
            yield "Blade", "none set by figure: which bricks, and how many, a competent person says"
            yield "Pilot hole first", "in a mortar joint at P; look in before any brick comes out"
        elif self.sawn:
            board = self.cuts[0].board
            depth = in_words(*distance(board, self.units, BLADE, "down"))
            yield (
                "Blade depth",
                f"{depth}, never deeper; where the pilot hole shows a thinner board, set it to "
                "that",
            )
        else:
            yield "Blade", "none: the joints are scored and whole boards come off"
        if self.sawn:
            yield (
                "Pilot hole first",
                ("1/8 in (3 mm) at P; stop if it shows wet, a cable, a pipe, or not what is drawn"),
            )
        yield from self._datum_facts()

    def _datum_facts(self) -> Iterator[tuple[str, str]]:
        if self.seen_wall is not None:
            exact = [self.seen_wall.panel(cut) for cut in self.cuts if cut.part == "wall"]
            corner = walls.corner_words(self.seen_wall, walls.nearest_corner(self.seen_wall, exact))
            yield "Datum 0", f"{corner} of the wall as you face it, and the finished floor"
            return
        flat = self.seen_flat
        if flat is None:
            return
        drilled = "drilled from the room above, found from below" if flat.datum is flat.pin else ""
        yield "Datum 0", f"{flat.datum.words} {drilled}".strip()
        if flat.looking_up:
            yield (
                "MIRRORED",
                ("drawn as you see it looking up: north stays, east and west change places"),
            )
        if self.below:
            yield from self._below_facts(flat)

    def _below_facts(self, flat: SeenFlat) -> Iterator[tuple[str, str]]:
        with_pin = in_words(*distance(WITH_PIN.value, self.units, BELOW))
        without = in_words(*distance(WITHOUT_PIN.value, self.units, BELOW))
        if flat.pin is not None:
            corner = SeenFlat(self.scene, flat.cuts, below=False).datum
            at = corner.frame.local(flat.pin.frame.origin)
            told = " / ".join(
                f"{in_words(*distance(value, self.units, BELOW))} {corner.ways[axis][0]}"
                for axis, value in enumerate(at)
            )
            yield "Pin", f"in the room, a 1/16 in (2 mm) bit down, the wire left in: {told}"
        yield "Tolerance", f"+/- {with_pin} from a pin left in place, +/- {without} without one"
        frame = flat.datum.frame
        told = "; ".join(offsets(self.scene.plan, flat.room, frame, flat.cut_area))
        yield "Never from a wall", told or "no wall is drawn beside it"

    def _near(self) -> Iterator[str]:
        if self.seen_wall is not None:
            cuts = [cut for cut in self.cuts if cut.part == "wall"]
            yield from walls.beside(self.seen_wall, cuts)
        if self.seen_flat is not None:
            yield from flats.beside(self.seen_flat)

    def _holds(self) -> list[HoldPoint]:
        found = {hold.key: hold for one in self.openings for hold in one.holds}
        order = {"find out": 0, "stop": 1, "care": 2}
        return sorted(found.values(), key=lambda one: (order[one.standing], one.hazard))

    def _cautions(self) -> Iterator[str]:
        seen = dict.fromkeys(_bare(hold.words) for hold in self._holds() if hold.standing == "care")
        yield from seen
        if self.way.water_off:
            yield "Water off, and the pipe drained, before anything is taken out."
        if self.cuts and not self.masonry:
            yield (
                "Power off and proved dead before the blade goes in; keep clear of what is drawn, "
                "and expect what is not."
            )

    def _patch(self) -> tuple[Item, ...]:
        if not self.cuts:
            return ()
        crossed, clear, depth = 0, 0.0, 0.0
        pieces: tuple[tuple[Pair, Pair], ...] = ()
        if self.seen_wall is not None:
            pieces = tuple(walls.marked(self.seen_wall, self.cuts))
            crossed = max(len(self.voids) - 1, 0)
            clear = self._clear(self.voids[0])
        elif self.seen_flat is not None:
            pieces = tuple(flats.marked(self.seen_flat))
            clear = self._clear(self.voids[-1])
            depth = self.scene.plan.storey(self.storey).floor.depth
        setting = Setting(
            self.units, all_acts()[self.way.act].made_good, self.masonry, crossed, clear, depth,
            pieces,
        )  # fmt: skip
        return patch_list(self.cuts, setting)


def _bare(words: str) -> str:
    """Words without the sentence that closes the page anyway."""
    return words.replace(DEFER, "").strip()


def _without(words: str, label: str) -> str:
    """A void's words without its label, which stands in front of them."""
    return " ".join(words.replace(label, "", 1).split()).replace(" ,", ",")


def _hold(one: HoldPoint) -> Hold:
    return Hold(one.hazard, one.words, one.first, one.who, one.evidence, one.source)


def _stamp(status: str) -> Stamp:
    if status == "authorised":
        return "authorised"
    return "declined" if status == "declined" else "not authorised"
