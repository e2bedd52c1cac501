"""What a passage rule looks at, and what it proposes."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache, cached_property
from typing import Any

import msgspec

from wainscot.plan.model import Plan, Wall
from wainscot.voids.contacts import Contact, by_forms, turned
from wainscot.voids.priors import PassageRow, passage_rows
from wainscot.voids.space import Form, Space

INSULATED = 0.7
"""How much rarer a way out of a filled bay is. Judgement. [1]"""


class Proposal(msgspec.Struct, frozen=True):
    """One way between two spaces, by one rule; apertures and place in [m]."""

    a: int
    b: int
    rule: str
    words: str
    low: float
    high: float
    """Bounds of the aperture. [m]"""
    presence: float
    run: float
    """[1]"""
    gnawable: bool
    at: tuple[float, float, float]


class Site:
    """All spaces of a plan with their contacts; rules read it and change nothing."""

    def __init__(self, plan: Plan, spaces: Sequence[Space], found: Sequence[Contact]) -> None:
        self.plan = plan
        self.spaces = tuple(spaces)
        self.contacts = tuple(found)

    @cached_property
    def by_forms(self) -> Mapping[tuple[Form, Form], list[Contact]]:
        """Contacts by the forms of (a, b)."""
        return by_forms(self.contacts, self.spaces)

    @cached_property
    def index(self) -> Mapping[str, int]:
        """Space index by id."""
        return {space.key: v for v, space in enumerate(self.spaces)}

    @cached_property
    def touching(self) -> Mapping[int, list[Contact]]:
        """Contacts of each space, turned so that it is their ``a``."""
        out: dict[int, list[Contact]] = {}
        for one in self.contacts:
            out.setdefault(one.a, []).append(one)
            out.setdefault(one.b, []).append(turned(one))
        return out

    @cached_property
    def bearing(self) -> Mapping[int, list[Wall]]:
        """Walls known to bear, by level."""
        out: dict[int, list[Wall]] = {}
        for wall in self.plan.walls:
            if wall.bearing == "yes":
                out.setdefault(self.plan.storey(wall.storey).level, []).append(wall)
        return out

    @cached_property
    def masonry(self) -> frozenset[frozenset[str]]:
        """Pairs of rooms with a wall of anything but studs between them."""
        walls = (wall for wall in self.plan.walls if wall.build != "stud")
        return frozenset(frozenset((wall.side.room, wall.facing)) for wall in walls)

    def pairs(self, one: Form, other: Form) -> list[Contact]:
        """Return contacts whose ``a`` has the first form and whose ``b`` has the second."""
        return self.by_forms.get((one, other), [])

    def propose(self, contact: Contact, rule: str, variant: str, words: str) -> Proposal:
        """Return the proposal that the table's row makes for a contact."""
        row: PassageRow = passage_rows()[rule, variant]
        presence = row.presence.value
        if self.spaces[contact.a].insulated or self.spaces[contact.b].insulated:
            presence *= INSULATED
        return Proposal(
            contact.a, contact.b, rule, words, row.low.value, row.high.value, presence,
            row.run.value, row.gnawable, contact.at,
        )  # fmt: skip


class Rule(msgspec.Struct, frozen=True):
    """One reason why two spaces may be joined."""

    name: str
    words: str
    propose: Callable[[Site], Iterator[Proposal]]
    drawn: bool = True
    """False where it stands for "undrawn is not impossible" and names no hole."""


@cache
def rules() -> tuple[Rule, ...]:
    """Return every rule, found by walking ``voids/rules``."""
    from wainscot.voids import rules as package

    found: list[Any] = [
        importlib.import_module(f"{package.__name__}.{module.name}").RULE
        for module in pkgutil.iter_modules(package.__path__)
    ]
    return tuple(sorted(found, key=lambda rule: rule.name))
