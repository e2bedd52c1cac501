"""The sentences of the steps in other languages: one phrasebook a language, a file a step.

The steps speak English.  Whoever shows or prints a sentence hands it to the phrasebook, which finds
the phrase that it was made from and says that phrase in the language asked for:

>>> say("stud bay W3, wall between Bath and Hall", "es", names=("Bath", "Hall"))
'hueco entre montantes W3, muro entre Bath y Hall'

A sentence that no phrase fits is given back as it was, so that nothing is ever lost; :func:`tell`
says whether it is wholly understood, so that a screen can mark what is still English.

Limits: a phrase is found by its English words, so that a changed sentence needs its phrase changed
too; a test walks the demo houses and names each sentence that is not understood.  Names that people
typed are never translated if they are given as ``names``.  The phone reads the same phrases
(``web/src/made``) with a reader of its own; both pass the same cases.
"""

from wainscot.languages.phrasebook import (
    ENGLISH,
    Phrasebook,
    Told,
    languages,
    names_in,
    phrasebook,
    phrases_of,
    say,
    tell,
)

__all__ = [
    "ENGLISH",
    "Phrasebook",
    "Told",
    "languages",
    "names_in",
    "phrasebook",
    "phrases_of",
    "say",
    "tell",
]
