"""Demo houses of our own making: job files that show what the program does.

Nothing in them is a real place or person, and no number in them is evidence of anything.

>>> names()
('corner_cafe', 'garden_office', 'semi_1930s', 'terraced_cottage')

Limits: a demo shows the shape of an answer; it proves nothing about houses.
"""

from __future__ import annotations

from importlib import resources

FIRST = "semi_1930s"
"""The one that is walked where none is named."""
LABEL = """
product = "disinfectant"
registration = "none: an example, not a product"
contact_time = "10 min"
dilution = "1:64"
surfaces = ["sealed", "wood", "gypsum paper", "masonry"]
"""
"""For these houses only; on a job the label in the hand is typed in."""

_ABOUT = {
    "corner_cafe": (
        "a corner cafe: house mice in the ceiling and the counter",
        "3 June 2026",
    ),
    "garden_office": (
        "a garden office: house mice, from signs to all clear",
        "14 March 2026",
    ),
    "semi_1930s": (
        "a semi-detached house: Norway rats from a broken drain",
        "12 May 2026",
    ),
    "terraced_cottage": (
        "a terraced cottage: roof rats in a shared loft",
        "21 October 2026",
    ),
}


def names() -> tuple[str, ...]:
    """Return the names of the demo houses, sorted."""
    files = resources.files(__package__).iterdir()
    return tuple(sorted(f.name.removesuffix(".json") for f in files if f.name.endswith(".json")))


def about(name: str) -> str:
    """Return what a demo house is, in a line.

    Parameters
    ----------
    name : str
        One of :func:`names`.
    """
    return _ABOUT[name][0]


def date(name: str) -> str:
    """Return the day of a demo's visit, in words, for its picture.

    Parameters
    ----------
    name : str
        One of :func:`names`.
    """
    return _ABOUT[name][1]


def text(name: str = FIRST) -> str:
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
