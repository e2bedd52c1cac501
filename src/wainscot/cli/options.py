"""Options and kinds of argument that several commands take, so that each means one thing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])

READ = click.Path(exists=True, dir_okay=False, allow_dash=True)
"""A file that is read, or standard input."""

ON_DISK = click.Path(exists=True, dir_okay=False)
"""A file that is read and is no standard input, such as a job that is written back."""

WRITE = click.Path(dir_okay=False, writable=True, allow_dash=True)
"""A file that is written, or standard output."""

FOLDER = click.Path(file_okay=False, path_type=Path)
"""A folder, there or not."""

with_seed = click.option(
    "--seed", type=click.IntRange(0, 2**63 - 1), default=1, show_default=True,
    help="Of all randomness; the same seed gives the same answer.",
)  # fmt: skip


def with_draws(least: int = 256, default: int = 4096) -> Callable[[F], F]:
    """Return the option for the number of draws.

    Parameters
    ----------
    least, default : int
        Draws.
    """
    return click.option(
        "--draws", type=click.IntRange(least, 1_000_000), default=default, show_default=True,
        help="Posterior draws in all; more take longer and settle more.",
    )  # fmt: skip


def with_rates(
    told: str = "The firm's own rates (TOML); without, hours are counted.",
) -> Callable[[F], F]:
    """Return the option for the file of rates.

    Parameters
    ----------
    told : str
        What they change.
    """
    return click.option("--rates", type=READ, help=told)


with_json = click.option("--json", "as_json", is_flag=True, help="JSON on stdout instead of words.")

with_language = click.option(
    "--language", type=click.Choice(["en", "es"]), default="en", show_default=True,
    help="Of what is printed on paper.",
)  # fmt: skip

with_theme = click.option(
    "--theme", type=click.Choice(["day", "night"]), default="day", show_default=True,
    help="Colours of the picture; day is also for print.",
)  # fmt: skip


def with_all(told: str = "Every line, not the first few.") -> Callable[[F], F]:
    """Return the option for all that there is to tell.

    Parameters
    ----------
    told : str
        What is told of then.
    """
    return click.option("--all", "everything", is_flag=True, help=told)


with_picture_date = click.option(
    "--date", default="", help="Date that stands on the picture, in words."
)

with_out = click.option("--out", type=WRITE, help="Write the job there instead of into FILE.")
