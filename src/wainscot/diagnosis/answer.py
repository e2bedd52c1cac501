"""The answer of a diagnosis as frozen data: what screens, papers and the command line read.

Chances are floats in [0, 1] with a Monte Carlo standard error beside them; how they are rounded
and worded is ``wainscot.chance``'s matter.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Band = Literal["open", "check first", "leave", "seen", "can't tell yet"]


class VoidAnswer(msgspec.Struct, frozen=True):
    """What we think of one void.  Chances and their errors are pure numbers. [1]"""

    id: str
    label: str
    kind: str
    words: str
    storey: str
    hidden: bool
    soiled: float
    """Chance that droppings, urine, nest or carcass were ever left here. [1]"""
    soiled_error: float
    ever: float
    now: float
    """Chance that animals move through it now. [1]"""
    now_error: float
    heavy: float
    """Chance of heavy soil, with or without a nest. [1]"""
    nest: float
    """Chance of a nest. [1]"""
    band: Band
    reason: str
    """Why, in a few words."""
    looked: float
    """Share of it that anybody looked at. [1]"""
    seen: str = ""
    """What was seen where it was opened; empty where it was not."""
    halves: tuple[float, float] = (0.0, 0.0)
    """``soiled`` by the two halves of the populations."""
    settled: bool = True


class EntryAnswer(msgspec.Struct, frozen=True):
    """What we think of one way in, or one pool of undrawn ways in.  Pure numbers. [1]"""

    id: str
    words: str
    sort: Literal["entry point", "unknown", "settled"]
    used: float
    """Chance of past or now. [1]"""
    now: float
    error: float
    void: str = ""
    """Id of the void it opens into; empty for a pool."""
    near: tuple[str, ...] = ()
    """For a pool: words of the voids where it is likeliest."""


class Run(msgspec.Struct, frozen=True):
    """A likely runway, from outside to where signs or a nest are."""

    share: float
    """Share of the draws in which the target is reached this way. [1]"""
    voids: tuple[str, ...]
    source: str
    """Id of the way in: an entry point, or an undrawn way in at the first void."""
    words: str
    """``outside > gap under the utility door > joist bays F3 to F5 > stud bay N7``."""


class Contribution(msgspec.Struct, frozen=True):
    """What one inspection does to one void's chance: with it, and as if it had not been made."""

    inspection: str
    words: str
    void: str
    log_odds: float
    """Change of the log-odds of ``soiled`` by this inspection. [1]"""
    reliable: bool
    """False where the reweighting is too coarse to be trusted (Pareto k above 0.7)."""


class Misfit(msgspec.Struct, frozen=True):
    """A sign that no drawn way in explains."""

    inspection: str
    words: str
    near: str
    """Where to look for a way in, in words."""
    expected_false: float
    """Chance that it was no animal. [1]"""


class Hypothesis(msgspec.Struct, frozen=True):
    """One species under one framing guess, and how much the signs speak for it.

    Where no case names two species, two at once were not weighed: a weight is then the chance of
    this species against the others alone, and says nothing of a second one beside it.
    """

    species: str
    guess: str
    weight: float
    """Chance of this case given the signs, among the cases that were weighed. [1]"""
    log_evidence: float
    """Log of how well it foretold the signs. [nat]"""


class Diagnosis(msgspec.Struct, frozen=True):
    """The whole answer, without the draws."""

    verdict: str
    settled: bool | None
    """Whether the populations agree; None where there was nothing to calculate."""
    voids: tuple[VoidAnswer, ...]
    entries: tuple[EntryAnswer, ...]
    runs: tuple[Run, ...]
    contributions: tuple[Contribution, ...]
    misfits: tuple[Misfit, ...]
    hypotheses: tuple[Hypothesis, ...]
    unplaced: tuple[str, ...]
    assumptions: tuple[str, ...]
    judged: tuple[str, ...]
    cautions: tuple[str, ...]
    draws: int
    seed: int
    module: str
    """SHA-256 of the kernel module."""
    digest: str
    """SHA-256 over the results of every population."""
