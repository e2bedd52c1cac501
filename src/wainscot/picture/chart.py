"""What every chart has alike: paper, heading, words for a reader of the screen, the diamond.

    svg = chart("Mill Cottage", "what it says", THEMES["day"], (620, 460), parts)

Limits: axes are each chart's own; they have little in common but their lines.
"""

from __future__ import annotations

from collections.abc import Iterable

from wainscot.picture import tokens
from wainscot.picture.canvas import rectangle, words
from wainscot.picture.svg import element, escape, number, path, wrap
from wainscot.picture.tokens import Theme

EDGE = 24.0
"""From the edge of the sheet to its words. [px]"""


def chart(
    title: str, about: str, theme: Theme, size: tuple[float, float], parts: Iterable[str]
) -> str:
    """Return a whole chart as SVG text.

    Parameters
    ----------
    title : str
        What it is.
    about : str
        What it says, in words.
    theme : Theme
        Day or night.
    size : (float, float)
        Wide and high. [px]
    parts : iterable of str
        What is drawn on it.
    """
    wide, high = size
    return (
        element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg", "width": number(wide),
                "height": number(high), "viewBox": f"0 0 {number(wide)} {number(high)}",
                "font-family": tokens.FONT, "font-size": number(tokens.TEXT),
                "style": "font-variant-numeric: tabular-nums", "role": "img",
                "aria-labelledby": "title about",
            },
            element("title", {"id": "title"}, escape(title)),
            element("desc", {"id": "about"}, escape(about)),
            rectangle(0, 0, wide, high, fill=theme.paper),
            *parts,
        )
        + "\n"
    )  # fmt: skip


LINES = 2
"""Lines under a title that there is room for."""


def heading(title: str, told: str, wide: float, theme: Theme) -> str:
    """Return a title and the lines under it.

    Parameters
    ----------
    title, told : str
        What it is, and what it says.
    wide : float
        Of the sheet. [px]
    theme : Theme
        Day or night.
    """
    room = wide - 2 * EDGE
    head = (wrap(title, tokens.HEAD, room, strong=True)[:1] or [""])[0]
    return words(head, EDGE, 36, theme, size=tokens.HEAD, strong=True) + "".join(
        words(line, EDGE, 62 + 21 * n, theme, colour=theme.ink_2)
        for n, line in enumerate(wrap(told, tokens.TEXT, room)[:LINES])
    )


def diamond(x: float, y: float, half: float, fill: str, stroke: str, line: float) -> str:
    """Return a diamond.

    Parameters
    ----------
    x, y, half : float
        Its middle, and from there to a corner. [px]
    fill, stroke : str
        Colours.
    line : float
        Of its edge. [px]
    """
    ring = [(x, y - half), (x + half, y), (x, y + half), (x - half, y)]
    return element(
        "path", {"d": path([ring]), "fill": fill, "stroke": stroke, "stroke-width": line}
    )
