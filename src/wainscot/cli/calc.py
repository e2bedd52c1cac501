"""``wainscot calc``: what people work out by hand on site, with formula, source and limits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from wainscot.cli.frame import Frame, guarded, print_json
from wainscot.cli.options import with_json

if TYPE_CHECKING:
    from wainscot.calc import Worked


@click.group(epilog="Example: wainscot calc purge --changes 6 --remove 99")
def calc() -> None:
    """Work out one thing: formula, numbers in both systems of units, source and limits.

    Lengths, areas and volumes are typed with their unit, or as bare metres.
    """


def _say(worked: Worked, as_json: bool) -> None:

    from wainscot.calc import in_words

    if as_json:
        print_json(worked)
        return
    out = Frame.of_stdout()
    for line in in_words(worked):
        out.paragraph(line.strip(), "  " if line.startswith("  ") else "", "    ")


def flow(typed: str) -> float:
    """Return a flow as typed: ``600 cfm``, ``0.28 m3/s``, ``1000 m3/h``.

    Parameters
    ----------
    typed : str
        Number and unit.

    Returns
    -------
    float
        [m3/s]
    """
    from wainscot.air.asking import refuse

    factors = {"cfm": 0.3048**3 / 60, "m3/s": 1.0, "m3/h": 1 / 3600, "l/s": 1e-3}
    number, _, unit = typed.strip().partition(" ")
    try:
        return float(number) * factors[unit.strip().lower()]
    except (KeyError, ValueError):
        raise refuse("flow", f"{typed!r} is no flow", "write 600 cfm or 1000 m3/h") from None


def pressure(typed: str) -> float:
    """Return a pressure as typed: ``5 Pa``, ``0.02 inwg``.

    Parameters
    ----------
    typed : str
        Number and unit.

    Returns
    -------
    float
        [Pa]
    """
    from wainscot.air.asking import refuse

    factors = {"pa": 1.0, "inwg": 249.089}
    number, _, unit = typed.strip().partition(" ")
    try:
        return float(number) * factors[unit.strip().lower()]
    except (KeyError, ValueError):
        raise refuse("pressure", f"{typed!r} is no pressure", "write 5 Pa or 0.02 inwg") from None


@calc.command("purge", epilog="Example: wainscot calc purge --changes 6 --remove 99 --mixing 3")
@click.option("--changes", type=float, required=True, help="Air changes an hour.")
@click.option("--remove", type=float, required=True, help="Per cent to be removed.")
@click.option("--mixing", type=float, default=1.0, show_default=True, help="1 perfect, to 10.")
@with_json
@guarded
def _purge(changes: float, remove: float, mixing: float, as_json: bool) -> None:
    """How long to run the exhaust before the sheets come down."""
    from wainscot import calc as work

    _say(work.purge(changes, remove / 100, mixing), as_json)


@calc.command(
    "exhaust", epilog="Example: wainscot calc exhaust --volume '1200 ft3' --leak '0.3 sq ft'"
)
@click.option("--volume", required=True)
@click.option("--leak", "leakage", required=True, help="Effective leakage area (4 Pa, Cd 1).")
@click.option("--changes", type=float, default=4.0, show_default=True)
@click.option("--pressure", "held", default="0.02 inwg", show_default=True)
@click.option("--unit", default="600 cfm", show_default=True, help="On a unit's plate.")
@click.option("--derate", type=float, default=0.75, show_default=True)
@with_json
@guarded
def _exhaust(
    volume: str, leakage: str, changes: float, held: str, unit: str, derate: float, as_json: bool
) -> None:
    """Flow and number of units that hold a work area down."""
    from wainscot import calc as work
    from wainscot import quantity
    from wainscot.air import effective_area

    found = effective_area(quantity.area(_typed(leakage)))
    _say(work.exhaust(quantity.volume(_typed(volume)), found, changes, pressure(held), flow(unit),
                      derate), as_json)  # fmt: skip


@calc.command("leak", epilog="Example: wainscot calc leak --area '0.3 sq ft' --pressure '5 Pa'")
@click.option("--area", required=True, help="Effective leakage area (4 Pa, Cd 1).")
@click.option("--pressure", "held", required=True)
@click.option("--exponent", type=float, default=0.65, show_default=True)
@with_json
@guarded
def _leak(area: str, held: str, exponent: float, as_json: bool) -> None:
    """What goes through a leak at a pressure."""
    from wainscot import calc as work
    from wainscot import quantity

    _say(work.leak(quantity.area(_typed(area)), pressure(held), exponent), as_json)


@calc.command(
    "stack", epilog="Example: wainscot calc stack --height '18 ft' --outside '20 F' --inside '70 F'"
)
@click.option("--height", required=True, help="Above the neutral level.")
@click.option("--outside", required=True)
@click.option("--inside", required=True)
@with_json
@guarded
def _stack(height: str, outside: str, inside: str, as_json: bool) -> None:
    """How hard a warm house pulls."""
    from wainscot import calc as work
    from wainscot import quantity

    _say(work.stack(quantity.length(_typed(height)), quantity.temperature(outside),
                    quantity.temperature(inside)), as_json)  # fmt: skip


@calc.command("reentry", epilog="Example: wainscot calc reentry ozone --start 5 --changes 4")
@click.argument("gas")
@click.option("--start", type=float, required=True, help="ppm at the beginning.")
@click.option("--changes", type=float, required=True, help="Air changes an hour.")
@click.option("--decay", type=float, default=0.0, show_default=True, help="Measured, an hour.")
@with_json
@guarded
def _reentry(gas: str, start: float, changes: float, decay: float, as_json: bool) -> None:
    """When a gas already chosen under its label may be measured; no gas is recommended."""
    from wainscot import calc as work

    _say(work.reentry(gas.replace("-", " "), start, changes, decay), as_json)


@calc.command("mix", epilog="Example: wainscot calc mix --whole '1 gal' --water 64")
@click.option("--whole", required=True)
@click.option("--water", type=float, required=True, help="Parts of water to one of product.")
@with_json
@guarded
def _mix(whole: str, water: float, as_json: bool) -> None:
    """What goes into the bucket."""
    from wainscot import calc as work
    from wainscot import quantity

    _say(work.mixing(1000 * quantity.volume(_typed(whole)), water), as_json)


@calc.command(
    "coverage", epilog="Example: wainscot calc coverage --area '120 sq ft' --amount 150 --factor 2"
)
@click.option("--area", required=True)
@click.option("--amount", type=float, default=150.0, show_default=True, help="mL/m2, sealed.")
@click.option("--factor", type=float, default=1.0, show_default=True, help="Of the material.")
@click.option("--applications", type=click.IntRange(1), default=1, show_default=True)
@with_json
@guarded
def _coverage(area: str, amount: float, factor: float, applications: int, as_json: bool) -> None:
    """How much a surface takes."""
    from wainscot import calc as work
    from wainscot import quantity

    _say(work.coverage(quantity.area(_typed(area)), amount, factor, applications), as_json)


@calc.command(
    "wetfilm", epilog="Example: wainscot calc wetfilm --air '70 F' --humidity '40 %' --contact 10"
)
@click.option("--air", required=True, help="Temperature.")
@click.option("--humidity", required=True, help="With its unit: '40 %'.")
@click.option("--contact", type=float, required=True, help="Contact time of the label, min.")
@click.option("--amount", type=float, default=150.0, show_default=True, help="mL/m2.")
@click.option("--speed", type=float, default=0.1, show_default=True, help="Of the air, m/s.")
@with_json
@guarded
def _wetfilm(
    air: str, humidity: str, contact: float, amount: float, speed: float, as_json: bool
) -> None:
    """Whether a film stays wet for the contact time."""
    from wainscot import calc as work
    from wainscot import quantity
    from wainscot.air import humidity as relative

    _say(work.wetfilm(amount, contact, quantity.temperature(air), relative(humidity), speed),
         as_json)  # fmt: skip


@calc.command("emc", epilog="Example: wainscot calc emc --air '70 F' --humidity '65 %' --target 15")
@click.option("--air", required=True, help="Temperature.")
@click.option("--humidity", required=True, help="With its unit: '65 %'.")
@click.option("--target", type=float, help="Moisture wanted, per cent.")
@with_json
@guarded
def _emc(air: str, humidity: str, target: float | None, as_json: bool) -> None:
    """What moisture wood settles at in this air."""
    from wainscot import calc as work
    from wainscot import quantity
    from wainscot.air import humidity as relative

    _say(work.emc(quantity.temperature(air), relative(humidity), target), as_json)


@calc.command("pipegap", epilog="Example: wainscot calc pipegap --hole '2 in' --pipe '1-1/2 in'")
@click.option("--hole", required=True, help="Diameter.")
@click.option("--pipe", required=True, help="Diameter.")
@with_json
@guarded
def _pipegap(hole: str, pipe: str, as_json: bool) -> None:
    """Hole less pipe: the gap that an animal is held against."""
    from wainscot import calc as work
    from wainscot import quantity

    _say(work.pipegap(quantity.length(_typed(hole)), quantity.length(_typed(pipe))), as_json)


def _typed(text: str) -> Any:
    """Return a bare number as a number of metres, anything else as typed."""
    try:
        return float(text)
    except ValueError:
        return text
