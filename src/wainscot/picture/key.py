"""The key: what every fill, hatch, plate, ring and mark of the picture means."""

from __future__ import annotations

from collections.abc import Callable

from wainscot import chance
from wainscot.picture import tokens
from wainscot.picture.canvas import filled, plate, words
from wainscot.picture.sheet import SealShape, SealSort, Sheet, SignShape
from wainscot.picture.svg import element, path
from wainscot.picture.symbols import (
    arrow_ring,
    bowl,
    chevrons,
    seal_mark,
    sign_mark,
    tick,
    wedge,
)
from wainscot.picture.tokens import Theme

_BOUNDS = ("under 10", "10 to 33", "33 to 66", "66 to 90", "over 90")
_STEP = 34.0
_WIDE, _HIGH = 54.0, 26.0
_TEXT = 72.0
_COLUMN = 400.0


def _box(x: float, y: float) -> list[tuple[float, float]]:
    return [(x, y), (x + _WIDE, y), (x + _WIDE, y + _HIGH), (x, y + _HIGH)]


def draw_key(
    sheet: Sheet, theme: Theme, left: float, top: float, width: float
) -> tuple[str, float]:
    """Return the key in columns, and how far down the sheet it goes. [px]

    Parameters
    ----------
    sheet : Sheet
        Only what stands on it is explained.
    theme : Theme
        Colours.
    left, top : float
        Where it starts. [px]
    width : float
        Its width. [px]
    """
    parts = [words("Key", left, top + 18, theme, size=tokens.HEAD, strong=True)]
    rows = _rows(sheet, theme)
    columns = max(1, int(width // _COLUMN))
    each = -(-len(rows) // columns)
    for place, (draw_sample, text) in enumerate(rows):
        x, y = left + (place // each) * width / columns, top + 36 + (place % each) * _STEP
        parts.append(draw_sample(x, y))
        parts.append(words(text, x + _TEXT, y + _HIGH / 2 + 5.7, theme))
    return element("g", {}, *parts), top + 36 + each * _STEP


def _rows(sheet: Sheet, theme: Theme) -> list[tuple[Callable[[float, float], str], str]]:
    rows: list[tuple[Callable[[float, float], str], str]] = []
    shapes = [shape for panel in sheet.panels for shape in panel.voids]
    states = {shape.state for shape in shapes}
    if "chance" in states:
        rows += [
            (_swatch(index, theme), f"{bounds}: {word}")
            for index, (bounds, word) in enumerate(zip(_BOUNDS, chance.WORDS, strict=True))
        ]
        rows.append((_plate("85", "W7", theme), "85 in 100, at W7; no plate: under 10"))
        rows.append((_plate("85", "- 3", theme), "greatest 85, 3 places as likely"))
    if "can't tell yet" in states:
        rows.append((_open("url(#rings)", theme), "can't tell yet: see the words"))
    if "not calculated" in states:
        rows.append((_open(theme.paper, theme), "hidden space, not calculated"))
    if "given up" in states:
        rows.append((_open("url(#given-up)", theme), "hidden space left to the animals"))
    if sheet.shows == "seals":
        return [*rows, (_open(theme.paper, theme), "hidden space"), *_seal_rows(sheet, theme)]
    if "not shown" in states:
        rows.append((_open(theme.paper, theme), "hidden space; only ways in are rated here"))
    if any(shape.looked > 0 for shape in shapes):
        rows.append((_ticks(theme), "somebody looked: all of it, part of it"))
    return rows + _mark_rows(sheet, theme)


def _mark_rows(sheet: Sheet, theme: Theme) -> list[tuple[Callable[[float, float], str], str]]:
    rows: list[tuple[Callable[[float, float], str], str]] = []
    signs = [sign for panel in sheet.panels for sign in panel.signs]
    if any(panel.entries for panel in sheet.panels):
        rows.append((_wedges(theme), "way in; up from below"))
    if any(panel.ribbons for panel in sheet.panels):
        rows.append((_ribbon(theme), "likely run; wider = likelier"))
        rows.append((_rings(theme), "goes on in the view above, below"))
    letters = sorted({(sign.letter, sign.kind) for sign in signs if sign.look == "found"})
    rows += [(_mark(letter, "found", theme), f"found: {kind}") for letter, kind in letters]
    if any(sign.look == "nothing" for sign in signs):
        rows.append((_mark("", "nothing", theme), "looked, saw nothing (T: empty trap)"))
    if any(sign.radius > 0 for sign in signs):
        rows.append((_zone(theme), "sound heard somewhere in the ring"))
    if any(sign.unexplained for sign in signs):
        rows.append((_mark("D", "found", theme, odd=True), "not explained by any drawn way in"))
    if sheet.shows == "nest":
        rows.append((lambda x, y: bowl(x + _WIDE / 2, y + _HIGH / 2, theme), "nest"))
    return rows


def _seal_rows(sheet: Sheet, theme: Theme) -> list[tuple[Callable[[float, float], str], str]]:
    seals = [one for panel in sheet.panels for one in panel.seals]
    sorts = {one.sort for one in seals}
    alone = any(one.label[-1] in "mr" for one in seals if one.sort == "close")
    told: tuple[tuple[SealSort, str, str], ...] = (
        ("close", "7", "close: its number in the list"),
        ("close", "7m", "for mice alone; 7r: for rats alone"),
        ("part", "P2", "part the nest at once, for the time being"),
        ("open", "b", "stays open all the same, with the letter in the list"),
    )
    return [(_sealed(sort, label, theme), text) for sort, label, text in told
            if sort in sorts and (alone or label != "7m")]  # fmt: skip


def _sealed(sort: SealSort, label: str, theme: Theme) -> Callable[[float, float], str]:
    one = SealShape(sort, label, "", (0.0, 0.0))
    return lambda x, y: seal_mark(x + _WIDE / 2, y + _HIGH / 2, one, theme)


def _swatch(index: int, theme: Theme) -> Callable[[float, float], str]:
    return lambda x, y: filled(path([_box(x, y)]), index, theme)


def _open(fill: str, theme: Theme) -> Callable[[float, float], str]:
    return lambda x, y: element("path", {
        "d": path([_box(x, y)]), "fill": fill, "stroke": theme.ink, "stroke-width": 1.5,
    })  # fmt: skip


def _plate(figure: str, label: str, theme: Theme) -> Callable[[float, float], str]:
    return lambda x, y: plate(figure, label, x + _WIDE / 2 + 3, y + _HIGH / 2, theme)


def _ticks(theme: Theme) -> Callable[[float, float], str]:
    def sample(x: float, y: float) -> str:
        one = [(x, y), (x + 24, y), (x + 24, y + _HIGH), (x, y + _HIGH)]
        other = [(px + 30, py) for px, py in one]
        return "".join(
            filled(path([ring]), 0, theme) + tick(ring, share, theme)
            for ring, share in ((one, 1.0), (other, 0.5))
        )

    return sample


def _wedges(theme: Theme) -> Callable[[float, float], str]:
    def sample(x: float, y: float) -> str:
        return (wedge(x + 24, y + _HIGH / 2, (1.0, 0.0), 0.5, theme)
                + wedge(x + 46, y + 2, (0.0, 0.0), 0.5, theme))  # fmt: skip

    return sample


def _ribbon(theme: Theme) -> Callable[[float, float], str]:
    def sample(x: float, y: float) -> str:
        line = [(x + 4, y + _HIGH / 2), (x + _WIDE - 4, y + _HIGH / 2)]
        return element("path", {"d": path([line], close=False), "stroke": theme.ribbon,
                                "stroke-width": 7.0, "stroke-linecap": "round"}) + chevrons(
            line, 7.0, theme)  # fmt: skip

    return sample


def _rings(theme: Theme) -> Callable[[float, float], str]:
    def sample(x: float, y: float) -> str:
        middle = y + _HIGH / 2
        return (arrow_ring(x + 13, middle, 1, "A", theme)
                + arrow_ring(x + 42, middle, -1, "A", theme))  # fmt: skip

    return sample


def _mark(
    letter: str, look: str, theme: Theme, *, odd: bool = False
) -> Callable[[float, float], str]:
    sign = SignShape(letter, "found" if look == "found" else "nothing", "", "", (0.0, 0.0),
                     unexplained=odd)  # fmt: skip
    return lambda x, y: sign_mark(x + _WIDE / 2, y + _HIGH / 2, sign, theme)


def _zone(theme: Theme) -> Callable[[float, float], str]:
    return lambda x, y: element("circle", {
        "cx": x + _WIDE / 2, "cy": y + _HIGH / 2, "r": 12, "fill": "none", "stroke": theme.ink,
        "stroke-width": 6.0, "stroke-dasharray": "1.5 5",
    })  # fmt: skip
