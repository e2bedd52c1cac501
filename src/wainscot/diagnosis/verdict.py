"""The verdict: one sentence that says what we think, how sure, and what nobody looked at.

It never says that no animal remains: that is for the step ``all_clear``, after trapping and seals.
"""

from __future__ import annotations

from typing import NamedTuple

from wainscot.chance import in_ten, word
from wainscot.diagnosis.answer import EntryAnswer, Hypothesis, Misfit, VoidAnswer
from wainscot.species import AND, species

ONE_KIND = "animals: one kind at a time; two at once were not weighed"
_LIKELY = 0.5
_POSSIBLE = 0.33


class Claim(NamedTuple):
    """What is claimed about which animals live there."""

    species: str
    share: float
    """Chance of it among the cases that were weighed. [1]"""
    at_least: bool
    """Whether a second animal may live there too: no two at once were weighed."""
    named: bool
    """Whether the job itself names the animal, so that none was weighed."""


def claimed(hypotheses: tuple[Hypothesis, ...]) -> Claim:
    """Return what is claimed about which animals live there.

    Where several were weighed against each other but no two together, it is "at least" the
    likeliest: a second animal that left no decisive sign was not weighed beside the first, and a
    diagnosis of houses with two was sure of one of them all the same (docs/validation.md).

    Parameters
    ----------
    hypotheses : tuple of Hypothesis
        The cases with their weights.
    """
    share: dict[str, float] = {}
    for one in hypotheses:
        share[one.species] = share.get(one.species, 0.0) + one.weight
    name = min(share, key=lambda each: (-share[each], each))
    never_both = len(share) > 1 and not any(AND in each for each in share)
    return Claim(name, share[name], never_both, len(share) == 1)


def species_words(hypotheses: tuple[Hypothesis, ...]) -> str:
    """Return which animals, with their chance unless the job itself names them.

    Parameters
    ----------
    hypotheses : tuple of Hypothesis
        The cases with their weights.
    """
    claim = claimed(hypotheses)
    animals = f"{species(claim.species).plural}{' at least' * claim.at_least}"
    return animals if claim.named else f"{animals} ({in_ten(claim.share)})"


def one_kind(hypotheses: tuple[Hypothesis, ...]) -> tuple[str, ...]:
    """Return the assumption that no two animals live there at once, where it was made.

    Parameters
    ----------
    hypotheses : tuple of Hypothesis
        The cases with their weights.
    """
    return (ONE_KIND,) if claimed(hypotheses).at_least else ()


def _entry_words(entries: tuple[EntryAnswer, ...]) -> str:
    if not any(one.used >= _POSSIBLE for one in entries):
        return "how they came in is not clear"
    named = [one for one in entries if one.used >= max(_POSSIBLE, 0.6 * entries[0].used)][:2]
    said = [f"{one.words} ({word(one.used)}, {in_ten(one.used)})" for one in named]
    return "likeliest way in: " + " or ".join(said)


def _time_words(ever: float, now: float) -> str:
    if now >= _LIKELY:
        return f"here now: {word(now)} ({in_ten(now)})"
    return f"here at some time: {word(ever)} ({in_ten(ever)}), now: {word(now)} ({in_ten(now)})"


def _place_words(voids: tuple[VoidAnswer, ...]) -> str:
    wanted = [one for one in voids if one.hidden and one.soiled >= _LIKELY][:3]
    if not wanted:
        wanted = [one for one in voids if one.hidden][:1]
    said = [f"{one.words} ({one.seen or word(one.soiled)})" for one in wanted]
    if not said:
        return "no hidden void is drawn"
    return "likeliest soiled: " + ", ".join(said)


def verdict(
    voids: tuple[VoidAnswer, ...],
    entries: tuple[EntryAnswer, ...],
    hypotheses: tuple[Hypothesis, ...],
    misfits: tuple[Misfit, ...],
    *,
    ever: float,
    now: float,
    settled: bool,
) -> str:
    """Return the verdict.

    Parameters
    ----------
    voids, entries, hypotheses, misfits : tuple
        The parts of the answer, the likeliest first.
    ever : float
        Chance that animals were ever in what is drawn. [1]
    now : float
        Chance that they are in it now. [1]
    settled : bool
        Whether the populations agree.
    """
    hidden = [one for one in voids if one.hidden]
    blind = sum(1 for one in hidden if one.looked == 0.0)
    unseen = f"nobody has looked into {blind} of {len(hidden)} hidden voids"
    if not voids:
        return "Nothing is drawn yet, so nothing can be calculated: draw a room and say where."
    opening = "" if settled else "Not settled, take it as rough: "
    if ever < _POSSIBLE:
        return (
            f"{opening}what was logged hardly speaks for animals in what is drawn "
            f"({in_ten(ever)} that they ever were), but {unseen}."
        )
    parts = [
        f"{species_words(hypotheses)}, {_time_words(ever, now)}",
        _entry_words(entries),
        _place_words(voids),
    ]
    if misfits:
        parts.append(f"{len(misfits)} sign{'s' if len(misfits) > 1 else ''} not explained")
    parts.append(unseen)
    sentence = "; ".join(parts)
    return f"{opening}{sentence[0].upper()}{sentence[1:]}."
