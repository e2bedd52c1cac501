"""How much of a void a hand or a tool gets at through an opening.

A hand with a vacuum wand works some way past the edge of a cut; in a narrow way only a thin tool
does; past a pipe that fills the way nothing does.

Limits: one number for every void's bends and bridging; reach is judged, measure your own wand.
"""

from __future__ import annotations

from collections.abc import Iterable

from wainscot.sources import judged

WAND = judged(1.5, "m", "vacuum wand or brush on a stiff hose, past the edge of the cut")
THIN = judged(0.3, "m", "crevice tool where no hand fits")
HAND = judged(0.05, "m", "way that a hand with a wand still enters")
REACHED = judged(0.8, "1", "share of a void within reach from which it counts as reached")


def is_reached(share: float) -> bool:
    """Return whether a void counts as reached, or seen, by how much of it is.

    Shares are sums of lengths, so one that is exactly enough may fall short by a rounding.

    Parameters
    ----------
    share : float
        Between 0 and 1. [1]
    """
    return share >= REACHED.value - 1e-9


def reach(narrow: float) -> float:
    """Return how far past the edge of a cut work is done in a way so wide.

    Parameters
    ----------
    narrow : float
        Least clear width of the way. [m]

    Returns
    -------
    float
        [m]
    """
    return WAND.value if narrow >= HAND.value else THIN.value


def share_reached(
    low: float,
    high: float,
    cuts: Iterable[tuple[float, float]],
    narrow: float,
    blocks: Iterable[tuple[float, float]] = (),
) -> float:
    """Return the share of a straight void that its cuts lay within reach.

    Parameters
    ----------
    low, high : float
        Ends of the void along itself. [m]
    cuts : iterable of (float, float)
        Ends of each cut along the void. [m]
    narrow : float
        Least clear width of the way. [m]
    blocks : iterable of (float, float)
        Stretches that something fills so that nothing passes. [m]

    Returns
    -------
    float
        Between 0 and 1. [1]
    """
    far, stops = reach(narrow), sorted(blocks)
    spans = []
    for start, stop in cuts:
        left = max([low, start - far, *(end for _, end in stops if end <= start)])
        right = min([high, stop + far, *(begin for begin, _ in stops if begin >= stop)])
        spans.append((left, right))
    covered, last = 0.0, low
    for left, right in sorted(spans):
        covered += max(right - max(left, last), 0.0)
        last = max(last, right)
    return min(1.0, covered / (high - low)) if high > low else 1.0
