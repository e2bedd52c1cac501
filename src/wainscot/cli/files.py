"""Writing files whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import click


def write_text(path: str, text: str) -> None:
    """Write text to a file, or to stdout for ``-``; a file that exists is replaced in one step."""
    if path == "-":
        click.echo(text, nl=False)
        return
    target = Path(path)
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
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
