"""Houses at random with animals in them, to try the engine against a truth that is known.

    job = house(seed=7, storeys=2, rooms=4)
    truth = spread(job, seed=7)
    looked = inspect(job, truth, seed=7, visits=2)

The truth is drawn from the model itself and the finds from the very likelihoods that weigh them, so
what the diagnosis claims must come true as often as it says.  :mod:`wainscot.simulate.other` breaks
these agreements on purpose.

Limits: see the parts; a simulated house says nothing about whether the judged rates are right.
"""

from wainscot.simulate.house import house
from wainscot.simulate.looking import inspect
from wainscot.simulate.truth import (
    Scene,
    State,
    Truth,
    VoidTruth,
    draw,
    scene,
    spread,
    state_of,
)

__all__ = [
    "Scene",
    "State",
    "Truth",
    "VoidTruth",
    "draw",
    "house",
    "inspect",
    "scene",
    "spread",
    "state_of",
]
