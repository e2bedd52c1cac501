"""From containment and cleaning to what the people in the house have to know."""

from __future__ import annotations

import math

import msgspec

from wainscot.papers.answers import Answers
from wainscot.papers.days import Shut, shut_rooms
from wainscot.papers.said import Said, Say


class View(msgspec.Struct, frozen=True):
    """A notice."""

    rooms: tuple[str, ...]
    """Names of rooms that nobody enters."""
    mice: bool
    """True where house mice are among the animals that are thought of."""
    purge: str
    """How long the air is drawn out at the end, in words; empty where nothing is sheeted off."""
    wet: str
    """How long the product stays wet by its label; empty without a label."""
    product: Said | None
    shut: tuple[Shut, ...]
    """From when until when each room is out of use; empty where the job is not dated."""


def view(known: Answers, say: Say) -> View | None:
    """Return the notice; None where nothing is to be contained or cleaned."""
    work = known.work
    if work is None or not work.voids:
        return None
    rooms = tuple(dict.fromkeys(name for one in work.containments for name in one.work.names))
    purge = max((one.purge_minutes for one in work.containments), default=0.0)
    label = work.cleaning.label if work.cleaning else None
    return View(
        rooms, "mouse" in known.species,
        say.word("minutes", n=f"{5 * math.ceil(purge / 5):d}") if purge else "",
        say.word("minutes", n=f"{label.contact:g}") if label else "",
        say(label.product) if label else None, shut_rooms(known, say),
    )  # fmt: skip
