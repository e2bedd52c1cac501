"""From metres on the plan to pixels on the sheet, and the few shapes that every drawing uses."""

from __future__ import annotations

import msgspec
from shapely.geometry import Polygon, box

from wainscot.picture import tokens
from wainscot.picture.sheet import Point, Ring
from wainscot.picture.svg import element, escape, number, path, text_width
from wainscot.picture.tokens import Theme


class Canvas(msgspec.Struct, frozen=True):
    """A theme, a scale and where the plan's origin lies on the sheet."""

    theme: Theme
    scale: float
    """How long a metre is. [px]"""
    left: float
    """Sheet coordinate of x = 0. [px]"""
    base: float
    """Sheet coordinate of y = 0. [px]"""

    def xy(self, point: Point) -> Point:
        """Return a plan point on the sheet; north is up. [px]"""
        return (self.left + self.scale * point[0], self.base - self.scale * point[1])

    def ring(self, ring: Ring) -> list[Point]:
        """Return an outline on the sheet. [px]"""
        return [self.xy(point) for point in ring]


def rectangle(
    x: float, y: float, width: float, height: float, *, fill: str, stroke: str | None = None,
    line: float = tokens.OUTLINE, corner: float = 0.0, dash: str | None = None,
) -> str:  # fmt: skip
    """Return an upright rectangle by its north-west corner.

    Parameters
    ----------
    x, y : float
        Corner. [px]
    width, height : float
        Size. [px]
    fill, stroke : str
        Colours.
    line : float
        Width of the outline. [px]
    corner : float
        Radius of the corners. [px]
    dash : str, optional
        Dashes of the outline.
    """
    return element("rect", {
        "x": x, "y": y, "width": width, "height": height, "fill": fill, "stroke": stroke,
        "stroke-width": line if stroke else None, "rx": corner or None,
        "stroke-dasharray": dash,
    })  # fmt: skip


def words(
    text: str, x: float, y: float, theme: Theme, *, size: float = tokens.TEXT, strong: bool = False,
    colour: str = "", anchor: str = "start",
) -> str:  # fmt: skip
    """Return one line of text by its baseline.

    Parameters
    ----------
    text : str
        Any text; it is escaped here.
    x, y : float
        Where the baseline starts (or ends, by ``anchor``). [px]
    theme : Theme
        For the colour.
    size : float
        [px]
    strong : bool
        Heavier weight.
    colour : str
        Another colour than ink.
    anchor : str
        ``start``, ``middle`` or ``end``.
    """
    return element("text", {
        "x": x, "y": y, "font-size": None if size == tokens.TEXT else number(size),
        "font-weight": str(tokens.STRONG) if strong else None,
        "fill": colour or theme.ink, "text-anchor": anchor if anchor != "start" else None,
    }, escape(text))  # fmt: skip


PLATE_HEIGHT = 22.0


def plate_width(figure: str, label: str) -> float:
    """Return the width that a plate takes. [px]"""
    wide = text_width(figure, tokens.TEXT, strong=True)
    return 12 + wide + (text_width(f" {label}", tokens.TEXT) if label else 0.0)


def plate(figure: str, label: str, x: float, y: float, theme: Theme, *, edge: str = "") -> str:
    """Return a plate by its centre: a number on its own ground, then plain words.

    Parameters
    ----------
    figure : str
        Set strong.
    label : str
        Set plain, behind it.
    x, y : float
        Centre. [px]
    theme : Theme
        Colours.
    edge : str
        Colour of the outline, ink if empty.
    """
    width = plate_width(figure, label)
    tail = element("tspan", {"font-weight": "400", "fill": theme.ink_2}, escape(f" {label}"))
    text = element("text", {
        "x": x, "y": y + 5.7, "text-anchor": "middle", "fill": theme.ink,
        "font-weight": str(tokens.STRONG),
    }, escape(figure) + (tail if label else ""))  # fmt: skip
    ground = rectangle(
        x - width / 2, y - PLATE_HEIGHT / 2, width, PLATE_HEIGHT, fill=theme.tray,
        stroke=edge or theme.ink, corner=2,
    )  # fmt: skip
    return ground + text


def hatch_definitions(theme: Theme) -> str:
    """Return the patterns of the hatched classes and of the open rings."""
    made = [
        element("pattern", {
            "id": f"hatch{index}", "width": step, "height": step,
            "patternUnits": "userSpaceOnUse", "patternTransform": "rotate(45)",
        }, *_hatch_lines(step, theme, crossed))
        for index, (step, crossed) in enumerate(
            zip(tokens.HATCH_SPACING, tokens.HATCH_CROSSED, strict=True)
        )
        if step is not None
    ]  # fmt: skip
    ring = element("circle", {
        "cx": 7, "cy": 7, "r": 4, "fill": "none", "stroke": theme.line, "stroke-width": "1.5",
    })  # fmt: skip
    made.append(element("pattern", {
        "id": "rings", "width": 14, "height": 14, "patternUnits": "userSpaceOnUse",
    }, ring))  # fmt: skip
    return element("defs", {}, *made)


def given_up_definition(theme: Theme) -> str:
    """Return the pattern of voids that are left to the animals: wide strokes, both themes."""
    stroke = rectangle(0, 0, 3, 10, fill=theme.line)
    return element("defs", {}, element("pattern", {
        "id": "given-up", "width": 10, "height": 10, "patternUnits": "userSpaceOnUse",
        "patternTransform": "rotate(-45)",
    }, stroke))  # fmt: skip


def _hatch_lines(step: float, theme: Theme, crossed: bool) -> list[str]:
    width = tokens.HATCH_WIDTH
    lines = [rectangle(0, 0, width, step, fill=theme.hatch)]
    if crossed:
        lines.append(rectangle(0, 0, step, width, fill=theme.hatch))
    return lines


def filled(d: str, chance_class: int, theme: Theme, *, outline: float = tokens.OUTLINE) -> str:
    """Return a shape in the fill and hatch of a chance class.

    Parameters
    ----------
    d : str
        Path data.
    chance_class : int
        0 to 4.
    theme : Theme
        Colours.
    outline : float
        Width of the ink outline. [px]
    """
    shapes = [element("path", {"d": d, "fill": theme.fills[chance_class]})]
    if tokens.HATCH_SPACING[chance_class] is not None:
        shapes.append(element("path", {"d": d, "fill": f"url(#hatch{chance_class})"}))
    shapes.append(element("path", {
        "d": d, "fill": "none", "stroke": theme.ink, "stroke-width": outline,
    }))  # fmt: skip
    return "".join(shapes)


def void_outline(points: list[Point]) -> list[list[Point]]:
    """Return the rings to draw for a void: not too thin to see, with paper around it. [px]"""
    shape = Polygon(points)
    west, north, east, south = shape.bounds
    upright = shape.area > 0.98 * (east - west) * (south - north)
    if upright:
        wide = max(0.0, tokens.THINNEST - (east - west)) / 2
        high = max(0.0, tokens.THINNEST - (south - north)) / 2
        # The short side of a stud bay grows; a bay that is short both ways grows into neither.
        if (east - west) > (south - north):
            wide = 0.0
        else:
            high = 0.0
        shape = box(west - wide, north - high, east + wide, south + high)
    shrunk = shape.buffer(-tokens.PAPER_GAP / 2, join_style="mitre")
    parts = [part for part in getattr(shrunk, "geoms", [shrunk]) if not part.is_empty]
    return [list(part.exterior.coords) for part in parts] or [points]


def outline_path(points: list[Point]) -> str:
    """Return the path data of :func:`void_outline`."""
    return path(void_outline(points))


def rule(points: list[Point], colour: str, width: float, dash: str | None = None) -> str:
    """Return an open line through points.

    Parameters
    ----------
    points : list of (float, float)
        On the sheet. [px]
    colour : str
        Of the line.
    width : float
        [px]
    dash : str, optional
        Its dashes.
    """
    return element("path", {
        "d": path([points], close=False), "fill": "none", "stroke": colour, "stroke-width": width,
        "stroke-dasharray": dash,
    })  # fmt: skip
