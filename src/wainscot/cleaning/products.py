"""Kinds of product, and the label of what is in the hand, which wins.

A label is typed in TOML::

    product = "disinfectant"
    registration = "0000-00"
    contact_time = "10 min"
    dilution = "1:64"                  # parts product to parts water; "none" for as it is
    surfaces = ["sealed", "wood"]      # what it allows
    protection = ["gloves", "goggles"]

Limits: wainscot does not read labels; what was typed is taken at its word and recorded.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any, Literal, get_args

import msgspec

from wainscot.errors import Fault, InputError, unknown_word
from wainscot.quantity import QuantityError, duration

Material = Literal["sealed", "wood", "gypsum paper", "masonry", "metal", "fabric"]
MATERIALS: tuple[str, ...] = get_args(Material)
_DILUTION = re.compile(r"\s*(\d+(?:\.\d+)?)\s*:\s*(\d+(?:\.\d+)?)\s*")


class Product(msgspec.Struct, frozen=True):
    """A kind of product."""

    name: str
    disinfects: bool
    dilute: bool
    coverage: float
    """To glisten on a sealed surface; a setting, common practice. In mL on a square
    metre. [unit]"""
    never_with: tuple[str, ...]
    after: tuple[str, ...]
    notes: str


class Label(msgspec.Struct, frozen=True):
    """What the label of the product in the hand says, as typed; recorded with the plan."""

    product: str
    registration: str
    contact: float
    """Time it must stay wet. [min]"""
    water: float
    """Parts of water to one of product; 0 as it is. [1]"""
    surfaces: tuple[str, ...]
    protection: tuple[str, ...]
    coverage: float | None = None
    """On a sealed surface, where the label says. [unit]"""


@cache
def products() -> dict[str, Product]:
    """Return every kind of product by its key."""
    text = resources.files("wainscot.cleaning").joinpath("products.toml").read_text("utf-8")
    return msgspec.convert(tomllib.loads(text), dict[str, Product])


def read_label(text: str) -> Label:
    """Return a label as typed.

    Parameters
    ----------
    text : str
        TOML, as at the head of this module.

    Raises
    ------
    InputError
        With everything that is wrong: a label without contact time, registration or surfaces stops
        the plan.
    """
    try:
        typed = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError([
            Fault("label-missing", "label", f"it is no TOML: {error}", "mend that line")
        ]) from None  # fmt: skip
    return label_of(typed)


def label_of(typed: Mapping[str, Any], path: str = "label") -> Label:
    """Return a label from its fields as typed.

    Parameters
    ----------
    typed : mapping
        Field to value, as at the head of this module.
    path : str
        Where the label stands, for messages.

    Raises
    ------
    InputError
        As :func:`read_label`.
    """
    found = _faults(typed, path)
    if found:
        raise InputError(found)
    return Label(
        typed["product"], str(typed["registration"]).strip(), duration(typed["contact_time"]) / 60,
        _water(typed.get("dilution", "none")) or 0.0, tuple(typed["surfaces"]),
        tuple(typed.get("protection", ())), typed.get("coverage"),
    )  # fmt: skip


_FIELDS = (
    "product", "registration", "contact_time", "dilution", "surfaces", "protection", "coverage",
)  # fmt: skip


def _faults(typed: Mapping[str, Any], path: str) -> list[Fault]:
    def lacks(field: str, what: str, cure: str) -> Fault:
        return Fault("label-missing", f"{path}.{field}", what, cure)

    found = [
        unknown_word("label-missing", f"{path}.{name}", "field of a label", name, _FIELDS)
        for name in typed if name not in _FIELDS
    ]  # fmt: skip
    kind = products().get(str(typed.get("product", "")))
    if kind is None:
        found.append(unknown_word("label-missing", f"{path}.product", "kind of product",
                                  str(typed.get("product", "")), products()))  # fmt: skip
    if not str(typed.get("registration", "")).strip():
        found.append(lacks("registration", "no registration number",
                           "copy it from the label; where there is none write 'none'"))  # fmt: skip
    try:
        # A bare number would be seconds, and a label says minutes.
        if (
            duration(str(typed.get("contact_time", "")) or "none") <= 0
            and kind is not None
            and kind.disinfects
        ):
            raise QuantityError("a disinfectant needs time", "write 10 min")
    except QuantityError as error:
        found.append(lacks("contact_time", f"no contact time to work to: {error.what}",
                           "copy it from the label, such as 10 min"))  # fmt: skip
    found += _surface_faults(typed.get("surfaces"), path)
    protection = typed.get("protection", [])
    if not isinstance(protection, list) or not all(isinstance(one, str) for one in protection):
        found.append(lacks("protection", f"{protection!r} is no list of words",
                           'write ["gloves", "goggles"]'))  # fmt: skip
    if _water(typed.get("dilution", "none")) is None:
        found.append(lacks("dilution", f"{typed['dilution']!r} is no dilution",
                           "write 1:64, product to water, or 'none'"))  # fmt: skip
    if (amount := typed.get("coverage")) is not None and not _is_amount(amount):
        found.append(lacks("coverage", f"{amount!r} is no coverage",
                           "write mL on a square metre, such as 150"))  # fmt: skip
    return found


def _surface_faults(allowed: object, path: str) -> list[Fault]:
    if not isinstance(allowed, list) or not allowed:
        return [Fault("label-missing", f"{path}.surfaces", "it allows no surface",
                      f"list those of the label: {', '.join(MATERIALS)}")]  # fmt: skip
    return [unknown_word("label-missing", f"{path}.surfaces", "surface", str(one), MATERIALS)
            for one in allowed if one not in MATERIALS]  # fmt: skip


def _is_amount(typed: object) -> bool:
    return isinstance(typed, (int, float)) and not isinstance(typed, bool) and 0 < typed < math.inf


def _water(typed: object) -> float | None:
    if typed == "none":
        return 0.0
    match = _DILUTION.fullmatch(typed) if isinstance(typed, str) else None
    if match is None or float(match.group(1)) == 0:
        return None
    return float(match.group(2)) / float(match.group(1))


def may_follow(first: str, then: str) -> str:
    """Return why one product may not follow another on the same surface; empty if it may.

    Parameters
    ----------
    first, then : str
        Kinds of product, or ``ammonia`` and ``acid``.
    """
    known = products()
    barred = first in known and then in known[first].never_with
    if barred or (then in known and first in known[then].never_with):
        return (
            f"{then} may not meet {first}: rinse and let it dry between, or choose another; "
            "bleach with ammonia or acid gives a gas that kills"
        )
    if first == "sealer" and then in known:
        return f"nothing goes over the sealer: {then} comes before it"
    if first in known and then == "enzyme" and known[first].disinfects:
        return "clean first, then disinfect: soil defeats a disinfectant"
    return ""
