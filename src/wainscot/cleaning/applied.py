"""What came of the applications of a job: long enough wet, too short, dried out between.

    for one in applied(job, now):
        one.standing, one.words

Each is judged by the label that it names, as somebody typed it.  An application that falls short
stays in the list as failed, with why; nothing takes it out again but the record itself.

Limits: what the log says was wet is taken as wet; the life of a film (+-30 %) casts a doubt on it
and does not overrule it.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import datetime
from itertools import pairwise
from typing import Any, Literal

import msgspec

from wainscot.air import humidity, moist
from wainscot.cleaning.contact import Moment, spans
from wainscot.cleaning.film import film
from wainscot.cleaning.products import MATERIALS, Label, label_of, products, read_label
from wainscot.errors import InputError
from wainscot.job import Application, ContactMoment, Job, Place, ProductLabel, Room, free_id, typed
from wainscot.quantity import QuantityError, temperature

Standing = Literal["done", "failed", "running"]


class Applied(msgspec.Struct, frozen=True):
    """One application, and what came of it."""

    id: str
    place: str
    """In words as far as the job names it."""
    room: str
    """Id of the room, where the place names one."""
    label: str
    """Id of the label that it was judged by."""
    started: str
    wet: float
    """Longest time without a break. [min]"""
    needed: float | None
    """Contact time of the label; None where the label has none. [min]"""
    standing: Standing
    words: str
    doubt: str = ""
    """What speaks against it though the log says that it was wet; empty if nothing does."""


def label_in(job: Job, key: str = "") -> Label | None:
    """Return the label that a cleaning goes by; None where nobody typed one in.

    Parameters
    ----------
    job : Job
        A job without faults.
    key : str
        Id of the label; if empty the newest of a product that disinfects, or else the newest.

    Raises
    ------
    InputError
        If it lacks something that a plan stands on.
    """
    labels = {k: one for k, one in typed(job).items() if isinstance(one, ProductLabel)}
    if key or labels:
        chosen = key or max(labels, key=lambda k: (_disinfects(labels[k]), labels[k].at, k))
        return read_entity(labels[chosen], f"entities.{chosen}")
    return None


def _disinfects(label: ProductLabel) -> bool:
    kind = products().get(label.product)
    return kind is not None and kind.disinfects


def read_entity(entity: ProductLabel, path: str) -> Label:
    """Return a label that somebody typed into the job.

    Parameters
    ----------
    entity : ProductLabel
        As it stands in the job.
    path : str
        Its place, for messages.

    Raises
    ------
    InputError
        If it lacks something that a plan stands on.
    """
    fields: dict[str, Any] = {
        name: getattr(entity, name)
        for name in ("product", "registration", "contact_time", "dilution", "surfaces",
                     "protection", "coverage")
        if getattr(entity, name) not in ("", [], None)
    }  # fmt: skip
    return label_of(fields, path)


def applied(job: Job, now: datetime | None = None) -> tuple[Applied, ...]:
    """Return every application of a job, in the order in which they were started.

    Parameters
    ----------
    job : Job
        A job without faults.
    now : datetime, optional
        What is still wet is counted up to here; else up to the last word on it.
    """
    entities = typed(job)
    later: dict[str, list[ContactMoment]] = {}
    for each in entities.values():
        if isinstance(each, ContactMoment):
            later.setdefault(each.application, []).append(each)
    found = [
        _judged(key, one, later.get(key, []), entities, now)
        for key, one in entities.items() if isinstance(one, Application)
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: (datetime.fromisoformat(one.started), one.id)))


def _judged(
    key: str, one: Application, later: list[ContactMoment], entities: Mapping[str, Any],
    now: datetime | None,
) -> Applied:  # fmt: skip
    start = datetime.fromisoformat(one.at)
    moments = [Moment(0.0, "start", key)]
    moments += [Moment(_minutes(start, each.at), each.what, key) for each in later]
    room = _room(one.place, entities)
    told = (key, place_words(one.place, entities), room, one.label, one.at)
    try:
        label = read_entity(entities[one.label], f"entities.{one.label}")
    except InputError as error:
        why = f"FAILED: the label lacks what it is judged by ({error.faults[0].what})"
        return Applied(*told, 0.0, None, "failed", why)
    barred = _barred(one, label)
    if barred:
        return Applied(*told, 0.0, label.contact, "failed", f"FAILED: {barred}")
    if min(moment.minute for moment in moments) < 0:
        return Applied(*told, 0.0, label.contact, "failed",
                       "FAILED: something was logged before its start; mend the log")  # fmt: skip
    if now is not None and not any(each.what == "end" for each in later):
        gone = (now - start).total_seconds() / 60
        last = max(moments, key=lambda each: each.minute)
        if last.what != "dry seen" and gone > last.minute:
            moments.append(Moment(gone, "so far", key))
    span = spans(moments, label.contact)[0]
    return Applied(*told, span.wet, span.needed, span.standing, span.words,
                   _doubt(one, label, moments))  # fmt: skip


def _minutes(start: datetime, at: str) -> float:
    return (datetime.fromisoformat(at) - start).total_seconds() / 60


def _barred(one: Application, label: Label) -> str:
    """Return why the label does not stand behind this application; empty if it does."""
    if one.surface and one.surface not in MATERIALS:
        return f"no surface is called {one.surface}; there are {', '.join(MATERIALS)}"
    if one.surface and one.surface not in label.surfaces:
        return f"the label ({label.registration}) does not allow {one.surface}"
    return ""


def _doubt(one: Application, label: Label, moments: list[Moment]) -> str:
    """Return the doubt that the film dried between two wettings, where the air was read."""
    if not (one.air and one.humidity):
        return ""
    try:
        air = moist(temperature(one.air), humidity(one.humidity))
    except (InputError, QuantityError):
        return f"the air was written as {one.air!r}, {one.humidity!r}: write '68 F' and '50 %'"
    amount = label.coverage or products()[label.product].coverage
    wet = film(amount, label.contact, air)
    ordered = sorted(moment.minute for moment in moments)
    longest = max((b - a for a, b in pairwise(ordered)), default=0.0)
    if wet.stays_wet or longest <= wet.shortest:
        return ""
    return (
        f"left {longest:.0f} min between wettings; in this air a film may dry in "
        f"{wet.shortest:.0f} min: look, and wet it again in time"
    )


def _room(place: Place, entities: Mapping[str, Any]) -> str:
    """Return the room of a place: itself, that of the wall or fixture, or of a side."""
    key = place.of.partition("/")[0]
    owner = entities.get(key)
    return key if isinstance(owner, Room) else str(getattr(owner, "room", ""))


def place_words(place: Place, entities: Mapping[str, Any]) -> str:
    """Return where a place is, as far as the job names it.

    Parameters
    ----------
    place : Place
        Any place of a job.
    entities : mapping
        The job's, in their checked form.
    """
    key, _, side = place.of.partition("/")
    owner = entities.get(key)
    name = str(getattr(owner, "name", "") or key or "a place on the plan")
    room = entities.get(_room(place, entities))
    where = str(getattr(room, "name", ""))
    said = f"{name}, side {side}" if side else name
    return said if not where or where == name else f"{said}, {where}"


def last_applied(job: Job) -> tuple[Applied, ...]:
    """Return the newest application of each label at each place: one that failed may be done again.

    Parameters
    ----------
    job : Job
        A job without faults.
    """
    newest = {(one.room, one.place, one.label): one for one in applied(job)}
    return tuple(newest.values())


def labelled(job: Job, text: str, *, by: str = "", at: str = "") -> tuple[Job, str]:
    """Return the job with a label as typed in it, and the id that it got.

    Parameters
    ----------
    job : Job
        A job without faults.
    text : str
        TOML, as :func:`wainscot.cleaning.read_label` takes it.
    by, at : str
        Who typed it, and when.

    Raises
    ------
    InputError
        If the label lacks something that a plan stands on.
    """
    read_label(text)
    said = {name: value for name, value in (("by", by), ("at", at)) if value}
    entity = {"kind": "product_label", **tomllib.loads(text), **said}
    key = free_id(job, "label")
    return msgspec.structs.replace(job, entities={**job.entities, key: entity}), key
