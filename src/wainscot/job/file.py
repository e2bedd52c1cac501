"""The job file: JSON text to a job and back.

Limits: :func:`read` refuses only what cannot be held as a job at all (no JSON, an id twice, an
entity that is no object); whatever can be held is held, and :func:`wainscot.job.faults` says what
is wrong with it.  When it refuses, it lists those faults as well, so that all come at once.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from typing import Any, Literal

import msgspec

from wainscot.errors import Fault, InputError, printable
from wainscot.job.entities import KINDS, Conflict, Job
from wainscot.job.faults import entity_faults, id_faults, is_placeholder
from wainscot.job.shape import misfits, shape_of

VERSION = 1
"""Version of the job file; stands in it as ``"wainscot": 1``."""

_WIDTH = 100


class Header(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What stands at the top of a job file."""

    wainscot: Literal[1]
    id: str
    entities: dict[str, Any]
    title: str = ""
    units: Literal["ft-in", "m"] = "m"
    conflicts: list[Conflict] = []


class _Pairs(dict[str, Any]):
    """A JSON object that remembers the names which stood in it twice."""

    twice: tuple[str, ...] = ()


def read(text: str | bytes) -> Job:
    """Return the job that a job file holds.

    Parameters
    ----------
    text : str or bytes
        Content of the file, UTF-8.

    Raises
    ------
    InputError
        If it is no JSON, its header is wrong, a name stands twice or an entity is no object.
    """
    content = _parsed(text)
    found = list(_file_faults(content))
    if found:
        if isinstance(content, dict) and isinstance(content.get("entities"), dict):
            entities = {k: v for k, v in content["entities"].items() if isinstance(v, dict)}
            found += entity_faults(entities)
        raise InputError(sorted(set(found)))
    return Job(
        id=content["id"],
        title=content.get("title", ""),
        units=content.get("units", "m"),
        entities={key: _plain(entity) for key, entity in content["entities"].items()},
        conflicts=tuple(
            msgspec.convert(_plain(one), type=Conflict) for one in content.get("conflicts", [])
        ),
    )


def write(job: Job) -> str:
    """Return a job as the text of its file; :func:`read` gives the same job back.

    Entities stand by kind and id, fields in the order of their kind, short values on one line.
    """
    content: dict[str, Any] = {
        "wainscot": VERSION,
        "id": job.id,
        "title": job.title,
        "units": job.units,
        "entities": {
            key: _ordered(job.entities[key])
            for key in sorted(job.entities, key=lambda key: (_rank(job.entities[key]), key))
        },
    }
    if job.conflicts:
        content["conflicts"] = [msgspec.to_builtins(one) for one in job.conflicts]
    return _pretty(content, 0, first=2) + "\n"


def new(title: str, units: Literal["ft-in", "m"] = "m", *, seed: int) -> Job:
    """Return an empty job whose id follows from the arguments.

    Parameters
    ----------
    title : str
        What people call the job.
    units : {"ft-in", "m"}
        What people read.
    seed : int
        Any number that no other job of this title was made with.
    """
    digest = hashlib.sha256(json.dumps([title, units, seed]).encode()).hexdigest()
    return Job(id=f"job_{digest[:10]}", title=title, units=units)


def _parsed(text: str | bytes) -> Any:
    try:
        plain = text.decode("utf-8-sig") if isinstance(text, bytes) else text.removeprefix("\ufeff")
        if not plain.strip():
            cure = "begin one with wainscot new, or name another file"
            raise _refused("empty-file", "the file", "the file is empty", cure)
        return json.loads(plain, object_pairs_hook=_pairs)
    except UnicodeDecodeError as error:
        what = f"byte {error.start} is not UTF-8 text"
        raise _refused("not-utf-8", "the file", what, "save the file as UTF-8") from None
    except json.JSONDecodeError as error:
        at = f"line {error.lineno}, column {error.colno}"
        cure = "mend the JSON there: look for a comma, quote or brace missing or too many"
        raise _refused("not-json", at, f"not JSON ({error.msg.lower()})", cure) from None
    except RecursionError:
        cure = "a job needs no more than a few levels of braces"
        raise _refused("too-deep", "the file", "values are nested too deep", cure) from None
    except ValueError:
        cure = "look for a number of thousands of digits"
        raise _refused("not-finite", "the file", "a number is too long to read", cure) from None


def _refused(code: str, path: str, what: str, cure: str) -> InputError:
    return InputError([Fault(code, path, what, cure)])


def _pairs(pairs: list[tuple[str, Any]]) -> _Pairs:
    found = _Pairs(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        found.twice = tuple(sorted({name for name in names if names.count(name) > 1}))
    return found


def _file_faults(content: Any) -> Iterator[Fault]:
    if not isinstance(content, dict):
        yield Fault(
            "wrong-type", "the file", "the file holds no object",
            'a job file begins with {"wainscot": 1, "id": ..., "entities": {...}}',
        )  # fmt: skip
        return
    entities = content.get("entities")
    top = {**content, "entities": {}} if isinstance(entities, dict) else content
    for fault in misfits(shape_of(Header), top, "", "job file"):
        if fault.path != ".wainscot" or "wainscot" not in content:
            yield msgspec.structs.replace(fault, path=fault.path.lstrip("."))
        else:
            what = f"the job file is of version {str(content['wainscot'])[:20]}, not {VERSION}"
            cure = f'write "wainscot": {VERSION}, or use the program that wrote the file'
            yield Fault("wrong-version", "wainscot", what, cure)
    if isinstance(content.get("id"), str) and not is_placeholder(content["id"]):
        yield from id_faults(content["id"], "id")
    yield from _twice(content, "")
    for key, entity in entities.items() if isinstance(entities, dict) else ():
        if not isinstance(entity, dict):
            path = f"entities.{printable(key)}"
            what = "an entity stands here that is no object in braces"
            yield Fault("wrong-type", path, what, 'write {"kind": "room", ...}')


def _twice(value: Any, path: str) -> Iterator[Fault]:
    """Yield a fault for every name that stands twice in one object."""
    if isinstance(value, _Pairs):
        for name in value.twice:
            at = printable(f"{path}.{name}".lstrip("."))
            if path != "entities":
                cure = "keep one of them"
                yield Fault("duplicate-field", at, f"{name!r} stands twice in one object", cure)
            elif name.startswith("?"):
                cure = 'number the placeholders: "?1", "?2"'
                yield Fault("duplicate-id", at, f"two entities have the id {name!r}", cure)
            else:
                cure = f"rename one, such as {name + '_2'!r}"
                yield Fault("duplicate-id", at, f"two entities have the id {name!r}", cure)
        for name, inner in value.items():
            yield from _twice(inner, f"{path}.{name}".lstrip("."))
    elif isinstance(value, list):
        for n, inner in enumerate(value):
            yield from _twice(inner, f"{path}[{n}]")


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _plain(inner) for name, inner in value.items()}
    if isinstance(value, list):
        return [_plain(inner) for inner in value]
    return value


def _rank(entity: dict[str, Any]) -> int:
    kinds = list(KINDS)
    return kinds.index(entity["kind"]) if entity.get("kind") in kinds else len(kinds)


def _ordered(entity: dict[str, Any]) -> dict[str, Any]:
    kind = KINDS.get(str(entity.get("kind")))
    names = ["kind"]
    if kind is not None:
        names += [field.encode_name for field in msgspec.structs.fields(kind)]
    order = {name: n for n, name in enumerate(names)}
    return {
        name: entity[name]
        for name in sorted(entity, key=lambda name: (order.get(name, len(order)), name))
    }


def _pretty(value: Any, indent: int, first: int = 0, name: str = "") -> str:
    """Return JSON with a value on one line where it fits; ``first`` levels are always opened."""
    line = name + json.dumps(value, ensure_ascii=False, allow_nan=False)
    fits = first <= 0 and indent + len(line) < _WIDTH
    if fits or not isinstance(value, (dict, list)) or not value:
        return line
    step = " " * (indent + 2)
    if isinstance(value, dict):
        names = [json.dumps(key, ensure_ascii=False) + ": " for key in value]
        rows = [
            _pretty(inner, indent + 2, first - 1, key)
            for key, inner in zip(names, value.values(), strict=True)
        ]
    else:
        rows = [_pretty(inner, indent + 2, first - 1) for inner in value]
    start, end = "{}" if isinstance(value, dict) else "[]"
    body = ",\n".join(step + row for row in rows)
    return f"{name}{start}\n{body}\n{' ' * indent}{end}"
