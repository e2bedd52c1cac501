"""Everything that is wrong with a job's shapes, ids, references and ranges, all at once.

The bounds in :data:`BOUNDS` are no building rules: they lie beyond anything built and catch a slip
of the unit, such as millimetres typed as a bare number (judgement).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

import msgspec
from msgspec import inspect

from wainscot.errors import Fault, nearest, printable, unknown_word
from wainscot.job.entities import KINDS, Job
from wainscot.job.ring import ring_faults
from wainscot.job.shape import bare, misfits, shape_of
from wainscot.job.times import DATED, MOMENTS, TIMES, dated_faults, moment_faults, time_faults
from wainscot.quantity import length
from wainscot.species import SPECIES, unknown_species

Entities = Mapping[str, Mapping[str, Any]]

BOUNDS: dict[str, tuple[float, float, bool]] = {
    "storey.height": (1.5, 30.0, False),
    "storey.loft_height": (0.0, 30.0, True),
    "storey.floor.joist_spacing": (0.1, 2.0, False),
    "storey.floor.joist_depth": (0.0, 2.0, True),
    "storey.floor.crawl_height": (0.0, 10.0, True),
    "room.length": (0.0, 500.0, True),
    "wall.thickness": (0.0, 3.0, True),
    "wall.stud_spacing": (0.1, 2.0, False),
    "wall.stud_depth": (0.0, 1.0, True),
    "wall.first_stud": (0.0, 3.0, False),
    "opening.along": (0.0, 500.0, False),
    "opening.width": (0.0, 50.0, True),
    "opening.sill": (0.0, 30.0, False),
    "opening.head": (0.0, 30.0, True),
    "opening.header": (0.0, 3.0, False),
    "fixture.along": (0.0, 500.0, False),
    "fixture.width": (0.0, 50.0, True),
    "fixture.depth": (0.0, 50.0, True),
    "fixture.height": (0.0, 30.0, True),
    "own_cut.along": (0.0, 500.0, False),
    "own_cut.width": (0.0, 50.0, True),
    "own_cut.bottom": (0.0, 50.0, False),
    "own_cut.height": (0.0, 50.0, True),
    "service.diameter": (0.0, 3.0, True),
    "service.hole": (0.0, 3.0, True),
    "entry_point.size": (0.0, 10.0, True),
    "place.along": (0.0, 500.0, False),
    "place.extent": (0.0, 500.0, True),
    "place.radius": (0.0, 500.0, True),
    "find.length": (0.0, 0.5, True),
}
"""Least and greatest length by field, and whether the least itself is excluded. [m]"""

REFERENCES: dict[str, tuple[str, ...]] = {
    "room.storey": ("storey",),
    "wall.room": ("room",),
    "opening.room": ("room",),
    "fixture.room": ("room",),
    "edge.room": ("room",),
    "own_cut.room": ("room",),
    "paper_plan.storey": ("storey",),
    "service.joins": ("service",),
    "place.storey": ("storey",),
    "place.of": ("room", "wall", "fixture", "entry_point", "service", "storey"),
    "find.same_trace_as": ("inspection",),
    "trap_check.trap": ("trap",),
    "air_reading.room": ("room",),
    "application.label": ("product_label",),
    "contact.application": ("application",),
}
"""Kinds of entity that a field may name by id."""

_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")
_PLACEHOLDER = re.compile(r"\?\d*")


def faults(job: Job) -> list[Fault]:
    """Return everything that is wrong with a job's own data, sorted by path.

    A find without a place, a room without an outline, a wall that nobody described and an edge
    not drawn yet are no faults.

    Parameters
    ----------
    job : Job
        Any job that :func:`read` gives.
    """
    found = [*id_faults(job.id, "id"), *entity_faults(job.entities)]
    return sorted(set(found), key=lambda fault: (fault.path, fault.code, fault.what))


def sound(job: Job) -> Job:
    """Return the job with only those entities that :func:`faults` finds nothing wrong with.

    What a later step has to say about the rest can then be told at the same time.

    Parameters
    ----------
    job : Job
        Any job that :func:`read` gives.
    """
    paths = [fault.path for fault in faults(job)]
    entities = {
        key: entity
        for key, entity in job.entities.items()
        if not any(_lies_in(path, f"entities.{printable(key)}") for path in paths)
    }
    return msgspec.structs.replace(job, entities=entities)


def _lies_in(path: str, owner: str) -> bool:
    return path == owner or path.startswith((f"{owner}.", f"{owner}["))


def entity_faults(entities: Entities) -> list[Fault]:
    """Return everything that is wrong with a job's entities."""
    found: list[Fault] = []
    for key, entity in entities.items():
        path = f"entities.{printable(key)}"
        found += id_faults(key, path)
        found += _kind_faults(entity, path)
        found += _references(entity, path, entities)
        if entity.get("kind") == "framing_guess":
            found += _choice_faults(entity, path, entities)
    return [*found, *_weight_faults(entities), *_said_twice(entities)]


def id_faults(key: str, path: str) -> Iterator[Fault]:
    """Yield a fault if an id is a placeholder or no id."""
    if _PLACEHOLDER.fullmatch(key):
        cure = "run validate --fix to give it one, or write your own"
        yield Fault("placeholder-id", path, f"{key!r} stands for an id not yet given", cure)
    elif not _ID.fullmatch(key):
        cure = "use letters, figures, - and _, at most 64, such as kitchen_2"
        yield Fault("bad-id", path, f"{key!a} is no id", cure)


def is_placeholder(key: Any) -> bool:
    """Return whether an id is a ``?`` that waits for :func:`wainscot.job.fix`."""
    return isinstance(key, str) and _PLACEHOLDER.fullmatch(key) is not None


def _kind_faults(entity: Mapping[str, Any], path: str) -> Iterator[Fault]:
    kind = entity.get("kind")
    if kind is None:
        known = ", ".join(KINDS)
        yield Fault("missing-field", f"{path}.kind", "no kind is given", f"add one of: {known}")
    elif str(kind) not in KINDS:
        yield unknown_word("unknown-kind", f"{path}.kind", "kind", str(kind), KINDS)
    else:
        shape = list(misfits(shape_of(KINDS[kind]), entity, path, kind))
        yield from shape
        spoilt = {fault.path for fault in shape}
        yield from _range_faults(kind, entity, path, spoilt)


def _range_faults(
    kind: str, entity: Mapping[str, Any], path: str, spoilt: set[str]
) -> Iterator[Fault]:
    """Yield faults of values that have the right shape; ``spoilt`` are paths that have not."""
    for name, at, value in _fields(kind, entity, path):
        if any(_lies_in(one, at) or _lies_in(at, one) for one in spoilt):
            continue
        if name in BOUNDS:
            yield from _bound_faults(name, at, value)
        elif name == "room.polygon":
            corners = [(length(x), length(y)) for x, y in value]
            yield from ring_faults(corners, at)
        elif name == "room.lengths":
            for side, typed in value.items():
                yield from _bound_faults("room.length", f"{at}.{printable(side)}", typed)
        elif name == "service.path" and len(value) < 2:
            what = f"the run has {len(value)} points"
            yield Fault("few-corners", at, what, "give two or more points [x, y, height]")
        elif name in _PLAIN_CHECKS:
            allowed, wanted, cure = _PLAIN_CHECKS[name]
            if not allowed(value):
                what = f"{value!r} is not {wanted}"
                yield Fault("out-of-range", at, what, cure)
        elif name in DATED:
            yield from dated_faults(value, at)
        elif name in TIMES:
            yield from time_faults(value, at)
        elif name in MOMENTS:
            yield from moment_faults(value, at)
        elif name in ("find.species", "trap_check.species") and value and value not in SPECIES:
            yield unknown_species(at, value)
        elif name == "place":
            yield from _place_faults(value, at)


def _fields(kind: str, entity: Mapping[str, Any], path: str) -> Iterator[tuple[str, str, Any]]:
    """Yield (kind.field, path, bare value) of every field that is given, places included."""
    for field, written in entity.items():
        at = f"{path}.{field}"
        value = bare(written)
        if value is None:
            continue
        if field == "place" and isinstance(value, dict):
            yield "place", at, value
            yield from _fields("place", value, at)
        elif field == "finds" and isinstance(value, list):
            for n, find in enumerate(value):
                if isinstance(find, dict):
                    yield from _fields("find", find, f"{at}[{n}]")
        elif kind == "storey" and field == "floor" and isinstance(value, dict):
            yield from _fields("storey.floor", value, at)
        else:
            yield f"{kind}.{field}", at + (".value" if value is not written else ""), value


def _bound_faults(name: str, at: str, value: Any) -> Iterator[Fault]:
    least, most, excluded = BOUNDS[name]
    metres = length(value)
    field = name.rsplit(".", 1)[-1].replace("_", " ")
    if metres < least or (excluded and metres == least):
        wanted = "above zero" if excluded else f"{least:g} m or more" if least else "zero or more"
        example = 0.4 if most < 10 else 2.4 if least else 0.9
        cure = f"give a {field} {wanted}, such as {example:g} or '{8 if least > 1 else 1} ft'"
        yield Fault("out-of-range", at, f"the {field} {value!r} is not {wanted}", cure)
    elif metres > most:
        cure = "check the unit"
        if not isinstance(value, str):
            cure += f"; a bare number is metres, so write '{value:g} mm' for millimetres"
        what = f"the {field} {value!r} is {metres:g} m, and no {field} is above {most:g} m"
        yield Fault("out-of-range", at, what, cure)


def _is_year(year: int) -> bool:
    return 1000 <= year <= date.max.year and year < 2200


_HASH = re.compile(r"[0-9a-f]{64}")
_STROKES = re.compile(r"(?:[ML]\d{1,3} \d{1,3})*")
_MOST_STROKES = 20_000
"""Characters of a drawn signature; some two thousand points. Judgement."""

_DRAWN = (
    lambda path: len(path) <= _MOST_STROKES and _STROKES.fullmatch(path) is not None,
    "strokes of a signature",
    "write moves and lines in whole numbers, M10 40L12 44, or leave it out",
)

_PLAIN_CHECKS: dict[str, tuple[Any, str, str]] = {
    "authorisation.signature": _DRAWN,
    "signature.signature": _DRAWN,
    "signature.digest": (
        lambda text: _HASH.fullmatch(text) is not None,
        "the SHA-256 of a paper",
        "write the 64 figures and letters a to f that name its bytes",
    ),
    "closed.chance": (
        lambda chance: 0 <= chance <= 1,
        "a chance between 0 and 1",
        "write 0.9 for nine in ten, or leave it out",
    ),
    "storey.level": (
        lambda level: -20 <= level <= 200,
        "a level of a building",
        "write 0 for the ground floor, 1 above it, -1 below",
    ),
    "inspection.share_seen": (
        lambda share: 0 <= share <= 1,
        "a share between 0 and 1",
        "write 0.5 where half of it could be seen",
    ),
    "inspection.nights": (
        lambda nights: 1 <= nights <= 3650,
        "a number of nights",
        "write how many nights the trap stood, 1 or more",
    ),
    "framing_guess.weight": (
        lambda weight: 0 < weight <= 1,
        "a weight above 0 and up to 1",
        "write its share of one, such as 0.5",
    ),
    "paper_plan.image": (
        lambda text: _HASH.fullmatch(text) is not None,
        "the SHA-256 of a picture",
        "write the 64 figures and letters a to f that name its bytes",
    ),
    "paper_plan.size": (
        lambda size: min(size) > 0,
        "a picture's size",
        "write its width and height in pixels, such as [4000, 3000]",
    ),
    "paper_plan.corners": (
        lambda corners: len(corners) == 4,
        "four corners",
        "write where its upper left, upper right, lower right and lower left corner lie",
    ),
    "photo.find": (lambda n: n >= 0, "a find's number", "write 0 for the first find"),
    "settings.year_built": (_is_year, "a year", "write the year in four figures, such as 1934"),
}
"""Check, what is wanted and cure by field; bounds of levels, years and nights are judgement."""


def _place_faults(place: Mapping[str, Any], path: str) -> Iterator[Fault]:
    if place.get("at") is not None and not place.get("storey"):
        what = "the place has a point but no storey"
        yield Fault("place-incomplete", f"{path}.storey", what, 'add "storey": with its id')
    if place.get("along") is not None and not place.get("of"):
        what = "the place says how far along, but not along what"
        cure = 'add "of": with the id of a wall or fixture, or a side such as "kitchen/n1"'
        yield Fault("place-incomplete", f"{path}.of", what, cure)


def _references(entity: Mapping[str, Any], path: str, entities: Entities) -> Iterator[Fault]:
    for name, at, value in _fields(str(entity.get("kind")), entity, path):
        if name in REFERENCES and isinstance(value, str) and value:
            kinds = REFERENCES[name]
            target, slash, _ = value.partition("/")
            if name == "place.of" and slash:
                value, kinds = target, ("room",)
            yield from _reference(value, at, kinds, entities)


def _reference(key: str, path: str, kinds: tuple[str, ...], entities: Entities) -> Iterator[Fault]:
    if key in entities and str(entities[key].get("kind")) in kinds:
        return
    fitting = [one for one, entity in entities.items() if str(entity.get("kind")) in kinds]
    *most, last = (kind.replace("_", " ") for kind in kinds)
    wanted = f"{', '.join(most)} or {last}" if most else last
    like = nearest(key, fitting)
    if like:
        cure = f"write {like!r}"
    elif fitting:
        cure = f"use one of: {', '.join(sorted(fitting)[:8])}"
    else:
        cure = f"add an entity of kind {' or '.join(kinds)} first"
    if key not in entities:
        yield Fault("unknown-id", path, f"no {wanted} has the id {key!a}", cure)
    elif key not in fitting:
        kind = str(entities[key].get("kind")).replace("_", " ")
        what = f"{key!a} is of kind {kind}, and a {wanted} belongs here"
        yield Fault("wrong-reference", path, what, cure)


def _choice_faults(guess: Mapping[str, Any], path: str, entities: Entities) -> Iterator[Fault]:
    choices = guess.get("choices")
    for name, value in choices.items() if isinstance(choices, dict) else ():
        at = f"{path}.choices.{printable(name)}"
        key, *fields = name.split(".")
        if not fields:
            cure = "write the id, a point and the field, such as ground.floor.joists_run"
            yield Fault("bad-choice", at, f"{name!a} names no field", cure)
        elif key not in entities:
            yield from _reference(key, at, tuple(KINDS), entities)
        elif str(entities[key].get("kind")) in KINDS:
            yield from _choice_value(str(entities[key]["kind"]), fields, value, at)


def _choice_value(kind: str, fields: list[str], value: Any, path: str) -> Iterator[Fault]:
    shape = shape_of(KINDS[kind])
    noun = kind
    for field in fields:
        known = (
            {one.encode_name: one.type for one in shape.fields}
            if isinstance(shape, inspect.StructType)
            else {}
        )
        if field not in known:
            yield unknown_word("bad-choice", path, f"field of a {noun}", field, known or ["none"])
            return
        shape, noun = known[field], field
    yield from misfits(shape, value, path, noun)


def _weight_faults(entities: Entities) -> Iterator[Fault]:
    questions: dict[str, dict[str, float]] = {}
    for key, entity in entities.items():
        weight, question = entity.get("weight"), entity.get("question")
        usable = isinstance(weight, (int, float)) and not isinstance(weight, bool)
        if entity.get("kind") == "framing_guess" and usable and isinstance(question, str):
            questions.setdefault(question, {})[key] = float(weight or 0)
    for question, shares in questions.items():
        total = sum(shares.values())
        if not abs(total - 1) <= 1e-3:
            listed = ", ".join(f"{key} {share:g}" for key, share in sorted(shares.items()))
            path = f"entities.{printable(min(shares))}.weight"
            what = f"the weights of question {question!a} sum to {total:g}, not to 1"
            cure = f"change them so that they sum to 1 (now {listed})"
            yield Fault("weights", path, what, cure)


def _said_twice(entities: Entities) -> Iterator[Fault]:
    """Yield a fault where two entities describe the one wall, edge or building."""
    first: dict[tuple[str, ...], str] = {}
    for key, entity in sorted(entities.items()):
        kind = entity.get("kind")
        about: tuple[str, ...]
        if kind == "wall":
            about = ("wall", str(entity.get("room")), str(entity.get("side")))
        elif kind == "edge":
            part = str(entity.get("part", "wall"))
            about = ("edge", str(entity.get("room")), part, str(entity.get("side", "")))
        elif kind == "settings":
            about = ("settings",)
        else:
            continue
        if about in first:
            what = f"{first[about]!a} already describes {' '.join(about).strip()}"
            cure = "keep one of the two"
            yield Fault("said-twice", f"entities.{printable(key)}", what, cure)
        first.setdefault(about, key)
