"""The commands.  Each reads, calls one function of the steps, and hands the answer to a writer."""

from __future__ import annotations

import click

from wainscot import __version__
from wainscot.cli import applied, diagnosis, erase, plan, proof, score, serve, store, walk, work
from wainscot.cli.all_clear import all_clear, traps
from wainscot.cli.authorise import authorise
from wainscot.cli.calc import calc
from wainscot.cli.cut import cut
from wainscot.cli.estimate import estimate
from wainscot.cli.opened import opened
from wainscot.cli.openings import openings
from wainscot.cli.package import package
from wainscot.cli.package_check import package_check
from wainscot.cli.papers import papers
from wainscot.cli.programme import programme
from wainscot.cli.release import release
from wainscot.cli.seals import seals
from wainscot.cli.simulate import simulate


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 88},
    epilog="Start with: wainscot demo --out demo",
)
@click.version_option(__version__, prog_name="wainscot")
def main() -> None:
    """Where rats and mice live inside a building, how they came in, what to check next.

    Draws on a job file: a partly drawn plan and the signs that were logged.
    """


for _command in (
    openings, calc, authorise, cut, opened, release, seals, estimate, papers, package_check,
    programme, package, traps, all_clear, simulate,
    *walk.COMMANDS, *plan.COMMANDS, *diagnosis.COMMANDS, *work.COMMANDS, *applied.COMMANDS,
    *store.COMMANDS, *erase.COMMANDS, *proof.COMMANDS, *serve.COMMANDS, *score.COMMANDS,
):  # fmt: skip
    main.add_command(_command)
