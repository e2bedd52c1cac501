"""A small writer of SVG text: elements as strings, everything escaped.

>>> element("text", {"x": 1.0}, escape("a < b"))
'<text x="1">a &lt; b</text>'

Limits: no parsing, no styles of its own; numbers are written to a tenth of a pixel.
"""

from __future__ import annotations

import html
from collections.abc import Iterable, Mapping

Point = tuple[float, float]

# Characters that XML 1.0 forbids even when escaped (section 2.2, "Characters").
_FORBIDDEN = {code: None for code in range(32) if code not in (9, 10, 13)}
_FORBIDDEN.update(dict.fromkeys(range(55296, 57344)))
_FORBIDDEN.update({0xFFFE: None, 0xFFFF: None})


def escape(text: str) -> str:
    """Return text that is safe between tags and inside a quoted attribute."""
    return html.escape(text.translate(_FORBIDDEN), quote=True)


def number(value: float) -> str:
    """Return a coordinate to a tenth of a pixel, without needless zeros.

    Parameters
    ----------
    value : float
        A coordinate. [px]
    """
    rounded = f"{value:.1f}"
    rounded = rounded.removesuffix(".0")
    return "0" if rounded == "-0" else rounded


def element(tag: str, attributes: Mapping[str, str | float | None], *children: str) -> str:
    """Return one element.

    Parameters
    ----------
    tag : str
        Its name.
    attributes : mapping
        Lengths are numbers. [px]  Text is escaped; what is None is left out.
    *children : str
        Markup, taken as it is.
    """
    parts = [
        f' {name}="{number(value) if isinstance(value, (int, float)) else escape(value)}"'
        for name, value in attributes.items()
        if value is not None
    ]
    body = "".join(children)
    opening = f"<{tag}{''.join(parts)}"
    return f"{opening}>{body}</{tag}>" if body else f"{opening}/>"


def path(rings: Iterable[Iterable[Point]], *, close: bool = True) -> str:
    """Return the ``d`` of a path through the points of each ring.

    Parameters
    ----------
    rings : iterable of iterables of (x, y)
        Corners. [px]
    close : bool
        Whether each ring is closed.
    """
    pieces = []
    for ring in rings:
        points = [f"{number(x)} {number(y)}" for x, y in ring]
        if points:
            pieces.append("M" + "L".join(points) + ("Z" if close else ""))
    return "".join(pieces)


def text_width(text: str, size: float, *, strong: bool = False) -> float:
    """Return about how wide text stands, on the safe side of common sans faces. [px]

    Parameters
    ----------
    text : str
        One line.
    size : float
        Font size. [px]
    strong : bool
        Whether it is set in the heavier weight.
    """
    total = 0.0
    for letter in text:
        if letter in "iljtfrI.,:;'|!()[]- ":
            total += 0.37
        elif letter in "mwMW@%":
            total += 0.9
        elif letter.isupper():
            total += 0.69
        else:
            total += 0.6
    return total * size * (1.08 if strong else 1.0)


def wrap(text: str, size: float, width: float, *, strong: bool = False) -> list[str]:
    """Return text broken at spaces so that each line fits; a longer word stands alone.

    Parameters
    ----------
    text : str
        Any text.
    size : float
        Font size. [px]
    width : float
        Room for a line. [px]
    strong : bool
        Whether it is set in the heavier weight.
    """
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if line and text_width(longer, size, strong=strong) > width:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line] if line else lines


def cut(text: str, size: float, width: float, *, strong: bool = False) -> str:
    """Return one line that fits, with an ellipsis where it is cut.

    Parameters
    ----------
    text : str
        Any text.
    size : float
        Font size. [px]
    width : float
        Room for the line. [px]
    strong : bool
        Whether it is set in the heavier weight.
    """
    if text_width(text, size, strong=strong) <= width:
        return text
    while text and text_width(f"{text}\u2026", size, strong=strong) > width:
        text = text[:-1]
    return f"{text.rstrip(' ,;:')}\u2026"
