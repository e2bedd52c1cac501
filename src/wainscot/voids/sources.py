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
import shapely

from wainscot.plan.model import Entry, Plan, ServiceRun
from wainscot.species import Species
from wainscot.voids.piercing import Point, passed
from wainscot.voids.points import point_of
from wainscot.voids.space import Space

LOW = 1.0
"""Edges below this height over level 0's floor count as near the ground. [m]"""
NEARLY = 0.7
"""A hole of this share of the threshold may be gnawed wide enough. [1]"""
ESTIMATED = 0.8
"""Chance that an estimated size is on the right side of the threshold. [1]"""
GNAWED = {"wood", "plastic", "soft mortar"}

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
        *_open_ends(plan, drawn),
        *_shared_lofts(plan, spaces),
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
                point_of(plan, entry.place) or spaces[void].centre,
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


def _open_ends(plan: Plan, drawn: dict[str, int]) -> list[Source]:
    """Ways in that services make: open and dead ends, chambers; not where one is drawn already."""
    told = {entry.place.of for entry in plan.entries}
    found = []
    for service in plan.services:
        if service.id in told:
            continue
        name = service.name or ("the disused drain" if service.disused else f"the {service.type}")
        whose = f" ({service.owner})" if service.owner else ""
        for key, point, row, words in drain_points(service):
            if drawn.get(key, -1) >= 0:
                odds = source_rows()["entry", row]
                found.append(
                    Source(
                        key, f"{words} {name}{whose}", "entry point", "drain", drawn[key],
                        odds.past, odds.now, point,
                    )
                )  # fmt: skip
    return found


def drain_points(service: ServiceRun) -> list[tuple[str, Point, str, str]]:
    """Return (key, point, row of the table, words) of each place where a run may let animals out.

    Parameters
    ----------
    service : ServiceRun
        The run.
    """
    found = []
    if service.open_end:
        point = open_end(service.path, service.open_end)
        found.append((service.id, point, "drain", "open end of"))
    elif service.dead_leg:
        found.append((service.id, service.dead_end, "dead leg", "dead end of"))
    for n, point in enumerate(service.chambers, 1):
        found.append((f"{service.id}/chamber/{n}", point, "chamber", "inspection chamber on"))
    return found


def _shared_lofts(plan: Plan, spaces: Sequence[Space]) -> list[Source]:
    """A loft that runs on over the neighbour's is a way in with a name."""
    row = source_rows()["entry", "shared loft"]
    found = []
    for edge in plan.loft_edges:
        room = plan.room(edge.room)
        inside = shapely.Polygon(room.polygon).representative_point()
        for v, space in enumerate(spaces):
            if space.form != "loft" or not space.plot.polygon.intersects(inside):
                continue
            side = room.side(edge.side) if edge.side else None
            x, y = side.point(side.length / 2) if side else (inside.x, inside.y)
            words = "the loft shared with the neighbour" + (f", {side.facing} side" if side else "")
            if edge.kind == "neighbour":
                found.append(
                    Source(
                        edge.id, words, "entry point", "neighbour", v, row.past, row.now,
                        (x, y, space.bottom + 0.1),
                    )
                )  # fmt: skip
    return found


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
            pool = f"drain, {service.owner}" if service.owner else "drain"
            weight = source_rows()["run", "drain"].weight
            last = -1
            for v, start, stop, first, _ in passed(spaces, service.path):
                add(v, pool, weight * (stop - start), first)
                last = v
            if service.joins and last >= 0:
                add(last, pool, source_rows()["run", "joint"].weight, service.path[-1])
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
    """Share the house's chance out by the area of each void's largest face.

    Areas add up, so that splitting a void or adding one elsewhere changes little.
    """
    faces = {v: space.broadside for v, space in enumerate(spaces) if space.hidden}
    row = source_rows()["total", "settled"]
    whole = sum(faces.values())
    return [
        Source(
            f"settled/{spaces[v].key}", "a colony settled inside", "settled", "settled inside", v,
            row.past * share, row.now * share, spaces[v].centre,
        )
        for v, share in ((v, face / whole) for v, face in faces.items())
    ]  # fmt: skip
