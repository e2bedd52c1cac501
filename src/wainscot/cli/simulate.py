"""``wainscot simulate``: a house at random with animals in it, as a job file and its truth."""

from __future__ import annotations

import click

from wainscot.cli import targets
from wainscot.cli.files import write_text
from wainscot.cli.frame import Frame, guarded, json_text
from wainscot.cli.options import WRITE

MOST_VOIDS = 20_000


@click.command(
    short_help="Make a house at random with animals in it.",
    epilog="Example: wainscot simulate --seed 7 --storeys 2 --rooms 4 --out job.json"
    " --truth truth.json",
)
@click.option(
    "--seed", type=click.IntRange(0, 2**63 - 1), default=1, show_default=True,
    help="Of all randomness; the same seed gives the same house.",
)  # fmt: skip
@click.option("--storeys", type=click.IntRange(1, 40), default=2, show_default=True)
@click.option(
    "--rooms", type=click.IntRange(1, 400), default=4, show_default=True,
    help="Rooms on each storey.",
)  # fmt: skip
@click.option(
    "--visits", type=click.IntRange(0, 1000), default=2, show_default=True,
    help="Visits with nine looks each; where they look never depends on the truth.",
)  # fmt: skip
@click.option("--out", type=WRITE, required=True, help="The job file.")
@click.option("--truth", type=WRITE, required=True, help="What is really there, as JSON.")
@targets.force_option
@guarded
def simulate(
    seed: int, storeys: int, rooms: int, visits: int, out: str, truth: str, force: bool
) -> None:
    """Make a house at random, let animals live in it, look into it, and write job and truth.

    Nothing in the job file tells the truth: diagnose it, then compare.
    """
    from wainscot import job as jobs
    from wainscot import simulate as step

    targets.ask([out, truth], force=force)
    house = step.house(seed, storeys, rooms)
    seen = step.scene(house)
    voids = len(seen.graph.keys)
    if voids > MOST_VOIDS:
        raise click.UsageError(f"that house has {voids:,} voids, more than {MOST_VOIDS:,}")
    really = step.spread(house, seed, seen=seen)
    looked = step.inspect(house, really, seed, visits, seen=seen)
    write_text(out, jobs.write(looked))
    write_text(truth, json_text(really))
    reached = sum(one.reach != "unreached" for one in really.voids.values())
    looks = len(looked.entities) - len(house.entities)
    Frame.of_stderr().line(f"{voids} voids, {reached} of them reached; {looks} inspections")
