"""Colours, sizes and hatch of the picture: every number that a reader's eye depends on.

Two hues only: indigo is what we think, copper is what you do (and the likely runs).  Chances fall
in five classes, shown three times over: by fill, by hatch and by number, so that a greyscale print
and a colour-blind reader lose nothing.  The classes' lightness runs in even steps, down by day and
up by night.

>>> DAY.fills[4]
'#2A3582'

Contrast is that of WCAG 2.2 (relative luminance), lightness that of OKLab; both are recomputed
from these values in the tests.

Limits: screen and print only; high-contrast system themes replace the fills and keep the hatch.
"""

from __future__ import annotations

from typing import Literal

import msgspec

ThemeName = Literal["day", "night"]


class Theme(msgspec.Struct, frozen=True):
    """One set of colours, as ``#RRGGBB``."""

    paper: str
    tray: str
    well: str
    ink: str
    ink_2: str
    line: str
    copper: str
    on_copper: str
    ribbon: str
    hatch: str
    """Lines of the hatch, cut into the fill."""
    fills: tuple[str, str, str, str, str]
    """One fill a chance class, from very unlikely to very likely."""


DAY = Theme(
    paper="#F4F1EA", tray="#FFFDF8", well="#E6E1D6",
    ink="#1B2226", ink_2="#40484B", line="#5A6162",
    copper="#74300E", on_copper="#FFFDF8", ribbon="#8E3F12", hatch="#1B2226",
    fills=("#D8DDEF", "#AEB8DB", "#8291C9", "#5969AF", "#2A3582"),
)  # fmt: skip

NIGHT = Theme(
    paper="#12100D", tray="#201C18", well="#2D2822",
    ink="#F1E7D8", ink_2="#CCC2B3", line="#A0958A",
    copper="#E9A15B", on_copper="#1A120A", ribbon="#F0A663", hatch="#12100D",
    fills=("#30364D", "#545F8B", "#7B8BC6", "#B0C0FB", "#CCD6FA"),
)  # fmt: skip

THEMES: dict[str, Theme] = {"day": DAY, "night": NIGHT}

HATCH_WIDTH = 1.5
"""Width of a hatch line. [px]"""

HATCH_SPACING: tuple[float | None, ...] = (None, 19.0, 9.0, 12.0, None)
"""Distance of hatch lines by class, none where the fill stands alone. [px]"""

HATCH_CROSSED = (False, False, False, True, False)
"""Whether the class is hatched both ways."""

FONT = "system-ui, -apple-system, 'Segoe UI', Roboto, 'Noto Sans', 'DejaVu Sans', sans-serif"
TEXT = 16
"""Smallest text. [px]"""
HEAD = 22
TITLE = 28
STRONG = 650

OUTLINE = 1.5
"""Outline of a void. [px]"""
PAPER_GAP = 2.0
"""Paper between two voids. [px]"""
CASING = 2.0
"""Paper beside a ribbon. [px]"""
RIBBON_WIDTHS = (4.0, 7.0, 10.0)
"""Ribbon by share of the draws: under a quarter, under a half, more. [px]"""
RIBBON_SHARES = (0.25, 0.5)
MOST_RIBBONS = 3
MARK = 20.0
"""Side of a sign's square. [px]"""
THINNEST = 16.0
"""A void narrower than this is drawn this wide. [px]"""
