"""The judged rates one by one, and tables in which one of them is other than judged.

What belongs together is one rate: a list over amounts, a table over species.  Chances stay chances:
what excludes each other stays under 0.97 together, and lists that sum to one still do.

>>> name = next(one for one in judged_rates(DEFAULT) if one.words == "droppings: false alarms")
>>> scaled(DEFAULT, name, 2.0).kind("droppings").numbers("false").tolist()
[0.016, 0.0034, 0.0006]

Limits: rates of passages and ways in are judged too, but belong to the graph, not to the signs.
"""

from __future__ import annotations

from typing import Any, Literal

import msgspec
import numpy as np

from wainscot.signs.rates import DEFAULT, Rates

__all__ = ["DEFAULT", "RateName", "judged_rates", "scaled"]

MOST = 0.97
"""No chance is raised above this. [1]"""

_PLAIN = {
    "spots", "shy_nights", "cuts", "emission", "nest_adds", "carcass", "room_changes",
    "hidden_changes", "passage_speed", "scale_spread", "nose_spread", "meter_threshold",
    "meter_least", "meter_spread", "product_days", "most", "arrive_days", "leave_days", "blur",
}  # fmt: skip
"""Keys that hold no chances."""

_WORDS = {
    "false": "false alarms",
    "named_right": "species named rightly",
    "left_light": "left in light soil",
    "left_heavy": "left in heavy soil",
    "left_nest": "left by a nest",
    "left_past": "left where animals went before",
    "left_now": "left where animals go now",
    "entry_past": "left at a way in used before",
    "entry_now": "left at a way in used now",
    "spots": "number of separate patches",
    "said": "mistakes with the void open",
    "catch": "nightly catch",
    "shy_nights": "nights before a new object is taken up",
    "least": "least chance of anything reported",
    "fresh_past": "called fresh though of the past",
    "fresh_now": "called fresh and of now",
    "fresh_false": "called fresh though no animal's",
}


class RateName(msgspec.Struct, frozen=True, order=True):
    """One judged rate: where it stands, and in words."""

    table: Literal["rates", "methods", "repeat", "otherwise", "soil", "nest", "load"]
    section: str
    key: str

    @property
    def words(self) -> str:
        """For people: ``droppings: false alarms``."""
        if self.table == "rates":
            return f"{self.section}: {_WORDS.get(self.key, self.key.replace('_', ' '))}"
        if self.table == "methods":
            return f"{self.section}: notices {self.key}"
        if self.table == "repeat":
            return f"{self.section}: how far a second look repeats the first"
        if self.table == "otherwise":
            return "any method: notices what its row does not list"
        if self.table == "load":
            return "heavily infested houses"
        return f"{self.section} voids: {'soil' if self.table == 'soil' else 'nests'}"


def judged_rates(rates: Rates = DEFAULT) -> tuple[RateName, ...]:
    """Return every judged rate, sorted.

    Parameters
    ----------
    rates : Rates, optional
        The tables.
    """
    found = [
        RateName("rates", name, key)
        for name, section in rates.sections.items()
        if section.standing == "judgement"
        for key, value in section.values.items()
        if key != "published" and _numeric(value)
    ]
    for name, method in rates.methods.items():
        found += [RateName("methods", name, kind) for kind in method.shows]
        found.append(RateName("repeat", name, ""))
    found += [RateName("soil", name, "") for name in rates.classes]
    found += [RateName("nest", name, "") for name in rates.classes]
    return tuple(sorted([*found, RateName("otherwise", "", ""), RateName("load", "", "")]))


def _numeric(value: Any) -> bool:
    if isinstance(value, dict):
        return all(_numeric(each) for each in value.values())
    return isinstance(value, (int, float, list))


def scaled(rates: Rates, name: RateName, factor: float) -> Rates:
    """Return the tables with one rate multiplied.

    Parameters
    ----------
    rates : Rates
        The tables.
    name : RateName
        One of :func:`judged_rates`.
    factor : float
        What it is multiplied by. [1]
    """
    replace = msgspec.structs.replace
    if name.table == "rates":
        section = rates.sections[name.section]
        change = _times if name.key in _PLAIN else _scaled
        values = {**section.values, name.key: change(section.values[name.key], factor)}
        sections = {**rates.sections, name.section: replace(section, values=values)}
        return replace(rates, sections=sections)
    if name.table in ("methods", "repeat"):
        method = rates.methods[name.section]
        if name.table == "methods":
            shows = {**method.shows, name.key: _number(method.shows[name.key], factor)}
            method = replace(method, shows=shows)
        else:
            method = replace(method, repeat=_number(method.repeat, factor))
        return replace(rates, methods={**rates.methods, name.section: method})
    if name.table == "otherwise":
        return replace(rates, otherwise=_number(rates.otherwise, factor))
    if name.table == "load":
        return replace(rates, load=tuple(_share(list(rates.load), factor, last=True)))
    row = rates.classes[name.section]
    if name.table == "soil":
        soil = tuple(tuple(_share(list(each), factor)) for each in row.soil)
        row = msgspec.convert({**msgspec.to_builtins(row), "soil": soil}, type(row))
    else:
        nest = [_number(each, factor) for each in row.nest]
        row = msgspec.convert({**msgspec.to_builtins(row), "nest": nest}, type(row))
    return replace(rates, classes={**rates.classes, name.section: row})


def _times(value: Any, factor: float) -> Any:
    if isinstance(value, dict):
        return {key: _times(each, factor) for key, each in value.items()}
    if isinstance(value, list):
        return [_times(each, factor) for each in value]
    return float(value) * factor


def _number(value: float, factor: float) -> float:
    return min(value * factor, max(MOST, value))


def _scaled(value: Any, factor: float) -> Any:
    if isinstance(value, dict):
        return {key: _scaled(each, factor) for key, each in value.items()}
    if not isinstance(value, list):
        return _number(float(value), factor)
    if isinstance(value[0], list):
        square = len(value) == len(value[0])
        if square and all(abs(sum(row) - 1.0) < 1e-6 for row in value):
            return [_mistaken(row, i, factor) for i, row in enumerate(value)]
        return [_scaled(row, factor) for row in value]
    array = np.asarray(value, dtype=np.float64)
    if abs(array.sum() - 1.0) < 1e-6 and len(value) > 1:
        return _share(value, factor)
    changed = array * factor
    if array.max() < 1.0:
        whole = float(changed.sum() if array.sum() <= 1.0 else changed.max())
        changed *= min(1.0, MOST / max(whole, 1e-12))
    return [float(each) for each in changed]


def _share(value: list[float], factor: float, last: bool = False) -> list[float]:
    """Scale all but the first (or the last alone) of what sums to one; the rest make up for it."""
    chosen = np.arange(len(value)) == len(value) - 1 if last else np.arange(len(value)) > 0
    array = np.asarray(value, dtype=np.float64)
    part = float(array[chosen].sum())
    wanted = min(part * factor, MOST)
    scale = np.where(chosen, wanted / part, (1.0 - wanted) / max(1.0 - part, 1e-12))
    return [float(each) for each in array * scale]


def _mistaken(row: list[float], right: int, factor: float) -> list[float]:
    """Scale the mistakes of one row, where the diagonal is right."""
    array = np.asarray(row, dtype=np.float64)
    wrong = np.arange(len(row)) != right
    wanted = min(float(array[wrong].sum()) * factor, 0.5)
    array[wrong] *= wanted / float(array[wrong].sum())
    array[right] = 1.0 - wanted
    return [float(each) for each in array]
