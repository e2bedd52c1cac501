"""Does a plain JSON value fit a struct?  Every misfit is told, with its path.

``msgspec.convert`` stops at the first misfit; a person who mends a file wants them all.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache
from typing import Any, get_origin

from msgspec import inspect

from wainscot.errors import Fault, nearest, printable, unknown_word
from wainscot.job.parts import Fact
from wainscot.quantity import QuantityError, length
from wainscot.species import SPECIES, unknown_species

_LARGEST_WHOLE = 2**53 - 1
"""Greatest whole number that every JSON reader keeps exactly (RFC 7493, I-JSON)."""

_EXAMPLES = {
    "wainscot": '"wainscot": 1',
    "id": '"id": "?" and run validate --fix',
    "entities": '"entities": {}',
    "name": '"name": "Kitchen"',
    "room": '"room": with the id of a room',
    "side": '"side": "n1"',
    "type": '"type", what it is',
    "along": '"along": "2 ft" or 0.6, from the left corner',
    "against": '"against": "n1", the side that its back stands at',
    "path": '"path": [[x, y, z], [x, y, z]]',
    "is": '"is": "outside"',
    "place": '"place": {"of": ...} with the id of a room, wall or fixture',
    "question": '"question": "joists", the same text in every rival guess',
    "weight": '"weight": 0.5, its share of one',
    "choices": '"choices": {"ground.floor.joists_run": "x"}',
    "species": '"species": "house mouse", "norway rat" or "roof rat"',
    "kind": '"kind": "droppings", what was found',
    "value": '"value", what the fact is',
    "openings": '"openings": ["board off/..."], ids that wainscot openings prints',
    "opening": '"opening" with the id of an opening',
    "by": '"by", the name of who signed or decided',
    "hold": '"hold": "lead/kitchen", as wainscot release prints it',
    "evidence": '"evidence", the test, survey or certificate that it rests on',
    "storey": '"storey": with the id of a storey',
    "image": '"image": with the SHA-256 of the picture',
    "photo": '"photo": with the SHA-256 of the photo',
    "size": '"size": [4000, 3000], width and height of the picture in pixels',
    "corners": '"corners": [[x, y], ...], where its four corners lie on the plan',
    "start": '"start": [x, y], a point of the picture in pixels',
    "stop": '"stop": [x, y], another point of the picture in pixels',
    "length": '"length": "5 m", how far apart they are',
    "rule": '"rule": "R502.8.1 hole", as the verdict prints it',
    "reason": '"reason", why',
    "at": '"at": "2025-03-14T09:30:00+00:00", when',
    "of": '"of", what is meant',
    "what": '"what", what it was',
    "who": '"who", the account or name of the person',
    "label": '"label" with the id of the product label',
    "product": '"product": "disinfectant", the kind of product',
    "application": '"application" with the id of the application',
    "trap": '"trap" with the id of the trap',
    "state": '"state": "caught", how the trap was found',
    "closes": '"closes" with the id of an entry point, or the way as wainscot seals prints it',
    "material": '"material", what it was closed with',
    "width": '"width": "60 cm"',
    "height": '"height": "40 cm"',
    "paper": '"paper", the kind of the paper',
    "version": '"version", the version of the job that the paper tells of',
    "digest": '"digest" with the SHA-256 of the paper',
    "texts": '"texts": [], the hashes of the texts',
    "entity": '"entity" with the id of what both changed, empty for the job',
    "field": '"field" with the name of what both changed, empty for all of it',
    "winner": '"winner" with the id of an event',
    "others": '"others": [], the ids of the other events',
}


@cache
def shape_of(kind: Any) -> inspect.Type:
    """Return the description of a type that :func:`misfits` reads."""
    return inspect.type_info(kind)


def misfits(shape: inspect.Type, value: Any, path: str, noun: str = "value") -> Iterator[Fault]:
    """Yield a fault for everything in a plain JSON value that does not fit.

    ``noun`` names the thing in messages (``room``).
    """
    if isinstance(shape, inspect.UnionType):
        yield from _union(shape, value, path)
    elif isinstance(shape, inspect.StructType):
        yield from _struct(shape, value, path, noun)
    elif isinstance(shape, inspect.ListType | inspect.VarTupleType):
        yield from _list(shape, value, path)
    elif isinstance(shape, inspect.TupleType):
        yield from _tuple(shape, value, path)
    elif isinstance(shape, inspect.DictType):
        if isinstance(value, dict):
            yield from plain_misfits(value, path)
            if isinstance(shape.value_type, inspect.UnionType):
                for key, inner in value.items():
                    yield from misfits(shape.value_type, inner, f"{path}.{printable(key)}")
        else:
            yield _wrong(path, value, "an object in braces", 'write {"name": value}')
    elif isinstance(shape, inspect.AnyType):
        yield from plain_misfits(value, path)
    else:
        yield from _scalar(shape, value, path)


def plain_misfits(value: Any, path: str, deep: int = 0) -> Iterator[Fault]:
    """Yield a fault for numbers and texts that no record can hold: NaN, broken characters."""
    if deep > 20:
        yield Fault("too-deep", path, "values are nested more than 20 deep", "flatten this value")
    elif isinstance(value, dict):
        for key, inner in value.items():
            at = f"{path}.{printable(key)}"
            yield from plain_misfits(key, at, deep + 1)
            yield from plain_misfits(inner, at, deep + 1)
    elif isinstance(value, list):
        for n, inner in enumerate(value):
            yield from plain_misfits(inner, f"{path}[{n}]", deep + 1)
    elif isinstance(value, str):
        yield from _text(value, path)
    elif isinstance(value, float) and not math.isfinite(value):
        yield Fault("not-finite", path, f"{value} is not a finite number", "write a number")
    elif isinstance(value, int) and abs(value) > _LARGEST_WHOLE:
        yield Fault("not-finite", path, "the whole number is above 2^53", "write a smaller number")


def is_fact(value: Any) -> bool:
    """Return whether a plain value is written as a fact with its basis."""
    return isinstance(value, dict) and "value" in value


def bare(value: Any) -> Any:
    """Return what a fact says, or the value itself."""
    return value["value"] if is_fact(value) else value


def _union(shape: inspect.UnionType, value: Any, path: str) -> Iterator[Fault]:
    if value is None and shape.includes_none:
        return
    facts = [one for one in shape.types if _is_fact_shape(one)]
    plain = tuple(
        one for one in shape.types if one not in facts and not isinstance(one, inspect.NoneType)
    )
    if facts and isinstance(value, dict):
        yield from _fact(plain, value, path)
    elif len(plain) == 1:
        yield from misfits(plain[0], value, path)
    elif words := [one for one in plain if isinstance(one, inspect.LiteralType)]:
        # Words or a plain number, such as a direction.
        number = isinstance(value, (int, float)) and not isinstance(value, bool)
        yield from _scalar(inspect.FloatType() if number else words[0], value, path)
    else:
        yield from _length(value, path)


def _fact(plain: tuple[inspect.Type, ...], value: dict[str, Any], path: str) -> Iterator[Fault]:
    fields = shape_of(Fact[Any])
    assert isinstance(fields, inspect.StructType)
    yield from _struct(fields, value, path, "fact")
    if "value" in value:
        yield from misfits(inspect.UnionType(plain), value["value"], f"{path}.value")


def _is_fact_shape(shape: inspect.Type) -> bool:
    return isinstance(shape, inspect.StructType) and (
        shape.cls is Fact or get_origin(shape.cls) is Fact
    )


def _struct(shape: inspect.StructType, value: Any, path: str, noun: str) -> Iterator[Fault]:
    if not isinstance(value, dict):
        yield _wrong(path, value, "an object in braces", 'write {"name": value}')
        return
    fields = {field.encode_name: field for field in shape.fields}
    tag = {shape.tag_field} if shape.tag_field else set()
    for name in sorted(fields.keys() - value.keys()):
        if fields[name].required:
            what = f"{_article(noun)} has no {name!r}"
            yield Fault("missing-field", f"{path}.{name}", what, f"add {_EXAMPLES[name]}")
    for name, inner in value.items():
        if name in fields:
            inner_noun = name.rstrip("s") if noun != "fact" else "value"
            yield from misfits(fields[name].type, inner, f"{path}.{name}", inner_noun)
        elif name not in tag:
            yield _unknown_field(f"{path}.{printable(name)}", noun, name, list(fields))


def _unknown_field(path: str, noun: str, name: str, known: list[str]) -> Fault:
    like = nearest(name, known)
    cure = f"write {like!r}" if like else f"take it out; there are: {', '.join(sorted(known))}"
    what = f"no field of {_article(noun)} is called {name[:60]!r}"
    return Fault("unknown-field", path, what, cure)


def _list(shape: inspect.ListType | inspect.VarTupleType, value: Any, path: str) -> Iterator[Fault]:
    if not isinstance(value, list):
        yield _wrong(path, value, "a list", "write [...]")
        return
    noun = path.rsplit(".", 1)[-1].rstrip("s")
    for n, inner in enumerate(value):
        yield from misfits(shape.item_type, inner, f"{path}[{n}]", noun)


def _tuple(shape: inspect.TupleType, value: Any, path: str) -> Iterator[Fault]:
    wanted = len(shape.item_types)
    if not isinstance(value, list) or len(value) != wanted:
        written = "[x, y]" if wanted == 2 else "[x, y, z]"
        yield _wrong(path, value, f"a point of {wanted} lengths", f"write {written}")
        return
    for n, (item, inner) in enumerate(zip(shape.item_types, value, strict=True)):
        yield from misfits(item, inner, f"{path}[{n}]")


def _length(value: Any, path: str) -> Iterator[Fault]:
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        yield _wrong(path, value, "a length", "write text with a unit ('38 mm') or metres (2.4)")
        return
    try:
        length(value)
    except QuantityError as error:
        yield Fault("bad-length", path, error.what, error.cure)


def _scalar(shape: inspect.Type, value: Any, path: str) -> Iterator[Fault]:
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    if isinstance(shape, inspect.LiteralType):
        yield from _choice(shape, value, path)
    elif isinstance(shape, inspect.StrType):
        if isinstance(value, str):
            yield from _text(value, path)
        else:
            yield _wrong(path, value, "text", f"write it in quotes: {_quoted(value)}")
    elif isinstance(shape, inspect.BoolType):
        if not isinstance(value, bool):
            yield _wrong(path, value, "true or false", "write true or false, without quotes")
    elif isinstance(shape, inspect.IntType) and not (number and isinstance(value, int)):
        yield _wrong(path, value, "a whole number", "write a whole number, such as 1")
    elif isinstance(shape, inspect.FloatType) and not number:
        yield _wrong(path, value, "a number", "write a number, such as 0.5")
    else:
        yield from plain_misfits(value, path)


def _choice(shape: inspect.LiteralType, value: Any, path: str) -> Iterator[Fault]:
    if any(value == one and type(value) is type(one) for one in shape.values):
        return
    known = [str(one) for one in shape.values if one != ""]
    if isinstance(value, str) and isinstance(shape.values[0], str):
        *_, last = path.removesuffix(".value").rsplit(".", 1)
        if known == list(SPECIES):
            yield unknown_species(path, value)
        else:
            yield unknown_word("unknown-choice", path, last.replace("_", " "), value, known)
    else:
        yield _wrong(path, value, f"one of {', '.join(known)}", f"write {known[0]}")


def _text(value: str, path: str) -> Iterator[Fault]:
    try:
        value.encode("utf-8")
    except UnicodeEncodeError:
        what = f"the text {value[:40]!a} holds half a character"
        yield Fault("bad-text", path, what, "type it again")


def _wrong(path: str, value: Any, wanted: str, cure: str) -> Fault:
    return Fault("wrong-type", path, f"{_named(value)} stands where {wanted} belongs", cure)


def _named(value: Any) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "an object in braces"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    shown = ascii(value) if isinstance(value, str) else str(value)
    return f"{'the text' if isinstance(value, str) else 'the number'} {shown[:40]}"


def _quoted(value: Any) -> str:
    return f'"{value}"' if isinstance(value, (int, float)) else '"..."'


def _article(noun: str) -> str:
    spaced = noun.replace("_", " ")
    return f"{'an' if spaced[:1] in 'aeiou' else 'a'} {spaced}"
