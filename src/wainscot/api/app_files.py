"""The built app's files, where the installation has them."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

STATIC = Path(str(resources.files("wainscot"))) / "static"
"""The built app, where it is part of the installation."""


def app_files(folder: Path) -> dict[str, Path]:
    """Return the app's files by the address that each is asked for.

    Parameters
    ----------
    folder : Path
        Where they lie; may not be there.
    """
    files = [one for one in folder.rglob("*") if one.is_file()] if folder.is_dir() else []
    return {one.relative_to(folder).as_posix(): one for one in files}
