"""Where a cut that was asked for may lie instead: the nearest place, no smaller than it must be.

Limits: rectangles along the members only; with more than a handful of things in the way nothing is
offered, and somebody looks for a place by eye.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import Literal

from wainscot.access.panels import MOST_OBSTACLES, Panel, edges
from wainscot.access.severing import NARROWEST
from wainscot.access.tape import Behind, TapeFace
from wainscot.sources import judged

WIDEST_MEMBER = 0.12
"""Bays further apart than this do not stand side by side on one member. [m]"""
LEAST = judged(0.1, "m", "cut through which a hand and a lamp show more than a hole would")
STEPS = {"ft-in": 0.0254 / 8, "m": 0.005}
"""What a cut is marked out to. [m]"""
_HAIR = 1e-6


def pieces(face: TapeFace, panel: Panel) -> list[tuple[Behind, Panel]]:
    """Return the bays behind a panel, in order, and the piece of it before each.

    Parameters
    ----------
    face : TapeFace
        The face.
    panel : Panel
        What is cut.
    """
    found = [(one, _shared(one.panel, panel)) for one in face.behind]
    kept = [(one, piece) for one, piece in found if piece.width > _HAIR and piece.height > _HAIR]
    return sorted(kept, key=lambda each: (each[0].panel.u_low, each[0].panel.v_low))


def groups(face: TapeFace, bays: Sequence[Behind]) -> list[list[Behind]]:
    """Return bays in runs that one cut may lay open: side by side on one plate, or each alone.

    Parameters
    ----------
    face : TapeFace
        The face.
    bays : sequence of Behind
        Some of what lies behind it.
    """
    if not face.spans:
        return [[one] for one in bays]
    found: list[list[Behind]] = []
    for one in sorted(bays, key=lambda each: (each.panel.v_low, each.panel.u_low)):
        last = found[-1][-1].panel if found else None
        joined = (
            last is not None
            and 0 < one.panel.u_low - last.u_high <= WIDEST_MEMBER
            and abs(one.panel.v_low - last.v_low) < 0.02
        )
        if joined:
            found[-1].append(one)
        else:
            found.append([one])
    return found


def nearest_in(
    face: TapeFace, bays: Sequence[Behind], asked: Panel, units: Literal["ft-in", "m"]
) -> Panel | None:
    """Return the nearest panel that opens each of these bays and meets nothing, or None.

    First it is moved; only where it does not fit so, made smaller.  Its edges lie on whole steps of
    the tape.

    Parameters
    ----------
    face : TapeFace
        The face.
    bays : sequence of Behind
        Bays of one run.
    asked : Panel
        What was asked for.
    units : {"ft-in", "m"}
        What the reader's tape shows.
    """
    room = Panel(
        max(min(one.panel.u_low for one in bays), face.whole.u_low),
        min(max(one.panel.u_high for one in bays), face.whole.u_high),
        max(one.panel.v_low for one in bays),
        min(one.panel.v_high for one in bays),
    ) if face.across == "u" else bays[0].panel  # fmt: skip
    near = [one.panel for one in face.obstacles if one.panel.meets(room)]
    if len(near) > MOST_OBSTACLES:
        return None
    least = min(LEAST.value, asked.width), min(LEAST.value, asked.height)
    step = STEPS[units]
    best: tuple[tuple[float, float], Panel] | None = None
    for free in _free(room, near, *least):
        u = _laid(asked.u_low, asked.width, free.u_low, free.u_high, step)
        v = _laid(asked.v_low, asked.height, free.v_low, free.v_high, step)
        if u is None or v is None:
            continue
        panel = Panel(*u, *v)
        if panel.width < least[0] - step or panel.height < least[1] - step:
            continue
        if not all(_opens(panel, one.panel) for one in bays):
            continue
        cost = (round(asked.area - panel.area, 3), _moved(asked, panel))
        if best is None or cost < best[0]:
            best = cost, panel
    return best[1] if best else None


def _shared(one: Panel, other: Panel) -> Panel:
    return Panel(
        max(one.u_low, other.u_low), min(one.u_high, other.u_high),
        max(one.v_low, other.v_low), min(one.v_high, other.v_high),
    )  # fmt: skip


def _opens(panel: Panel, bay: Panel) -> bool:
    """Return True where a hand gets through a panel into a bay."""
    piece = _shared(panel, bay)
    return piece.width >= min(NARROWEST, bay.width) - _HAIR and piece.height >= min(
        NARROWEST, bay.height) - _HAIR  # fmt: skip


def _free(room: Panel, near: Sequence[Panel], least_u: float, least_v: float) -> Iterator[Panel]:
    """Yield the rectangles between the edges of what is in the way that meet none of it."""
    us = edges(room.u_low, room.u_high, [e for one in near for e in (one.u_low, one.u_high)])
    vs = edges(room.v_low, room.v_high, [e for one in near for e in (one.v_low, one.v_high)])
    for left, right in itertools.combinations(us, 2):
        for low, high in itertools.combinations(vs, 2):
            one = Panel(left, right, low, high)
            wide = one.width >= least_u - _HAIR and one.height >= least_v - _HAIR
            if wide and not any(one.meets(other) for other in near):
                yield one


def _laid(
    start: float, size: float, low: float, high: float, step: float
) -> tuple[float, float] | None:
    """Return both ends of a stretch within bounds, nearest to where it was, on whole steps."""
    first, last = math.ceil(low / step - _HAIR), math.floor(high / step + _HAIR)
    count = min(math.floor(size / step + _HAIR), last - first)
    if count < 1:
        return None
    if low - _HAIR <= start and start + size <= high + _HAIR:
        return start, start + size
    at = min(max(round(start / step), first), last - count)
    return at * step, (at + count) * step


def _moved(asked: Panel, panel: Panel) -> float:
    return math.hypot(
        (panel.u_low + panel.u_high - asked.u_low - asked.u_high) / 2,
        (panel.v_low + panel.v_high - asked.v_low - asked.v_high) / 2,
    )
