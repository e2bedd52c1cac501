"""Live animal: one or more seen alive, in the open or as a space was opened."""

from wainscot.arrays import Floats
from wainscot.signs.kind import Kind, Look, now_entry, now_rows
from wainscot.signs.rates import Section


def _by_load(look: Look, rate: Section) -> Floats:
    """Chance of (one, two, many) where animals go by now, for each load: [loads, 3]."""
    return look.sensitivity * look.share * rate.numbers("met")[: look.loads]


def shown(look: Look, rate: Section) -> Floats:
    """Return the chance of each amount by load, reach and cell: [loads, 3, 6, 3]. [1]"""
    return now_rows(_by_load(look, rate))


def at_entry(look: Look, rate: Section) -> Floats:
    """Return the chance of each amount at a way in by never, past, now: [3, 3]. [1]"""
    return now_entry(_by_load(look, rate))


KIND = Kind(
    name="live animal",
    letter="V",
    amounts=("one", "two", "many"),
    columns=("one", "two", "many"),
    form="row",
    ages=False,
    shown=shown,
    at_entry=at_entry,
)
