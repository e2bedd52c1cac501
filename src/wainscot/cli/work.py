"""``wainscot contain``, ``clean`` and ``dry``: the work between opening and closing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from wainscot.cli.calc import flow, pressure
from wainscot.cli.frame import Frame, guarded, print_json, progress_bar
from wainscot.cli.options import READ, with_draws, with_json, with_seed
from wainscot.cli.reading import content_of, sound_job

if TYPE_CHECKING:
    from wainscot.containment import Containment

_SAID = click.Choice(["unknown", "none", "present"])


def _print(value: Any, lines: list[str], as_json: bool) -> None:

    if as_json:
        print_json(value)
        return
    out = Frame.of_stdout()
    for line in lines:
        out.paragraph(line, "", "  ")


@click.command(
    "contain",
    short_help="Sheets, exhaust and purge of a work area, and what must be settled first.",
    epilog="Example: wainscot contain mill.json --room Kitchen --burners none",
)
@click.argument("file", type=READ)
@click.option("--room", "rooms", multiple=True, required=True, help="Room, by name or id.")
@click.option("--leak", default="", help="Leakage measured, as effective area ('300 cm2').")
@click.option("--changes", type=float, default=4.0, show_default=True, help="An hour.")
@click.option("--pressure", "held", default="0.02 inwg", show_default=True)
@click.option("--unit", default="600 cfm", show_default=True, help="On a unit's plate.")
@click.option("--derate", type=float, default=0.75, show_default=True)
@click.option("--mixing", type=float, default=3.0, show_default=True)
@click.option("--outside", default="", help="Temperature, for the pull of a warm house.")
@click.option("--inside", default="70 F", show_default=True)
@click.option("--height", default="", help="Of the work area above or below the neutral level.")
@click.option("--tightness", type=float, default=10.0, show_default=True,
              help="Of the house: changes an hour at 50 Pa, from a blower door.")  # fmt: skip
@click.option("--hours", type=float, default=8.0, show_default=True, help="Of work in it.")
@click.option("--burners", type=_SAID, default="unknown", show_default=True)
@click.option("--garage", type=_SAID, default="unknown", show_default=True)
@click.option("--ducts", type=_SAID, default="unknown", show_default=True)
@with_json
@guarded
def _contain(
    file: str, rooms: tuple[str, ...], leak: str, changes: float, held: str, unit: str,
    derate: float, mixing: float, outside: str, inside: str, height: str, tightness: float,
    hours: float, burners: Any, garage: Any, ducts: Any, as_json: bool,
) -> None:  # fmt: skip
    """Plan the containment of rooms. No fan runs before its hold points are settled."""
    import msgspec

    from wainscot import quantity
    from wainscot.access import site_of
    from wainscot.air import effective_area, stack_pressure
    from wainscot.cleaning.words import stops
    from wainscot.containment import Said, contain, spread, work_area
    from wainscot.containment.words import lines
    from wainscot.walk import survey

    if height and not outside:
        raise click.UsageError("the pull of a warm house needs --outside beside --height")
    job = sound_job(content_of(file))
    warm = quantity.temperature(inside)
    cold = quantity.temperature(outside) if outside else warm
    pull = stack_pressure(quantity.length(height), outside=cold, inside=warm) if height else 0.0
    surveyed = survey(job)
    work = work_area(surveyed.plan, rooms)
    found: Containment = contain(
        work,
        leak=effective_area(quantity.area(leak)) if leak else None, changes=changes,
        pressure=pressure(held), unit=flow(unit), derate=derate, mixing=mixing, stack=pull,
        said=Said(burners, garage, ducts), released=site_of(job).released,
    )  # fmt: skip
    assert found.leak is not None
    through = spread(
        surveyed.plan, surveyed.graph, work.rooms, found.leak, flow=found.exhaust.flow,
        pressure=pressure(held), outside=cold, inside=warm, hours=hours, tightness=tightness,
    )  # fmt: skip
    found = msgspec.structs.replace(found, spread=through)
    _print(found, [*stops(found.holds), *lines(found)], as_json)


@click.command(
    "clean",
    short_help="In what order, how much, how long wet, what becomes waste.",
    epilog="Example: wainscot clean mill.json --label product.toml --air '68 F' "
    "--humidity '50 %' --void F7",
)
@click.argument("file", type=READ)
@click.option("--label", "label_file", type=READ, help="The label (TOML); else that of the job.")
@click.option("--air", required=True, help="Temperature there.")
@click.option("--humidity", required=True, help="With its unit: '50 %'.")
@click.option("--void", "labels", multiple=True, help="Void, by label; else those to open.")
@click.option("--speed", type=float, default=0.1, show_default=True, help="Of the air, m/s.")
@click.option("--applications", type=click.IntRange(1, 20), default=2, show_default=True)
@click.option("--before", default="", help="Kind of product that was used there already.")
@click.option("--taken-out", default="0 m3", show_default=True, help="Insulation that goes out.")
@click.option(
    "--load",
    type=click.FloatRange(0),
    default=0.0,
    show_default=True,
    help="On a loft's ceiling, kg/m2.",
)
@click.option("--dry-method", default="", help="The one exception, by name.")
@click.option("--signed-by", default="", help="Who signed for it.")
@click.option("--sealer", is_flag=True, help="A sealer goes on at the end.")
@with_seed
@with_draws()
@with_json
@guarded
def _clean(
    file: str, label_file: str | None, air: str, humidity: str, labels: tuple[str, ...],
    speed: float, applications: int, before: str, taken_out: str, load: float, dry_method: str,
    signed_by: str, sealer: bool, seed: int, draws: int, as_json: bool,
) -> None:  # fmt: skip
    """Plan the cleaning of voids. The label that is typed in comes before every default."""
    import msgspec

    from wainscot import quantity
    from wainscot.access import site_of
    from wainscot.air import humidity as relative
    from wainscot.air import moist
    from wainscot.cleaning import clean, read_label, surfaces_of
    from wainscot.cleaning.applied import label_in
    from wainscot.cleaning.planning import DryMethod
    from wainscot.cleaning.words import lines
    from wainscot.walk import survey

    weather = moist(quantity.temperature(air), relative(humidity))
    given = read_label(content_of(label_file).decode("utf-8", "replace")) if label_file else None
    job = sound_job(content_of(file))
    label = given or label_in(job)
    if label is None:
        raise click.UsageError("no label is in the job: give --label, or run wainscot label")
    surveyed = survey(job)
    chosen = _voids(job, surveyed.graph, labels, seed, draws)
    surfaces = [
        msgspec.structs.replace(one, overhead_load=load if one.ceiling else 0.0)
        for one in surfaces_of(surveyed.graph, chosen)
    ]
    found = clean(
        surfaces, label, weather, speed=speed, applications=applications, before=before,
        taken_out=quantity.volume(taken_out), sealer=sealer,
        dry=DryMethod(dry_method, signed_by) if dry_method or signed_by else None,
        released=site_of(job).released,
    )  # fmt: skip
    _print(found, lines(found), as_json)


def _voids(job: Any, graph: Any, labels: tuple[str, ...], seed: int, draws: int) -> list[int]:
    """Return the voids that were named, or else those whose band is to open."""
    from wainscot.errors import InputError, unknown_word

    at = {label: v for v, label in enumerate(graph.labels)} | graph.index()
    if labels:
        if faults := [unknown_word("air-value", "void", "void", one, graph.labels)
                      for one in labels if one not in at]:  # fmt: skip
            raise InputError(faults)
        return [at[one] for one in dict.fromkeys(labels)]
    from wainscot.diagnosis import diagnose

    with progress_bar("thinking") as progress:
        answer, _ = diagnose(job, seed=seed, draws=draws, progress=progress)
    chosen = [at[one.id] for one in answer.voids if one.band == "open" and one.id in at]
    if not chosen:
        raise click.UsageError("no void is to be opened yet; name one with --void")
    return chosen


@click.command(
    "dry",
    short_help="Whether this air dries wood to the limit, and on what day.",
    epilog="Example: wainscot dry mill.json --air '70 F' --humidity '45 %'",
)
@click.argument("file", type=READ)
@click.option("--air", default="", help="Temperature there; as read in the job if left out.")
@click.option("--humidity", default="", help="With its unit: '45 %'; likewise.")
@click.option("--target", type=float, default=15.0, show_default=True, help="Per cent.")
@click.option("--cables-checked", is_flag=True, help="Somebody looked at every cable.")
@with_json
@guarded
def _dry(
    file: str, air: str, humidity: str, target: float, cables_checked: bool, as_json: bool
) -> None:
    """Forecast from the job's own moisture readings (kind "air_reading"), room by room."""
    from wainscot import quantity
    from wainscot.air import humidity as relative
    from wainscot.cleaning.drying import closings

    job = sound_job(content_of(file))
    found = closings(
        job, quantity.temperature(air) if air else None,
        relative(humidity) if humidity else None, target, cables_checked=cables_checked,
    )  # fmt: skip
    told = [] if found else [
        "No moisture reading is in the job: log some (kind \"air_reading\", of \"moisture "
        "percent\"), at the same places every day."
    ]  # fmt: skip
    for one in found:
        told.append(f"{one.room}: {one.forecast.words}")
        told += [f"  air: {one.air}"] if one.air else []
        told += [f"  not to be closed or sealed: {bar}" for bar in one.bars]
    told.append("The meter, local code and whoever may release it decide.")
    _print(found, told, as_json)


COMMANDS = (_contain, _clean, _dry)
