"""A smell that stays after cleaning: readings over time, said as one look.

    looks = floors(job); looks["kitchen-odour-floor"].finds[0].amount

Where the readings of a room fall to a floor whose whole interval lies above the threshold, and a
product was used before them, something still feeds the smell.  That is a find in that room on the
day of the last reading, with the floor's strength; so the diagnosis says where it now points.

Limits: moisture is no sign of an animal and is left out.  Where nobody told of a product the
readings say nothing here: log the smell as an inspection.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from wainscot.job import Find, Inspection, Job, Place
from wainscot.signs.decay import Floor, Reading, floor_of, readings_of, series_of, still_fed
from wainscot.signs.kind import KINDS
from wainscot.signs.rates import DEFAULT, Rates
from wainscot.sources import judged

WORDS = (
    ("faint", judged(0.5, "1", "of 0 to 5, from which a nose says faint")),
    ("clear", judged(1.5, "1", "of 0 to 5, from which a nose says clear")),
    ("strong", judged(3.0, "1", "of 0 to 5, from which a nose says strong")),
)
"""Words for the scale from 0 to 5; the first bound is the threshold. [1]"""


def threshold_of(of: str, rates: Rates = DEFAULT) -> float | None:
    """Return the reading below which nobody minds, None where it is no smell. [unit]

    Parameters
    ----------
    of : str
        ``odour``, ``ammonia ppm`` or ``moisture percent``.
    rates : Rates, optional
        The tables.
    """
    known = {
        "odour": WORDS[0][1].value,
        "ammonia ppm": rates.kind("smell").number("meter_threshold"),
    }
    return known.get(of)


def floors(job: Job, rates: Rates = DEFAULT) -> dict[str, Inspection]:
    """Return a look for every smell that stays above its threshold after cleaning.

    Parameters
    ----------
    job : Job
        A job without faults.
    rates : Rates, optional
        The tables.
    """
    found = {}
    for room, of in series_of(job):
        limit = threshold_of(of, rates)
        if limit is None:
            continue
        readings = readings_of(job, room, of, since_cleaning=True, rates=rates)
        floor = floor_of(readings)
        if floor is not None and still_fed(floor, limit):
            key = f"{room}-{of.replace(' ', '-')}-floor"
            found[key] = _look(room, of, floor, readings[-1])
    return found


def _look(room: str, of: str, floor: Floor, last: Reading) -> Inspection:
    smell = next(kind.name for kind in KINDS.values() if kind.form == "linear")
    if of == "odour":
        amount = [word for word, bound in WORDS if floor.floor >= bound.value][-1]
        find, method = Find(kind=smell, amount=amount), "nose"
    else:
        find, method = Find(kind=smell, ppm=floor.floor), "meter"
    low, high = floor.interval
    day = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(days=last.day)
    note = f"{of} stays at {floor.floor:.2g} ({low:.2g} to {high:.2g}) after cleaning"
    return Inspection(place=Place(of=room), method=method, finished=False, at=day.isoformat(),
                      finds=[find], note=note)  # fmt: skip
