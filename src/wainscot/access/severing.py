"""A cut that would go through a stud or joist is refused, with the nearest one that would do.

    sever(0.30, 0.90, members=((0.38, 0.42), (0.78, 0.82)))   # -> refused, nearest 0.42 to 0.78

Positions run along one axis, across the members.  Common practice, no source: nobody takes out or
cuts through a stud or joist to look into a wall or floor.

Limits: members are where the plan has them; find two edges before the blade goes in.
"""

from __future__ import annotations

from itertools import pairwise

from wainscot.access.cutting import Override, Verdict
from wainscot.access.judging import Units
from wainscot.access.model import DEFER
from wainscot.quantity import show_length

RULE = "no member cut through"
NARROWEST = 0.06
"""Clear width below which a hand gets nowhere. [m]"""


def sever(
    low: float,
    high: float,
    members: tuple[tuple[float, float], ...],
    *,
    word: str = "stud",
    units: Units = "m",
    override: Override | None = None,
    offer: bool = True,
) -> Verdict:
    """Return whether a cut from ``low`` to ``high`` misses every member, and what would.

    Parameters
    ----------
    low, high : float
        Ends of the cut across the members. [m]
    members : tuple of (float, float)
        Both edges of each member, in order. [m]
    word : str
        What a member is called.
    units : {"ft-in", "m"}
        What the reader's tape shows.
    override : Override, optional
        A named person who sets the rule aside; a designed frame belongs with it.
    offer : bool
        False where the nearest that would do is told elsewhere.

    Raises
    ------
    ValueError
        If the cut has no width.
    """
    if not low < high:
        raise ValueError(f"a cut from {low} to {high} has no width")
    hit = [one for one in members if one[0] < high - 1e-9 and one[1] > low + 1e-9]
    nearest = _nearest(low, high, members) if hit and offer else ()
    ends = " to ".join(show_length(end, units) for end in nearest)
    where = f"; the nearest cut that would do: {ends}" if nearest else "; no bay is wide enough"
    count = f"{len(hit)} {word}{'s' if len(hit) > 1 else ''}"
    words = (
        f"Refused: the cut goes through {count}{where if offer else ''}. {DEFER}"
        if hit
        else f"Allowed: the cut lies between {word}s."
    )
    kept = f"{override.reason} ({override.by})" if override and hit else ""
    if override and hit:
        words += f" SET ASIDE by {override.by}: {override.reason}."
    return Verdict(
        allowed=not hit or bool(kept),
        limit=0.0,
        asked=float(len(hit)),
        rule=RULE,
        topic="members cut through",
        edition="common practice",
        source="common practice, no source: no stud or joist is removed or cut through",
        status="common practice",
        words=words,
        nearest=nearest,
        overridden=kept,
        sense="never",
    )


def _nearest(
    low: float, high: float, members: tuple[tuple[float, float], ...]
) -> tuple[float, float] | tuple[()]:
    """Return the clear stretch nearest to the cut, no longer than the cut where that fits."""
    ordered = sorted(members)
    bays = [(a[1], b[0]) for a, b in pairwise(ordered)]
    bays += [(-float("inf"), ordered[0][0]), (ordered[-1][1], float("inf"))]
    fitted = [
        (max(bay[0], low), min(bay[1], high))
        for bay in bays
        if min(bay[1], high) - max(bay[0], low) >= NARROWEST
    ]
    if not fitted:
        return ()
    # The widest piece that is left of what was asked for; of two alike the first.
    start, stop = max(fitted, key=lambda one: (round(one[1] - one[0], 9), -one[0]))
    whole = next(bay for bay in bays if bay[0] <= start and stop <= bay[1])
    wanted = min(high - low, whole[1] - whole[0])
    if stop - start < wanted:
        start, stop = (start, start + wanted) if start == whole[0] else (stop - wanted, stop)
    return start, stop
