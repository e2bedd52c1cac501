"""The curve of what opening costs against the chance that a soiled void is missed, as SVG.

    svg = draw_curve(choice, title="Mill Cottage")

Copper is what one chooses: the named sets, each with its figures on a plate.  Indigo is what is
calculated: a line through every weight, each point with its Monte Carlo error, and a broken one for
heavy soil and nests alone.  Open diamonds are simpler rules.

Limits: between two points there is no set; the line only leads the eye.
"""

from __future__ import annotations

import math
from itertools import pairwise

import msgspec

from wainscot import chance
from wainscot.openings import Choice, Point
from wainscot.openings.words import money
from wainscot.picture import tokens
from wainscot.picture.canvas import rectangle, rule, words
from wainscot.picture.chart import chart, diamond, heading
from wainscot.picture.labels import Box, Placer
from wainscot.picture.svg import element, text_width
from wainscot.picture.tokens import THEMES, Theme

WIDTH, HEIGHT = 620.0, 600.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 64.0, 24.0, 120.0, 116.0
_ERRORS = 2.0
"""Standard errors that a bar shows to each side."""


def draw_curve(choice: Choice, *, title: str = "", theme: tokens.ThemeName = "day") -> str:
    """Return the curve as SVG text.

    Parameters
    ----------
    choice : Choice
        What to open.
    title : str
        Name of the job.
    theme : str
        ``day`` (and print) or ``night``.
    """
    return _Curve(choice, THEMES[theme]).draw(title)


class _Curve:
    def __init__(self, choice: Choice, theme: Theme) -> None:
        self.choice, self.theme = choice, theme
        self.named = _told_once((choice.least, choice.balanced, choice.all_of_it))
        everything = (*choice.curve, *choice.compared, *self.named)
        self.step, self.most = _ticks(max((one.cost for one in everything), default=1.0))
        self.placer = Placer(Box(WIDTH / 2, (_TOP + HEIGHT - _BOTTOM) / 2, WIDTH - 12,
                                 HEIGHT - _TOP - _BOTTOM))  # fmt: skip

    def draw(self, title: str) -> str:
        parts = [self._axes(), self._line()]
        for one in (*self.choice.curve, *self.choice.compared):
            x, y = self._at(one)
            self.placer.take(Box(x, y, 18, 18))
            self.placer.take(Box(x, self._y(one.heavy), 12, 12))
        self._take_lines()
        told = [self._named(one) for one in self.named]
        told += [self._name(one) for one in self.choice.compared]
        # Every leader lies under every plate.
        parts += [leader for leader, _ in told] + [plate for _, plate in told]
        parts += map(self._other, self.choice.compared)
        told_of = "What opening costs, and the chance that soil is missed."
        head = heading(title, told_of, WIDTH, self.theme)
        about = "; ".join(
            f"{one.name}: {money(one.cost, self.choice.currency)}, "
            f"{chance.percent(one.missed)} in 100"
            for one in self.named
        )
        return chart(
            f"{title}: cost and what is missed", about, self.theme, (WIDTH, HEIGHT),
            [head, *parts, self._key()],
        )  # fmt: skip

    def _take_lines(self) -> None:
        """Keep plates off both lines."""
        points = sorted(self.choice.curve, key=lambda one: (one.cost, -one.missed))
        for a, b in pairwise(points):
            for n in range(12):
                t = n / 12
                x = self._x(a.cost + t * (b.cost - a.cost))
                for low, high in ((a.missed, b.missed), (a.heavy, b.heavy)):
                    self.placer.take(Box(x, self._y(low + t * (high - low)), 8, 8))

    def _at(self, one: Point) -> tuple[float, float]:
        return self._x(one.cost), self._y(one.missed)

    def _x(self, cost: float) -> float:
        return _LEFT + (WIDTH - _LEFT - _RIGHT) * cost / self.most

    def _y(self, missed: float) -> float:
        return HEIGHT - _BOTTOM - (HEIGHT - _TOP - _BOTTOM) * missed

    def _axes(self) -> str:
        theme, foot = self.theme, self._y(0.0)
        out = []
        for tenth in (0, 25, 50, 75, 100):
            y = self._y(tenth / 100)
            out.append(rule([(_LEFT, y), (WIDTH - _RIGHT, y)], theme.line, 0.6, "1 5"))
            out.append(words(str(tenth), _LEFT - 10, y + 5.5, theme, anchor="end"))
        out.append(rule([(_LEFT, self._y(1.0)), (_LEFT, foot), (WIDTH - _RIGHT, foot)],
                         theme.ink, 1.5))  # fmt: skip
        value = 0.0
        while value <= self.most + 1e-9:
            x = self._x(value)
            out.append(rule([(x, foot), (x, foot + 6)], theme.ink, 1.5))
            out.append(words(f"{value:,.0f}", x, foot + 24, theme, anchor="middle"))
            value += self.step
        unit = self.choice.currency or "hours"
        out.append(words(f"cost of opening, {unit}", WIDTH - _RIGHT, foot + 48, theme, anchor="end",
                         strong=True))  # fmt: skip
        out.append(words("missed, in 100", _LEFT - 40, self._y(1.0) - 14, theme, strong=True))
        return "".join(out)

    def _line(self) -> str:
        points = sorted(self.choice.curve, key=lambda one: (one.cost, -one.missed))
        colour = self.theme.fills[4]
        out = [rule([self._at(one) for one in points], colour, 2.0)]
        for one in points:
            x, y = self._at(one)
            low, high = (
                self._y(min(max(one.missed + sign * _ERRORS * one.error, 0.0), 1.0))
                for sign in (-1, 1)
            )
            out.append(rule([(x, low), (x, high)], colour, 1.5))
            out.append(rectangle(x - 3.5, y - 3.5, 7, 7, fill=colour))
        heavy = [(self._x(one.cost), self._y(one.heavy)) for one in points]
        out.append(rule(heavy, self.theme.fills[3], 2.0, "7 4"))
        for x, y in heavy:
            out.append(_dot(x, y, self.theme.paper, self.theme.fills[3]))
        return "".join(out)

    def _key(self) -> str:
        """What the two lines are, under the axis."""
        theme, y = self.theme, HEIGHT - 20
        out = [rule([(24, y), (56, y)], theme.fills[4], 2.0),
               rectangle(36.5, y - 3.5, 7, 7, fill=theme.fills[4]),
               words("any soil", 64, y + 5.5, theme)]  # fmt: skip
        x = 64 + text_width("any soil", tokens.TEXT) + 22
        out += [rule([(x, y), (x + 32, y)], theme.fills[3], 2.0, "7 4"),
                _dot(x + 16, y, theme.paper, theme.fills[3]),
                words("heavy soil or a nest", x + 40, y + 5.5, theme)]  # fmt: skip
        x += 40 + text_width("heavy soil or a nest", tokens.TEXT) + 22
        out += [_diamond(x + 8, y, theme), words("simpler rules", x + 24, y + 5.5, theme)]
        return "".join(out)

    def _named(self, one: Point) -> tuple[str, str]:
        """Leader and plate of a set that one chooses."""
        theme, (x, y) = self.theme, self._at(one)
        texts = (one.name, f"{money(one.cost, self.choice.currency)}, "
                           f"{chance.percent(one.missed)} in 100")  # fmt: skip
        wide = 16 + max(
            text_width(texts[0], tokens.TEXT, strong=True), text_width(texts[1], tokens.TEXT)
        )
        box = self.placer.place(_round_about(x, y, wide, 46), wide, 46)
        left, top = box.x - wide / 2, box.y - 23
        leader = rule([(x, y), (min(max(x, left), left + wide), min(max(y, top), top + 46))],
                       theme.copper, 1.5)  # fmt: skip
        return leader, (
            rectangle(x - 8, y - 8, 16, 16, fill=theme.copper, stroke=theme.paper, line=2)
            + rectangle(left, top, wide, 46, fill=theme.tray, stroke=theme.copper, corner=2)
            + words(texts[0], left + 8, top + 19, theme, strong=True)
            + words(texts[1], left + 8, top + 39, theme)
        )  # fmt: skip

    def _other(self, one: Point) -> str:
        return _diamond(*self._at(one), self.theme)

    def _name(self, one: Point) -> tuple[str, str]:
        """Leader, where one is needed, and name of a simpler rule."""
        x, y = self._at(one)
        wide = text_width(one.name, tokens.TEXT) + 4
        box = self.placer.place(_round_about(x, y, wide, 20), wide, 20)
        end = (min(max(x, box.x - wide / 2), box.x + wide / 2),
               min(max(y, box.y - 9), box.y + 9))  # fmt: skip
        far = math.dist((x, y), end) > 20
        leader = rule([(x, y), end], self.theme.line, 1.0) if far else ""
        return leader, words(one.name, box.x, box.y + 5.5, self.theme, anchor="middle")


def _told_once(some: tuple[Point, ...]) -> tuple[Point, ...]:
    """Return sets with those that come to the same under one name."""
    found: dict[tuple[float, float], Point] = {}
    for one in some:
        key = (round(one.cost, 6), round(one.missed, 6))
        known = found.get(key)
        name = one.name if known is None else f"{known.name}, {one.name}"
        found[key] = msgspec.structs.replace(one, name=name)
    return tuple(found.values())


def _round_about(x: float, y: float, wide: float, high: float) -> list[tuple[float, float]]:
    """Return candidate centres ever farther from a point, clear of its own mark."""
    found = []
    for ring in range(14):
        away = 12.0 + 14.0 * ring
        for eighth in (2, 1, 3, 0, 4, 7, 5, 6):
            angle = eighth * math.pi / 4
            across, down = math.cos(angle), -math.sin(angle)
            found.append((x + across * (away + wide / 2), y + down * (away + high / 2)))
    return found


def _ticks(greatest: float) -> tuple[float, float]:
    """Return a round step and the end of the axis, four to eight steps away."""
    size = 1.0
    while True:
        for part in (1.0, 2.0, 2.5, 5.0):
            step = part * size
            if greatest <= 7 * step:
                count = max(1, -int(-greatest // step))
                return step, step * (count + (greatest > 0.93 * count * step))
        size *= 10


def _diamond(x: float, y: float, theme: Theme) -> str:
    return diamond(x, y, 8, theme.paper, theme.ink, 1.5)


def _dot(x: float, y: float, fill: str, stroke: str) -> str:
    return element("circle", {"cx": x, "cy": y, "r": 4, "fill": fill, "stroke": stroke,
                              "stroke-width": 2})  # fmt: skip
