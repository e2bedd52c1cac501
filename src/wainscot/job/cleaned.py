"""Kinds of entity that clean a house: labels as typed, applications and how long they stayed wet,
what was ticked as done, what the crew that did it wrote down."""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.job.parts import Entity, Place


class ProductLabel(Entity, tag="product_label", frozen=True):
    """What the label of a product in the hand says, as somebody typed it; it wins over our data.

    ``product`` is a kind of product (``enzyme``, ``disinfectant``, ``bleach``, ``peroxide``,
    ``sealer``); ``contact_time`` is typed with its unit, ``dilution`` as 1:64, product to water.
    What the label lacks stops the cleaning and not the job.  ``coverage`` is in mL on a square
    metre. [unit]
    """

    product: str
    registration: str = ""
    contact_time: str = ""
    dilution: str = ""
    surfaces: list[str] = msgspec.field(default_factory=list)
    protection: list[str] = msgspec.field(default_factory=list)
    coverage: float | None = None
    by: str = ""
    at: str = ""
    photo: str = ""


class Application(Entity, tag="application", frozen=True):
    """One application of one product to one place, from the minute it was first wet.

    ``surface`` is what it went on (``wood``, ``masonry``).  ``air`` and ``humidity`` are those of
    the place as read, with their units; with them the life of the film is told.
    """

    label: str
    place: Place
    at: str
    surface: str = ""
    air: str = ""
    humidity: str = ""
    by: str = ""
    note: str = ""


class ContactMoment(Entity, tag="contact", frozen=True):
    """Something done or seen of an application: wetted again, seen dry, or ended."""

    application: str
    at: str
    what: Literal["wet again", "dry seen", "end"]
    by: str = ""
    note: str = ""


class Ticked(Entity, tag="tick", frozen=True):
    """One point of the work, or one line of the van list, that somebody ticked as done.

    ``of`` is the point's key (``van/towels, buckets``), ``words`` what it said then; a point that
    says something else after a new calculation is another one.  Taking a tick back withdraws it.
    Several ticks of one point count as one.
    """

    of: str
    words: str = ""
    by: str = ""
    at: str = ""


class CrewEntry(Entity, tag="crew_log", frozen=True):
    """One line of what the crew writes of itself; it alarms nobody.

    ``fit test`` is one seen in date, ``in`` and ``out`` the work area, ``check-in`` a word given to
    the person outside, ``heat`` anything that heat did to somebody.
    """

    who: str
    at: str
    what: Literal[
        "fit test", "in", "out", "check-in", "rest", "heat", "bite", "scratch", "splash", "unwell"
    ]
    note: str = ""
