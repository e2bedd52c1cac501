"""Storeys in large with the numbers of a paper on them: seals, traps, photos.

storeys(known, [("1", (1.0, 3.2, 0.1))])
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from wainscot.access import site_of
from wainscot.access.scene import Scene
from wainscot.drawing import Drawing
from wainscot.papers.answers import Answers
from wainscot.papers.opening_sheet.where import Placed, storey_plan
from wainscot.papers.said import Say

_HALF = 0.06
"""Half of the square that marks a point. [m]"""
BOX = (165.0, 95.0)
"""Room on paper. [mm]"""

Point = tuple[float, float, float]


def storeys(known: Answers, marks: Iterable[tuple[str, Point]], say: Say) -> tuple[Drawing, ...]:
    """Return a drawing of each storey that has a mark on it.

    Parameters
    ----------
    known : Answers
        With the plan.
    marks : iterable of (str, (float, float, float))
        Number and point. [m]
    say : Say
        Says what the drawings show.
    """
    by_storey: dict[str, list[Placed]] = {}
    for number, at in marks:
        storey = _storey(known, at[2])
        by_storey.setdefault(storey, []).append(_placed(number, storey, at))
    scene = Scene(known.plan, known.graph, site_of(known.job))
    return tuple(
        _named(storey_plan(scene, one.id, by_storey[one.id], f"plan-{one.id}", BOX), say)
        for one in known.plan.storeys
        if one.id in by_storey
    )


def _named(drawing: Drawing, say: Say) -> Drawing:
    about = say.word("plan_about", where=drawing.title)
    return msgspec.structs.replace(drawing, about=about)


def _storey(known: Answers, height: float) -> str:
    """Return the storey whose floor is next below a height, the lowest for what lies below all."""
    ordered = sorted(known.plan.storeys, key=lambda one: one.elevation)
    below = [one for one in ordered if one.elevation <= height + 0.4]
    return str((below or ordered[:1])[-1].id)


def _placed(number: str, storey: str, at: Point) -> Placed:
    x, y, _ = at
    ring = tuple((x + i * _HALF, y + j * _HALF) for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1)))
    return Placed(number, storey, "", (), (ring,))
