"""Walls from room outlines: what lies beyond each side, and what the wall there is made of.

Two sides that face each other across a plausible thickness are the two faces of one wall, owned by
the side whose id sorts first.  What no room faces is an edge of the plan.

Limits: one build-up a stretch; which sides face each other is found by ``plan.facing``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

import msgspec

from wainscot import job as jobs
from wainscot.plan import defaults
from wainscot.plan.facing import MIN_OVERLAP, Facing
from wainscot.plan.facts import Ledger, basis, known, metres
from wainscot.plan.model import Build, EdgeKind, Opening, Side, Storey, Wall

STUD_LIMIT = 0.18
"""A wall between rooms thicker than this is taken as solid. [m]"""
CAVITY_SINCE = 1925
"""UK outside walls built before this year are taken as solid brick. Common practice, no source."""
BALLOON_BEFORE = 1935
"""US outside walls built before this year are taken as balloon framed (about 1930 to 1940)."""

LOOKED = ("seen", "measured")
"""Where studs stand counts as known only so; an estimate is none to saw by. Judgement."""


class Drawn(msgspec.Struct, frozen=True):
    """What was typed about walls, by side id (``kitchen/e1``)."""

    walls: Mapping[str, tuple[str, jobs.Wall]]
    openings: Mapping[str, Sequence[tuple[str, jobs.Gap]]]
    edges: Mapping[str, EdgeKind]
    year_built: int | None


def wall(
    facing: Facing, storey: Storey, names: Mapping[str, str], drawn: Drawn, ledger: Ledger
) -> Wall:
    """Return one stretch of wall with every fact filled in.

    Parameters
    ----------
    facing : Facing
        Where it stands.
    storey : Storey
        Its storey.
    names : mapping of str to str
        Room names by id.
    drawn : Drawn
        What was typed about walls.
    ledger : Ledger
        Keeps account of defaults.
    """
    side = facing.side
    facts = _Facts(facing, drawn)
    where = side_words(side, names)
    path = facts.path
    beyond: EdgeKind | Literal[""] = (
        "" if facing.other else drawn.edges.get(side.id, "not drawn yet")
    )
    default_build = _usual_build(facing, beyond, ledger.country, drawn.year_built)
    words = "walls between rooms" if facing.other else f"walls to {_beyond_words(beyond)}"
    build: Build = ledger.word(  # type: ignore[assignment]  # the job's shape knows the words
        facts.get("build"), default_build, words, f"{path}.build", where
    )
    board = defaults.value("wall board", ledger.country).value
    if known(facts.get("finish")) == "lath and plaster":
        board = defaults.value("lath and plaster", ledger.country).value
    if build != "stud":
        board = defaults.value("plaster", ledger.country).value
    leaf, cavity, stud_depth, thickness = _layers(facts, facing, build, board, ledger, where)
    spacing = stud_thickness = 0.0
    if build == "stud":
        spacing = ledger.length(
            facts.get("stud_spacing"), "stud spacing", f"{path}.stud_spacing", where
        )
        stud_thickness = defaults.value("stud thickness", ledger.country).value
    bearing = str(known(facts.get("bearing")) or "unknown")
    return Wall(
        side=side,
        storey=storey.id,
        low=facing.low,
        high=facing.high,
        thickness=thickness,
        facing=facing.other.room if facing.other else "",
        facing_side=facing.other.name if facing.other else "",
        beyond=beyond,
        build=build,
        spacing=spacing,
        stud_depth=stud_depth,
        stud_thickness=stud_thickness,
        first_stud=_first_stud(facts, side, spacing),
        top_plates=1 if ledger.country == "UK" or (facing.other and bearing == "no") else 2,
        near_finish=board,
        inner_leaf=leaf,
        cavity=cavity,
        finish=str(
            known(facts.get("finish")) or ("plaster" if build != "stud" else "plasterboard")
        ),
        bearing=bearing,
        insulated=bool(known(facts.get("insulated"))),
        blocked=str(known(facts.get("blocked")) or "unknown"),
        framing=_framing(facts, beyond, build, ledger, drawn.year_built, where),
        lined=bool(known(facts.get("lined"))),
        openings=_openings(
            facing, drawn, ledger, where, stud_thickness if bearing == "no" else None
        ),
        laid_out=build == "stud"
        and all(basis(facts.get(name)) in LOOKED for name in ("stud_spacing", "first_stud")),
    )


def side_words(side: Side, names: Mapping[str, str]) -> str:
    """Return ``kitchen north wall``; a second such wall is told by its number.

    Parameters
    ----------
    side : Side
        The side.
    names : mapping of str to str
        Room names by id.
    """
    number = "" if side.name.endswith("1") and len(side.name) == 2 else f" {side.name[1:]}"
    return f"{names.get(side.room, side.room)} {side.facing} wall{number}"


class _Facts:
    """The wall entities of both faces, the owner's first."""

    def __init__(self, facing: Facing, drawn: Drawn) -> None:
        sides = [facing.side] + ([facing.other] if facing.other else [])
        found = [(side, *drawn.walls[side.id]) for side in sides if side.id in drawn.walls]
        self.found: list[tuple[Side, str, jobs.Wall]] = found
        self.path = f"entities.{found[0][1]}" if found else f"walls.{facing.side.id}"

    def get(self, name: str) -> Any:
        for _, _, entity in self.found:
            field = getattr(entity, name)
            if field is not None:
                return field
        return None

    def side_of(self, name: str) -> Side | None:
        return next((side for side, _, one in self.found if getattr(one, name) is not None), None)


def _first_stud(facts: _Facts, side: Side, spacing: float) -> float:
    """Return the first stud's distance from the owner's left corner."""
    given = metres(facts.get("first_stud"))
    measured_from = facts.side_of("first_stud")
    if given is None or measured_from is None:
        return 0.0
    if measured_from is side:
        return given
    return (side.on_axis(measured_from.point(given)) - side.left) * side.rightward


def _layers(
    facts: _Facts, facing: Facing, build: str, board: float, ledger: Ledger, where: str
) -> tuple[float, float, float, float]:
    """Return (inner leaf, cavity, stud depth, thickness)."""
    country = ledger.country
    leaf = defaults.value("inner leaf", country).value if build == "cavity" else 0.0
    cavity = defaults.value("wall cavity", country).value if build == "cavity" else 0.0
    given = facing.gap if facing.other else metres(facts.get("thickness"))
    depth = metres(facts.get("stud_depth"))
    if build == "stud" and depth is None:
        if given is not None:
            depth = max(given - 2 * board, 0.3 * given)
        else:
            depth = ledger.length(None, "stud depth", f"{facts.path}.stud_depth", where)
    if given is None:
        given = {
            "stud": (depth or 0.0) + 2 * board,
            "cavity": 2 * leaf + cavity + board,
            "solid": defaults.value("solid wall", country).value,
        }[build]
    if build == "cavity":
        # A thin cavity wall keeps its cavity; the leaves share what is left.
        leaf = min(leaf, max((given - board - cavity) / 2, 0.01))
    if build != "stud" and bool(known(facts.get("lined"))):
        depth = defaults.value("lining gap", country).value
    return leaf, cavity, min(depth or 0.0, given), given


def _framing(
    facts: _Facts, beyond: str, build: str, ledger: Ledger, year: int | None, where: str
) -> str:
    if build != "stud":
        return "platform"
    old = ledger.country != "UK" and year is not None and year < BALLOON_BEFORE
    default = "balloon" if old and beyond not in ("", "neighbour") else "platform"
    return ledger.word(facts.get("framing"), default, "framing", f"{facts.path}.framing", where)


def _usual_build(facing: Facing, beyond: str, country: str, year: int | None) -> str:
    if facing.other is not None:
        return "stud" if facing.gap <= STUD_LIMIT + 1e-9 else "solid"
    if beyond == "not drawn yet" or country != "UK":
        return "stud"
    if beyond == "neighbour" or (year is not None and year < CAVITY_SINCE):
        return "solid"
    return "cavity"


def _beyond_words(beyond: str) -> str:
    return {"neighbour": "the neighbour", "not drawn yet": "what is not drawn yet"}.get(
        beyond, f"the {beyond}" if beyond != "outside" else "the outside"
    )


def _openings(
    facing: Facing, drawn: Drawn, ledger: Ledger, where: str, flat: float | None
) -> tuple[Opening, ...]:
    sides = [facing.side] + ([facing.other] if facing.other else [])
    found = []
    for side in sides:
        for key, gap in drawn.openings.get(side.id, ()):
            one = _on(facing.side, side, opening(key, gap, side, ledger, where, flat))
            if min(one.high, facing.high) - max(one.low, facing.low) > MIN_OVERLAP:
                found.append(one)
    return tuple(sorted(found, key=lambda one: (one.low, one.id)))


def opening(
    key: str,
    gap: jobs.Gap,
    side: Side,
    ledger: Ledger,
    where: str,
    flat: float | None = None,
) -> Opening:
    """Return a door or window in its place along the side's axis.

    Parameters
    ----------
    key : str
        Its id.
    gap : jobs.Gap
        As typed.
    side : Side
        The side that it was told of.
    ledger : Ledger
        Keeps account of defaults.
    where : str
        The wall, in words.
    flat : float, optional
        Height of the member over openings of a wall that bears nothing. [m]
    """
    name = "window" if gap.type == "window" else "door"
    path = f"entities.{key}"
    width = ledger.length(gap.width, f"{name} width", f"{path}.width", where)
    sill = metres(gap.sill)
    if sill is None:
        sill = (
            ledger.length(None, "window sill", f"{path}.sill", where) if name == "window" else 0.0
        )
    head = ledger.length(gap.head, f"{name} head", f"{path}.head", where)
    ends = sorted(
        side.coordinate(along)
        for along in (metres(gap.along) or 0.0, (metres(gap.along) or 0.0) + width)
    )
    header = metres(gap.header)
    if header is None:
        header = flat
    if header is None:
        header = ledger.length(None, "opening header", f"{path}.header", where)
    return Opening(key, gap.type, ends[0], ends[1], sill, head, header)


def _on(owner: Side, side: Side, one: Opening) -> Opening:
    """Return an opening of either face along the owner's axis."""
    if side.turn == owner.turn:
        return one
    ends = sorted(
        owner.on_axis(side.point((end - side.left) * side.rightward)) for end in (one.low, one.high)
    )
    return msgspec.structs.replace(one, low=ends[0], high=ends[1])
