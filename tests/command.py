"""Running the command line in a test."""

from __future__ import annotations

from click.testing import CliRunner, Result

from wainscot.cli import main

SCREEN = 60
"""Lines of one screen: what a crew asks for on the doorstep fits it."""


def run(*arguments: str, given: str | bytes | None = None) -> Result:
    return CliRunner().invoke(main, arguments, input=given)
