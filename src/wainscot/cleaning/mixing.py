"""How much of what in how much water, and how far it goes.

>>> mix(10.0, 9).product
1.0
"""

from __future__ import annotations

import msgspec

from wainscot.air.asking import positive

GALLON = 3.785411784
"""United States gallon, exact by definition. [L]"""
CUP = GALLON / 16
"""[L]"""


class Mix(msgspec.Struct, frozen=True):
    """What goes into a bucket."""

    product: float
    """[L]"""
    water: float
    """[L]"""
    share: float
    """Product in the whole, by volume. [1]"""


def mix(whole: float, water: float) -> Mix:
    """Return what makes a volume of solution.

    Parameters
    ----------
    whole : float
        Wanted. [L]
    water : float
        Parts of water to one of product; 0 for as it is. [1]

    Raises
    ------
    InputError
        If a value cannot be.
    """
    positive("whole", whole, zero=True)
    share = 1 / (1 + positive("water", water, zero=True))
    return Mix(whole * share, whole * (1 - share), share)


def strength(stock: float, water: float) -> float:
    """Return the strength of a dilution; density is left out.

    Parameters
    ----------
    stock : float
        Of what is in the bottle, as a share. [1]
    water : float
        Parts of water to one. [1]

    Returns
    -------
    float
        Parts in a million, by volume. [ppm]
    """
    return stock * 1e6 / (1 + water)


def coverage(area_per_gallon: float) -> float:
    """Return what square feet to the gallon are in mL on a square metre.

    Parameters
    ----------
    area_per_gallon : float
        Square feet that a United States gallon covers. [unit]

    Returns
    -------
    float
        mL on a square metre; a thousandth of it is the film in mm. [unit]
    """
    return GALLON * 1000 / (positive("coverage", area_per_gallon) * 0.3048**2)
