"""Proposals of all rules become passages: at most one between two voids, for one species.

Parallel ways are joined: open if any is, run if animals use any; the words are the strongest one's.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from wainscot.species import Species
from wainscot.voids.priors import chance_open
from wainscot.voids.site import Proposal, Site, rules

SURE = 0.999
"""No passage is surer than this. [1]"""


class Passage(msgspec.Struct, frozen=True):
    """One way between two spaces, a < b; apertures and place in [m], chances in [1]."""

    a: int
    b: int
    rule: str
    words: str
    low: float
    high: float
    open: float
    run: float
    gnawable: bool
    at: tuple[float, float, float]
    drawn: bool
    """Whether any of the ways joined here follows from what somebody drew."""


def passages(site: Site, species: Species) -> list[Passage]:
    """Return the passages of a site for one species, by (a, b).

    Parameters
    ----------
    site : Site
        Spaces and their contacts.
    species : Species
        Whose threshold and teeth count.
    """
    groups: dict[tuple[int, int], list[tuple[Proposal, bool]]] = {}
    for rule in rules():
        for one in rule.propose(site):
            if one.a != one.b:
                groups.setdefault((min(one.a, one.b), max(one.a, one.b)), []).append(
                    (one, rule.drawn)
                )
    merged = (_merge(a, b, groups[a, b], species.passage.value) for a, b in sorted(groups))
    return [one for one in merged if one.open > 0]


def _merge(a: int, b: int, ways: Iterable[tuple[Proposal, bool]], threshold: float) -> Passage:
    """Join parallel ways: noisy-or of open, and of open and run together."""
    shut = unused = 1.0
    best: tuple[float, str, Proposal] | None = None
    gnawable = drawn = False
    for one, is_drawn in ways:
        chance = chance_open(one.low, one.high, threshold, one.presence)
        shut *= 1.0 - chance
        unused *= 1.0 - chance * one.run
        gnawable |= one.gnawable
        drawn |= is_drawn and chance > 0
        rank = (chance * one.run, one.rule, one)
        if best is None or rank[:2] > best[:2]:
            best = rank
    assert best is not None
    strongest, is_open = best[2], 1.0 - shut
    run = (1.0 - unused) / is_open if is_open > 0 else 0.0
    return Passage(
        a, b, strongest.rule, strongest.words, strongest.low, strongest.high,
        min(is_open, SURE), min(run, SURE), gnawable, strongest.at, drawn,
    )  # fmt: skip
