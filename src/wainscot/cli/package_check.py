"""``wainscot package-check``: whether a package is as it was packed."""

from __future__ import annotations

from pathlib import Path

import click

from wainscot.cli.frame import FAILED, Frame, guarded

_LIMITS = (
    "this says that nothing was changed since it was packed, not who packed it: compare its head "
    "with the papers, and this SHA-256 with what was written down:"
)


@click.command(
    "package-check",
    short_help="Say whether a package is as it was packed.",
    epilog="Example: wainscot package-check mill.zip",
)
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@guarded
def package_check(file: Path) -> None:
    """Look at every byte of a package against its lists of hashes; nothing is unpacked."""
    import hashlib

    from wainscot.papers.bag_check import faults, head_faults

    out = Frame.of_stdout()
    with file.open("rb") as stream:
        found = faults(stream) or head_faults(stream)
        stream.seek(0)
        digest = hashlib.file_digest(stream, "sha256").hexdigest()
    for line in found:
        out.line(f"not whole: {line}")
    if found:
        raise SystemExit(FAILED)
    out.line("whole: every file in it is as it was packed")
    out.paragraph(_LIMITS)
    out.line(f"  {digest}")
