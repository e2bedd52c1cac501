"""Reading facts: unwrap, convert to metres, and keep account of every default that stepped in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from wainscot.job import Fact
from wainscot.plan import defaults
from wainscot.plan.model import Assumption
from wainscot.quantity import Units, length, show_length
from wainscot.sources import Cited

MOST_NAMES = 3


def known(field: Any) -> Any:
    """Return the value of a field with or without its basis; None where nobody knows."""
    if isinstance(field, Fact):
        return field.value
    return field


def basis(field: Any) -> str:
    """Return where a field's value comes from; ``default`` where nobody knows."""
    if field is None:
        return "default"
    return str(field.basis) if isinstance(field, Fact) else "seen"


def metres(field: Any) -> float | None:
    """Return a length field, or None where nobody knows. [m]"""
    typed = known(field)
    return None if typed is None else length(typed)


class Ledger:
    """Collects defaults used, and tells each of them once with the places it stands for."""

    def __init__(self, country: str, units: Units) -> None:
        self.country = country
        self.units = units
        self._uses: dict[tuple[str, str], list[tuple[str, str]]] = {}

    def length(self, field: Any, name: str, path: str, where: str, words: str = "") -> float:
        """Return a length [m], or the default called ``name``, and note that it was assumed."""
        given = metres(field)
        if given is not None:
            if basis(field) == "default":
                self._note(words or name, show_length(given, self.units), path, where, None)
            return given
        cited = defaults.value(name, self.country)
        self.default(cited, words or name, path, where)
        return cited.value

    def default(self, cited: Cited, words: str, path: str, where: str) -> None:
        """Note a default length."""
        self._note(words, show_length(cited.value, self.units), path, where, cited)

    def together(self, missing: Sequence[tuple[str, Cited]], path: str, where: str) -> None:
        """Note several default lengths of one thing in one line."""
        if missing:
            shown = [f"{name} {show_length(cited.value, self.units)}" for name, cited in missing]
            standings = dict.fromkeys(_standing(cited) for _, cited in missing)
            words = f"{', '.join(shown)} assumed ({'; '.join(standings)})"
            self._uses.setdefault((words, ", ".join(shown)), []).append(
                (f"{path}.{missing[0][0]}", where)
            )

    def word(self, field: Any, default: str, words: str, path: str, where: str) -> str:
        """Return a word, or the default, and note that it was assumed."""
        given = known(field)
        if given is not None and basis(field) != "default":
            return str(given)
        chosen = default if given is None else str(given)
        self._note(words, chosen, path, where, None)
        return chosen

    def _note(self, words: str, value: str, path: str, where: str, cited: Cited | None) -> None:
        status = "common practice" if cited is None else _standing(cited)
        uses = self._uses.setdefault((f"{words} assumed {value} ({status})", value), [])
        if (path, where) not in uses:
            uses.append((path, where))

    def assumptions(self) -> tuple[Assumption, ...]:
        """Return each default once, with the places that it stands for."""
        told = []
        for (words, value), uses in self._uses.items():
            places = list(dict.fromkeys(where for _, where in uses if where))
            shown = ", ".join(places[:MOST_NAMES])
            rest = len(places) - MOST_NAMES
            if rest > 0:
                shown += f" and {rest} more"
            said = f"{words}: {shown}" if shown else words
            told.append(Assumption(uses[0][0], said, value, tuple(uses)))
        return tuple(sorted(told, key=lambda one: (one.words, one.path)))


def _standing(cited: Cited) -> str:
    if cited.status in ("common practice", "judgement"):
        return cited.status
    if cited.source == "common practice":
        return "common practice"
    return f"{cited.source}, {cited.status}"
