"""Writing files whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from wainscot.job import Job


def write_text(path: str, text: str) -> None:
    """Write text to a file, or to stdout for ``-``; a file that exists is replaced in one step."""
    if path == "-":
        click.echo(text, nl=False)
        return
    write_bytes(path, text.encode("utf-8"))


def write_job(job: Job, file: str, out: str | None) -> str:
    """Write a job back into its file, or to another that was named, and return which.

    Parameters
    ----------
    job : Job
        As it is now.
    file : str
        Where it was read.
    out : str or None
        Where it goes instead; ``-`` is standard output.
    """
    from wainscot import job as jobs

    target = file if out is None else out
    write_text(target, jobs.write(job))
    return target


def write_bytes(path: str, content: bytes) -> None:
    """Write a file; one that exists is replaced in one step.  An error names it by ``path``."""
    try:
        _replace(Path(path), content)
    except OSError as error:
        raise OSError(error.errno, error.strerror, path) from error


def _replace(target: Path, content: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
        part.chmod(target.stat().st_mode & 0o777 if target.exists() else _plain_mode())
        part.replace(target)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def _plain_mode() -> int:
    """Mode that a newly made file would have."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
