"""What a command may write over: what such a command wrote before; no input, no job, no record.

A command asks before it calculates, so that nobody waits for an answer that cannot be written.

Limits: a file is known by how it begins.  What a shell writes to (``> mine.json``) is out of reach.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Iterable
from pathlib import Path

import click

force_option = click.option(
    "--force", is_flag=True, help="Write over a job or record that is there."
)

_ENOUGH = 1 << 20
"""How much of a file is looked at. [bytes]"""


def ask(
    outputs: Iterable[str | Path | None],
    *,
    inputs: Iterable[str | Path | None] = (),
    force: bool = False,
) -> None:
    """Refuse outputs that would write over an input, over each other, or over a job or record.

    Parameters
    ----------
    outputs : iterable of path
        Files that will be written; None and ``-`` are none.
    inputs : iterable of path
        Files that are read; they are never written over.
    force : bool
        Whether a job or record may be written over.

    Raises
    ------
    click.UsageError
        If one must not be written.
    OSError
        If the folder of one is not there.
    """
    read = {_same(path) for path in inputs if path is not None and str(path) != "-"}
    taken: set[str] = set()
    for output in outputs:
        if output is None or str(output) == "-":
            continue
        path = Path(output)
        if _same(path) in read:
            raise click.UsageError(f"{path} is read by this command; write to another name")
        if _same(path) in taken:
            raise click.UsageError(f"{path} is named twice; give each output its own name")
        taken.add(_same(path))
        if not path.parent.is_dir():
            code = errno.ENOTDIR if path.parent.exists() else errno.ENOENT
            raise OSError(code, os.strerror(code), str(path))
        if not force:
            keep(path)


def ask_folder(
    folder: Path,
    names: Iterable[str],
    *,
    inputs: Iterable[str | Path | None] = (),
    force: bool = False,
) -> None:
    """As :func:`ask`, for files in a folder that need not be there yet."""
    if folder.is_dir():
        ask([folder / name for name in names], inputs=inputs, force=force)


def ask_demo_folder(folder: Path, names: Iterable[str]) -> None:
    """Refuse a folder that holds files of these names, unless a demo's job lies among them.

    Parameters
    ----------
    folder : Path
        Folder, there or not.
    names : iterable of str
        Files that will be written.

    Raises
    ------
    click.UsageError
        If what is there is not a demo's.
    """
    from wainscot import demos
    from wainscot import job as jobs
    from wainscot.errors import InputError

    there = [name for name in names if (folder / name).exists()]
    if not there:
        return
    ours = {jobs.read(demos.text(name)).id for name in demos.names()}
    try:
        held = jobs.read((folder / "job.json").read_bytes()).id
    except (OSError, InputError):
        held = ""
    if held not in ours:
        what = f"{folder} holds {', '.join(there)}, which no demo wrote"
        raise click.UsageError(f"{what}; name another folder, or use --force")


def keep(path: Path) -> None:
    """Refuse to write over a job or record.

    Parameters
    ----------
    path : Path
        A file, there or not.

    Raises
    ------
    click.UsageError
        If it holds a job or a record.
    """
    held = holds(path)
    if held:
        raise click.UsageError(f"{path} holds {held}; write to another name, or use --force")


def holds(path: Path) -> str:
    """Return ``"a job"``, ``"a record"`` or ``"an archive"`` as a file begins, else nothing.

    A job file that somebody is at work on need not be sound, so only its words are looked for.

    Parameters
    ----------
    path : Path
        A file, there or not.
    """
    if not path.is_file():
        return ""
    with path.open("rb") as stream:
        start = stream.read(_ENOUGH)
    if start.startswith(b"SQLite format 3\0"):
        return "a record"
    if start.startswith(b"PK\x03\x04"):
        return "an archive"
    text = start.removeprefix(b"\xef\xbb\xbf").lstrip()
    if text.startswith(b"{"):
        first_line = text.split(b"\n", 1)[0]
        if all(word in first_line for word in (b'"device"', b'"prev"', b'"seq"')):
            return "a record"
        if b'"entities"' in text and b'"wainscot"' in text:
            return "a job"
    return ""


def _same(path: str | Path) -> str:
    """One text for one file, by whatever name or link it is called."""
    real = Path(path).resolve()
    if real.exists():
        status = real.stat()
        return f"{status.st_dev}:{status.st_ino}"
    return str(real)


def one_stdout(svg: str | None, as_json: bool) -> None:
    """Refuse a picture and JSON that would both go to standard output.

    Parameters
    ----------
    svg : str or None
        Where the picture goes.
    as_json : bool
        Whether JSON is written.

    Raises
    ------
    click.UsageError
        If both want it.
    """
    if svg == "-" and as_json:
        raise click.UsageError("--svg - and --json both want stdout; give the picture a file name")
