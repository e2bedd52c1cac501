"""A cut that somebody drew: may it be made, what would it cut, and which near it would do.

    told = own_cut(scene, cut)
    told.standing, told.words, told.nearest

Refused is what would go through a stud, joist, plate, block, pipe, cable or duct as drawn, what
meets a fixture, a door or what the owner keeps, and what a structural limit forbids.  Where nobody
looked where the members stand the answer is never "allowed" but "not known": find them first.

Limits: what is not drawn is not in the way here; that is what the hold point for services is for.
Joists are "not known" until the hold point for the framing is released there, because a plan does
not hold where the first joist lies.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal

import msgspec

from wainscot.access.cutting import Verdict
from wainscot.access.flat_cuts import patch_verdicts
from wainscot.access.model import CutAt, Reach, Surface, Target
from wainscot.access.panels import Panel
from wainscot.access.placing import LEAST, groups, nearest_in, pieces
from wainscot.access.reaching import share_reached
from wainscot.access.scene import Scene
from wainscot.access.severing import NARROWEST, RULE, sever
from wainscot.access.surfaces import flat_surface, wall_surface
from wainscot.access.tape import Behind, TapeFace, face_of, placed, walls_at
from wainscot.plan.model import OwnCutAt, Room, Side
from wainscot.quantity import show_exact

Standing = Literal["allowed", "refused", "not known"]
FIND = (
    "Not known where the {member}s stand: open a small hole and look, or find the {member} first."
)
"""What is said instead of "allowed" where nobody looked. Judgement: a sure place, or no saw."""
_HAIR = 1e-6
_SILL = 0.15
"""A member under a bay's foot and within this of the floor is the sole plate. [m]"""


class InTheWay(msgspec.Struct, frozen=True):
    """Something that a cut would go through or touch."""

    kind: str
    """``stud``, ``joist``, ``plate``, ``block``, a type of run (``cable``), ``fixture``, ``door``,
    ``window``, ``kept``, ``end of the wall``, ``limit``; else why nothing is cut there:
    ``nothing hidden``, ``masonry``, ``comes off``, ``joists askew``."""
    name: str = ""
    """What it is called, where it has a name."""


class Sized(msgspec.Struct, frozen=True):
    """Where a cut lies, as the tape reads it."""

    along: float
    width: float
    bottom: float
    height: float
    """[m], as in :class:`wainscot.plan.model.OwnCutAt`."""


class ReachTold(msgspec.Struct, frozen=True):
    """A void behind a cut, and how much of it hand and wand get at."""

    id: str
    label: str
    share: float
    """[1]"""


class OwnCutTold(msgspec.Struct, frozen=True):
    """What is said to one cut."""

    id: str
    standing: Standing
    fits: bool
    """True where it misses everything as drawn and assumed; then it is one of the openings."""
    words: str
    in_the_way: tuple[InTheWay, ...]
    reaches: tuple[ReachTold, ...]
    nearest: tuple[Sized, ...]
    """The nearest that would do, one cut for each stretch; empty where it fits or none would."""
    not_reached: tuple[str, ...]
    """Labels of voids behind the cut that no allowed cut would reach."""
    limits: tuple[Verdict, ...]


def own_cut(scene: Scene, cut: OwnCutAt) -> OwnCutTold:
    """Return whether a cut may be made, what it would cut, and the nearest that would do.

    Parameters
    ----------
    scene : Scene
        The plan and its graph, with what has been released.
    cut : OwnCutAt
        The cut, on a side that the room has.
    """
    return _Judging(scene, cut).told()


def own_targets(scene: Scene, part: str) -> Iterator[Target]:
    """Yield every cut that somebody drew on faces of one sort and that fits.

    Parameters
    ----------
    scene : Scene
        The plan and its graph.
    part : {"wall", "floor", "ceiling"}
        The sort of face.
    """
    for cut in scene.plan.own_cuts:
        if cut.part == part:
            judging = _Judging(scene, cut)
            told = judging.told()
            if told.fits:
                yield judging.target(told)


class _Judging:
    def __init__(self, scene: Scene, cut: OwnCutAt) -> None:
        self.scene, self.cut = scene, cut
        self.room: Room = scene.plan.room(cut.room)
        side = self.room.side(cut.side)
        assert side is not None
        self.side: Side = side
        self.face: TapeFace = face_of(scene, self.room, side, cut.part)
        self.asked = Panel(cut.along, cut.along + cut.width, cut.bottom, cut.bottom + cut.height)
        self.member = "stud" if cut.part == "wall" else "joist"

    def told(self) -> OwnCutTold:
        if self.face.lacks:
            return self._lacking()
        hard, members = self._met(self.asked)
        limits = self._limits(members)
        # Who sets the rule aside by name answers for the members; nobody sets a pipe aside.
        aside = [one for one in limits if one.rule == RULE and one.overridden]
        members = [one for one in members if not aside or one.kind != self.member]
        forbidden = [InTheWay("limit", one.rule) for one in limits
                     if not one.allowed and one.rule != RULE]  # fmt: skip
        met = (*members, *hard, *forbidden)
        behind = pieces(self.face, self.asked)
        nearest, lost = ((), ()) if not met else self._nearest(behind)
        standing: Standing = "allowed"
        if hard or forbidden or (members and self._known()):
            standing = "refused"
        elif not self._known():
            standing = "not known"
        return OwnCutTold(
            self.cut.id, standing, not met,
            aside[0].words if aside and not met else self._words(standing, met, nearest), met,
            self._reaches(behind), nearest, lost, limits,
        )  # fmt: skip

    def target(self, told: OwnCutTold) -> Target:
        """Return the cut as an opening."""
        behind = pieces(self.face, self.asked)
        keys = "+".join(one.key for one, _ in behind)
        label = self.scene.graph.labels
        voids = ", ".join(label[one.void] for one, _ in behind)
        name = self.scene.room_names[self.room.id]
        cut = self._placed(self.asked)
        return Target(
            where=f"{voids}, from the {name}",
            key=f"{self.cut.id}|{_place_key(self.asked)}",
            reaches=tuple(Reach(one.void, self._share(one, panel)) for one, panel in behind),
            room=self.room.id,
            finish=behind[0][0].finish,
            area=cut.area,
            at=self.scene.centre(behind[len(behind) // 2][0].void),
            cuts=(cut,),
            surface=self._surface(),
            limits=told.limits,
            given=self.cut.id,
            find_members="" if self._known() else f"{self.member}|{keys}|{self.room.id}",
        )

    def _known(self) -> bool:
        """Return True where the members were found: laid out, or the hold point released."""
        keys = "+".join(one.key for one, _ in pieces(self.face, self.asked))
        released = f"framing/{keys}|{self.room.id}" in self.scene.site.released
        return self.face.laid_out or (bool(keys) and released)

    def _lacking(self) -> OwnCutTold:
        words = {
            "nothing hidden": "Refused: no hidden void is drawn behind this face.",
            "masonry": "Refused: brick and block are not sawn; see the openings that are offered.",
            "comes off": "Refused: this comes off whole; no saw is needed.",
            "joists askew": "Refused: the joists run askew to this wall; measure from another side "
            "or take the opening that is offered along them.",
        }[self.face.lacks]
        met = (InTheWay(self.face.lacks),)
        return OwnCutTold(self.cut.id, "refused", False, words, met, (), (), (), ())

    def _met(self, panel: Panel) -> tuple[list[InTheWay], list[InTheWay]]:
        """Return what a panel meets that is drawn, and the members that it goes through."""
        hard = [
            InTheWay(one.kind, one.name) for one in self.face.obstacles if one.panel.meets(panel)
        ]
        whole = self.face.whole
        if (
            panel.u_low < whole.u_low - _HAIR
            or panel.u_high > whole.u_high + _HAIR
            or panel.v_low < whole.v_low - _HAIR
            or panel.v_high > whole.v_high + _HAIR
        ):
            hard.append(InTheWay("end of the wall"))
        return list(dict.fromkeys(hard)), list(dict.fromkeys(self._members(panel, bool(hard))))

    def _members(self, panel: Panel, doors: bool) -> Iterator[InTheWay]:
        """Yield the members that a panel goes through, by what they are."""
        behind = pieces(self.face, panel)
        if not behind:
            if not doors:
                yield InTheWay(self.member)
            return
        if len(groups(self.face, [one for one, _ in behind])) > 1:
            yield InTheWay(self.member)
        run, across = self._ends([one.panel for one, _ in behind])
        low, high = (panel.u_low, panel.u_high) if self.face.across == "u" else (
            panel.v_low, panel.v_high)  # fmt: skip
        if low < across[0] - _HAIR or high > across[1] + _HAIR or self._sliver(behind):
            yield InTheWay(self.member)
        low, high = (panel.v_low, panel.v_high) if self.face.across == "u" else (
            panel.u_low, panel.u_high)  # fmt: skip
        if low < run[0] - _HAIR:
            sole = self.cut.part == "wall" and run[0] < _SILL
            yield InTheWay("plate" if sole else "block")
        if high > run[1] + _HAIR:
            top = self.cut.part == "wall" and run[1] > self.face.whole.v_high - 2 * _SILL
            yield InTheWay("plate" if top else "block")

    def _ends(self, panels: Sequence[Panel]) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return what bays have in common along the members, and their outer ends across them."""
        us = (max(p.u_low for p in panels), min(p.u_high for p in panels))
        vs = (max(p.v_low for p in panels), min(p.v_high for p in panels))
        if self.face.across == "u":
            return vs, (min(p.u_low for p in panels), max(p.u_high for p in panels))
        return us, (min(p.v_low for p in panels), max(p.v_high for p in panels))

    def _sliver(self, behind: Sequence[tuple[Behind, Panel]]) -> bool:
        """Return True where a saw line runs so near beside a member that no hand gets in."""
        if len(behind) < 2:
            return False
        return any(
            _wide(piece, self.face.across)
            < min(NARROWEST, _wide(one.panel, self.face.across)) - _HAIR
            for one, piece in behind
        )

    def _limits(self, members: Sequence[InTheWay]) -> tuple[Verdict, ...]:
        kind = "subfloor" if self.cut.part == "floor" else "board"
        found = patch_verdicts(self.scene, (self._placed(self.asked),), kind)
        if not any(one.kind == self.member for one in members):
            return found
        low, high = (self.asked.u_low, self.asked.u_high) if self.face.across == "u" else (
            self.asked.v_low, self.asked.v_high)  # fmt: skip
        aside = next((one for one in self.scene.site.overrides if one.rule == RULE), None)
        between = self._between()
        if self.face.spans:
            # A board may come off the studs in between; the saw must not run along one.
            between = tuple(
                (a, b) for a, b in between
                if any(a - NARROWEST < end < b + NARROWEST for end in (low, high))
            )  # fmt: skip
        if not any(a < high and b > low for a, b in between):
            return found
        return (*found, sever(low, high, between, word=self.member, units=self.scene.plan.units,
                              override=aside, offer=not self.face.spans))  # fmt: skip

    def _between(self) -> tuple[tuple[float, float], ...]:
        """Return both edges of the members that this face shows, across them."""
        spans = sorted(
            (p.u_low, p.u_high) if self.face.across == "u" else (p.v_low, p.v_high)
            for p in (one.panel for one in self.face.behind)
        )
        edges, last = [], -math.inf
        for low, high in spans:
            if -math.inf < last < low - _HAIR:
                edges.append((last, low))
            last = max(last, high)
        first = spans[0][0]
        return ((first - NARROWEST, first), *edges, (last, last + NARROWEST))

    def _nearest(
        self, behind: Sequence[tuple[Behind, Panel]]
    ) -> tuple[tuple[Sized, ...], tuple[str, ...]]:
        found, reached = [], set[int]()
        wanted = self._wanted(behind)
        several = groups(self.face, wanted)
        for group in several:
            for some in (group, *([one] for one in group if len(group) > 1)):
                if reached >= {one.void for one in some}:
                    continue
                panel = nearest_in(
                    self.face, some, self._part_of(some, len(several)), self.scene.plan.units
                )
                if panel is not None and self._fits(panel):
                    found.append(panel)
                    reached |= {one.void for one in some}
                    if some is group:
                        break
        labels = self.scene.graph.labels
        lost = tuple(labels[one.void] for one in wanted if one.void not in reached)
        return tuple(_sized(panel) for panel in found), lost

    def _part_of(self, some: Sequence[Behind], several: int) -> Panel:
        """Return what was asked for before some bays; all of it where one cut opens them all."""
        part = self.asked
        if several == 1:
            return part
        us = [(one.panel.u_low, one.panel.u_high) for one in some]
        vs = [(one.panel.v_low, one.panel.v_high) for one in some]
        low_u, high_u = max(part.u_low, min(us)[0]), min(part.u_high, max(u for _, u in us))
        low_v, high_v = max(part.v_low, min(vs)[0]), min(part.v_high, max(v for _, v in vs))
        least = LEAST.value
        return Panel(low_u, max(high_u, low_u + least), low_v, max(high_v, low_v + least))

    def _wanted(self, behind: Sequence[tuple[Behind, Panel]]) -> list[Behind]:
        """Return the bays that the cut is meant for: those it opens, else the nearest."""
        meant = [
            one for one, piece in behind if min(piece.width, piece.height) >= NARROWEST - _HAIR
        ]
        if meant:
            return meant
        if behind:
            return [max(behind, key=lambda each: each[1].area)[0]]
        u = (self.asked.u_low + self.asked.u_high) / 2
        v = (self.asked.v_low + self.asked.v_high) / 2
        return [min(self.face.behind, key=lambda one: _distance(one.panel, u, v))]

    def _fits(self, panel: Panel) -> bool:
        hard, members = self._met(panel)
        return not hard and not members

    def _reaches(self, behind: Sequence[tuple[Behind, Panel]]) -> tuple[ReachTold, ...]:
        graph = self.scene.graph
        return tuple(
            ReachTold(graph.keys[one.void], graph.labels[one.void], self._share(one, piece))
            for one, piece in behind
        )

    def _share(self, one: Behind, piece: Panel) -> float:
        """Return how much of a void hand and wand get at through one piece of the cut."""
        narrow = min(_wide(one.panel, self.face.across), one.deep, piece.width, piece.height)
        if self.face.across == "u":
            whole, ends = (one.panel.v_low, one.panel.v_high), (piece.v_low, piece.v_high)
        else:
            whole, ends = (one.panel.u_low, one.panel.u_high), (piece.u_low, piece.u_high)
        return share_reached(*whole, [ends], narrow)

    def _placed(self, panel: Panel) -> CutAt:
        storey = self.scene.plan.storey(self.room.storey)
        board = storey.floor.board if self.cut.part == "floor" else storey.ceiling_board
        return placed(self.scene, self.face, panel, board)

    def _surface(self) -> Surface:
        if self.cut.part == "wall":
            wall = walls_at(self.scene, self.room, self.side)[0]
            return wall_surface(self.scene, wall, self.room.id)
        return flat_surface(self.scene, self.room, self.cut.part)

    def _words(self, standing: Standing, met: Sequence[InTheWay], nearest: Sequence[Sized]) -> str:
        find = FIND.format(member=self.member)
        if not met:
            return find if standing == "not known" else (
                f"Allowed: it lies between {self.member}s and clear of all that is drawn."
            )  # fmt: skip
        what = ", ".join(dict.fromkeys(_named(one) for one in met))
        units = self.scene.plan.units
        offered = "; ".join(_sized_words(one, units, self.cut.part) for one in nearest)
        where = f"the nearest that would do: {offered}" if offered else "nothing near would do"
        if standing == "not known":
            return f"{find} As assumed it would cut: {what}; {where}."
        return f"Refused: it would cut or touch: {what}; {where}."


def _place_key(panel: Panel) -> str:
    """Return where a cut lies in millimetres: what was signed for one place holds for no other."""
    edges = (panel.u_low, panel.width, panel.v_low, panel.height)
    u, wide, v, high = (round(1000 * edge) for edge in edges)
    return f"{u}+{wide}|{v}+{high}"


def _named(one: InTheWay) -> str:
    return f"{one.kind} {one.name}".strip() if one.name and one.name != one.kind else one.kind


def _wide(panel: Panel, across: str) -> float:
    return panel.width if across == "u" else panel.height


def _distance(panel: Panel, u: float, v: float) -> float:
    return math.hypot(
        max(panel.u_low - u, u - panel.u_high, 0.0), max(panel.v_low - v, v - panel.v_high, 0.0)
    )


def _sized(panel: Panel) -> Sized:
    return Sized(
        round(panel.u_low, 6), round(panel.width, 6), round(panel.v_low, 6), round(panel.height, 6)
    )


def _sized_words(one: Sized, units: Literal["ft-in", "m"], part: str) -> str:
    up = "over the floor" if part == "wall" else "from the wall"
    shown = [show_exact(each, units) for each in (one.along, one.bottom, one.width, one.height)]
    return f"{shown[0]} from the left, {shown[1]} {up}, {shown[2]} wide, {shown[3]} high"
