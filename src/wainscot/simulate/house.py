"""Houses drawn at random: rectangles cut into rooms, framed, fitted out, with ways in.

    job = house(seed=7, storeys=2, rooms=4)

Everything that a plan can say is said: edges, doors, windows, fixtures, services, framing, the
species in question.  Nothing here looks like a real house on purpose; ranges are ours.

Limits: rectangular rooms; one framing for the whole house; no headers or cripples.
"""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np

from wainscot import species as animals
from wainscot.job import Job
from wainscot.plan.kind import kinds
from wainscot.simulate.layout import (
    DOOR,
    Cell,
    doors,
    footprint,
    outer_sides,
    split,
    spots,
)

HEIGHT = 2.4
MOST_ENTRIES = 4
NAMES = (
    "Kitchen", "Bathroom", "Hall", "Front room", "Back room", "Store", "Study", "Bedroom",
)  # fmt: skip

Entities = dict[str, dict[str, Any]]


class Style(msgspec.Struct, frozen=True):
    """What is the same all over one house."""

    country: str
    species: str
    outer: str
    spacing: float
    """Of the studs. [m]"""
    joist_spacing: float
    """[m]"""
    blocked: str
    framing: str
    faces: dict[str, str]
    """What lies beyond the north, east, south and west face."""
    slab: bool


def style(rng: np.random.Generator) -> Style:
    """Return a house's style drawn at random.

    Parameters
    ----------
    rng : numpy.random.Generator
        Source of randomness.
    """
    country = str(rng.choice(["UK", "US"]))
    chances = animals.weights(country)
    names = list(chances)
    outer = str(rng.choice(["cavity", "solid"] if country == "UK" else ["stud", "stud", "cavity"]))
    beyond = dict.fromkeys("nesw", "outside")
    for face in "ew":
        if rng.random() < 0.3:
            beyond[face] = "neighbour"
    if rng.random() < 0.2:
        beyond[str(rng.choice(list("nesw")))] = "not drawn yet"
    return Style(
        country=country,
        species=names[int(rng.choice(len(names), p=[chances[name] for name in names]))],
        outer=outer,
        spacing=float(rng.choice([0.4, 0.6])),
        joist_spacing=float(rng.choice([0.4, 0.45, 0.6])),
        blocked=str(rng.choice(["yes", "no", "unknown"])),
        framing=str(rng.choice(["platform", "platform", "balloon"])),
        faces=beyond,
        slab=bool(rng.random() < 0.3),
    )


def house(seed: int, storeys: int, rooms: int) -> Job:
    """Return a house drawn at random, without animals and without inspections.

    Parameters
    ----------
    seed : int
        Of all randomness in it.
    storeys : int
        Storeys, at least 1.
    rooms : int
        Rooms on each storey, at least 1; fewer where they would be too narrow.
    """
    rng = np.random.default_rng([seed, 1])
    look = style(rng)
    outline = footprint(rooms, rng)
    floors = [split(outline, rooms, rng) for _ in range(max(storeys, 1))]
    return assemble(f"simulated_{seed}", look, floors, rng)


def assemble(name: str, look: Style, floors: list[list[Cell]], rng: np.random.Generator) -> Job:
    """Return the job of a house whose rooms are laid out.

    Parameters
    ----------
    name : str
        Id of the job.
    look : Style
        What is the same all over it.
    floors : list of list of Cell
        Rooms of each storey, the ground floor first.
    rng : numpy.random.Generator
        Source of randomness.
    """
    made = House(look, floors, rng)
    made.build()
    return Job(id=name, title="Simulated house", units="m", entities=made.entities)


class House:
    """Fills a job's entities, storey by storey."""

    def __init__(self, look: Style, floors: list[list[Cell]], rng: np.random.Generator) -> None:
        self.look = look
        self.floors = floors
        self.rng = rng
        self.entities: Entities = {
            "settings": {"kind": "settings", "country": look.country, "year_built": 1960},
            "suspect": {"kind": "species", "species": look.species},
        }
        self.taken: dict[tuple[str, str], list[tuple[float, float]]] = {}

    def build(self) -> None:
        for level, cells in enumerate(self.floors):
            self._storey(level)
            for n, cell in enumerate(cells):
                self._room(level, n, cell)
            self._walls(level, cells)
            self._doors(level, cells)
            self._windows(level, cells)
            self._fixtures(level, cells)
        self._services()
        self._entry_points()

    @staticmethod
    def key(level: int, room: int) -> str:
        return f"room_{level}_{room:03d}"

    def _storey(self, level: int) -> None:
        slab = level == 0 and self.look.slab
        floor: dict[str, Any] = {"build": "slab" if slab else "joists"}
        floor["below"] = "storey" if level else "ground" if slab or self._coin() else "crawl space"
        if not slab:
            floor["joists_run"] = str(self.rng.choice(["x", "y"]))
            floor["joist_spacing"] = self.look.joist_spacing
        self.entities[f"level_{level}"] = {
            "kind": "storey", "name": f"Level {level}", "level": level, "height": HEIGHT,
            "floor": floor, "ceiling": "loft" if level == len(self.floors) - 1 else "storey",
        }  # fmt: skip

    def _room(self, level: int, n: int, cell: Cell) -> None:
        self.entities[self.key(level, n)] = {
            "kind": "room", "name": f"{NAMES[n % len(NAMES)]} {level}{n}",
            "storey": f"level_{level}", "polygon": [list(point) for point in cell.polygon()],
        }  # fmt: skip

    def _walls(self, level: int, cells: list[Cell]) -> None:
        outer = set(outer_sides(cells))
        for n in range(len(cells)):
            for side in ("n1", "e1", "s1", "w1"):
                wall: dict[str, Any] = {"kind": "wall", "room": self.key(level, n), "side": side}
                wall["build"] = self.look.outer if (n, side) in outer else "stud"
                if wall["build"] == "stud":
                    wall |= {"stud_spacing": self.look.spacing, "blocked": self.look.blocked}
                    wall |= {"framing": self.look.framing} if (n, side) in outer else {}
                self.entities[f"wall_{level}_{n:03d}_{side}"] = wall
                if (n, side) in outer:
                    self.entities[f"edge_{level}_{n:03d}_{side}"] = {
                        "kind": "edge", "room": self.key(level, n), "side": side,
                        "is": self.look.faces[side[0]],
                    }  # fmt: skip

    def _doors(self, level: int, cells: list[Cell]) -> None:
        for k, one in enumerate(doors(cells, self.rng)):
            along = round(float(self.rng.uniform(one.low + 0.1, one.high - DOOR - 0.1)), 2)
            self._opening(f"door_{level}_{k:03d}", level, one.first, one.side, "door", along, DOOR)

    def _windows(self, level: int, cells: list[Cell]) -> None:
        front = level == 0
        for n, side in outer_sides(cells):
            span = cells[n].side_length(side)
            if span < 1.4 or self.look.faces[side[0]] != "outside":
                continue
            what, width = ("door", DOOR) if front else ("window", 0.9)
            if not front and self.rng.random() < 0.5:
                continue
            front = False
            key = f"{what}_{level}_{n:03d}_{side}"
            self._opening(key, level, n, side, what, spots(span, width, self.rng), width)

    def _opening(
        self, key: str, level: int, n: int, side: str, what: str, along: float, width: float
    ) -> None:
        room = self.key(level, n)
        self.taken.setdefault((room, side), []).append((along, along + width))
        self.entities[key] = {
            "kind": "opening", "room": room, "side": side, "type": what, "along": along,
            "width": width,
        }  # fmt: skip

    def _fixtures(self, level: int, cells: list[Cell]) -> None:
        types = sorted(kinds())
        for n in range(len(cells)):
            used: list[tuple[float, float, float, float]] = []
            for name in self.rng.permutation(types)[: int(self.rng.integers(0, 3))]:
                self._fixture(level, n, cells[n], str(name), used)

    def _fixture(
        self,
        level: int,
        n: int,
        cell: Cell,
        name: str,
        used: list[tuple[float, float, float, float]],
    ) -> None:
        kind = kinds()[name]
        width = kind.size("width", self.look.country).value
        depth = kind.size("depth", self.look.country).value
        room = self.key(level, n)
        for side in self.rng.permutation(["n1", "e1", "s1", "w1"]):
            span = cell.side_length(str(side))
            deep = cell.depth if str(side)[0] in "ns" else cell.width
            if span < width + 0.1 or deep < depth + 0.7:
                continue
            along = spots(span, width, self.rng)
            ends = [cell.point(str(side), along + u, v) for u in (0, width) for v in (0, depth)]
            west, east = min(x for x, _ in ends), max(x for x, _ in ends)
            south, north = min(y for _, y in ends), max(y for _, y in ends)
            in_the_way = any(
                west < e + 0.05 and w < east + 0.05 and south < n_ + 0.05 and s < north + 0.05
                for w, s, e, n_ in used
            )
            if in_the_way:
                continue
            used.append((west, south, east, north))
            self.entities[f"fixture_{level}_{n:03d}_{name.replace(' ', '_')}"] = {
                "kind": "fixture", "type": name, "room": room, "against": str(side),
                "along": along, "name": kind.words.capitalize(),
            }  # fmt: skip
            return

    def _services(self) -> None:
        ground, top = self.floors[0], len(self.floors) - 1
        for k in range(int(self.rng.integers(1, 4))):
            cell = ground[int(self.rng.integers(len(ground)))]
            side = str(self.rng.choice(["n1", "e1", "s1", "w1"]))
            x, y = cell.point(side, spots(cell.side_length(side), 0.2, self.rng), 0.06)
            kind = str(self.rng.choice(["supply", "drain", "cable", "vent"]))
            rise = HEIGHT + 0.3 if top and self._coin() else float(self.rng.uniform(0.2, 1.2))
            self.entities[f"service_{k}"] = {
                "kind": "service", "type": kind, "name": f"{kind.capitalize()} {k}",
                "path": [[round(x, 3), round(y, 3), -0.2], [round(x, 3), round(y, 3), rise]],
            }  # fmt: skip
        if not self.look.slab and self._coin():
            self._broken_drain(ground)

    def _broken_drain(self, ground: list[Cell]) -> None:
        cell = ground[int(self.rng.integers(len(ground)))]
        x = round(float(self.rng.uniform(cell.west + 0.3, cell.east - 0.3)), 2)
        south, north = cell.south - 0.6, round((cell.south + cell.north) / 2, 2)
        self.entities["old_drain"] = {
            "kind": "service", "type": "drain", "diameter": "110 mm", "disused": True,
            "open_end": "end", "name": "Disused drain",
            "path": [[x, round(south, 2), -0.35], [x, north, -0.25]],
        }  # fmt: skip

    def _entry_points(self) -> None:
        sides = [
            (level, n, side)
            for level, cells in enumerate(self.floors)
            for n, side in outer_sides(cells)
            if level in (0, len(self.floors) - 1)
        ]
        for k in range(int(self.rng.integers(1, MOST_ENTRIES + 1))):
            level, n, side = sides[int(self.rng.integers(len(sides)))]
            cell = self.floors[level][n]
            along = spots(cell.side_length(side), 0.2, self.rng)
            x, y = cell.point(side, along, -0.05)
            height = [-0.1, 0.1, HEIGHT + 0.3][int(self.rng.choice(3, p=[0.45, 0.4, 0.15]))]
            self.entities[f"entry_{k}"] = {
                "kind": "entry_point", "name": f"Hole {k}",
                "place": {
                    "storey": f"level_{level}", "at": [round(x, 3), round(y, 3)],
                    "height": height,
                },
                "size": self._size(),
                "material": str(self.rng.choice(["masonry", "wood", "plastic", "unknown"])),
                "beyond": self.look.faces[side[0]],
                "sealed": bool(self.rng.random() < 0.15),
            }  # fmt: skip

    def _size(self) -> Any:
        size = round(float(self.rng.uniform(0.004, 0.04)), 3)
        chance = self.rng.random()
        if chance < 0.2:
            return None
        return {"value": size, "basis": "measured" if chance < 0.6 else "estimated"}

    def _coin(self) -> bool:
        return bool(self.rng.random() < 0.5)
