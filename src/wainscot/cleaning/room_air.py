"""The air that drying and wet films are reckoned in: as last read on the job, else assumed.

>>> from wainscot.job import Job
>>> room_air(Job("mill"), ["kitchen"]).words
'20 C assumed: nobody read it; 50 % of humidity assumed: nobody read it'

Temperature and humidity are read one by one, and each counts for the room that it was read in: the
air of one room says little about that of a wet one beside it (judgement).

Limits: the last reading stands for the days to come.  A reading that no room can have (under -10 or
over 50 C, no humidity over 0 and up to 100 %) is passed over.
"""

from __future__ import annotations

from collections.abc import Collection

import msgspec

from wainscot.job import AirReading, Job, Room, day_of, typed

ASSUMED = (293.15, 0.5)
"""Temperature and humidity that a plan takes until somebody reads them. [K], [1]"""
COLDEST, WARMEST = -10.0, 50.0
"""What a room may have. [C]"""
TEMPERATURE, HUMIDITY = "temperature C", "humidity percent"
"""Readings that say what the air was, and nothing of smell or damp wood."""


class RoomAir(msgspec.Struct, frozen=True):
    """The air of a place, and where it is from."""

    temperature: float
    """[K]"""
    humidity: float
    """Relative, 0 to 1. [1]"""
    words: str


def room_air(job: Job, rooms: Collection[str]) -> RoomAir:
    """Return the air as it was last read in any of some rooms, else as it is assumed.

    Parameters
    ----------
    job : Job
        A job without faults.
    rooms : collection of str
        Their ids.
    """
    entities = typed(job)
    read = [one for one in entities.values() if isinstance(one, AirReading) and one.room in rooms]
    warm, damp = _last(read, TEMPERATURE), _last(read, HUMIDITY)
    names = {key: one.name for key, one in entities.items() if isinstance(one, Room)}
    words = "; ".join(
        f"{value}{of}, read in {names.get(one.room, one.room)}, {one.at[:10]}" if one
        else f"{assumed} assumed: nobody read it"
        for one, value, of, assumed in (
            (warm, f"{warm.value:g} C" if warm else "", "", "20 C"),
            (damp, f"{damp.value:g} %" if damp else "", " of humidity", "50 % of humidity"),
        )
    )  # fmt: skip
    return RoomAir(
        warm.value + 273.15 if warm else ASSUMED[0],
        damp.value / 100 if damp else ASSUMED[1], words,
    )  # fmt: skip


def _last(read: list[AirReading], of: str) -> AirReading | None:
    found = [one for one in read if one.of == of and _can_be(one)]
    return max(found, key=lambda one: day_of(one.at), default=None)


def _can_be(one: AirReading) -> bool:
    return COLDEST <= one.value <= WARMEST if one.of == TEMPERATURE else 0 < one.value <= 100
