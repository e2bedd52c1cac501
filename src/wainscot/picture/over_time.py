"""Two things over days: the chance that they are gone, and a smell that falls to a floor; as SVG.

    svg = draw_nights(found, title="Mill Cottage")
    svg = draw_smell(found.smells[0])

Indigo is what is calculated: the low end of the range, which decides, as a line; up to its high end
a field, hatched, so that it reads in grey.  Copper is what was done or found: catches, readings.

Limits: a smell's interval is drawn at its floor only; between readings nobody measured.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import numpy as np

from wainscot.all_clear import AllClear
from wainscot.all_clear.smells import Smell
from wainscot.chance import percent
from wainscot.job import day_of
from wainscot.picture import tokens
from wainscot.picture.canvas import rule, words
from wainscot.picture.chart import chart, diamond, heading
from wainscot.picture.svg import element, path, wrap
from wainscot.picture.tokens import THEMES, Theme

WIDTH, HEIGHT = 620.0, 460.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 64.0, 24.0, 140.0, 84.0
_WANTED = (0.95, 0.99)
"""Chances that a job is closed at."""
_DATES = 4
_Line = list[tuple[float, float]]


def draw_nights(found: AllClear, *, title: str = "", theme: tokens.ThemeName = "day") -> str:
    """Return the chance that they are gone by night, as SVG text; empty where nothing was watched.

    Parameters
    ----------
    found : AllClear
        The answer.
    title : str
        Name of the job.
    theme : str
        ``day`` (and print) or ``night``.
    """
    nights = found.by_night
    if not nights:
        return ""
    days = [day_of(one.day) for one in nights]
    low, _, high = found.statement.chance_range
    told = (
        f"{found.statement.outcome}: {percent(low)} to {percent(high)} in 100 that they are gone; "
        "the low end decides."
    )
    sheet = _Sheet(THEMES[theme], title, told, days, 1.0)
    for wanted in _WANTED:
        sheet.level(wanted, percent(wanted) if wanted < 0.975 else f"{100 * wanted:.0f}")
    sheet.field(
        [(d, one.low) for d, one in zip(days, nights, strict=True)],
        [(d, one.high) for d, one in zip(days, nights, strict=True)],
    )
    sheet.line([(d, one.low) for d, one in zip(days, nights, strict=True)])
    for day, one in zip(days, nights, strict=True):
        if one.caught:
            sheet.mark(day, one.low, f"{one.caught} caught")
    return sheet.svg(
        "gone, in 100",
        [(0.0, "0"), (0.25, "25"), (0.5, "50"), (0.75, "75")],
        "line: low end of the range; field: up to its high end; diamond: a catch",
    )


def draw_smell(smell: Smell, *, theme: tokens.ThemeName = "day") -> str:
    """Return a room's readings over days with the curve that fits them, as SVG text.

    Empty where there are no readings.

    Parameters
    ----------
    smell : Smell
        The readings that may be compared, and what they come to.
    theme : str
        ``day`` (and print) or ``night``.
    """
    if not smell.readings:
        return ""
    readings, floor, limit = smell.readings, smell.floor, smell.threshold
    days = [one.day for one in readings]
    tops = [*(one.value for one in readings), limit or 0.0, floor.interval[1] if floor else 0.0]
    most = 1.15 * max(*tops, 1e-9)
    sheet = _Sheet(THEMES[theme], f"{smell.name}, {smell.of}", smell.words, days, most)
    if floor is not None:
        low, high = floor.interval
        ends = [days[0], days[-1]]
        sheet.field([(d, low) for d in ends], [(d, high) for d in ends])
        fine = np.linspace(days[0], days[-1], 60)
        sheet.line(list(zip(fine.tolist(), floor.at(fine).tolist(), strict=True)))
    if limit is not None:
        sheet.level(limit, f"{limit:g}")
    for one in readings:
        sheet.mark(one.day, one.value, "")
    step = most / 1.15 / 2
    return sheet.svg(
        smell.of,
        [(0.0, "0"), (step, f"{step:.2g}"), (2 * step, f"{2 * step:.2g}")],
        "diamond: a reading in like weather; line: what fits; field: where its floor lies"
        + ("" if limit is None else "; dashes: below this nobody minds"),
    )


class _Sheet:
    """One picture: days across, one quantity up."""

    def __init__(
        self, theme: Theme, title: str, told: str, days: Sequence[float], most: float
    ) -> None:
        self.theme, self.title, self.told, self.most = theme, title, told, most
        self.first, self.last = min(days), max(max(days), min(days) + 1)
        self.parts: list[str] = []

    def at(self, day: float, value: float) -> tuple[float, float]:
        """Return where a value of a day lies on the sheet. [px]."""
        share = (day - self.first) / (self.last - self.first)
        x = _LEFT + (WIDTH - _LEFT - _RIGHT) * share
        return x, HEIGHT - _BOTTOM - (HEIGHT - _TOP - _BOTTOM) * min(max(value / self.most, 0), 1)

    def level(self, value: float, told: str) -> None:
        """Draw a level that something is held against. [unit]"""
        ends = [self.at(self.first, value), self.at(self.last, value)]
        self.parts.append(rule(ends, self.theme.ink, 1.2, "7 5"))
        self.parts.append(
            words(
                told,
                _LEFT - 10,
                ends[0][1] + (-3 if told == "99" else 12),
                self.theme,
                anchor="end",
            )
        )

    def field(self, low: _Line, high: _Line) -> None:
        """Draw what lies between two lines, with a hatch for grey paper."""
        ring = [self.at(*one) for one in low] + [self.at(*one) for one in reversed(high)]
        self.parts.append(
            element(
                "path",
                {
                    "d": path([ring]),
                    "fill": self.theme.fills[1],
                    "stroke": self.theme.fills[3],
                    "stroke-width": 1,
                    "stroke-dasharray": "2 4",
                },
            )
        )

    def line(self, points: _Line) -> None:
        """Draw what is calculated."""
        self.parts.append(rule([self.at(*one) for one in points], self.theme.fills[4], 3.0))

    def mark(self, day: float, value: float, told: str) -> None:
        """Draw what was found: a diamond, with a word."""
        x, y = self.at(day, value)
        self.parts.append(diamond(x, y, 7, self.theme.copper, self.theme.paper, 2))
        if told:
            # Above every line, on a leader: next to the mark it would lie across them.
            top = self.at(day, 0.62 * self.most)[1]
            self.parts.insert(0, rule([(x, y), (x, top + 6)], self.theme.copper, 1.2))
            anchor = "end" if x > WIDTH - 90 else "start" if x < _LEFT + 50 else "middle"
            label = words(
                told, x, top, self.theme, colour=self.theme.copper, anchor=anchor, strong=True
            )
            self.parts.append(label)

    def svg(self, unit: str, ticks: Sequence[tuple[float, str]], key: str) -> str:
        """Return the picture."""
        foot = [
            words(line, 24, HEIGHT - 32 + 21 * n, self.theme, colour=self.theme.ink_2)
            for n, line in enumerate(wrap(key, tokens.TEXT, WIDTH - 48)[:2])
        ]
        parts = [*self._axes(unit, ticks), *self.parts, *foot]
        head = heading(self.title, self.told, WIDTH, self.theme)
        return chart(
            f"{self.title}: {unit}", self.told, self.theme, (WIDTH, HEIGHT), [head, *parts]
        )

    def _axes(self, unit: str, ticks: Sequence[tuple[float, str]]) -> list[str]:
        theme, out = self.theme, []
        for value, told in ticks:
            ends = [self.at(self.first, value), self.at(self.last, value)]
            out.append(rule(ends, theme.line, 0.6, "1 5"))
            out.append(words(told, _LEFT - 10, ends[0][1] + 5.5, theme, anchor="end"))
        corner = [self.at(self.first, self.most), self.at(self.first, 0), self.at(self.last, 0)]
        out.append(rule(corner, theme.ink, 1.5))
        out.append(words(unit, 24, _TOP - 22, theme, strong=True))
        whole = max(1, round(self.last - self.first))
        step = max(1, -(-whole // _DATES))
        for n in range(0, whole + 1, step):
            x, y = self.at(self.first + n, 0)
            out.append(rule([(x, y), (x, y + 6)], theme.ink, 1.5))
            day = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(days=self.first + n)
            anchor = "end" if x > WIDTH - 60 else "middle"
            out.append(words(f"{day.day} {day:%b}", x, y + 24, theme, anchor=anchor))
        return out
