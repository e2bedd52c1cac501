"""A programme as bars over days: who is where when, what waits, what stops it; as SVG.

    svg = draw_bars(found, title="Mill Cottage")

Work is a filled bar, a wait an open dashed one before it, a hold point a diamond with its word;
what the end hangs on has a rule under its name and a heavy outline.  A hatched strip over a place
says when it is out of use.  Only worked hours take room: nights have none, a day off is a thin
column with a rule.

Limits: a bar is at least as wide as its outline; waits of minutes do not show.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from wainscot.picture import tokens
from wainscot.picture.canvas import hatch_definitions, rectangle, rule, words
from wainscot.picture.svg import cut, element, escape, number, path, text_width, wrap
from wainscot.picture.tokens import THEMES, Theme
from wainscot.programme import Activity, Programme

_LEFT, _RIGHT, _TOP, _BOTTOM = 372.0, 28.0, 132.0, 92.0
_ROW, _BAR, _HEAD = 30.0, 16.0, 40.0
_WIDEST, _NARROWEST, _ACROSS, _OFF = 66.0, 20.0, 1100.0, 9.0
_LEAST = 4.0
_HOUSE = "The whole house"


def draw_bars(found: Programme, *, title: str = "", theme: tokens.ThemeName = "day") -> str:
    """Return the programme as SVG text; empty where nothing is planned.

    Parameters
    ----------
    found : Programme
        The programme.
    title : str
        Name of the job.
    theme : str
        ``day`` (and print) or ``night``.
    """
    return _Bars(found, THEMES[theme]).draw(title) if found.activities else ""


class _Bars:
    """Columns of days, rows of activities by place."""

    def __init__(self, found: Programme, theme: Theme) -> None:
        self.found, self.theme = found, theme
        self.by_key = {one.key: one for one in found.activities}
        self.axis = _Axis(found)
        self.width = _LEFT + self.axis.across + _RIGHT
        self.y = _TOP
        self.bars: list[str] = []

    def draw(self, title: str) -> str:
        for place, some in self._places():
            self._place(place, some)
        foot = self.y + 8
        return element("svg", {
            "xmlns": "http://www.w3.org/2000/svg", "width": number(self.width),
            "height": number(foot + _BOTTOM),
            "viewBox": f"0 0 {number(self.width)} {number(foot + _BOTTOM)}",
            "font-family": tokens.FONT, "font-size": number(tokens.TEXT),
            "style": "font-variant-numeric: tabular-nums", "role": "img",
            "aria-labelledby": "title about",
        }, element("title", {"id": "title"}, escape(f"{title}: what happens when")),
           element("desc", {"id": "about"}, escape(self._about())),
           hatch_definitions(self.theme),
           rectangle(0, 0, self.width, foot + _BOTTOM, fill=self.theme.paper),
           self._head(title), self._days(foot), *self.bars,
           self._key(foot + 40)) + "\n"  # fmt: skip

    def _about(self) -> str:
        one = self.found
        return f"{one.start} to {one.end[:10]}; likely by {one.likely_end}, late {one.late_end}"

    def _places(self) -> list[tuple[str, list[Activity]]]:
        """Activities without the waits, by place, in the order in which each place begins."""
        found: dict[str, list[Activity]] = {}
        for one in sorted(self.found.activities, key=lambda one: (one.start, one.end)):
            if one.sort != "wait":
                found.setdefault(one.place or _HOUSE, []).append(one)
        return list(found.items())

    def _head(self, title: str) -> str:
        one, theme = self.found, self.theme
        line = (wrap(title, tokens.HEAD, self.width - 48, strong=True) or [""])[0]
        told = (
            f"{_date(one.start)} to {_date(one.end)}; half of such jobs are done by "
            f"{_date(one.likely_end)}, nine in ten by {_date(one.late_end)}."
        )
        return words(line, 24, 36, theme, size=tokens.HEAD, strong=True) + words(
            told, 24, 64, theme, colour=theme.ink_2
        )

    def _days(self, foot: float) -> str:
        theme, out, month, clear, named = self.theme, [], "", 0.0, 0
        for on, x, wide in self.axis.columns:
            if wide <= _OFF:
                out.append(rectangle(x, _TOP - 12, wide, foot - _TOP + 12, fill=theme.well))
                continue
            out.append(rule([(x, _TOP - 12), (x, foot)], theme.line, 0.6, "1 5"))
            if wide >= 24 or on.weekday() == 0:
                out.append(words(str(on.day), x + 4, _TOP - 16, theme))
            if (name := on.strftime("%Y-%m")) != month:
                month, told = name, _MONTHS[on.month - 1]
                if x < clear:  # the month before began too near: only this one is told
                    out.pop(named)
                clear = x + text_width(told, tokens.TEXT, strong=True) + 12
                named = len(out)
                out.append(words(told, x + 4, _TOP - 38, theme, strong=True))
        return "".join(out)

    def _place(self, place: str, some: Sequence[Activity]) -> None:
        theme = self.theme
        self.y += _HEAD
        self.bars.append(rule([(24, self.y - 30), (self.width - _RIGHT, self.y - 30)],
                              theme.line, 0.8))  # fmt: skip
        name = cut(place, tokens.TEXT, _LEFT - 48, strong=True)
        self.bars.append(words(name, 24, self.y - 8, theme, strong=True))
        for out in self.found.rooms:
            if out.name == place:
                left, right = self.axis.x(out.start), self.axis.x(out.end)
                strip = {"x": left, "y": self.y - 24, "width": max(_LEAST, right - left),
                         "height": 18.0}  # fmt: skip
                self.bars.append(element("rect", {**strip, "fill": theme.well, "stroke": theme.ink,
                                                  "stroke-width": 1.0}))  # fmt: skip
                self.bars.append(element("rect", {**strip, "fill": "url(#hatch2)"}))
        for one in some:
            self._row(one)

    def _row(self, one: Activity) -> None:
        theme, middle = self.theme, self.y + _ROW / 2 - 4
        name = one.words.removesuffix(f", {one.place}") if one.place else one.words
        told = f"STOP {name}" if one.holds else name
        line = cut(told, tokens.TEXT, _LEFT - 52)
        self.bars.append(words(line, 36, middle + 5.5, theme, colour=theme.ink))
        if one.critical:
            end = 36 + text_width(line, tokens.TEXT)
            self.bars.append(rule([(36, middle + 10), (min(end, _LEFT - 12), middle + 10)],
                                  theme.ink, 2.0))  # fmt: skip
        for key in one.after:
            before = self.by_key[key]
            if before.sort == "wait":
                self._wait(before, middle)
        left = self.axis.x(one.start)
        right = max(self.axis.x(one.end), left + _LEAST)
        if one.sort == "hold":
            at = left + 8
            shape = path([[(at, middle - 9), (at + 9, middle), (at, middle + 9), (at - 9, middle)]])
            self.bars.append(element("path", {
                "d": shape, "fill": theme.copper if one.holds else theme.paper,
                "stroke": theme.copper, "stroke-width": 2.0,
            }))  # fmt: skip
        else:
            self.bars.append(rectangle(
                left, middle - _BAR / 2, right - left, _BAR,
                fill=theme.fills[4] if one.critical else theme.fills[2], stroke=theme.ink,
                line=2.5 if one.critical else 1.0,
            ))  # fmt: skip
        self.y += _ROW

    def _wait(self, one: Activity, middle: float) -> None:
        left, right = self.axis.x(one.start), self.axis.x(one.end)
        if right - left >= _LEAST:
            self.bars.append(rectangle(left, middle - 5, right - left, 10, fill="none",
                                       stroke=self.theme.ink_2, line=1.2, dash="4 3"))  # fmt: skip

    def _key(self, y: float) -> str:
        theme, x, out = self.theme, 24.0, []
        diamond = path([[(9.0, -9.0), (18.0, 0.0), (9.0, 9.0), (0.0, 0.0)]])
        marks = (
            (rectangle(0, -8, 26, 16, fill=theme.fills[2], stroke=theme.ink, line=1.0), 26, "work"),
            (rectangle(0, -8, 26, 16, fill=theme.fills[4], stroke=theme.ink, line=2.5), 26,
             "the end hangs on it"),
            (rectangle(0, -5, 26, 10, fill="none", stroke=theme.ink_2, line=1.2, dash="4 3"), 26,
             "nobody works: it dries, sets, stands"),
            (element("path", {"d": diamond, "fill": theme.copper, "stroke": theme.copper,
                              "stroke-width": 2.0}), 18, "STOP: sign first"),
            (element("path", {"d": diamond, "fill": theme.paper, "stroke": theme.copper,
                              "stroke-width": 2.0}), 18, "somebody looks and signs"),
            (rectangle(0, -9, 26, 18, fill=theme.well, stroke=theme.ink, line=1.0)
             + element("rect", {"x": 0, "y": -9, "width": 26, "height": 18,
                                "fill": "url(#hatch2)"}), 26, "room out of use"),
        )  # fmt: skip
        row = y
        for mark, wide, told in marks:
            takes = wide + 10 + text_width(told, tokens.TEXT) + 26
            if x + takes > self.width - _RIGHT and x > 24:
                x, row = 24.0, row + 30
            out.append(element("g", {"transform": f"translate({number(x)} {number(row)})"}, mark))
            out.append(words(told, x + wide + 10, row + 5.5, theme))
            x += takes
        return "".join(out)


class _Axis:
    """Days side by side: one that is worked as wide as its hours, one that is not thin."""

    def __init__(self, found: Programme) -> None:
        times = [datetime.fromisoformat(text) for one in found.activities
                 for text in (one.start, one.end)]  # fmt: skip
        worked = [datetime.fromisoformat(text) for one in found.activities if one.sort == "work"
                  for text in (one.start, one.end)] or times  # fmt: skip
        self.opens = min(one.hour + one.minute / 60 for one in worked)
        self.shuts = max(max(one.hour + one.minute / 60 for one in worked), self.opens + 1)
        first, last = min(times).date(), max(times).date()
        busy = {text[:10] for one in found.days for text in (one.date,)}
        days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
        free = [on for on in days if on.weekday() >= 5 and on.isoformat() not in busy]
        count = max(1, len(days) - len(free))
        wide = min(_WIDEST, max(_NARROWEST, _ACROSS / count))
        self.columns: list[tuple[date, float, float]] = []
        x = _LEFT
        for on in days:
            mine = _OFF if on in free else wide
            self.columns.append((on, x, mine))
            x += mine
        self.across = x - _LEFT
        self.at = {on: (left, mine) for on, left, mine in self.columns}

    def x(self, text: str) -> float:
        """Return where a local time lies; before and after work it is the day's edge. [px]."""
        at = datetime.fromisoformat(text)
        left, wide = self.at[at.date()]
        hour = at.hour + at.minute / 60
        share = (hour - self.opens) / (self.shuts - self.opens)
        return left + wide * min(max(share, 0.0), 1.0)


_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
           "October", "November", "December")  # fmt: skip


def _date(text: str) -> str:
    on = date.fromisoformat(text[:10])
    return f"{on.day} {_MONTHS[on.month - 1]} {on.year}"
