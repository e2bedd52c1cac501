"""Voids that read alike in one line, so that forty joist bays do not hide the one that matters."""

from __future__ import annotations

from collections.abc import Iterable

from wainscot.checks.words import spans
from wainscot.diagnosis.answer import VoidAnswer

_SPANS = 4


def by_likeness(voids: Iterable[VoidAnswer]) -> list[list[VoidAnswer]]:
    """Return hidden voids of one kind on one storey together, rooms each by itself.

    Parameters
    ----------
    voids : iterable of VoidAnswer
        Voids of one band.

    Returns
    -------
    list of list of VoidAnswer
        The likeliest group first, and the likeliest void of each first.
    """
    groups: dict[tuple[str, str, str], list[VoidAnswer]] = {}
    for each in sorted(voids, key=lambda each: (-each.soiled, each.id)):
        alone = "" if each.hidden else each.id
        groups.setdefault((each.kind, each.storey, alone), []).append(each)
    return list(groups.values())


def in_words(group: list[VoidAnswer], storeys: dict[str, str]) -> str:
    """Return a group of :func:`by_likeness` in words: ``9 joist bays, ground floor: F1 to F9``.

    Parameters
    ----------
    group : list of VoidAnswer
        Voids of one kind on one storey.
    storeys : dict of str to str
        Name of each storey by its id.
    """
    first = group[0]
    if len(group) == 1:
        return without_label(first)
    where = storeys.get(first.storey, "")
    place = f", {where[:1].lower()}{where[1:]}" if where else ""
    named = spans(tuple(each.label for each in group), _SPANS)
    return f"{len(group)} {_plural(first.kind)}{place}: {named}"


def without_label(void: VoidAnswer) -> str:
    """Return a void in words without the label, which stands in front of the line.

    Parameters
    ----------
    void : VoidAnswer
        Any void.
    """
    return void.words.replace(f" {void.label}", "", 1) if void.hidden else void.words


def _plural(kind: str) -> str:
    if kind.endswith("y") and kind[-2:-1] not in "aeou":
        return f"{kind[:-1]}ies"
    if kind.startswith(("under ", "in ", "behind ", "beside ")):
        return f"spaces {kind}"
    return kind if kind.endswith("s") else f"{kind}s"
