"""Refusing a number that cannot be, with the place, the reason and the cure."""

from __future__ import annotations

import math

from wainscot.errors import Fault, InputError


def refuse(path: str, what: str, cure: str) -> InputError:
    """Return the error for a value that cannot be used.

    Parameters
    ----------
    path : str
        Which value.
    what : str
        What is wrong.
    cure : str
        What to do next.
    """
    return InputError([Fault("air-value", path, what, cure)])


def positive(path: str, value: float, *, zero: bool = False) -> float:
    """Return the value if it is a finite number above zero.

    Parameters
    ----------
    path : str
        Which value.
    value : float
        The value. [unit]
    zero : bool
        True where zero will do too.

    Returns
    -------
    float
        The value. [unit]

    Raises
    ------
    InputError
        If it is not.
    """
    if math.isfinite(value) and (value > 0 or (zero and value == 0)):
        return value
    least = "zero or more" if zero else "more than zero"
    raise refuse(path, f"{value:g} will not do here", f"give a number that is {least}")


def share(path: str, value: float) -> float:
    """Return the value if it lies between 0 and 1, both left out.

    Parameters
    ----------
    path : str
        Which value.
    value : float
        The value. [1]

    Returns
    -------
    float
        The value. [1]

    Raises
    ------
    InputError
        If it is not.
    """
    if 0 < value < 1:
        return value
    raise refuse(path, f"{value:g} is no share between 0 and 1", "write 0.99 for 99 %")
