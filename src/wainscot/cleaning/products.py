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

import re
import tomllib
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
    found = _faults(typed)
    if found:
        raise InputError(found)
    return Label(
        typed["product"], typed["registration"].strip(), duration(typed["contact_time"]) / 60,
        _water(typed.get("dilution", "none")) or 0.0, tuple(typed["surfaces"]),
        tuple(typed.get("protection", ())), _coverage(typed.get("coverage")),
    )  # fmt: skip


_FIELDS = (
    "product", "registration", "contact_time", "dilution", "surfaces", "protection", "coverage",
)  # fmt: skip


def _faults(typed: dict[str, Any]) -> list[Fault]:
    found = [
        unknown_word("label-missing", f"label.{name}", "field of a label", name, _FIELDS)
        for name in typed if name not in _FIELDS
    ]  # fmt: skip
    if typed.get("product") not in products():
        found.append(unknown_word("label-missing", "label.product", "kind of product",
                                  str(typed.get("product", "")), products()))  # fmt: skip
    if not str(typed.get("registration", "")).strip():
        found.append(Fault("label-missing", "label.registration", "no registration number",
                           "copy it from the label; where there is none write 'none'"))  # fmt: skip
    try:
        if duration(typed.get("contact_time", "")) <= 0 and typed.get("product") in products() and (
            products()[typed["product"]].disinfects
        ):  # fmt: skip
            raise QuantityError("a disinfectant needs time", "write 10 min")
    except QuantityError as error:
        found.append(Fault("label-missing", "label.contact_time",
                           f"no contact time to work to: {error.what}",
                           "copy it from the label, such as 10 min"))  # fmt: skip
    allowed = typed.get("surfaces")
    if not isinstance(allowed, list) or not allowed:
        found.append(Fault("label-missing", "label.surfaces", "it allows no surface",
                           f"list those of the label: {', '.join(MATERIALS)}"))  # fmt: skip
    else:
        found += [unknown_word("label-missing", "label.surfaces", "surface", str(one), MATERIALS)
                  for one in allowed if one not in MATERIALS]  # fmt: skip
    if _water(typed.get("dilution", "none")) is None:
        found.append(Fault("label-missing", "label.dilution", f"{typed['dilution']!r} is no "
                           "dilution", "write 1:64, product to water, or 'none'"))  # fmt: skip
    return found


def _water(typed: object) -> float | None:
    if typed == "none":
        return 0.0
    match = _DILUTION.fullmatch(typed) if isinstance(typed, str) else None
    if match is None or float(match.group(1)) == 0:
        return None
    return float(match.group(2)) / float(match.group(1))


def _coverage(typed: object) -> float | None:
    if typed is None:
        return None
    if isinstance(typed, (int, float)) and not isinstance(typed, bool) and typed > 0:
        return float(typed)
    raise InputError([
        Fault("label-missing", "label.coverage", f"{typed!r} is no coverage",
              "write mL on a square metre, such as 150")
    ])  # fmt: skip


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
