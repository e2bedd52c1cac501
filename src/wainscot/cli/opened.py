"""``wainscot opened``: log bay by bay what was seen once voids lay open."""

from __future__ import annotations

import click

from wainscot.cli.files import write_text
from wainscot.cli.frame import Frame, guarded

_FILE = click.Path(exists=True, dir_okay=False)


@click.command(
    short_help="Log what was seen in voids that were opened.",
    epilog="Example: wainscot opened mill.json F19=clean F20=clean B1=nest --by crew",
)
@click.argument("file", type=_FILE)
@click.argument("seen", nargs=-1, required=True, metavar="VOID=SIGHT...")
@click.option("--at", default="", help="When, such as 2026-05-20.")
@click.option("--by", default="", help="Who saw it.")
@click.option("--share", type=click.FloatRange(0, 1, min_open=True), default=1.0,
              show_default=True, help="Share of each void that could be seen.")  # fmt: skip
@click.option("--out", type=click.Path(dir_okay=False, writable=True, allow_dash=True),
              help="Write the job there instead of into FILE.")  # fmt: skip
@guarded
def opened(
    file: str, seen: tuple[str, ...], at: str, by: str, share: float, out: str | None
) -> None:
    """Log bay by bay what was seen: clean, light, heavy or nest, by the void's label.

    The labels are those of the plan and of the answer. The next walk leaves out what lies open and
    weighs the rest anew.
    \f

    Parameters
    ----------
    share : float
        Share of each void that could be seen. [1]
    """
    from wainscot import job as jobs
    from wainscot.errors import InputError
    from wainscot.openings.results import logged
    from wainscot.walk import check, survey

    with click.open_file(file, "rb") as stream:
        job = jobs.read(stream.read())
    surveyed = survey(job)
    after = logged(job, surveyed.plan, surveyed.graph, _sights(seen), at=at, by=by, share=share)
    found = check(after)
    if found:
        raise InputError(found)
    target = file if out is None else out
    write_text(target, jobs.write(after))
    if target != "-":
        many = "s" if len(seen) > 1 else ""
        Frame.of_stderr().line(f"logged {len(seen)} void{many} in {target}; next: wainscot walk")


def _sights(seen: tuple[str, ...]) -> dict[str, str]:
    pairs = {}
    for one in seen:
        void, mark, sight = one.partition("=")
        if not mark or not void:
            raise click.UsageError(f"write {one!r} as VOID=SIGHT, such as F19=clean")
        if void in pairs:
            raise click.UsageError(f"{void} is told twice; say once what was seen")
        pairs[void] = sight.strip().lower()
    return pairs
