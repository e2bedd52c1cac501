"""Ways in: drawn entry points, what nobody drew, and colonies already inside.

A drawn entry point has a chance by its size and by what lies beyond.  Everything at the edge of the
plan may hold a way in that nobody drew: together they are worth about 0.3 ways in use in a house,
shared out by kind of edge, area and height.  All of it is judgement, in ``tables/sources.csv``.

Limits: the whole house's 0.3 is shared by what is drawn, however little that is; the edges "not
drawn yet" stand for the rest.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from functools import cache
from importlib import resources
from typing import Literal

import msgspec

from wainscot.plan.model import Entry, Plan
from wainscot.species import Species
from wainscot.voids.piercing import Point, passed
from wainscot.voids.space import Space

LOW = 1.0
"""Edges below this height over level 0's floor count as near the ground. [m]"""
NEARLY = 0.7
"""A hole of this share of the threshold may be gnawed wide enough. [1]"""
ESTIMATED = 0.8
"""Chance that an estimated size is on the right side of the threshold. [1]"""
GNAWED = {"wood", "plastic", "soft mortar"}
WITHIN = 0.6
"""An entry point that lies in nothing opens into a void no further off than this. [m]"""

Sort = Literal["entry point", "unknown", "settled"]
Odds = tuple[float, float]


class SourceRow(msgspec.Struct, frozen=True):
    """One judged row: chances, or a weight by area. [1]"""

    past: float
    now: float
    weight: float


class Source(msgspec.Struct, frozen=True):
    """One way in: its chances [1] and where it is [m]."""

    key: str
    words: str
    sort: Sort
    pool: str
    void: int
    past: float
    now: float
    at: Point


@cache
def source_rows() -> dict[tuple[str, str], SourceRow]:
    """Return the table by (group, name)."""
    text = resources.files(__package__).joinpath("tables/sources.csv").read_text("utf-8")
    return {
        (line["group"], line["name"]): SourceRow(
            *(float(line[name] or 0) for name in ("past", "now", "weight"))
        )
        for line in csv.DictReader(text.splitlines())
    }


def sources(
    plan: Plan, spaces: Sequence[Space], drawn: dict[str, int], species: Species
) -> list[Source]:
    """Return every way in: drawn ones by id, then unknown, then settled by void.

    Parameters
    ----------
    plan : Plan
        The plan.
    spaces : sequence of Space
        Spaces by index.
    drawn : dict of str to int
        Void that each drawn entry point or open drain end opens into; -1 for none.
    species : Species
        Whose threshold and habits count.
    """
    return [
        *_entries(plan, spaces, drawn, species),
        *_open_ends(plan, spaces, drawn),
        *_unknown(plan, spaces, species),
        *_settled(spaces),
    ]


def _entries(
    plan: Plan, spaces: Sequence[Space], drawn: dict[str, int], species: Species
) -> list[Source]:
    found = []
    for entry in plan.entries:
        void = drawn.get(entry.id, -1)
        if void < 0:
            continue
        past, now = entry_odds(entry, species)
        found.append(
            Source(
                entry.id,
                entry.name,
                "entry point",
                entry.beyond,
                void,
                past,
                now,
                spaces[void].centre,
            )
        )
    return found


def entry_odds(entry: Entry, species: Species) -> Odds:
    """Return the chances that an entry point was used in the past only, and is used now. [1]

    Parameters
    ----------
    entry : Entry
        The entry point.
    species : Species
        Whose threshold and teeth count.
    """
    rows = source_rows()
    if entry.sealed:
        row = rows["entry", "sealed"]
        return (row.past, row.now)
    wide = rows["entry", "drain" if entry.beyond == "drain" else "passable"]
    if entry.size is None:
        row = wide if entry.beyond == "drain" else rows["entry", "unknown"]
        return (row.past, row.now)
    threshold = species.passage.value
    gnawed = entry.material in GNAWED and entry.size >= NEARLY * threshold
    narrow = rows["entry", "gnawable" if gnawed else "small"]
    first, second = (wide, narrow) if entry.size >= threshold else (narrow, wide)
    sure = 1.0 if entry.size_basis == "measured" else ESTIMATED
    return (
        sure * first.past + (1 - sure) * second.past,
        sure * first.now + (1 - sure) * second.now,
    )


def open_end(service_path: Sequence[Point], end: str) -> Point:
    """Return the point of a run's open end.

    Parameters
    ----------
    service_path : sequence of (float, float, float)
        Corners of the run. [m]
    end : str
        ``start`` or ``end``.
    """
    return service_path[0] if end == "start" else service_path[-1]


def _open_ends(plan: Plan, spaces: Sequence[Space], drawn: dict[str, int]) -> list[Source]:
    """An open drain end that nobody made an entry point of is a way in by itself."""
    row = source_rows()["entry", "drain"]
    told = {entry.place.of for entry in plan.entries}
    return [
        Source(
            service.id, f"open end of {service.name or 'the disused drain'}", "entry point",
            "drain", drawn[service.id], row.past, row.now,
            open_end(service.path, service.open_end),
        )
        for service in plan.services
        if service.open_end and service.id not in told and drawn.get(service.id, -1) >= 0
    ]  # fmt: skip


def _unknown(plan: Plan, spaces: Sequence[Space], species: Species) -> list[Source]:
    shares: dict[tuple[int, str], tuple[float, Point]] = {}
    low_factor = source_rows()["height", species.prefers].weight

    def add(v: int, pool: str, size: float, at: Point) -> None:
        weight = size * (low_factor if at[2] < LOW else 1.0)
        known = shares.get((v, pool))
        shares[v, pool] = (weight + known[0], known[1]) if known else (weight, at)

    for v, space in enumerate(spaces):
        for touch in space.touches:
            weight = source_rows()["edge", f"{touch.through} {touch.edge}"].weight
            pool = touch.edge if touch.side == touch.edge else f"{touch.edge}, {touch.side}"
            add(v, pool, weight * touch.area, touch.at)
    for service in plan.services:
        if service.type == "drain":
            weight = source_rows()["run", "drain"].weight
            for v, start, stop, first, _ in passed(spaces, service.path):
                add(v, "drain", weight * (stop - start), first)
    whole = sum(weight for weight, _ in shares.values())
    if whole <= 0:
        return []
    row = source_rows()["total", "unknown"]
    return [
        Source(
            f"unknown/{spaces[v].key}/{pool}", f"a way in nobody drew ({pool})", "unknown", pool,
            v, row.past * weight / whole, row.now * weight / whole, at,
        )
        for (v, pool), (weight, at) in sorted(shares.items())
        if weight > 0
    ]  # fmt: skip


def _settled(spaces: Sequence[Space]) -> list[Source]:
    hidden = [v for v, space in enumerate(spaces) if space.hidden]
    row = source_rows()["total", "settled"]
    return [
        Source(
            f"settled/{spaces[v].key}", "a colony settled inside", "settled", "settled inside", v,
            row.past / len(hidden), row.now / len(hidden), spaces[v].centre,
        )
        for v in hidden
    ]  # fmt: skip
