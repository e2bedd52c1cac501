"""What comes before any work on the house: checks, the owner's word, hold points.

Limits: until somebody has come is a range of our judgement.
"""

from __future__ import annotations

from collections.abc import Sequence

from wainscot.access import HoldPoint
from wainscot.programme.groups import Group
from wainscot.programme.making import OPENING, Making
from wainscot.programme.waits import FIND_OUT, OWNER, STOP


def checks(made: Making) -> None:
    """Add the checks of the next visit, and the fetching of what stood overnight.

    Parameters
    ----------
    made : Making
        Is written to.
    """
    result = made.given.scope.checks
    if result is None or not result.visit:
        return
    by_access = {one.access: one for one in result.checks}
    some = [by_access[step.access] for step in result.visit]
    hours = sum(one.minutes for one in some) / 60
    last = made.site("check/visit", "check first", "look and check", hours, (),
                     places=tuple(one.doing for one in some))  # fmt: skip
    nights = max(one.nights for one in some)
    if nights:
        waited = made.wait("check/nights", "check first", "what was set stands overnight",
                           24.0 * nights - 12.0, (last,))  # fmt: skip
        last = made.site("check/fetch", "check first", "fetch and read what was set",
                         0.5 * made.people, (waited,))  # fmt: skip
    made.gate = (last,)


def authorisation(made: Making) -> None:
    """Add the owner's signature on what is not signed for yet.

    Parameters
    ----------
    made : Making
        Is written to.
    """
    choice = made.given.scope.choice
    balanced = set(choice.balanced.openings)
    asked = [one for one in choice.openings if one.id in balanced and one.status != "authorised"]
    if not asked:
        return
    waited = made.wait("owner/wait", OPENING, "the owner reads and decides", OWNER, made.gate)
    many = "1 opening" if len(asked) == 1 else f"{len(asked)} openings"
    made.gate = (made.hold(
        "owner/openings", OPENING, f"the owner authorises {many}", "the owner", (waited,),
        evidence="each opening signed for", places=tuple(one.words for one in asked),
    ),)  # fmt: skip


def holds(made: Making, groups: Sequence[Group]) -> None:
    """Add the hold points by hazard and person: somebody who has to come comes once.

    Parameters
    ----------
    made : Making
        Is written to.
    groups : sequence of Group
        What is opened.
    """
    work = made.given.work
    fans = {one.key: one for group in groups if group.contained for one in group.contained.holds}
    wetting = {one.key: one for one in (work.holds if work is not None else ())}
    if work is not None and work.containments:
        # Without its containments' own, what is left of the work's holds is that of wetting.
        for one in (hold for found in work.containments for hold in found.holds):
            fans.setdefault(one.key, one)
            wetting.pop(one.key, None)
    cutting = {one.key: one for group in groups for way in group.ways for one in way.holds}
    together: dict[tuple[str, str], list[HoldPoint]] = {}
    for one in ({**wetting, **fans, **cutting} if groups else {}).values():
        if one.standing != "care":
            together.setdefault((one.hazard, one.who), []).append(one)
    for (hazard, who), some in together.items():
        _held(made, hazard, who, some)
    made.fan_first, made.wet_first = made.settled(fans), made.settled(wetting)


def _held(made: Making, hazard: str, who: str, some: list[HoldPoint]) -> None:
    key = f"hold/{some[0].key}"
    stop = any(one.standing == "stop" for one in some)
    waited = made.wait(f"{key}/wait", OPENING, f"{hazard}: until it is settled who comes",
                       STOP if stop else FIND_OUT, ())  # fmt: skip
    done = made.hold(
        key, OPENING, hazard, who, (waited,),
        hours=sum(one.minutes for one in some) / 60, first=some[0].first, evidence=some[0].evidence,
        holds=tuple(one.key for one in some),
    )  # fmt: skip
    for one in some:
        made.stops[one.key] = done
