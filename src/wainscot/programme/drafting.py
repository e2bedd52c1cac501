"""From the plans to activities, each after those that it needs.

Limits: all that is planned is done; cleaning and trapping run side by side.
"""

from __future__ import annotations

from wainscot.programme import after, before, rooms
from wainscot.programme.groups import Group, groups_of
from wainscot.programme.making import Draft, Making
from wainscot.programme.model import Given


def drafts(given: Given) -> tuple[list[Draft], list[Group]]:
    """Return the activities of a job, and its openings by place.

    Parameters
    ----------
    given : Given
        The answers of the steps above.
    """
    made = Making(given)
    groups = groups_of(given)
    before.checks(made)
    if groups:
        before.authorisation(made)
    before.holds(made, groups)
    for group in groups:
        rooms.room(made, group)
    after.closing(made)
    return made.all, groups
