"""How many there were, from catches that fall night by night: removal estimators.

    carle_strub([38, 26, 12]).number      # 91

For those who ask; never on an owner's paper.  Catches c, k of them, T their sum, X = sum (k - i) c.

Limits: closed (sealed first), the same effort every time, every animal as easily caught.  The last
is false: where catchability falls, every estimator here is a fifth too low (fantail darters, 1,151
known, White et al. 1982).  ``guarded`` refuses what these numbers cannot carry.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp, inf, lgamma, log, sqrt
from typing import Literal

import msgspec
import numpy as np
from scipy.optimize import brentq, minimize_scalar
from scipy.stats import chi2

LEAST = 10
"""Catches in all from which an estimate is told; the reference's guard, by judgement."""

_FARTHEST = 1e9
"""So many animals set no limit: from there on the likelihood changes less than it is rounded."""


class Estimate(msgspec.Struct, frozen=True):
    """A number with its errors; nan where the form gives none."""

    number: float
    """Animals there were. [1]"""
    error: float
    """Standard error; zero is no certainty. [1]"""
    caught: float
    """Chance to be caught in one pass. [1]"""
    caught_error: float
    """[1]"""


def sums(catches: Sequence[int]) -> tuple[int, int, int]:
    """Return k, T and X of the notation above.

    Parameters
    ----------
    catches : sequence of int
        Of each pass.
    """
    k = len(catches)
    return k, sum(catches), sum((k - i) * c for i, c in enumerate(catches, 1))


def _errors(number: float, p: float, k: int) -> tuple[float, float]:
    """Seber 2002, equation 7.23."""
    q = 1.0 - p
    qk = q**k
    below = (1.0 - qk) ** 2 - (p * k) ** 2 * q ** (k - 1)
    # Under one: rounding where everything was caught at once.
    error = sqrt(max(number * (1.0 - qk) * qk / below, 0.0)) if below > 0 else 0.0
    under = number * (q * (1.0 - qk) ** 2 - (p * k) ** 2 * qk)
    caught = sqrt((q * p) ** 2 * (1.0 - qk) / under) if under > 0 else 0.0
    return error, caught


def carle_strub(catches: Sequence[int]) -> Estimate:
    """Return the weighted estimate with a flat prior (Carle & Strub 1978).

    Parameters
    ----------
    catches : sequence of int
        Of each pass, two or more.

    Raises
    ------
    ValueError
        If nothing was caught.
    """
    k, total, x = _usable(catches)
    number = total
    while True:
        chance = (number + 1.0) / (number - total + 1.0)
        for i in range(1, k + 1):
            chance *= (k * number - x - total + 1.0 + k - i) / (k * number - x + 2.0 + k - i)
        if chance < 1.0:
            break
        number += 1
    return _estimate(number, k, total, x)


def zippin(catches: Sequence[int]) -> Estimate:
    """Return the maximum-likelihood estimate in whole animals, bias-corrected (Zippin 1956).

    On the data checked it gives what the package FSA calls Burnham's method, to every digit.

    Parameters
    ----------
    catches : sequence of int
        Of each pass, two or more.

    Raises
    ------
    ValueError
        If nothing was caught, or catches do not fall enough for one to exist.
    """
    k, total, x = _usable(catches)
    # From there on the left side below stays the greater one, however many there were.
    if x <= (total * (k - 1) - k) / 2:
        raise ValueError("the catches do not fall: no estimate exists")
    number = total
    while (number + 0.5) * (k * number - x - total) ** k >= (number - total + 0.5) * (
        k * number - x
    ) ** k:
        number += 1
    return _estimate(number, k, total, x)


def _estimate(number: int, k: int, total: int, x: int) -> Estimate:
    p = _caught(number, k, total, x)
    error, caught = _errors(number, p, k)
    return Estimate(float(number), error, p, caught)


def _usable(catches: Sequence[int]) -> tuple[int, int, int]:
    """Return the sums of catches that an estimate can be made of."""
    k, total, x = sums(catches)
    if k < 2:
        raise ValueError("two passes at least")
    if total == 0:
        raise ValueError("nothing was caught: no number can be estimated")
    return k, total, x


def _caught(number: float, k: int, total: int, x: int) -> float:
    """Return the likeliest chance to be caught in one pass, given the number. [1]"""
    return total / (k * number - x)


class Likely(msgspec.Struct, frozen=True):
    """The likeliest number with the interval in which the likelihood stays near its best."""

    number: float
    """[1]"""
    caught: float
    """[1]"""
    badness: float
    """Negative log-likelihood. [nat]"""
    interval: tuple[float, float]
    """95 % by likelihood ratio; infinite where the catches do not bound it. [1]"""


def badness(number: float, catches: Sequence[int]) -> float:
    """Return the negative log-likelihood of a number (Moran 1951), catchability at its best.

    Parameters
    ----------
    number : float
        Animals there were, at least as many as were caught. [1]
    catches : sequence of int
        Of each pass.

    Returns
    -------
    float
        [nat]
    """
    k, total, x = sums(catches)
    p = _caught(number, k, total, x)
    left, out = number, 0.0
    for one in catches:
        out -= lgamma(left + 1) - lgamma(left - one + 1) - lgamma(one + 1)
        left -= one
    missed = k * number - x - total
    return out - total * log(p) - (missed * log(1.0 - p) if missed > 0 else 0.0)


def moran(catches: Sequence[int]) -> Likely:
    """Return the likeliest number, not rounded, with its likelihood interval.

    Parameters
    ----------
    catches : sequence of int
        Of each pass, two or more.

    Raises
    ------
    ValueError
        If nothing was caught.
    """
    k, total, x = _usable(catches)

    def bad(number: float) -> float:
        return badness(number, catches)

    high = _upper(bad, float(total))
    best = minimize_scalar(bad, bounds=(float(total), high), method="bounded",
                           options={"xatol": 1e-9})  # fmt: skip
    number = float(best.x) if best.fun < bad(float(total)) else float(total)
    floor = bad(number)
    limit = floor + float(chi2.ppf(0.95, 1)) / 2

    def over(n: float) -> float:
        return bad(n) - limit

    low = float(total) if over(float(total)) <= 0 else brentq(over, float(total), number)
    far = number
    while over(far) <= 0 and far < _FARTHEST:
        far *= 2
    top = brentq(over, number, far) if over(far) > 0 else inf
    return Likely(number, _caught(number, k, total, x), floor, (float(low), float(top)))


def _upper(bad: Callable[[float], float], least: float) -> float:
    high = least + 1.0
    while bad(high * 2) < bad(high) and high < 1e7:
        high *= 2
    return high * 2


def two_pass(first: int, second: int) -> Estimate:
    """Return the estimate of two passes (Seber & Le Cren 1967).

    Parameters
    ----------
    first, second : int
        Catches.

    Raises
    ------
    ValueError
        If the second is not smaller.
    """
    if first <= second:
        raise ValueError("the second pass did not catch fewer: no estimate exists")
    fall = first - second
    return Estimate(
        first**2 / fall,
        sqrt(first**2 * second**2 * (first + second) / fall**4),
        1.0 - second / first,
        sqrt(second * (first + second) / first**3),
    )


def robson_regier(first: int, second: int) -> Estimate:
    """Return the two-pass estimate corrected for bias (Robson & Regier 1968).

    Parameters
    ----------
    first, second : int
        Catches.
    """
    plain = two_pass(first, second)
    number = (first**2 - second) / (first - second)
    return msgspec.structs.replace(plain, number=number)


def three_pass(catches: Sequence[int]) -> float:
    """Return the explicit estimate of three passes (Seber 2002, equation 7.24).

    Parameters
    ----------
    catches : sequence of int
        Three of them.

    Returns
    -------
    float
        [1]
    """
    k, total, x = sums(catches)
    if k != 3:
        raise ValueError("three passes, neither more nor fewer")
    root = sqrt(total**2 + 6 * x * total - 3 * x**2)
    return (6 * x**2 - 3 * x * total - total**2 + total * root) / (18 * (x - total))


Form = Literal["plain", "ricker"]
"""``ricker`` adds half of the catch, or effort, of the pass itself to what went before."""


class Line(msgspec.Struct, frozen=True):
    """A depletion line: number and catchability per unit of effort, with their errors."""

    number: float
    """[1]"""
    error: float
    """[1]"""
    caught: float
    """Per unit of effort. [1]"""
    caught_error: float
    """[1]"""
    fit: float
    """Share of the variance that the line explains. [1]"""


class _Fit(msgspec.Struct, frozen=True):
    """A straight line that falls: y = start - fall x, and what its errors need."""

    fall: float
    start: float
    rest: float
    """Residual standard error of y."""
    mean: float
    """Of x."""
    spread: float
    """Sum of squares of x about its mean."""
    fit: float
    count: int

    def line(self, number: float, scale: float, off: float) -> Line:
        """Return the result: the error is ``scale`` times that of the line at ``off``."""
        error = self.rest * scale * sqrt(1 / self.count + off**2 / self.spread)
        return Line(number, error, self.fall, self.rest / sqrt(self.spread), self.fit)


def _falling(x: Sequence[float], y: Sequence[float]) -> _Fit:
    across, up = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    off = across - across.mean()
    spread = float(off @ off)
    if len(across) < 3 or spread == 0:
        raise ValueError("three passes at least, not all at one point")
    slope = float(off @ (up - up.mean())) / spread
    if slope >= 0:
        raise ValueError("the catch per effort does not fall: no estimate exists")
    start = float(up.mean() - slope * across.mean())
    missed = up - start - slope * across
    rest, whole = float(missed @ missed), float(((up - up.mean()) ** 2).sum())
    fit = 1.0 - rest / whole if whole > 0 else 0.0
    error = sqrt(rest / (len(across) - 2))
    return _Fit(-slope, start, error, float(across.mean()), spread, fit, len(across))


def _before(amounts: Sequence[float], form: Form) -> list[float]:
    out, gone = [], 0.0
    for one in amounts:
        out.append(gone + (one / 2 if form == "ricker" else 0.0))
        gone += one
    return out


def leslie(catches: Sequence[float], effort: Sequence[float], form: Form = "plain") -> Line:
    """Return the estimate of catch per effort against what was caught before (Leslie & Davis 1939).

    Parameters
    ----------
    catches : sequence of float
        Of each pass. [1]
    effort : sequence of float
        Of each pass, such as trap nights. [1]
    form : {"plain", "ricker"}
        Whether half of a pass's own catch counts as gone.

    Raises
    ------
    ValueError
        If catch per effort does not fall.
    """
    rate = [c / e for c, e in zip(catches, effort, strict=True)]
    found = _falling(_before(catches, form), rate)
    number = found.start / found.fall
    return found.line(number, 1 / found.fall, number - found.mean)


def delury(catches: Sequence[float], effort: Sequence[float], form: Form = "plain") -> Line:
    """Return the estimate of the log of catch per effort against effort before (DeLury 1947).

    Parameters
    ----------
    catches : sequence of float
        Of each pass, none of them zero. [1]
    effort : sequence of float
        Of each pass. [1]
    form : {"plain", "ricker"}
        Whether half of a pass's own effort counts as spent.

    Raises
    ------
    ValueError
        If a catch is zero, or catch per effort does not fall.
    """
    if min(catches) <= 0:
        raise ValueError("a pass without a catch has no logarithm: use leslie")
    rate = [log(c / e) for c, e in zip(catches, effort, strict=True)]
    found = _falling(_before(effort, form), rate)
    number = exp(found.start) / found.fall
    return found.line(number, number, found.mean - 1 / found.fall)


def too_few(catches: Sequence[int]) -> str:
    """Return why catches cannot carry any estimate; empty where they can.

    Parameters
    ----------
    catches : sequence of int
        First catches of each pass.
    """
    if sum(catches) == 0:
        return "nothing was caught: that says nothing about how many there are"
    if len(catches) < 3:
        return "fewer than three passes"
    return f"fewer than {LEAST} catches in all" if sum(catches) < LEAST else ""


TOO_LOW = "more likely too low than too high: wary animals are caught last or never"


def guarded(catches: Sequence[int]) -> tuple[Likely | None, str]:
    """Return the likeliest number, or why none is told.

    Parameters
    ----------
    catches : sequence of int
        First catches of each pass, the same effort each time.
    """
    if why := too_few(catches):
        return None, why
    k, total, x = sums(catches)
    if x <= total * (k - 1) / 2:
        return None, "the catches do not fall"
    found = moran(catches)
    if found.interval[1] == inf:
        return found, "at least so many; the catches set no upper limit"
    return found, TOO_LOW
