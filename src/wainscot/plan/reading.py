"""Reading a whole job into a plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from wainscot import job as jobs
from wainscot.errors import InputError
from wainscot.job import Job
from wainscot.plan import drafting
from wainscot.plan.corners import trimmed
from wainscot.plan.defaults import DIAMETERS, HOLE_OVERSIZE
from wainscot.plan.drafting import Entities, of_kind
from wainscot.plan.facing import facings
from wainscot.plan.facts import Ledger, basis, known, metres
from wainscot.plan.faults import faults
from wainscot.plan.kind import kinds
from wainscot.plan.model import (
    EdgeKind,
    Entry,
    FixtureAt,
    KeptItem,
    LoftEdge,
    OwnCutAt,
    Plan,
    Room,
    ServiceRun,
    Storey,
    Wall,
)
from wainscot.plan.walls import Drawn, wall
from wainscot.quantity import length


def read(job: Job, *, guess: str = "") -> Plan:
    """Return the plan of a job, every missing fact filled in and listed.

    Parameters
    ----------
    job : Job
        The job, with a framing guess already applied.
    guess : str
        Name of that guess, carried along.

    Raises
    ------
    InputError
        If the job has faults of its own or in its geometry; all of them.
    """
    found = [*jobs.faults(job), *faults(job)]
    if found:
        raise InputError(found)
    entities = jobs.typed(job)
    ledger = Ledger(drafting.country(entities, job), job.units)
    storeys = drafting.storeys(entities, ledger)
    rooms = drafting.rooms(entities)
    return Plan(
        units=job.units,
        country=ledger.country,
        year_built=known(drafting.settings(entities).year_built),
        storeys=storeys,
        rooms=rooms,
        walls=_walls(entities, rooms, storeys, ledger),
        fixtures=_fixtures(entities, rooms, storeys, ledger),
        services=_services(entities, ledger),
        entries=_entries(entities),
        kept=tuple(
            KeptItem(key, one.name, one.place) for key, one in of_kind(entities, jobs.Kept).items()
        ),
        floor_edges=_edges(entities, "floor"),
        ceiling_edges=_edges(entities, "ceiling"),
        openings={
            key: f"{one.room}/{one.side}" for key, one in of_kind(entities, jobs.Gap).items()
        },
        drawn_walls={
            key: f"{one.room}/{one.side}" for key, one in of_kind(entities, jobs.Wall).items()
        },
        assumptions=ledger.assumptions(),
        guess=guess,
        loft_edges=tuple(
            LoftEdge(key, one.room, one.side, one.is_)
            for key, one in of_kind(entities, jobs.Edge).items()
            if one.part == "loft"
        ),
        labels={
            void: label
            for one in of_kind(entities, jobs.Labels).values()
            for void, label in one.given.items()
        },
        own_cuts=_own_cuts(entities),
    )


def _walls(
    entities: Entities, rooms: tuple[Room, ...], storeys: tuple[Storey, ...], ledger: Ledger
) -> tuple[Wall, ...]:
    drawn = drawn_walls(entities, rooms)
    names = {room.id: room.name for room in rooms}
    by_id = {storey.id: storey for storey in storeys}
    found = []
    for level in sorted({storey.level for storey in storeys}):
        here = [room for room in rooms if by_id[room.storey].level == level]
        storey_of = {room.id: by_id[room.storey] for room in here}
        found += trimmed(
            [
                wall(facing, storey_of[facing.side.room], names, drawn, ledger)
                for facing in facings(here)
            ],
            here,
        )
    return tuple(sorted(found, key=lambda one: (one.id, one.low)))


def drawn_walls(entities: Entities, rooms: tuple[Room, ...]) -> Drawn:
    """Return what was typed about walls, openings and edges, by side id."""
    walls = {
        f"{one.room}/{one.side}": (key, one) for key, one in of_kind(entities, jobs.Wall).items()
    }
    openings: dict[str, list[tuple[str, jobs.Gap]]] = {}
    for key, gap in of_kind(entities, jobs.Gap).items():
        openings.setdefault(f"{gap.room}/{gap.side}", []).append((key, gap))
    edges: dict[str, EdgeKind] = {}
    sides: Mapping[str, list[str]] = {room.id: [side.name for side in room.sides] for room in rooms}
    for edge in of_kind(entities, jobs.Edge).values():
        if edge.part == "wall":
            for name in [edge.side] if edge.side else sides.get(edge.room, []):
                edges[f"{edge.room}/{name}"] = edge.is_
    return Drawn(walls, openings, edges, known(drafting.settings(entities).year_built))


def _edges(entities: Entities, part: str) -> dict[str, EdgeKind]:
    return {
        edge.room: edge.is_ for edge in of_kind(entities, jobs.Edge).values() if edge.part == part
    }


def _fixtures(
    entities: Entities, rooms: tuple[Room, ...], storeys: tuple[Storey, ...], ledger: Ledger
) -> tuple[FixtureAt, ...]:
    by_room = {room.id: room for room in rooms}
    by_storey = {storey.id: storey for storey in storeys}
    found = []
    for key, one in of_kind(entities, jobs.Fixture).items():
        room = by_room.get(one.room)
        side = room.side(one.against) if room else None
        if room is not None and side is not None and one.type in kinds():
            storey = by_storey[room.storey]
            found.append(drafting.fixture(key, one, room, storey, side, ledger))
    return tuple(found)


def _services(entities: Entities, ledger: Ledger) -> tuple[ServiceRun, ...]:
    found = []
    for key, one in of_kind(entities, jobs.Service).items():
        where = one.name or f"{one.type} {key}"
        diameter = metres(one.diameter)
        if diameter is None:
            diameter = DIAMETERS[one.type].value
            ledger.default(DIAMETERS[one.type], "diameter", f"entities.{key}.diameter", where)
        hole = metres(one.hole)
        if hole is None:
            holes = (diameter + HOLE_OVERSIZE[0].value, diameter + HOLE_OVERSIZE[1].value)
            words = "holes, larger than the pipe by at least"
            ledger.default(HOLE_OVERSIZE[0], words, f"entities.{key}.hole", where)
        else:
            holes = (hole, hole)
        found.append(
            ServiceRun(
                id=key,
                type=one.type,
                name=one.name,
                path=_points(one.path),
                diameter=diameter,
                hole=holes,
                disused=one.disused,
                open_end=one.open_end,
                owner=one.owner,
                chambers=_points(one.chambers),
                joins=one.joins,
                dead_leg=one.dead_leg,
            )
        )
    return tuple(found)


def _points(typed: Sequence[tuple[Any, Any, Any]]) -> tuple[tuple[float, float, float], ...]:
    return tuple((length(x), length(y), length(z)) for x, y, z in typed)


def _entries(entities: Entities) -> tuple[Entry, ...]:
    return tuple(
        Entry(
            id=key,
            name=one.name,
            place=one.place,
            size=metres(one.size),
            size_basis=basis(one.size),
            material=one.material,
            beyond=one.beyond,
            sealed=bool(known(one.sealed)),
        )
        for key, one in of_kind(entities, jobs.EntryPoint).items()
    )


def _own_cuts(entities: Entities) -> tuple[OwnCutAt, ...]:
    return tuple(
        OwnCutAt(
            key, one.room, one.side, one.part,
            length(one.along), length(one.width), length(one.bottom), length(one.height),
        )
        for key, one in of_kind(entities, jobs.OwnCut).items()
    )  # fmt: skip
