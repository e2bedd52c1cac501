"""The tables of judged and published rates, read once and passed as a value.

Every number by which a sign speaks stands in ``tables/*.toml`` beside this file, with its standing.
:data:`DEFAULT` holds them; a changed copy may be passed to ``signs.read`` to see what changes.

>>> DEFAULT.kind("droppings").standing
'judgement'

Limits: no published detection rates for these signs in dwellings were found; nearly all are ours.
"""

from __future__ import annotations

import tomllib
from importlib import resources
from typing import Any

import msgspec
import numpy as np

from wainscot.arrays import Floats
from wainscot.species import members


class Section(msgspec.Struct, frozen=True):
    """One section of ``rates.toml``: the numbers of one kind and where they stand."""

    name: str
    standing: str
    source: str
    values: dict[str, Any]

    def number(self, key: str, species: str = "") -> float:
        """Return one number, of that species where it differs by species. [1]"""
        return float(self.numbers(key, species))

    def numbers(self, key: str, species: str = "") -> Floats:
        """Return a list of numbers as an array; of two species together, their mean. [1]"""
        value = self.values[key]
        if not isinstance(value, dict):
            return np.asarray(value, dtype=np.float64)
        each = [np.asarray(value[name], dtype=np.float64) for name in members(species)]
        return np.asarray(sum(each) / len(each))


class Method(msgspec.Struct, frozen=True):
    """One way of looking: what it shows and how well."""

    name: str
    shows: dict[str, float]
    """Chance to notice the traces of a kind where they lie in view. [1]"""
    settles: bool = False
    """True where a full look this way leaves no question."""
    looks: bool = True
    """True where somebody's eye was there."""
    false: dict[str, float] = {}
    """Times the false rate by eye. [1]"""
    since_laid: bool = False
    """True where it shows only what came after it was set or laid."""
    repeat: float = 0.0
    """How far a second look this way at one place only repeats the first, 0 not at all. [1]"""


class SoilingClass(msgspec.Struct, frozen=True):
    """How soil and nests lie in one class of voids, given that animals go through."""

    name: str
    kinds: tuple[str, ...]
    soil: tuple[tuple[float, float, float], ...]
    """Chance of none, light, heavy; a row each for a light, middling, heavy house. [1]"""
    nest: tuple[float, float, float]
    """Chance of a nest given none, light, heavy soil. [1]"""


class Rates(msgspec.Struct, frozen=True):
    """All tables together."""

    sections: dict[str, Section]
    methods: dict[str, Method]
    otherwise: float
    """Chance to notice a kind that the method's row does not list. [1]"""
    classes: dict[str, SoilingClass]
    load: tuple[float, ...]
    narrow_below: float
    """Volume under which an unlisted kind of void counts as narrow. [m3]"""

    def kind(self, name: str) -> Section:
        """Return the section of one kind of sign."""
        return self.sections[name]

    def sensitivity(self, method: str, kind: str) -> float:
        """Return the chance that this method notices a kind's traces that lie in view. [1]"""
        known = self.methods.get(method)
        return self.otherwise if known is None else known.shows.get(kind, self.otherwise)

    @property
    def least(self) -> float:
        """Smallest chance that anything reported is given. [1]"""
        return self.sections["floor"].number("least")

    @property
    def judged(self) -> tuple[str, ...]:
        """The sections that nobody published, by name."""
        named = [name for name, part in self.sections.items() if part.standing == "judgement"]
        return (*sorted(named), "methods", "soiling")


def _table(name: str) -> dict[str, Any]:
    text = resources.files("wainscot.signs").joinpath("tables", name).read_text(encoding="utf-8")
    return tomllib.loads(text)


def _load() -> Rates:
    sections = {
        name: Section(
            name,
            values["standing"],
            values["source"],
            {key: value for key, value in values.items() if key not in ("standing", "source")},
        )
        for name, values in _table("rates.toml").items()
    }
    ways = _table("methods.toml")
    soiling = _table("soiling.toml")
    return Rates(
        sections=sections,
        methods={
            name: msgspec.convert({"name": name, "repeat": ways["repeat"], **row}, Method)
            for name, row in ways["methods"].items()
        },
        otherwise=float(ways["otherwise"]),
        classes={
            name: msgspec.convert({"name": name, **row}, SoilingClass)
            for name, row in soiling["classes"].items()
        },
        load=tuple(soiling["load"]),
        narrow_below=float(soiling["narrow_below"]),
    )


DEFAULT = _load()
"""The tables as shipped."""
