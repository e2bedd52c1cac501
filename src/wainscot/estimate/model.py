"""What an estimate is made of: lines that may or may not be needed, stages, what drives the sum."""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.access import Access
from wainscot.book import Book
from wainscot.checks import Pooled
from wainscot.checks.ranking import Result
from wainscot.openings import Choice
from wainscot.plan import Plan
from wainscot.sealing import SealList
from wainscot.sources import Cited
from wainscot.voids.graph import Graph

StageName = Literal["check first", "open and clean", "seal", "watch"]
STAGES: tuple[StageName, ...] = ("check first", "open and clean", "seal", "watch")

Kind = Literal["always", "anything soiled", "soiled", "nest", "came in", "in use now"]


class When(msgspec.Struct, frozen=True):
    """On what a line hangs; it is read off each draw."""

    kind: Kind
    void: int = -1
    """Which void, for ``soiled`` and ``nest``."""


class Line(msgspec.Struct, frozen=True):
    """One quantity at one rate."""

    stage: StageName
    key: str
    """Stable id: the stage's word and the place."""
    words: str
    quantity: float
    """[unit]"""
    unit: str
    rate: Cited
    """[currency/unit]"""
    cents: int
    """Quantity times rate, in hundredths of the currency, or of an hour where there is none."""
    basis: str
    """Where the quantity comes from."""
    when: When
    labour: bool
    """True for hours, which come out longer or shorter than thought."""
    extra: bool = False
    """True for what is not planned and is paid only where soil is found beyond the plan."""
    place: str = ""
    """Label of the void that an extra line is about."""
    chance: float = 1.0
    """Chance that it is needed. [1]"""

    @property
    def amount(self) -> float:
        """[currency]"""
        return self.cents / 100


class Stage(msgspec.Struct, frozen=True):
    """One part of the job that is agreed upon by itself."""

    name: StageName
    needed: float
    """Chance that it is needed. [1]"""
    cents: int
    """Sum of its planned lines, all of them needed; without tax."""
    half: float
    """Where it is needed, half of such jobs cost less for it. [currency]"""
    four_in_five: float
    """Likewise, four in five. [currency]"""


class Driver(msgspec.Struct, frozen=True):
    """Something that is not known yet and moves the price."""

    words: str
    share: float
    """Share of the variance of the price that goes once this is known. [1]"""
    adds: float
    """By how much the price is higher where it is so, on average; 0 for hours. [currency]"""


class Estimate(msgspec.Struct, frozen=True):
    """The price of a job as far as it can be known today, tax included where it says so."""

    currency: str
    lines: tuple[Line, ...]
    stages: tuple[Stage, ...]
    planned_cents: int
    """Sum of all planned lines, whether they will be needed or not; without tax."""
    mean: float
    """[currency], with tax and minimum charge; so are the following"""
    half: float
    """Half of such jobs cost less. [currency]"""
    four_in_five: float
    """Four in five cost less. [currency]"""
    least: float
    most: float
    """Over all draws. [currency]"""
    error: float
    """Monte Carlo error of ``half``, from stretches of neighbouring draws. [currency]"""
    tax: float
    """On top of all lines, per cent. [1]"""
    minimum: float
    """Least that a job is charged. [currency]"""
    drivers: tuple[Driver, ...]
    judged: tuple[str, ...]
    """Rates that nobody published and that the firm has not typed in."""
    limits: tuple[str, ...]
    draws: int
    seed: int


class Scope(msgspec.Struct, frozen=True):
    """What an estimate is taken from: the answers of the steps above."""

    plan: Plan
    graph: Graph
    draws: Pooled
    checks: Result | None
    choice: Choice
    offered: tuple[Access, ...]
    """Every opening that was weighed."""
    seals: SealList | None
    book: Book
