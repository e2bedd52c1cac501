"""Where a drawn service passes from one space into another it leaves a gap: hole minus pipe.

The pipe may rest on one side of its hole, so the whole difference of the diameters counts.
"""

from __future__ import annotations

from collections.abc import Iterator

from wainscot.plan.model import ServiceRun
from wainscot.voids.piercing import crossings
from wainscot.voids.priors import passage_rows
from wainscot.voids.site import Proposal, Rule, Site


def propose(site: Site) -> Iterator[Proposal]:
    """Yield the gap round each service at each crossing."""
    row = passage_rows()["pipe through", "drawn"]
    for service in site.plan.services:
        low, high = (gap(hole, service.diameter) for hole in service.hole)
        for a, b, at in crossings(site.spaces, service.path):
            yield Proposal(
                a, b, "pipe through", f"the gap round {words(service)}", low, high,
                row.presence.value, row.run.value, row.gnawable, at,
            )  # fmt: skip


def gap(hole: float, diameter: float) -> float:
    """Return the largest gap beside a pipe that rests on one side of its hole. [m]

    Parameters
    ----------
    hole : float
        Diameter of the hole. [m]
    diameter : float
        Outside diameter of the pipe. [m]
    """
    return max(hole - diameter, 0.0)


def words(service: ServiceRun) -> str:
    """Return ``the bath waste`` or, without a name, ``the drain``."""
    name = service.name or service.type
    return name if name.lower().startswith("the ") else f"the {name[:1].lower()}{name[1:]}"


RULE = Rule("pipe through", "gaps round pipes, cables and ducts", propose)
