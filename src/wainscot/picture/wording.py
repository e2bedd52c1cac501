"""Words that the picture and the terminal share, so that both name a thing alike."""

from __future__ import annotations

from collections.abc import Iterable

from wainscot.diagnosis.answer import EntryAnswer, VoidAnswer


def entry_labels(entries: Iterable[EntryAnswer]) -> dict[str, str]:
    """Return the label of each drawn way in by its id: E1 is the likeliest."""
    drawn = [each for each in entries if each.sort == "entry point"]
    drawn.sort(key=lambda each: (-each.used, each.id))
    return {each.id: f"E{place}" for place, each in enumerate(drawn, start=1)}


def alike(voids: Iterable[VoidAnswer]) -> list[list[VoidAnswer]]:
    """Return bays of one kind in one floor or wall together, the likeliest first."""
    groups: dict[tuple[str, str], list[VoidAnswer]] = {}
    for each in sorted(voids, key=lambda each: (-each.soiled, each.id)):
        where = each.words.partition(", ")[2] or each.words
        groups.setdefault((each.kind, where), []).append(each)
    return list(groups.values())


def named(group: list[VoidAnswer]) -> str:
    """Return a group of :func:`alike` in words, without the label: that stands in front."""
    first = group[0]
    words = first.words.replace(f" {first.label}", "", 1) if first.hidden else first.words
    if len(group) == 1:
        return words
    name, _, where = words.partition(", ")
    return f"{name} and {len(group) - 1} more like it" + (f", {where}" if where else "")


def in_ten(share: float) -> str:
    """Return a share of the draws as it stands on a run's plate: ``6 in 10``.

    Parameters
    ----------
    share : float
        Share of the draws. [1]
    """
    return f"{max(1, min(9, round(10 * share)))} in 10"
