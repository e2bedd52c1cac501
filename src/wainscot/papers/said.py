"""Sentences of the steps and words of a paper, in the language of the paper.

    say = Say("es", names=("Kitchen",), words={"hours": "{n} horas"})
    say("under the bath")            # Said("bajo la bañera", "es")
    say.word("hours", n="2.5")       # "2.5 horas"

A sentence that the phrasebook does not know stays English and says so (``lang``), so that a
reader's screen speaks it as English.

Limits: figures are written alike in every language, with a decimal point, as the sentences have
them; both are right in Spanish.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence

import msgspec

from wainscot import languages
from wainscot.job import ERASED
from wainscot.languages import ENGLISH, Told

LANGUAGES = (ENGLISH, *languages.languages())
"""Languages that papers are written in, by their two letters."""


QUOTED = ("by", "who", "owner", "reason", "registration")
"""Fields of a job, beside names, whose text a sentence of a step may quote."""


def quoted_in(entities: Mapping[str, Mapping[str, object]]) -> tuple[str, ...]:
    """Return what people typed in a job that is no name and that sentences quote.

    Parameters
    ----------
    entities : mapping
        Those of the job, as in its file.
    """
    found = (one.get(field) for one in entities.values() for field in QUOTED)
    return tuple(dict.fromkeys(text for text in found if isinstance(text, str) and text))


def told(text: str, language: str, names: Sequence[str], quoted: Sequence[str]) -> Told:
    """Return a sentence in a language, and whether it was understood.

    A sentence is taken apart at full stops and colons, so that one in somebody's name would leave
    it English; but somebody may go by a word of the sentences ("owner"), so what is quoted counts
    only where it helps.

    Parameters
    ----------
    text : str
        English, as a step says it.
    language : str
        One of :data:`LANGUAGES`.
    names, quoted : sequence of str
        What people typed: what stays as it is, and what stays where the sentence else is English.
    """
    found = languages.tell(text, language, names)
    if found.whole or not quoted:
        return found
    again = languages.tell(text, language, (*names, *quoted))
    return again if again.whole else found


class Said(msgspec.Struct, frozen=True):
    """A sentence and the language that it came out in."""

    text: str
    lang: str


class Say:
    """Says what the steps and a paper have to say in one language.

    Parameters
    ----------
    language : str
        One of :data:`LANGUAGES`.
    names : iterable of str
        What people typed and what stays as it is.
    words : mapping
        The paper's words by their keys; values go into braces.
    quoted : iterable of str
        What else people typed and sentences quote.
    """

    def __init__(
        self, language: str, names: Iterable[str] = (), words: Mapping[str, object] | None = None,
        quoted: Iterable[str] = (),
    ) -> None:  # fmt: skip
        self.language = language
        self._names, self._quoted = tuple(names), tuple(quoted)
        self._words = words or {}

    def __call__(self, text: str) -> Said:
        """Return a sentence of a step in this language, or in English where it is not known."""
        said = told(text, self.language, self._names, self._quoted)
        return Said(said.text, self.language if said.whole else ENGLISH)

    def all(self, texts: Iterable[str]) -> tuple[Said, ...]:
        """Return several sentences, each once."""
        return tuple(self(text) for text in dict.fromkeys(texts) if text)

    def word(self, key: str, **values: object) -> str:
        """Return a word of the paper, with values in its braces.

        Raises
        ------
        KeyError
            If the paper has no such word.
        """
        return str(self._words[key]).format(**{k: _text(v) for k, v in values.items()})

    def day(self, at: str) -> str:
        """Return the day of a time as typed, in words; the text as it is where it holds none."""
        try:
            day = datetime.date.fromisoformat(at[:10])
        except ValueError:
            return at
        months = self._words["months"]
        assert isinstance(months, Sequence)
        return self.word("date", day=day.day, month=months[day.month - 1], year=day.year)

    def moment(self, at: str) -> str:
        """Return day and time of day, as the clock on the job showed them."""
        clock = at[11:16]
        return f"{self.day(at)}, {clock}" if len(clock) == 5 else self.day(at)


def with_erased(text: str, language: str) -> str:
    """Return all that a paper holds, with what was erased said in its language.

    It stands in names, notes and the letters of drawings, as it was folded.
    """
    return text.replace(ERASED, languages.say(ERASED, language))


def _text(value: object) -> str:
    return value.text if isinstance(value, Said) else str(value)
