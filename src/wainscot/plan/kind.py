"""What a fixture type says of itself: its sizes, its options, its voids and how they are joined.

One file in ``plan/fixtures`` holds one ``KIND``.  It describes the fixture in local axes: ``u``
from the left end along the wall behind it, ``v`` out into the room, ``z`` up from the floor; the
engine turns and moves it, and never asks which type it is::

    KIND = Kind(name="bath", words="bath", letter="B", sizes={...}, options=(...),
                cavities=..., joins=...)

``joins`` says what each void is joined to: ``room``, ``behind`` / ``left`` / ``right`` / ``front``
(the wall there), ``floor`` (what lies under the boards), ``ceiling`` (what lies above the room),
``beside`` (a fixture that touches it), ``room above``, or the role of another void of the same
fixture.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from functools import cache
from typing import Any, Literal

import msgspec

from wainscot.plan.model import FixtureAt
from wainscot.sources import Cited

Target = Literal[
    "room", "behind", "front", "left", "right", "floor", "ceiling", "beside", "room above"
]  # fmt: skip


Faces = tuple[tuple[Literal["front", "top", "ceiling"], str], ...]
"""(part, finish) of each side of a void that faces the room."""


class Option(msgspec.Struct, frozen=True):
    """One thing to say about a fixture beyond its size."""

    name: str
    words: str
    type: Literal["length", "flag", "word"]
    default: tuple[Cited, Cited] | bool | str
    """A length has one for the UK and one for the US."""
    choices: tuple[str, ...] = ()


class Box(msgspec.Struct, frozen=True):
    """A block in the fixture's local axes. [m]"""

    u_low: float
    u_high: float
    v_low: float
    v_high: float
    z_low: float
    z_high: float


class Cavity(msgspec.Struct, frozen=True):
    """One void that the fixture makes."""

    role: str
    """Last part of the void's id: ``under``."""
    kind: str
    """Kind of void: ``under bath``."""
    words: str
    """``under the bath``."""
    box: Box
    share: float = 1.0
    """Share of the box that is empty. [1]"""
    faces: Faces = ()
    """(part, finish) of the sides that face the room."""
    harborage: Literal["narrow", "wide", "warm"] | Literal[""] = ""
    """Class of harbourage: ``warm`` where animals like to nest; empty: by its size."""
    part: Literal["", "ceiling"] = ""
    """``ceiling`` where people who speak of the room's ceiling mean this void too."""
    flue: float = 0.0
    """Area by which it stands open to the outside above the roof. [m2]"""


class Join(msgspec.Struct, frozen=True):
    """One way between a void of the fixture and something beside it."""

    role: str
    """Void that it starts from; ``room`` for the room that the fixture stands in."""
    to: str
    """A :data:`Target`, or the role of another void of the same fixture."""
    rule: str
    words: str
    """Fits after ">": ``trap cut-out under the bath``."""
    low: Cited
    """Least aperture, if it is there at all. [m]"""
    high: Cited
    """Greatest aperture. [m]"""
    presence: Cited
    """Chance that it is there. [1]"""
    run: Cited
    """Chance that animals use it, given that they pass. [1]"""
    gnawable: bool = False
    window: Box | None = None
    """Where it is; None: the whole side of the void."""


class Kind(msgspec.Struct, frozen=True):
    """One fixture type."""

    name: str
    words: str
    letter: str
    """Letter or two that the labels of its voids begin with."""
    sizes: dict[str, tuple[Cited, Cited]]
    """``width``, ``depth``, ``height``: (UK, US). [m]"""
    cavities: Callable[[FixtureAt], tuple[Cavity, ...]]
    joins: Callable[[FixtureAt], tuple[Join, ...]]
    options: tuple[Option, ...] = ()
    full_height: bool = False
    """True where it reaches the ceiling unless a height is given."""
    whole_room: bool = False
    """True where it fills the room in plan unless sizes are given, over all that stands there."""
    movable: bool = False
    """True where it can be moved away by hand."""
    foot: Callable[[FixtureAt], float] | None = None
    """Height of its underside over the floor, for what hangs. [m]"""
    comes_out: Literal["no", "dry", "plumbed", "licensed"] = "no"
    """Whether it is taken out and put back to see what it hides; ``plumbed``: water off first;
    ``licensed``: somebody licensed undoes its gas or mains first."""

    def option(self, name: str) -> Option | None:
        """Return the option of that name, or None."""
        return next((option for option in self.options if option.name == name), None)

    def size(self, name: str, country: str) -> Cited:
        """Return the default width, depth or height for a country. [m]"""
        return self.sizes[name][0 if country == "UK" else 1]


@cache
def kinds() -> dict[str, Kind]:
    """Return every fixture type by name, found by walking ``plan/fixtures``."""
    from wainscot.plan import fixtures

    found: dict[str, Kind] = {}
    for module in sorted(pkgutil.iter_modules(fixtures.__path__), key=lambda one: one.name):
        kind: Any = importlib.import_module(f"{fixtures.__name__}.{module.name}").KIND
        found[kind.name] = kind
    return dict(sorted(found.items()))
