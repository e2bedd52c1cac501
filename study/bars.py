"""Bars for the validation: shares of houses side by side, and values with their intervals."""

from __future__ import annotations

from collections.abc import Sequence

from study.svg import BAR, FAULT, INK, QUIET, sheet, text

QUIET_BAR = "#c9d1d8"
LEFT, WIDE, HIGH, GAP = 250.0, 420.0, 18.0, 10.0


def stacked(rows: Sequence[tuple[str, Sequence[int]]], parts: Sequence[str], title: str) -> str:
    """Return one bar a row, cut into counts.

    Parameters
    ----------
    rows : sequence of (str, counts)
        Name and counts of each row.
    parts : sequence of str
        What each count is: good, neither, bad.
    title : str
        Above the sheet.
    """
    colours = (BAR, QUIET_BAR, FAULT)
    drawn = [text(16, 24, title, 14)]
    for k, (name, counts) in enumerate(rows):
        y, x, whole = 44 + k * (HIGH + GAP), LEFT, max(sum(counts), 1)
        drawn.append(text(LEFT - 10, y + 13, name, 11, INK, "end"))
        for count, colour in zip(counts, colours, strict=True):
            wide = WIDE * count / whole
            if count:
                drawn.append(f"<rect x='{x:.1f}' y='{y:.1f}' width='{wide:.1f}' height='{HIGH}'"
                             f" fill='{colour}' stroke='#ffffff'/>")  # fmt: skip
                ink = INK if colour == QUIET_BAR else "#ffffff"
                drawn.append(text(x + wide / 2, y + 13, str(count), 11, ink, "middle"))
            x += wide
    y = 60 + len(rows) * (HIGH + GAP)
    for k, (part, colour) in enumerate(zip(parts, colours, strict=True)):
        x = LEFT + 150 * k
        drawn.append(f"<rect x='{x}' y='{y - 10:.1f}' width='12' height='12' fill='{colour}'/>")
        drawn.append(text(x + 18, y, part, 11))
    return sheet(LEFT + WIDE + 30, y + 16, drawn, title)


def intervals(
    rows: Sequence[tuple[str, Sequence[float]]], title: str, note: str, root: bool = False
) -> str:
    """Return one dot with its interval a row.

    Parameters
    ----------
    rows : sequence of (str, (value, low, high))
        Name, value and interval of each row.
    title, note : str
        Above and below.
    root : bool
        Whether the scale is that of the square root, where few values are large.
    """
    most = max(high for _, (_, _, high) in rows) or 1.0

    def at(value: float) -> float:
        share = max(value, 0.0) / most
        return LEFT + WIDE * (share**0.5 if root else share)

    drawn = [text(16, 24, title, 14)]
    for k, (name, (value, low, high)) in enumerate(rows):
        y = 52 + k * (HIGH + GAP / 2)
        drawn.append(text(LEFT - 10, y + 4, name, 11, INK, "end"))
        drawn.append(f"<path d='M{at(low):.1f} {y:.1f}H{at(high):.1f}' stroke='{BAR}'"
                     " stroke-width='2'/>")  # fmt: skip
        drawn.append(f"<circle cx='{at(value):.1f}' cy='{y:.1f}' r='4' fill='{BAR}'/>")
        drawn.append(text(at(high) + 8, y + 4, f"{value:.1f}", 11, QUIET))
    y = 56 + len(rows) * (HIGH + GAP / 2)
    drawn.append(f"<path d='M{LEFT} 40V{y - 12:.1f}' stroke='{QUIET}' stroke-width='0.7'/>")
    drawn.append(text(16, y + 8, note, 11, QUIET))
    return sheet(LEFT + WIDE + 60, y + 22, drawn, title)
