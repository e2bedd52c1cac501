"""Will a wet film stay wet for the contact time: evaporation by Carrier's form.

w = (0.089 + 0.0782 V) (pw - pa) / Y, with the film at the air's temperature, which is the fast and
safe bound; a film on an insulated board drifts towards the wet bulb and lasts longer.

Limits: +-30 %; the best of the published correlations is 18 % off in the mean (HVAC&R Res. 2002;
8:125, abstract read).  What soaks into a porous surface is extra and usually more.
"""

from __future__ import annotations

import msgspec

from wainscot.air import MoistAir, moist
from wainscot.air.asking import positive

SPREAD = 0.30
"""Of every estimate here. [1]"""
_WEEK = 7 * 24 * 60.0


class Film(msgspec.Struct, frozen=True):
    """A wet film over its contact time."""

    rate: float
    """Evaporation, grams from a square metre in an hour. [unit]"""
    lasts: float
    """Likely; a week where it does not dry at all. [min]"""
    shortest: float
    """If it dries 30 % faster. [min]"""
    longest: float
    """If it dries 30 % slower. [min]"""
    dries: bool
    """False where the air takes up no water, or so little that it takes a week."""
    stays_wet: bool
    """True where even the shortest covers the contact time."""
    rewet_after: float | None
    """When to wet it again; None where it need not be. [min]"""


def latent_heat(temperature: float) -> float:
    """Return the heat that evaporates water, 2500.8 - 2.36 t (textbook form, from memory).

    Parameters
    ----------
    temperature : float
        [K]

    Returns
    -------
    float
        Kilojoules a kilogram. [unit]
    """
    return 2500.8 - 2.36 * (temperature - 273.15)


def evaporation(air: MoistAir, speed: float, *, at_wet_bulb: bool = False) -> float:
    """Return how fast a free wet surface dries.

    Parameters
    ----------
    air : MoistAir
        The air over it.
    speed : float
        Of the air along it. [m/s]
    at_wet_bulb : bool
        The film has cooled to the wet bulb, as on an insulated board.

    Returns
    -------
    float
        Kilograms from a square metre in an hour; zero where the air is damper than the film. [unit]
    """
    positive("speed", speed, zero=True)
    surface = air.wet_bulb if at_wet_bulb else air.temperature
    over = moist(surface, 1.0, air.pressure).saturation - air.vapour
    rate = (0.089 + 0.0782 * speed) * over / 1000 / latent_heat(surface)
    return max(0.0, rate * 3600)


def film(amount: float, contact: float, air: MoistAir, speed: float = 0.1) -> Film:
    """Return whether a film stays wet, and when to wet it again.

    Parameters
    ----------
    amount : float
        Applied; a thousand mL on a square metre is a mm. mL on a square metre. [unit]
    contact : float
        Contact time of the label. [min]
    air : MoistAir
        The air over it.
    speed : float
        Of the air along it. [m/s]

    Raises
    ------
    InputError
        If a value cannot be.
    """
    rate = evaporation(air, speed) * 1000
    positive("amount", amount)
    dries = rate * _WEEK / 60 > amount
    lasts = amount / rate * 60 if dries else _WEEK
    shortest, longest = (lasts / (1 + SPREAD), lasts / (1 - SPREAD)) if dries else (lasts, lasts)
    stays = shortest >= positive("contact", contact, zero=True)
    return Film(rate, lasts, shortest, longest, dries, stays, None if stays else shortest)
