"""An estimate line by line, as it is read out to an owner."""

from __future__ import annotations

from wainscot.chance import percent
from wainscot.estimate.model import Estimate, Line, Stage

MOST_LINES = 8


def money(value: float, currency: str) -> str:
    """Return an amount to the cent, or hours to the hundredth.

    Parameters
    ----------
    value : float
        [currency]
    currency : str
        Its code; empty where money is counted in hours.
    """
    return f"{value:,.2f} {currency or 'h'}"


def about(value: float, currency: str) -> str:
    """Return an amount as well as it is known: two figures.

    Parameters
    ----------
    value : float
        [currency]
    currency : str
        Its code; empty where money is counted in hours.
    """
    shown = float(f"{value:.2g}")
    return (
        f"{shown:,.0f} {currency or 'hours'}" if shown >= 10 else f"{shown:g} {currency or 'hours'}"
    )


def lines(found: Estimate, most: int = MOST_LINES) -> list[str]:
    """Return the estimate as lines of words.

    Parameters
    ----------
    found : Estimate
        The price.
    most : int
        Lines a stage and kind, the dearest first.
    """
    unit = found.currency
    taxed = f", with {found.tax:g} % tax" if found.tax else ", without tax"
    out = [
        f"Half of such jobs cost less than {about(found.half, unit)}, four in five less than "
        f"{about(found.four_in_five, unit)}{taxed} (from {about(found.least, unit)} to "
        f"{about(found.most, unit)} over {found.draws:,} draws).",
    ]
    if not unit:
        out.append("No hourly rate in the book: all is counted in hours of one person's work.")
    for stage in found.stages:
        out += _stage(found, stage, most)
    out.append(f"All that is planned, needed or not: {money(found.planned_cents / 100, unit)}.")
    out += [
        f"It hangs on {one.words} ({100 * one.share:.0f} % of the spread"
        + (
            f"; {'+' if one.adds > 0 else '-'}{about(abs(one.adds), unit)} where it is so"
            if one.adds
            else ""
        )
        + ")."
        for one in found.drivers
    ]
    out += [f"Limit: {one}." for one in found.limits]
    return out


def brief(found: Estimate) -> list[str]:
    """Return the price in brief: the range, its stages, what it hangs on most.

    Parameters
    ----------
    found : Estimate
        The price.
    """
    unit = found.currency
    out = lines(found, 0)[: 1 if unit else 2]
    out += [
        f"{one.name}: {percent(one.needed)} in 100 that it is needed; then half less than "
        f"{about(one.half, unit)}, four in five less than {about(one.four_in_five, unit)}."
        for one in found.stages
        if one.cents
    ]
    out += [f"It hangs most on {one.words}." for one in found.drivers[:1]]
    return out


def _stage(found: Estimate, stage: Stage, most: int) -> list[str]:
    mine = [one for one in found.lines if one.stage == stage.name]
    planned = [one for one in mine if not one.extra]
    if not planned:
        return [f"{stage.name}: nothing to do now."]
    unit = found.currency
    out = [
        f"{stage.name}: needed with {percent(stage.needed)} %; where it is, half less than "
        f"{about(stage.half, unit)}, four in five less than {about(stage.four_in_five, unit)}."
    ]
    out += _dearest(planned, unit, most)
    beyond = [one for one in mine if one.extra]
    if beyond:
        sums: dict[str, int] = {}
        for one in beyond:
            sums[one.place] = sums.get(one.place, 0) + one.cents
        chance = {one.place: one.chance for one in beyond if one.when.kind == "soiled"}
        ordered = sorted(sums, key=lambda word: -chance[word])
        out.append("  beyond the plan, if soil is found there:")
        out += [
            f"    {word}: {money(sums[word] / 100, unit)} ({percent(chance[word])} %)"
            for word in ordered[:most]
        ]
        if len(ordered) > most:
            out.append(f"    and {len(ordered) - most} more places: --all")
    return out


def _dearest(planned: list[Line], unit: str, most: int) -> list[str]:
    ordered = sorted(planned, key=lambda one: -one.cents)
    out = [
        f"  {one.words}: {one.quantity:g} {one.unit} x {one.rate.value:g} = "
        f"{money(one.amount, unit)}"
        + ("" if one.chance >= 0.999 else f" ({percent(one.chance)} %)")
        for one in ordered[:most]
    ]
    left = ordered[most:]
    if left:
        out.append(
            f"  and {len(left)} smaller lines, {money(sum(one.cents for one in left) / 100, unit)}"
            ": --all"
        )
    return out
