"""One plan and its graph with the look-ups that acts and hazards share: what runs through a void,
which rooms it can be reached from, which wall it stands in."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from functools import cached_property

import numpy as np
import shapely

from wainscot.access.model import Reach, Site, Target
from wainscot.arrays import Floats
from wainscot.plan.kind import kinds
from wainscot.plan.model import FixtureAt, Plan, ServiceRun, Wall
from wainscot.sources import Cited, judged
from wainscot.voids.graph import Face, Graph

STEP = 0.05
"""Spacing of the points at which a service run is tested. [m]"""
HOLE_AREA = Cited(math.pi / 4 * 0.010**2, "m2", "one 10 mm hole", "pi/4 d2", "derived")
WHOLE = judged(0.9, "1", "share of a void that lies open once its front is off or a body is in")
ENTERED = ("loft", "crawl space")
"""Kinds of void that a body enters by a hatch."""
LOOSE = (
    "kick board", "plinth board", "bath panel", "tray panel", "hatch", "access panel", "lifts out",
)  # fmt: skip
"""Words in a finish that say it is made to come off."""


class Scene:
    """A plan, its graph and the facts of the site.

    Parameters
    ----------
    plan : Plan
        What was drawn.
    graph : Graph
        Its voids.
    site : Site
        Year, country, released hold points.
    questions : tuple of (str, str)
        Open questions about the framing: (question, entity id that its choices belong to).
    """

    def __init__(
        self, plan: Plan, graph: Graph, site: Site, questions: tuple[tuple[str, str], ...] = ()
    ) -> None:
        self.plan = plan
        self.graph = graph
        self.site = site
        self.questions = questions

    @cached_property
    def room_names(self) -> dict[str, str]:
        """Name of each room by its id, in small letters for use within a sentence."""
        return {room.id: room.name[:1].lower() + room.name[1:] for room in self.plan.rooms}

    @cached_property
    def walls(self) -> dict[str, Wall]:
        """Walls by id; of several stretches of one side the first."""
        return {wall.id: wall for wall in reversed(self.plan.walls)}

    @cached_property
    def stretches(self) -> dict[str, tuple[Wall, ...]]:
        """Every stretch of each side's wall, by the id of the side."""
        found: dict[str, list[Wall]] = {}
        for wall in self.plan.walls:
            found.setdefault(wall.id, []).append(wall)
        return {key: tuple(walls) for key, walls in found.items()}

    @cached_property
    def fixtures(self) -> dict[str, FixtureAt]:
        """Fixtures by id."""
        return {one.id: one for one in self.plan.fixtures}

    @cached_property
    def hidden_in(self) -> dict[str, tuple[int, ...]]:
        """Hidden voids of each fixture, by its id."""
        found: dict[str, list[int]] = {}
        for void in self.hidden():
            if self.graph.owners[void] in self.fixtures:
                found.setdefault(self.graph.owners[void], []).append(void)
        return {key: tuple(voids) for key, voids in found.items()}

    def has_kick(self, fixture: str) -> bool:
        """Return True where a fixture stands on a kick board, as cabinets do."""
        voids = self.hidden_in.get(fixture, ())
        return any("kick" in face.finish for void in voids for face in self.graph.faces[void])

    def open_below(self) -> Iterator[int]:
        """Return the bays whose joists lie open to a crawl space."""
        return (
            void
            for void in self.hidden()
            if any(not face.room and face.part == "ceiling" for face in self.graph.faces[void])
        )

    def entered(self) -> Iterator[int]:
        """Return the spaces that a body enters."""
        return (void for void in self.hidden() if self.graph.kinds[void] in ENTERED)

    def front(self, void: int, face: Face) -> Target:
        """Return a void laid open through its front."""
        return Target(
            where=f"the {face.finish}, {self.graph.words[void]}",
            key=f"{self.graph.keys[void]}|{face.finish}",
            reaches=(Reach(void, WHOLE.value),),
            room=face.room,
            finish=face.finish,
            area=face.area,
            at=self.centre(void),
        )

    def taken_out(self, how: str) -> Iterator[tuple[str, Target]]:
        """Return (fixture, what lies open once it is out) for each that comes out so.

        Parameters
        ----------
        how : {"dry", "plumbed"}
            Whether water has to be turned off first.
        """
        for key, voids in self.hidden_in.items():
            fixture = self.fixtures[key]
            if kinds()[fixture.type].comes_out == how:
                yield (
                    key,
                    Target(
                        where=f"the {fixture.name or fixture.type} in the "
                        f"{self.room_names[fixture.room]}",
                        key=key,
                        reaches=tuple(Reach(void, 1.0) for void in voids),
                        room=fixture.room,
                        at=self.centre(voids[0]),
                    ),
                )

    def inside(self, void: int, *, lifted: bool) -> Target:
        """Return a space that a body enters, its insulation lifted or not."""
        return Target(
            where=self.graph.words[void],
            key=self.graph.keys[void],
            reaches=(Reach(void, WHOLE.value),),
            at=self.centre(void),
            enters=self.graph.keys[void],
            lifted=float(shapely.Polygon(self.graph.polygon[void]).area) if lifted else 0.0,
        )

    def space_below(self, void: int) -> int | None:
        """Return the space that a body enters under a void: a crawl space, or None."""
        return next((one for one in self._under(void) if self.graph.kinds[one] in ENTERED), None)

    def low_space(self, void: int) -> int | None:
        """Return the space under a bay that is too low to enter, or None."""
        return next(
            (one for one in self._under(void) if self.graph.kinds[one] not in ENTERED), None
        )

    def _under(self, void: int) -> Iterator[int]:
        """Yield the spaces right under a bay whose joists lie open to them."""
        if void not in self._open:
            return
        x, y, _ = self.centre(void)
        point = shapely.Point(x, y)
        for other in self.hidden():
            if (
                abs(self.graph.top[other] - self.graph.bottom[void]) < 0.1
                and shapely.distance(self._shapes[other], point) < 0.1
            ):
                yield other

    @cached_property
    def _open(self) -> frozenset[int]:
        return frozenset(self.open_below())

    @cached_property
    def _shapes(self) -> tuple[shapely.Polygon, ...]:
        return tuple(shapely.Polygon(one) for one in self.graph.polygon)

    @cached_property
    def runs(self) -> tuple[tuple[ServiceRun, ...], ...]:
        """Services that pass through each void."""
        points = [(run, _along(run)) for run in self.plan.services]
        return tuple(
            tuple(run for run, path in points if self._passes(void, path))
            for void in range(len(self.graph.keys))
        )

    def hidden(self) -> Iterator[int]:
        """Return the voids that nobody sees into from a room."""
        return (int(void) for void in np.flatnonzero(self.graph.hidden))

    def faces(self, part: str) -> Iterator[tuple[int, Face]]:
        """Return every (hidden void, face) of one part that is reached from a room."""
        for void in self.hidden():
            for face in self.graph.faces[void]:
                if face.part == part and face.room:
                    yield void, face

    def comes_off(self, finish: str) -> bool:
        """Return True where a front is made to come off rather than to be cut."""
        return any(word in finish for word in LOOSE)

    def opens(self, finish: str) -> bool:
        """Return True where a front is a door."""
        return "door" in finish

    def standing_places(self) -> Iterator[Target]:
        """Return the places where a device can stand for a night."""
        for void, kind in enumerate(self.graph.kinds):
            fronts = [f for f in self.graph.faces[void] if f.part == "front" and f.room]
            loose = any(self.comes_off(f.finish) or self.opens(f.finish) for f in fronts)
            if not self.graph.hidden[void] or kind in ENTERED or loose:
                yield Target(
                    where=self.graph.words[void],
                    key=self.graph.keys[void],
                    reaches=(Reach(void, 1.0),),
                    room=fronts[0].room if fronts else "",
                    at=self.centre(void),
                )

    def centre(self, void: int) -> tuple[float, float, float]:
        """Return the middle of a void in plan and half its height. [m]"""
        middle = self.graph.polygon[void].mean(axis=0)
        height = (self.graph.bottom[void] + self.graph.top[void]) / 2
        return (float(middle[0]), float(middle[1]), float(height))

    def wall_of(self, void: int) -> Wall | None:
        """Return the wall that a void belongs to, or None."""
        return self.walls.get(self.graph.owners[void])

    def masonry(self, void: int) -> bool:
        """Return True where a leaf of brick or block lies between the finish and the void."""
        wall = self.wall_of(void)
        return wall is not None and wall.build == "cavity"

    def _passes(self, void: int, path: Floats) -> bool:
        low, high = self.graph.polygon[void].min(axis=0), self.graph.polygon[void].max(axis=0)
        inside = ((path[:, :2] >= low) & (path[:, :2] <= high)).all(axis=1)
        inside &= (path[:, 2] >= self.graph.bottom[void]) & (path[:, 2] <= self.graph.top[void])
        return bool(inside.any())


def _along(run: ServiceRun) -> Floats:
    """Return points along a service run, no more than a few centimetres apart: [n, 3]."""
    pieces = []
    corners = np.asarray(run.path, dtype=np.float64)
    for start, end in itertools.pairwise(corners):
        count = max(2, int(np.linalg.norm(end - start) / STEP) + 2)
        pieces.append(start + np.linspace(0, 1, count)[:, None] * (end - start))
    return np.concatenate(pieces) if pieces else corners.reshape(-1, 3)
