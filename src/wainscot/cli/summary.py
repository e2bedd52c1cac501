"""One line on a sound job file."""

from __future__ import annotations

from collections import Counter

from wainscot.job import Inspection, Job, Room, typed


def sound(job: Job) -> str:
    """Return what a sound job holds, in one line."""
    entities = typed(job).values()
    kinds = Counter(type(each).__name__ for each in entities)
    rooms = [each for each in entities if isinstance(each, Room)]
    drawn = sum(room.polygon is not None for room in rooms)
    looks = [each for each in entities if isinstance(each, Inspection)]
    unplaced = sum(look.place is None for look in looks)
    line = f"sound: {_count(drawn, 'room')} drawn"
    if len(rooms) > drawn:
        line += f", {len(rooms) - drawn} not yet"
    line += f"; {_count(kinds['EntryPoint'], 'entry point')}; {_count(len(looks), 'inspection')}"
    if unplaced:
        line += f", {unplaced} without a place"
    return line


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
