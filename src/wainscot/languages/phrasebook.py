"""Phrases of one language, found by the English sentence that was made from them.

A phrase is English with places in braces, ``{n} steps from {where}``.  What stands in a place is a
sentence or a word of its own and is said in turn.  A text is taken apart into sentences and at
semicolons, and where no phrase fits at ``>`` and colons too; each part is said by itself, whole or
not at all, so that no part is half in one language and half in the other.

Limits: a part longer than :data:`LONGEST` is looked for as a word only, and of one text no more
than :data:`MOST_PARTS` parts are looked up.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files

import msgspec

ENGLISH = "en"

LONGEST = 400
"""Of a text in which places are looked for. [characters]"""

MOST_PARTS = 500
"""Parts of one text that are looked up, so that no text, however made, takes long."""

Breaks = tuple[tuple[re.Pattern[str], str], ...]

BEFORE: Breaks = (
    (re.compile(r"(?<=[.!?]) (?=[^a-z])"), " "),
    (re.compile(r"; (?![^(]*\))"), "; "),
)
AFTER: Breaks = ((re.compile(" > "), " > "), (re.compile(": "), ": "))
"""Where a text is taken apart before phrases are looked for (everywhere) and after (once: what is
left may be a phrase), and what stands there in every language."""

PLACES = {
    "n": r"[\d.,<>]+",
    "label": r"[A-Z]{1,3}\d+",
    "side": "north|east|south|west",
    "labels": r"[A-Z]{1,3}\d+(?:(?:, | and | to )[A-Z]{1,3}\d+)*",
}
"""What a place of this name may hold; one of any other name may hold any text."""

SOURCE = "source"
"""A place that is never translated: title of a book, a code, a page."""

_PLACE = re.compile(r"\{(\w+)\}")
_PLAIN = re.compile(
    r"[A-Z]{1,3}\d+|[\d.,/'\" ]+ ?(m2?|mm|cm|h|kg|l|ft2?|in|%|°C|°F)|[\d.,]+ [A-Z]{3}"
)
"""Labels, lengths and sums of money: the same in every language, as is what holds no letter."""
_SEALED = re.compile(r"[\ue000-\uf8ff]")


class Told(msgspec.Struct, frozen=True):
    """A text in another language, and whether all of it was understood."""

    text: str
    whole: bool


Known = dict[str, Told]
"""What was said already of the text in hand."""


class Phrasebook:
    """The phrases of one language.

    Parameters
    ----------
    phrases : mapping
        From English to the language, both with the same places.
    joins : (str, str)
        What stands between the last two of a list, in English and in the language.
    """

    def __init__(
        self, phrases: Mapping[str, str], joins: tuple[str, str] = (" and ", " y ")
    ) -> None:
        self.words = {english: said for english, said in phrases.items() if "{" not in english}
        with_places = [
            _Phrase(english, said) for english, said in phrases.items() if "{" in english
        ]
        self.phrases = sorted(with_places, key=lambda one: -one.literal)
        self.joins = joins

    def tell(self, text: str, names: Iterable[str] = ()) -> Told:
        """Return a text in this language, as far as it is understood.

        Parameters
        ----------
        text : str
            English.
        names : iterable of str
            What people typed and what stays as it is, unless it is a word of the phrasebook.
        """
        if _SEALED.search(text):  # brings private characters of its own: no room for names
            return self._tell(text, {})
        spellings = {spelt for name in names if name.strip() for spelt in (name, name.lower())}
        sealed, kept = _seal(text, spellings - self.words.keys())
        said = self._tell(sealed, {})
        return Told(_SEALED.sub(lambda one: kept[ord(one[0]) - 0xE000], said.text), said.whole)

    def _tell(self, text: str, known: Known) -> Told:
        """Say a text part by part; a part that is not understood whole stays English."""
        if len(known) > MOST_PARTS:
            return Told(text, whole=False)
        if text not in known:
            known[text] = (
                self._apart(text, BEFORE, 0, known)
                or self._whole(text, known)
                or self._apart(text, AFTER, 1, known)
                or Told(text, whole=False)
            )
        return known[text]

    def _apart(self, text: str, breaks: Breaks, most: int, known: Known) -> Told | None:
        for where, joint in breaks:
            parts = where.split(text, most)
            if len(parts) > 1 and text not in self.words:
                said = [self._tell(part, known) for part in parts]
                return Told(joint.join(one.text for one in said), all(one.whole for one in said))
        return None

    def _whole(self, text: str, known: Known) -> Told | None:
        for way in (self._word, self._phrase, self._list):
            said = way(text, known)
            if said is not None:
                return Told(said, whole=True)
        return None

    def _word(self, text: str, known: Known) -> str | None:
        del known  # a word has no parts
        if text in self.words:
            return self.words[text]
        other = _swapped(text)
        if other in self.words:
            return _like(text, self.words[other])
        return text if _PLAIN.fullmatch(text) or not any(map(str.isalpha, text)) else None

    def _phrase(self, text: str, known: Known) -> str | None:
        for phrase in self.phrases if len(text) <= LONGEST else ():
            found = phrase.places(text) or {}
            said = {
                name: Told(part, whole=True) if name == SOURCE else self._tell(part, known)
                for name, part in found.items()
            }
            if found and all(one.whole for one in said.values()):
                return _like(text, phrase.filled({name: one.text for name, one in said.items()}))
        return None

    def _list(self, text: str, known: Known) -> str | None:
        """Say a list: parts between commas, the last two between what joins them."""
        *first, last = text.split(", ")
        for tail in ([last], last.split(self.joins[0])):
            parts = [*first, *tail]
            said = [self._tell(one, known) for one in parts] if len(parts) > 1 else []
            if said and all(one.whole for one in said):
                *head, end = (one.text for one in said)
                return ", ".join(head) + (self.joins[1] if len(tail) > 1 else ", ") + end
        return None


class _Phrase:
    """English with places, and how it is said."""

    def __init__(self, english: str, said: str) -> None:
        self.said = said
        pieces = _PLACE.split(english)
        self.literal = sum(len(piece) for piece in pieces[::2])
        self.start = pieces[0]
        self.end = pieces[-1]
        self.swapped = _swapped(self.start)
        pattern = "".join(
            re.escape(piece) if n % 2 == 0 else f"(?P<{piece}>{PLACES.get(piece, '.+?')})"
            for n, piece in enumerate(pieces)
        )
        self.pattern = re.compile(pattern)

    def places(self, text: str) -> dict[str, str] | None:
        """Return what stands in each place, or None if the text is not made from this phrase."""
        if not text.endswith(self.end):
            return None
        if self.start and not text.startswith(self.start):
            if not text.startswith(self.swapped):
                return None
            text = _swapped(text)
        found = self.pattern.fullmatch(text)
        return found.groupdict() if found else None

    def filled(self, places: Mapping[str, str]) -> str:
        return _PLACE.sub(lambda one: places[one[1]], self.said)


def _swapped(text: str) -> str:
    """A text whose first letter is small where it was great, and the other way round."""
    return text[:1].swapcase() + text[1:]


def _like(text: str, said: str) -> str:
    """What is said, beginning with a great or a small letter as the text does."""
    if text[:1].isupper():
        return said[:1].upper() + said[1:]
    return said[:1].lower() + said[1:] if text[:1].islower() else said


def _seal(text: str, names: Iterable[str]) -> tuple[str, list[str]]:
    """Put one private character in place of every name, the longest first."""
    kept: list[str] = []
    for name in sorted(names, key=lambda one: (-len(one), one)):
        if name in text and len(kept) < 0x1800:
            pattern = rf"(?<!\w){re.escape(name)}(?!\w)"
            sealed, times = re.subn(pattern, chr(0xE000 + len(kept)), text)
            if times:
                kept.append(name)
                text = sealed
    return text, kept


@cache
def phrasebook(language: str) -> Phrasebook:
    """Return the phrasebook of a language.

    Parameters
    ----------
    language : str
        As in :func:`languages`.

    Raises
    ------
    KeyError
        If there is none.
    """
    return Phrasebook(phrases_of(language))


def phrases_of(language: str) -> dict[str, str]:
    """Return the phrases of a language, of all its files together.

    Parameters
    ----------
    language : str
        As in :func:`languages`.

    Raises
    ------
    KeyError
        If there is none.
    """
    if language not in languages():
        raise KeyError(language)
    phrases: dict[str, str] = {}
    for file in sorted(files(__package__).joinpath(language).iterdir(), key=lambda one: one.name):
        if file.name.endswith(".toml"):
            phrases |= tomllib.loads(file.read_text("utf-8"))
    return phrases


def languages() -> tuple[str, ...]:
    """Return the languages that there is a phrasebook of, by their two letters."""
    return tuple(sorted(one.name for one in files(__package__).iterdir() if len(one.name) == 2))


def tell(text: str, language: str, names: Iterable[str] = ()) -> Told:
    """Return a text in a language, and whether all of it was understood.

    Parameters
    ----------
    text : str
        English, as a step says it.
    language : str
        ``en``, or one of :func:`languages`.
    names : iterable of str
        What people typed and what stays as it is.
    """
    return Told(text, whole=True) if language == ENGLISH else phrasebook(language).tell(text, names)


def say(text: str, language: str, names: Iterable[str] = ()) -> str:
    """Return a text in a language; as it was where it is not understood.

    Parameters
    ----------
    text, language, names
        As in :func:`tell`.
    """
    return tell(text, language, names).text


def names_in(entities: Mapping[str, Mapping[str, object]]) -> tuple[str, ...]:
    """Return what people typed as names in a job, so that it is not translated.

    Parameters
    ----------
    entities : mapping
        Those of the job, as in its file.
    """
    named = (one.get("name") for one in entities.values())
    return tuple(dict.fromkeys(name for name in named if isinstance(name, str) and name))
