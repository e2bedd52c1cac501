"""What may not simply be closed: flues, dryer outlets, vents, weeps, the clearance of a chimney.

``tables/stays_open.csv`` names what to look at (the edge, the kind of a void, a word in a name, the
rule that proposed a passage) and what then holds.  :data:`ALWAYS` goes with every list, because
names are free text.

Limits: a name in other words than the table's is not recognised; rated walls are not drawn, so
the caution about them is general.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from functools import cache
from importlib import resources
from typing import Literal

import msgspec

from wainscot.access.model import DEFER

ALWAYS: tuple[str, ...] = (
    "a vent keeps its free area, a weep drains",
    "dryer outlets, flues, combustion air and flap fans are never meshed",
    "the clearance round a chimney is never filled",
    "a wall, floor or ceiling rated for fire is closed with a named, tested system only",
    "a drain in use is repaired or gets a non-return flap with a hatch to it; a disused one is "
    "capped; a shared run needs consent",
    DEFER,
)
"""Cautions that go with every seal list."""


class Rule(msgspec.Struct, frozen=True):
    """One row: what is looked at, and what may be done there."""

    look_at: Literal["edge", "void", "name", "passage"]
    word: str
    does: Literal["stays open", "covers"]
    material: str
    note: str
    source: str
    status: str


@cache
def rules() -> tuple[Rule, ...]:
    """Return every rule in the table's order; the first that fits holds."""
    text = resources.files(__package__).joinpath("tables/stays_open.csv").read_text("utf-8")
    return tuple(
        msgspec.convert(row, type=Rule, strict=False) for row in csv.DictReader(text.splitlines())
    )


def rule_for(edge: str, kinds: Iterable[str], name: str, passage: str = "") -> Rule | None:
    """Return the first rule that fits an edge, or None.

    Parameters
    ----------
    edge : str
        Side and kind of the plan's edge, such as ``outside, flue``; empty for a passage.
    kinds : iterable of str
        Kinds of the voids at its ends.
    name : str
        What it is called.
    passage : str
        Name of the rule that proposed a passage; empty for an edge.
    """
    said = {"edge": edge, "void": " | ".join(kinds), "name": name, "passage": passage}
    for one in rules():
        if re.search(rf"\b{re.escape(one.word)}s?\b", said[one.look_at], re.IGNORECASE):
            return one
    return None
