"""What a work area sends through the whole house: its own rooms and voids as a network of air.

    found = spread(plan, graph, ["kitchen"], leak, flow=0.12, outside=268.15)
    found.rooms[0].share        # dose there as a share of the dose in the work area

Rooms and hidden voids are zones; doors, stairs, ways through, sheets, outer walls, loft and
crawl space are its leaks.  The fan draws from the work area to outdoors; people who pass a
door swap air with the room beyond, and that is what gets out against the draught.

Limits: zones are mixed at once, windows and doors are shut, no wind; nearly every leak is a
judgement until a blower door has read the house, so the order of the rooms is worth more than
the figures.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence

import msgspec
import numpy as np

from wainscot.air import (
    OUTDOORS,
    Balance,
    Fan,
    Leak,
    Network,
    Path,
    Zone,
    effective_area,
    exchange_of,
    orifice,
    over_time,
    solve,
)  # fmt: skip
from wainscot.air.asking import positive
from wainscot.air.leaks import USUAL
from wainscot.plan import Plan
from wainscot.plan.model import Wall
from wainscot.sources import Cited, judged
from wainscot.voids.graph import Graph

WORK = "work area"
SHUT_DOOR = judged(0.02, "m2", "effective leakage area of a shut inner door, at 4 Pa")
STAIRS = judged(1.0, "m2", "free area of a stair well")
TIGHTNESS = judged(10.0, "1/h", "changes at 50 Pa of a house that nobody measured")
PASSING = judged(4.0, "m3/h", "air swapped by people who pass a door")
LOFT_VENT = Cited(1 / 300, "1", "IRC R806.2", "free area to floor area", "memory")
CRAWL_VENT = Cited(1 / 150, "1", "IRC R408.1", "free area to floor area", "memory")
SPILLS = Cited(2.0, "Pa", "common practice", "a house so far below outdoors may draw a flue down",
               "memory")  # fmt: skip
_SHARES = {"wall": 0.6, "loft": 0.25, "crawl space": 0.15}
"""How a house's leakage lies in outer walls, top ceilings and ground floors; a judgement."""
_HAIR = 1e-7
"""A leak for a void that nothing joins to anything. [m2]"""


class RoomDose(msgspec.Struct, frozen=True):
    """What reaches one room."""

    room: str
    share: float
    """Dose there as a share of the dose in the work area, with the fan. [1]"""
    without_fan: float
    """The same while the fan stands still. [1]"""


class Spread(msgspec.Struct, frozen=True):
    """What a work area sends through the house, and whether the draught holds."""

    rooms: tuple[RoomDose, ...]
    """Every other drawn room, the most reached first."""
    weakest: float
    """Least pull at any leak of the work area towards the house; below zero it blows out. [Pa]"""
    weakest_at: str
    """The room or void there."""
    outward: tuple[str, ...]
    """Rooms and voids that air flows to from the work area against the plan."""
    house_drop: float
    """How far the fan draws the rest of the house below what it was, in the mean. [Pa]"""
    hours: float
    """Of work that the doses are summed over. [h]"""
    warnings: tuple[str, ...]
    assumed: tuple[Cited, ...]


def spread(
    plan: Plan,
    graph: Graph,
    rooms: Sequence[str],
    leak: Leak,
    *,
    flow: float,
    pressure: float,
    outside: float = 293.15,
    inside: float = 293.15,
    hours: float = 8.0,
    tightness: float = TIGHTNESS.value,
    opened: Collection[int] = (),
) -> Spread:
    """Return what a work area sends through the house.

    Parameters
    ----------
    plan : Plan
        The plan.
    graph : Graph
        Its voids.
    rooms : sequence of str
        Ids of the rooms that are sheeted off, as one work area.
    leak : Leak
        Of its sheets and zip doors.
    flow : float
        Of the exhaust, to outdoors. [m3/s]
    pressure : float
        Wanted below the rooms beside it. [Pa]
    outside, inside : float
        Temperatures. [K]
    hours : float
        Of work. [h]
    tightness : float
        Air changes of the house at 50 Pa. [1/h]
    opened : collection of int
        Voids that lie open into the work area.

    Raises
    ------
    InputError
        If a value cannot be.
    """
    for name, value in (("flow", flow), ("hours", hours), ("tightness", tightness)):
        positive(name, value)
    house = House(plan, graph, rooms, leak, inside, outside, tightness, frozenset(opened))
    with_fan, without = house.network(flow), house.network(0.0)
    on, off = solve(with_fan), solve(without)
    on_dose, off_dose = house.doses(with_fan, on, hours), house.doses(without, off, hours)
    found = [
        RoomDose(plan.room(key).name, on_dose[key], off_dose[key])
        for key in house.rest
    ]  # fmt: skip
    pulls = house.pulls(on.pressure)
    weakest, at = min(pulls, default=(0.0, ""))
    out = house.blown_to(on)
    drop = float(np.mean([off.pressure[key] - on.pressure[key] for key in house.rest] or [0.0]))
    ranked = tuple(sorted(found, key=lambda one: (-one.share, one.room)))
    warnings = _warnings(weakest, at, out, drop, pressure, bool(pulls))
    assumed = [SHUT_DOOR, STAIRS, PASSING, LOFT_VENT, CRAWL_VENT]
    assumed += [TIGHTNESS] if tightness == TIGHTNESS.value else []
    return Spread(ranked, weakest, at, out, drop, hours, warnings, tuple(assumed))


def _warnings(
    weakest: float, at: str, out: tuple[str, ...], drop: float, wanted: float, any_leak: bool
) -> tuple[str, ...]:  # fmt: skip
    found = []
    if out:
        found.append(
            f"stack effect beats the exhaust: air blows out of the work area to {', '.join(out)}; "
            "draw more, seal the house's upper leaks, or wait for milder weather"
        )
    elif any_leak and weakest < wanted:
        found.append(
            f"the pull is only {weakest:.1f} Pa towards {at}, {wanted:.1f} are wanted: tape better "
            "there, draw more, and read the manometer there"
        )
    if drop >= SPILLS.value:
        found.append(
            f"the fan draws the whole house {drop:.1f} Pa down: an open flue may spill from about "
            f"{SPILLS.value:g} Pa on (from memory); let air in from outdoors near the work area, "
            "and settle what burns before it runs"
        )
    return tuple(found)


class House:
    """A plan and its voids as a network of air; the sheeted rooms are one zone.

    Parameters
    ----------
    plan, graph : Plan, Graph
        The plan and its voids.
    rooms : sequence of str
        Ids of the rooms that are sheeted off; none for the house as it stands.
    leak : Leak
        Of the sheets.
    inside, outside : float
        Temperatures. [K]
    tightness : float
        Air changes at 50 Pa. [1/h]
    opened : frozenset of int
        Voids that lie open into the work area.
    """

    def __init__(
        self, plan: Plan, graph: Graph, rooms: Sequence[str], leak: Leak, inside: float,
        outside: float, tightness: float, opened: frozenset[int],
    ) -> None:  # fmt: skip
        self.plan, self.graph, self.leak = plan, graph, leak
        self.inside, self.outside, self.tightness = inside, outside, tightness
        self.work = frozenset(rooms)
        self.rest = tuple(room.id for room in plan.rooms if room.id not in self.work)
        self.opened = opened
        self.names = [WORK if key in self.work or v in opened else key
                      for v, key in enumerate(graph.keys)]  # fmt: skip
        self.words = dict(zip(graph.keys, graph.words, strict=True))
        self.words |= {room.id: room.name for room in plan.rooms}
        self.sheets, self.doors = self._sheets(), self._doors()
        self.paths = [*self.doors, *self._passages(), *self._envelope(), *self.sheets]
        self.paths += self._hairs()

    def network(self, flow: float) -> Network:
        """Return the house with the fan running.

        Parameters
        ----------
        flow : float
            Of the fan, to outdoors; none stands still. [m3/s]
        """
        fans = [Fan(WORK, OUTDOORS, flow)] if flow > 0 else []
        swapped = PASSING.value / 3600
        ways = {(WORK, beyond) for beyond in self._beyond_doors()}
        ways |= {(path.a, path.b) for path in self.doors}
        for a, b in sorted(ways):
            fans += [Fan(a, b, swapped), Fan(b, a, swapped)]
        return Network(tuple(self._zones()), tuple(self.paths), tuple(fans), self.outside)

    def doses(self, network: Network, balance: Balance, hours: float) -> dict[str, float]:
        """Return each other room's dose as a share of the work area's.

        Parameters
        ----------
        network : Network
            The house.
        balance : Balance
            Its solution.
        hours : float
            Of work. [h]

        Returns
        -------
        dict of str to float
            By room id. [1]
        """
        room = exchange_of(network, balance, {WORK: 1000.0})
        dose = over_time(room, np.zeros(len(room.names)), np.array([hours])).dose[0]
        at = {name: i for i, name in enumerate(room.names)}
        return {key: float(dose[at[key]] / dose[at[WORK]]) for key in self.rest}

    def pulls(self, pressure: dict[str, float]) -> list[tuple[float, str]]:
        """Return the pull at each leak of the sheets towards the house, with the words for it.

        Parameters
        ----------
        pressure : dict of str to float
            By zone, against outdoors. [Pa]

        Returns
        -------
        list of tuple
            Pull and words. [Pa]
        """
        # All rooms are as warm, so that heights cancel.
        return [(pressure[path.b] - pressure[WORK], self.words[path.b])
                for path in self.sheets if path.b != OUTDOORS]  # fmt: skip

    def blown_to(self, balance: Balance) -> tuple[str, ...]:
        """Return the rooms and voids that air flows to from the work area."""
        found = set()
        largest = float(np.abs(balance.flow).max(initial=0.0))
        for path, flow in zip(self.paths, balance.flow.tolist(), strict=True):
            out = flow if path.a == WORK else -flow
            other = path.b if path.a == WORK else path.a
            if WORK in (path.a, path.b) and other != OUTDOORS and out > 1e-6 * largest:
                found.add(self.words[other])
        return tuple(sorted(found))

    def _zones(self) -> list[Zone]:
        volume: dict[str, float] = {}
        cool: dict[str, float] = {}
        for v, name in enumerate(self.names):
            volume[name] = volume.get(name, 0.0) + max(float(self.graph.volume[v]), 1e-3)
            vented = self.graph.kinds[v] in _SHARES and name != WORK
            cool[name] = (self.inside + self.outside) / 2 if vented else self.inside
        return [Zone(name, volume[name], cool[name]) for name in volume]

    def _doors(self) -> list[Path]:
        """Doors and doorways between rooms, doors shut; a work area's are under its sheets."""
        found = []
        for wall in self.plan.walls:
            ends = {wall.side.room, wall.facing} - {""}
            if len(ends) < 2 or ends & self.work:
                continue
            for one in wall.openings:
                height = self.plan.storey(wall.storey).elevation + (one.sill + one.head) / 2
                if one.type == "door":
                    leak = effective_area(SHUT_DOOR.value)
                elif one.type == "doorway":
                    leak = orifice((one.high - one.low) * (one.head - one.sill))
                else:
                    continue
                found.append(Path(wall.side.room, wall.facing, leak, height))
        return found

    def _beyond_doors(self) -> set[str]:
        """Rooms beyond the doors of the work area; all rooms that it meets if it has none."""
        meets: set[str] = set()
        through: set[str] = set()
        for wall in self._work_walls():
            other = wall.facing if wall.side.room in self.work else wall.side.room
            if other and other not in self.work:
                meets.add(other)
                if any(one.type != "window" for one in wall.openings):
                    through.add(other)
        return through or meets

    def _passages(self) -> list[Path]:
        """Ways between voids by their expected area; doors are told by the plan, stairs here."""
        graph, found = self.graph, []
        area = math.pi / 4 * graph.aperture.mean(axis=1) ** 2 * graph.prior_open
        for p, (a, b) in enumerate(graph.edges.tolist()):
            first, second = self.names[a], self.names[b]
            covered = {graph.keys[a], graph.keys[b]} & self.work
            if first == second or graph.passage_rule[p] == "doorway" or covered:
                continue
            wide = STAIRS.value if graph.passage_rule[p] == "stairs" else float(area[p])
            if wide > 0:
                found.append(Path(first, second, orifice(wide), float(graph.passage_at[p, 2])))
        return found

    def _envelope(self) -> list[Path]:
        """The house's own leaks: outer walls at two heights, top ceilings, ground floors, vents."""
        whole = math.fsum(
            float(self.graph.volume[v]) for v, hidden in enumerate(self.graph.hidden) if not hidden
        )
        coefficient = self.tightness * whole / 3600 / 50**USUAL
        walls = [(wall, self._height(wall) * (wall.high - wall.low))
                 for wall in self.plan.walls if wall.beyond == "outside"]  # fmt: skip
        kinds = self.graph.kinds
        voids = {kind: [v for v, one in enumerate(kinds) if one == kind and v not in self.opened]
                 for kind in ("loft", "crawl space")}  # fmt: skip
        present = {"wall": bool(walls)} | {kind: bool(some) for kind, some in voids.items()}
        total = sum(share for kind, share in _SHARES.items() if present[kind]) or 1.0
        found = []
        around = math.fsum(area for _, area in walls)
        for wall, area in walls:
            part = coefficient * _SHARES["wall"] / total * area / around
            found += self._two(wall.side.room, OUTDOORS, part, wall)
        for kind, some in voids.items():
            part = coefficient * _SHARES[kind] / total
            found += self._under_and_over(kind, some, part)
        return found

    def _under_and_over(self, kind: str, voids: list[int], coefficient: float) -> list[Path]:
        """Return leaks of top ceilings to the loft or ground floors to the crawl, and its vents."""
        if not voids:
            return []
        vent = LOFT_VENT if kind == "loft" else CRAWL_VENT
        levels = [storey.level for storey in self.plan.storeys]
        edge = max(levels) if kind == "loft" else min(levels)
        rooms = [room.id for room in self.plan.rooms
                 if self.plan.storey(room.storey).level == edge]  # fmt: skip
        found = []
        for v in voids:
            floor = _area(self.graph.polygon[v])
            height = float(self.graph.bottom[v] if kind == "loft" else self.graph.top[v])
            found.append(Path(self.names[v], OUTDOORS, orifice(floor * vent.value), height))
            for room in rooms:
                # The work area's own ceiling and floor are under its sheets.
                if room not in self.work:
                    part = coefficient / len(voids) / len(rooms)
                    found.append(Path(room, self.names[v], Leak(part, USUAL), height))
        return found

    def _sheets(self) -> list[Path]:
        """The containment's leak, shared by the length of wall towards each neighbour."""
        walls = self._work_walls()
        around = math.fsum(wall.high - wall.low for wall in walls)
        found = []
        for wall in walls:
            other = wall.facing if wall.side.room in self.work else wall.side.room
            beyond = other or (OUTDOORS if wall.beyond == "outside" else "")
            if beyond and beyond not in self.work:
                part = self.leak.coefficient * (wall.high - wall.low) / around
                found += self._two(WORK, beyond, part, wall, self.leak.exponent)
        return found

    def _work_walls(self) -> list[Wall]:
        return [wall for wall in self.plan.walls
                if {wall.side.room, wall.facing} & self.work
                and not {wall.side.room, wall.facing} <= self.work]  # fmt: skip

    def _two(
        self, a: str, b: str, coefficient: float, wall: Wall, exponent: float = USUAL
    ) -> list[Path]:
        """Return a leak of a wall, half of it low and half high."""
        foot = self.plan.storey(wall.storey).elevation
        start = WORK if a in self.work else a
        return [Path(start, b, Leak(coefficient / 2, exponent), foot + part * self._height(wall))
                for part in (0.0, 1.0)]  # fmt: skip

    def _height(self, wall: Wall) -> float:
        return self.plan.storey(wall.storey).height

    def _hairs(self) -> list[Path]:
        """A hair of a leak for every zone, so that none is shut in."""
        return [Path(name, OUTDOORS, orifice(_HAIR)) for name in dict.fromkeys(self.names)]


def _area(outline: np.ndarray) -> float:
    rolled = np.roll(outline, -1, axis=0)
    return abs(float(outline[:, 0] @ rolled[:, 1] - outline[:, 1] @ rolled[:, 0])) / 2
