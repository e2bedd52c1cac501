"""Demo houses of our own making: job files that show what the program does.

Nothing in them is a real place or person, and no number in them is evidence of anything.

>>> names()
('semi_1930s',)

Limits: a demo shows the shape of an answer; it proves nothing about houses.
"""

from __future__ import annotations

from importlib import resources


def names() -> tuple[str, ...]:
    """Return the names of the demo houses, sorted."""
    files = resources.files(__package__).iterdir()
    return tuple(sorted(f.name.removesuffix(".json") for f in files if f.name.endswith(".json")))


def text(name: str = "semi_1930s") -> str:
    """Return a demo's job file as text.

    Parameters
    ----------
    name : str
        One of :func:`names`.

    Raises
    ------
    KeyError
        If no demo has that name.
    """
    if name not in names():
        raise KeyError(name)
    return (resources.files(__package__) / f"{name}.json").read_text(encoding="utf-8")
