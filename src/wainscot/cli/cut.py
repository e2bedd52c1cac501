"""``wainscot cut``: say whether a cut of one's own may be made, and which near it would do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

import click

from wainscot.cli import targets
from wainscot.cli.files import write_job
from wainscot.cli.frame import Frame, guarded, print_json
from wainscot.cli.options import READ, with_json, with_out
from wainscot.cli.reading import content_of, refuse

if TYPE_CHECKING:
    from wainscot.access import OwnCutTold
    from wainscot.access.own_cuts import Sized
    from wainscot.job import Job

_TRIED = "own_cut_tried"


@click.command(
    short_help="Say whether a cut of one's own may be made.",
    epilog='Example: wainscot cut mill.json kitchen/n1 --along "2 ft" --bottom "4 in" '
    '--width "14 in" --height "2 ft" --keep',
)
@click.argument("file", type=READ)
@click.argument("side", metavar="SIDE")
@click.option("--along", required=True, help="From the side's left corner to the left edge.")
@click.option("--width", required=True, help="Of the cut.")
@click.option("--bottom", default="0 m", help="Over the floor; in a floor, from the side's wall.")
@click.option("--height", required=True, help="Up from there; in a floor, out into the room.")
@click.option("--part", type=click.Choice(["wall", "floor", "ceiling"]), default="wall",
              show_default=True, help="What is cut.")  # fmt: skip
@click.option("--keep", is_flag=True, help="Put it into the job as drawn.")
@click.option("--moved", is_flag=True, help="Put the nearest that would do into the job instead.")
@click.option("--by", default="", help="Who drew it.")
@with_json
@with_out
@targets.force_option
@guarded
def cut(
    file: str, side: str, along: str, width: str, bottom: str, height: str,
    part: Literal["wall", "floor", "ceiling"], keep: bool, moved: bool, by: str, as_json: bool,
    out: str | None, force: bool,
) -> None:  # fmt: skip
    """Hold a cut against studs, joists, pipes, cables and what is kept.

    SIDE is a side of a room, such as kitchen/n1.  A cut that fits is in every set of openings.
    """

    from wainscot import job as jobs

    targets.ask([out], force=force)
    job = jobs.read(content_of(file))
    room, _, name = side.partition("/")
    entity = {
        "kind": "own_cut", "room": room, "side": name, "along": along, "width": width,
        "bottom": bottom, "height": height, **({} if part == "wall" else {"part": part}),
        **({"by": by} if by else {}),
    }  # fmt: skip
    told = _told(job, entity)
    if as_json:
        print_json(told)
    else:
        _say(told)
    if keep or moved:
        _keep(job, _moved(entity, told, job) if moved else [entity], file, out)


def _with(job: Job, made: dict[str, dict[str, Any]]) -> Job:
    import msgspec

    return msgspec.structs.replace(job, entities={**job.entities, **made})


def _told(job: Job, entity: dict[str, Any]) -> OwnCutTold:
    from wainscot.access import own_cuts, site_of
    from wainscot.walk import survey

    tried = _with(job, {_TRIED: entity})
    refuse(tried)
    seen = survey(tried)
    told = own_cuts(seen.plan, seen.graph, site_of(tried))
    return next(one for one in told if one.id == _TRIED)


def _say(told: OwnCutTold) -> None:
    out = Frame.of_stdout()
    out.paragraph(told.words, "", "  ")
    if told.reaches:
        reached = ", ".join(f"{one.label} {100 * one.share:.0f} %" for one in told.reaches)
        out.paragraph(f"Behind it, and how much hand and wand get at: {reached}.", "", "  ")
    if told.not_reached:
        out.paragraph(f"No cut near would reach: {', '.join(told.not_reached)}.", "", "  ")


def _moved(entity: dict[str, Any], told: OwnCutTold, job: Job) -> list[dict[str, Any]]:
    if told.fits:
        return [entity]
    if not told.nearest:
        raise click.UsageError("nothing near would do; draw it elsewhere")
    return [{**entity, **_lengths(entity, one, job)} for one in told.nearest]


def _lengths(entity: dict[str, Any], one: Sized, job: Job) -> dict[str, str]:
    """Return the lengths of a cut as typed; one that did not change stays as it was."""
    from wainscot.quantity import length, show_exact

    found = {}
    for name in ("along", "width", "bottom", "height"):
        value: float = getattr(one, name)
        same = abs(length(entity[name]) - value) < 1e-9
        found[name] = entity[name] if same else show_exact(value, job.units)
    return found


def _keep(job: Job, entities: list[dict[str, Any]], file: str, out: str | None) -> None:
    after = job
    for entity in entities:
        key = next(key for n in range(1, len(after.entities) + 2)
                   if (key := f"own_cut_{n}") not in after.entities)  # fmt: skip
        after = _with(after, {key: entity})
    refuse(after)
    target = write_job(after, file, out)
    if target != "-":
        Frame.of_stderr().line(f"kept {len(entities)} in {target}")
