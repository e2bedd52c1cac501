"""Hold a cut against every edition of structural limits that is asked for in a country.

Where editions differ, every one of them speaks and a cut must satisfy them all, so the safer
reading governs; :func:`governing` names it.  A country that nobody stated is held against every
edition.

Limits: a verdict is about one member; what the load does once two are weakened is a matter for an
engineer.  Rounding: greatest values go down and least values up, to 1/16 in or 1 mm.
"""

from __future__ import annotations

import importlib
import math
import pkgutil
from functools import cache
from typing import Any, Literal

import msgspec

from wainscot.access.cutting import Cut, Edition, Member, Override, Rule, Sense, Verdict
from wainscot.access.model import DEFER
from wainscot.quantity import show_length

Units = Literal["ft-in", "m"]
INCH = 0.0254
_HAIR = 1e-9


@cache
def editions() -> tuple[Edition, ...]:
    """Return every edition by name, found by walking ``access/limits``."""
    from wainscot.access import limits

    found: list[Any] = [
        importlib.import_module(f"{limits.__name__}.{module.name}").EDITION
        for module in pkgutil.iter_modules(limits.__path__)
    ]
    return tuple(sorted(found, key=lambda one: one.name))


def judge(
    member: Member,
    cut: Cut,
    country: str = "",
    units: Units = "m",
    overrides: tuple[Override, ...] = (),
) -> tuple[Verdict, ...]:
    """Return what every rule that speaks of this cut says; empty where none does.

    Parameters
    ----------
    member : Member
        What is cut.
    cut : Cut
        The cut.
    country : str
        ``US``, ``UK``, ``CA``; empty: every edition is asked.
    units : {"ft-in", "m"}
        What the reader's tape shows.
    overrides : tuple of Override
        Rules that named persons have set aside.
    """
    return tuple(
        _verdict(edition, rule, member, cut, units, overrides)
        for edition in editions()
        if not country or not edition.countries or country in edition.countries
        for rule in edition.rules
        if (rule.member, rule.cut) == (member.kind, cut.kind) and rule.applies(member, cut)
    )


def allowed(verdicts: tuple[Verdict, ...]) -> bool:
    """Return True where no rule refuses; False too where no rule speaks at all."""
    return bool(verdicts) and all(one.allowed for one in verdicts)


def governing(verdicts: tuple[Verdict, ...]) -> tuple[Verdict, ...]:
    """Return the strictest verdict on each topic: the safer of two published values."""
    best: dict[str, Verdict] = {}
    for one in verdicts:
        known = best.get(one.topic)
        if known is None or _stricter(one, known):
            best[one.topic] = one
    return tuple(best.values())


def _stricter(one: Verdict, other: Verdict) -> bool:
    if one.allowed != other.allowed:
        return not one.allowed
    return one.limit > other.limit if one.sense == "at least" else one.limit < other.limit


def rounded(value: float, sense: Sense, units: Units) -> float:
    """Return a limit to 1/16 in or 1 mm, to the safe side.

    Parameters
    ----------
    value : float
        The exact limit. [m]
    sense : {"at most", "at least", "never"}
        Greatest values go down, least values up.
    units : {"ft-in", "m"}
        What the reader's tape shows.

    Returns
    -------
    float
        The rounded limit. [m]

    >>> round(rounded(0.0233, "at most", "m"), 6)
    0.023
    >>> rounded(5.5 / 6 * 0.0254, "at most", "ft-in") / 0.0254
    0.875
    """
    step = INCH / 16 if units == "ft-in" else 0.001
    parts = value / step
    whole = math.ceil(parts - 1e-6) if sense == "at least" else math.floor(parts + 1e-6)
    return whole * step


def _verdict(
    edition: Edition,
    rule: Rule,
    member: Member,
    cut: Cut,
    units: Units,
    overrides: tuple[Override, ...],
) -> Verdict:
    limit, asked = rule.limit(member, cut), rule.asked(member, cut)
    fits = asked is not None and _fits(asked, limit.value, rule.sense)
    needs = "" if fits or asked is None else rule.needs
    nearest = () if rule.sense == "never" else (rounded(limit.value, rule.sense, units),)
    verdict = Verdict(
        allowed=fits or bool(needs),
        limit=limit.value,
        asked=asked,
        rule=rule.name,
        topic=rule.topic,
        edition=edition.name,
        source=f"{limit.source}: {limit.where}" if limit.where else limit.source,
        status=limit.status,
        words=_words(edition, rule, asked, nearest, needs, fits, limit.unit, units),
        nearest=() if fits else nearest,
        needs=needs,
        sense=rule.sense,
    )
    return _overridden(verdict, overrides)


def _fits(asked: float, limit: float, sense: Sense) -> bool:
    if sense == "never":
        return False
    return asked >= limit - _HAIR if sense == "at least" else asked <= limit + _HAIR


def _words(
    edition: Edition,
    rule: Rule,
    asked: float | None,
    nearest: tuple[float, ...],
    needs: str,
    fits: bool,
    unit: str,
    units: Units,
) -> str:
    if rule.sense == "never":
        parts = [f"Refused: {rule.topic}, never by {edition.name}, {rule.name}"]
    else:
        bound = f"{rule.sense} {_measure(nearest[0], unit, units)}"
        head = "Allowed" if fits else "Allowed only so" if needs else "Refused"
        held = _measure(asked, unit, units) if asked is not None else f"not known: {rule.measure}"
        parts = [f"{head}: {rule.topic} {bound} by {edition.name}, {rule.name}; here {held}"]
    if needs:
        parts.append(needs)
    if rule.note:
        parts.append(rule.note)
    if not fits:
        parts.append(DEFER.rstrip("."))
    return ". ".join(part[:1].upper() + part[1:] for part in parts) + "."


def _measure(value: float, unit: str, units: Units) -> str:
    if unit == "m":
        return show_length(value, units)
    if unit == "m2":
        square = INCH**2
        return f"{value / square:.0f} in2" if units == "ft-in" else f"{value:.3f} m2"
    return f"{value:g}"


def _overridden(verdict: Verdict, overrides: tuple[Override, ...]) -> Verdict:
    found = next((one for one in overrides if one.rule == verdict.rule), None)
    if found is None or (verdict.allowed and not verdict.needs):
        return verdict
    kept = f"{found.reason} ({found.by})"
    return msgspec.structs.replace(
        verdict,
        allowed=True,
        overridden=kept,
        words=f"{verdict.words} SET ASIDE by {found.by}: {found.reason}.",
    )
