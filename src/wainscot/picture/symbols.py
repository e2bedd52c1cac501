"""The small marks of the picture: wedges, squares, ticks, rings, chevrons, bowls.

Each is flat, lies on the plan and says what it says by its form, never by colour alone.
"""

from __future__ import annotations

import itertools
import math

from wainscot import chance as chances
from wainscot.picture import tokens
from wainscot.picture.canvas import filled, rectangle, words
from wainscot.picture.sheet import Point, SealShape, SignShape
from wainscot.picture.svg import element, number, path, text_width
from wainscot.picture.tokens import Theme


def wedge(x: float, y: float, inward: Point, chance: float | None, theme: Theme) -> str:
    """Return the wedge of a way in: its tip at the hole, pointing the way an animal would come.

    Parameters
    ----------
    x, y : float
        The hole. [px]
    inward : (float, float)
        Unit vector on the plan's axes, (0, 0) for "up from below". [1]
    chance : float or None
        For its fill. [1]
    theme : Theme
        Colours.
    """
    dx, dy = (inward[0], -inward[1]) if inward != (0.0, 0.0) else (0.0, -1.0)
    x, y = x + 3 * dx, y + 3 * dy
    back = (x - 24 * dx, y - 24 * dy)
    side = (-dy * 13, dx * 13)
    points = [(x, y), (back[0] + side[0], back[1] + side[1]),
              (back[0] - side[0], back[1] - side[1])]  # fmt: skip
    d = path([points])
    halo = element("path", {"d": d, "fill": theme.paper, "stroke": theme.paper, "stroke-width": 6.0,
                            "stroke-linejoin": "round"})  # fmt: skip
    if chance is None:
        return halo + element("path", {"d": d, "fill": theme.tray, "stroke": theme.ink,
                                       "stroke-width": 2.0})  # fmt: skip
    return halo + filled(d, chances.class_of(chance), theme, outline=2.0)


def sign_mark(
    x: float, y: float, sign: SignShape, theme: Theme, *, zone: float = 0.0,
    centre: Point | None = None,
) -> str:  # fmt: skip
    """Return a sign's square: filled where something was found, barred where nothing was.

    Parameters
    ----------
    x, y : float
        Centre of the square. [px]
    sign : SignShape
        What was seen.
    theme : Theme
        Colours.
    zone : float
        Radius of the ring of a sound, 0 for none. [px]
    centre : (float, float), optional
        Centre of that ring, the square's if not given. [px]
    """
    side, half = tokens.MARK, tokens.MARK / 2
    parts = []
    if zone > 0:
        cx, cy = centre or (x, y)
        # Paper under the ink, so that the ring shows on the darkest fill and the lightest.
        parts += [element("circle", {
            "cx": cx, "cy": cy, "r": zone, "fill": "none", "stroke": colour,
            "stroke-width": width, "stroke-dasharray": dashes,
        }) for colour, width, dashes in (
            (theme.paper, 9.0, "4.5 3"), (theme.ink, 7.0, "0 1.5 1.5 4.5"),
        )]  # fmt: skip
    if sign.unexplained:
        parts.append(element("circle", {
            "cx": x, "cy": y, "r": half + 8, "fill": "none", "stroke": theme.ink,
            "stroke-width": 2.5, "stroke-dasharray": "11 6",
        }))  # fmt: skip
    found = sign.look == "found"
    parts.append(rectangle(x - half - 2, y - half - 2, side + 4, side + 4, fill=theme.paper))
    parts.append(rectangle(x - half, y - half, side, side, stroke=theme.ink,
                           fill=theme.ink if found else theme.paper))  # fmt: skip
    if not found:
        bar = y + half - 6 if sign.letter else y - 3
        parts.append(rectangle(x - half, bar, side, 6, fill=theme.ink))
    if sign.letter:
        size, lift = (tokens.TEXT, 5.7) if found else (13, 2.2)
        parts.append(words(sign.letter, x, y + lift, theme, strong=True, anchor="middle",
                           size=size, colour=theme.paper if found else theme.ink))  # fmt: skip
    return "".join(parts)


def tick(ring: list[Point], looked: float, theme: Theme) -> str:
    """Return the looked tick in a void's north-east corner: filled = all of it, open = part.

    Parameters
    ----------
    ring : list of (x, y)
        The void's outline. [px]
    looked : float
        Share that anybody looked at. [1]
    theme : Theme
        Colours.
    """
    x, y = max(px for px, _ in ring), min(py for _, py in ring)
    size = 10.0
    d = path([[(x - size, y), (x, y), (x, y + size)]])
    return element("path", {
        "d": d, "fill": theme.ink if looked >= 0.95 else theme.paper, "stroke": theme.ink,
        "stroke-width": tokens.OUTLINE,
    })  # fmt: skip


def chevrons(points: list[Point], width: float, theme: Theme) -> str:
    """Return the arrowheads along a ribbon.

    Parameters
    ----------
    points : list of (x, y)
        The ribbon's line. [px]
    width : float
        Its width. [px]
    theme : Theme
        Colours.
    """
    marks = []
    half = max(2.0, width / 2 - 1)
    for start, end in itertools.pairwise(points):
        run = math.hypot(end[0] - start[0], end[1] - start[1])
        if run < 18:
            continue
        ux, uy = (end[0] - start[0]) / run, (end[1] - start[1]) / run
        count = max(1, int(run // 34))
        for i in range(count):
            along = run * (i + 0.5) / count
            x, y = start[0] + ux * along, start[1] + uy * along
            marks.append([(x - half * ux - half * uy, y - half * uy + half * ux), (x, y),
                          (x - half * ux + half * uy, y - half * uy - half * ux)])  # fmt: skip
    return element("path", {"d": path(marks, close=False), "fill": "none", "stroke": theme.paper,
                            "stroke-width": 2.0}) if marks else ""  # fmt: skip


def arrow_ring(x: float, y: float, rises: int, letter: str, theme: Theme) -> str:
    """Return the end of a ribbon's part: a ring with an arrow up or down, or the last stop.

    Parameters
    ----------
    x, y : float
        Centre. [px]
    rises : int
        1 up, -1 down, 0 the run ends here.
    letter : str
        Letter of the run.
    theme : Theme
        Colours.
    """
    fill = theme.tray if rises else theme.ribbon
    ring = element("circle", {"cx": x, "cy": y, "r": 10, "fill": fill, "stroke": theme.ribbon,
                              "stroke-width": 3.0})  # fmt: skip
    ground = element("circle", {"cx": x, "cy": y, "r": 13.5, "fill": theme.paper})
    if not rises:
        return ground + ring + words(letter, x, y + 5, theme, size=14, strong=True,
                                     anchor="middle", colour=theme.paper)  # fmt: skip
    tip = -6 * rises
    arrow = path([[(x - 5, y - tip * 0.6), (x, y + tip), (x + 5, y - tip * 0.6)]])
    return ground + ring + element("path", {"d": arrow, "fill": theme.ribbon})


def bowl(x: float, y: float, theme: Theme) -> str:
    """Return the mark of a nest, a bowl.

    Parameters
    ----------
    x, y : float
        Centre. [px]
    theme : Theme
        Colours.
    """
    d = f"M{number(x - 7)} {number(y - 3)}A7 8 0 0 0 {number(x + 7)} {number(y - 3)}Z"
    return element("path", {"d": d, "fill": theme.ink, "stroke": theme.paper, "stroke-width": 1.5,
                            "paint-order": "stroke"})  # fmt: skip


def seal_mark(x: float, y: float, seal: SealShape, theme: Theme) -> str:
    """Return the mark of a place to close: a disc; a bar to part at once; a diamond stays open.

    Parameters
    ----------
    x, y : float
        Centre. [px]
    seal : SealShape
        What it is.
    theme : Theme
        Colours.
    """
    width, high = seal_size(seal)
    half = high / 2
    dark = seal.sort != "open"
    if seal.sort == "open":
        points = [(x - width / 2, y), (x, y - half), (x + width / 2, y), (x, y + half)]
        shape = element("path", {"d": path([points]), "fill": theme.tray, "stroke": theme.ink,
                                 "stroke-width": 2.0, "stroke-dasharray": "5 3"})  # fmt: skip
        ground = element("path", {"d": path([points]), "fill": "none", "stroke": theme.paper,
                                  "stroke-width": 6.0})  # fmt: skip
    else:
        corner = half if seal.sort == "close" else 0.0
        fill = theme.ink if seal.sort == "close" else theme.copper
        left, top = x - width / 2, y - half
        ground = rectangle(left - 2, top - 2, width + 4, high + 4, fill=theme.paper,
                           corner=corner + 2 if corner else 0.0)  # fmt: skip
        shape = rectangle(left, top, width, high, fill=fill, stroke=theme.ink, corner=corner)
    colour = theme.on_copper if seal.sort == "part" else theme.paper if dark else theme.ink
    label = words(seal.label, x, y + 5.7, theme, strong=True, anchor="middle", colour=colour)
    return ground + shape + label


def seal_size(seal: SealShape) -> tuple[float, float]:
    """Return width and height of the mark of a place to close. [px]"""
    wide = text_width(seal.label, tokens.TEXT, strong=True)
    if seal.sort == "open":
        return wide + 26, 34.0
    return max(wide + 12, 24.0), 24.0
