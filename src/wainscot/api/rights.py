"""Who may do what: one table of role by need.

Every route of the server names one need; :func:`wainscot.api.app.make_app` refuses to start with a
route that names none.  ``mine`` is narrower than ``all``: with a job it means "is on it" (an entity
of kind ``crew`` names the account), with a device "it is theirs".

>>> NEEDS["read job"].of("crew")
'mine'
"""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.job import Job
from wainscot.record import Event
from wainscot.store import Role

Reach = Literal["none", "mine", "all"]
Rank = Role | Literal["nobody", "alone"]
"""A role; ``nobody`` has not logged in; ``alone`` is the one person on this machine."""


class Need(msgspec.Struct, frozen=True):
    """What a route asks of its caller: how far each role may reach."""

    crew: Reach
    lead: Reach
    office: Reach
    nobody: Reach = "none"

    def of(self, rank: Rank) -> Reach:
        """Return how far a role may reach; the one person on this machine may do all."""
        reach: Reach = "all" if rank == "alone" else getattr(self, rank)
        return reach


NEEDS: dict[str, Need] = {
    #                         crew    lead    office
    "nothing": Need("all", "all", "all", nobody="all"),
    "be logged in": Need("all", "all", "all"),
    "see jobs": Need("mine", "all", "all"),
    "read job": Need("mine", "all", "all"),
    "write job": Need("mine", "all", "all"),
    "walk job": Need("mine", "all", "all"),
    "give head": Need("none", "all", "all"),
    "share papers": Need("none", "all", "all"),
    "keep devices": Need("mine", "mine", "all"),
    "read record": Need("none", "all", "all"),
    "take backup": Need("none", "all", "all"),
    "move everything": Need("none", "none", "all"),
    "keep accounts": Need("none", "none", "all"),
    "erase person": Need("none", "none", "all"),
    "keep rates": Need("none", "none", "all"),
}
"""Every need by its name."""

SEVERAL_DEVICES: frozenset[Rank] = frozenset({"office", "alone"})
"""Roles that may send what any device wrote, such as a file that a phone saved; the others send
what their own devices wrote."""

PUT_PEOPLE_ON: frozenset[Rank] = frozenset({"lead", "office", "alone"})
"""Roles whose events may say who is on a job."""


PEOPLE = "crew"
"""Kind of the entities that say who is on a job."""


def puts_people_on(event: Event) -> bool:
    """Whether an event makes its entity one that says who is on a job."""
    if event.kind == "add":
        return isinstance(event.value, dict) and event.value.get("kind") == PEOPLE
    return event.kind == "set" and event.field == "kind" and event.value == PEOPLE


def on_job(job: Job) -> frozenset[str]:
    """Return the accounts that are on a job."""
    found = (one for one in job.entities.values() if one.get("kind") == PEOPLE)
    return frozenset(str(one.get("who", "")) for one in found) - {""}
