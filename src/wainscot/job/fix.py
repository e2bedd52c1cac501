"""What ``validate --fix`` may do by itself: give ids, and write plain slips plainly.

It changes nothing that needs a decision: a mistyped field or an unknown reference stays a fault.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping
from typing import Any

import msgspec

from wainscot.job.entities import KINDS, Job
from wainscot.job.faults import REFERENCES, is_placeholder


def fix(job: Job, seed: int) -> tuple[Job, list[str]]:
    """Return the job with ids given and plain slips mended, and a line for each thing done.

    Ids written ``?``, ``?1``, ``?2`` become such as ``room_k3f9xa``, and references follow.  Kinds
    are written in lower case, spaces round names and titles go, a corner that repeats the one
    before it goes.

    Parameters
    ----------
    job : Job
        Any job that :func:`read` gives.
    seed : int
        Ids follow from it; use one that no other job was fixed with.
    """
    done: list[str] = []
    entities = {key: _mended(key, entity, done) for key, entity in job.entities.items()}
    ids = _new_ids(entities, seed)
    done += [f"{old} is now {new}" for old, new in ids.items()]
    entities = {ids.get(key, key): _renamed(entity, ids) for key, entity in entities.items()}
    key = job.id
    if is_placeholder(key) or not key:
        key = f"job_{_random(seed, 'job', 10)}"
        done.append(f"the job's id is now {key}")
    title = job.title.strip()
    if title != job.title:
        done.append("spaces round the title taken out")
    return msgspec.structs.replace(job, id=key, title=title, entities=entities), done


def _mended(key: str, entity: Mapping[str, Any], done: list[str]) -> dict[str, Any]:
    new = dict(entity)
    kind = new.get("kind")
    if isinstance(kind, str) and kind not in KINDS:
        plain = "_".join(kind.lower().replace("-", " ").replace("_", " ").split())
        if plain in KINDS:
            new["kind"] = plain
            done.append(f"{key}: kind {kind!r} written as {plain!r}")
    name = new.get("name")
    if isinstance(name, str) and name != name.strip():
        new["name"] = name.strip()
        done.append(f"{key}: spaces round the name taken out")
    polygon = new.get("polygon")
    if isinstance(polygon, list) and polygon:
        corners = [point for n, point in enumerate(polygon) if not n or point != polygon[n - 1]]
        if len(corners) > 1 and corners[-1] == corners[0]:
            corners.pop()
        if len(corners) < len(polygon):
            new["polygon"] = corners
            done.append(f"{key}: {len(polygon) - len(corners)} repeated corner(s) taken out")
    return new


def _new_ids(entities: Mapping[str, Mapping[str, Any]], seed: int) -> dict[str, str]:
    taken = set(entities)
    ids: dict[str, str] = {}
    for old in sorted(filter(is_placeholder, entities)):
        kind = str(entities[old].get("kind"))
        word = kind if kind in KINDS else "entity"
        turn = 0
        while (new := f"{word}_{_random(seed, f'{old} {turn}', 6)}") in taken:
            turn += 1
        taken.add(new)
        ids[old] = new
    return ids


def _random(seed: int, salt: str, count: int) -> str:
    digest = hashlib.sha256(f"{seed} {salt}".encode()).digest()
    return base64.b32encode(digest).decode().lower()[:count]


def _renamed(entity: Mapping[str, Any], ids: Mapping[str, str]) -> dict[str, Any]:
    """Return the entity with every reference to a placeholder rewritten."""
    if not ids:
        return dict(entity)
    fields = {name.split(".")[1] for name in REFERENCES}

    def renamed(name: str, value: Any) -> Any:
        if isinstance(value, dict):
            if name == "choices":
                return {_swapped(key, ".", ids): inner for key, inner in value.items()}
            return {inner: renamed(inner, one) for inner, one in value.items()}
        if isinstance(value, list):
            return [renamed(name, one) for one in value]
        return _swapped(value, "/", ids) if name in fields and isinstance(value, str) else value

    return {name: renamed(name, value) for name, value in entity.items()}


def _swapped(text: str, separator: str, ids: Mapping[str, str]) -> str:
    key, mark, rest = text.partition(separator)
    return ids.get(key, key) + mark + rest
