"""What an inspection found, in words for people."""

from __future__ import annotations

from datetime import datetime

from wainscot.job import Find, Inspection


def what_of(finds: list[Find]) -> str:
    """Return finds in a few words: ``droppings, many, fresh``.

    Parameters
    ----------
    finds : list of Find
        The finds.
    """
    said = []
    for find in finds:
        age = find.freshness if find.freshness != "unsure" else ""
        meter = f"{find.ppm:g} ppm" if find.ppm is not None else ""
        parts = [find.kind, find.amount, meter, age]
        said.append(", ".join(part for part in parts if part))
    return " and ".join(said)


def words_of(finds: list[Find], where: str, inspection: Inspection, note: str = "") -> str:
    """Return a whole inspection in words: ``droppings, many, under the bath (12 May, seen)``.

    Parameters
    ----------
    finds : list of Find
        What counts of its finds.
    where : str
        Its place in words.
    inspection : Inspection
        The inspection.
    note : str
        What else must be said of it.
    """
    what = what_of(finds) or "looked, nothing"
    try:
        day = datetime.fromisoformat(inspection.at)
        when = f"{day.day} {day:%b}, " if inspection.at else ""
    except ValueError:
        when = ""
    more = f"; {note}" if note else ""
    return f"{what}, {where} ({when}{inspection.grade}{more})"
