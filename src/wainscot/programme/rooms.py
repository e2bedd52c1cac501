"""One room, or one space that a body goes into: sheet off, open, clean, dry, close, make good.

Limits: a void is cleaned as soiled; where the label is not typed in, soaking takes a judged time.
"""

from __future__ import annotations

from wainscot.cleaning.planning import SOAK, surfaces_of
from wainscot.programme.groups import Group
from wainscot.programme.making import CREW, ELECTRICIAN, FINISHER, LEAD, MASON, OPENING, Making
from wainscot.programme.model import Part
from wainscot.programme.waits import (
    CABLES,
    COATS,
    CONTACT,
    DRYING,
    HANGING,
    METER,
    ONE_COAT,
    WETTING,
    Range,
)

Keys = tuple[str, ...]


def room(made: Making, group: Group) -> None:
    """Add all that is done from one place.

    Parameters
    ----------
    made : Making
        Is written to.
    group : Group
        The openings made from there.
    """
    ready = (_sheeted(made, group),) if group.contained is not None else made.gate
    opened = _opened(made, group, ready)
    cleaned = _cleaned(made, group, opened)
    down = _taken_down(made, group, cleaned)
    looked = _cables(made, group, down)
    dry = _dried(made, group, cleaned)
    sealed = _sealed(made, group, (*dry, *down))
    _made_good(made, group, (*looked, *sealed))


def _sheeted(made: Making, group: Group) -> str:
    assert group.contained is not None
    hang = group.contained.sheets.sheet * made.book.labour.hang.value
    return made.site(
        f"{group.key}/sheet", OPENING, f"set up and sheet off {group.name}, exhaust on",
        made.book.work.set_up_room.value + hang * HANGING.value, (*made.gate, *made.fan_first),
        room=group.room,
    )  # fmt: skip


def _opened(made: Making, group: Group, ready: Keys) -> Keys:
    before = (*ready, *made.settled({one.key for way in group.ways for one in way.holds}))
    charges = {one.key: one for way in group.ways for one in way.charges}
    new = [one for key, one in charges.items() if key not in made.paid]
    made.paid |= {one.key for one in new if one.kind in ("enter", "water")}
    if any(one.kind == "water" for one in new):
        before = (made.site("water/off", OPENING, "shut off and drain the water",
                            made.book.labour.water_off.value, before),)  # fmt: skip
    entering = sum(one.hours for one in new if one.kind == "enter")
    done = []
    for who in (MASON, CREW):
        some = [one for one in group.ways if (one.act == "bricks out") == (who == MASON)]
        if not some:
            continue
        places = "1 place" if len(some) == 1 else f"{len(some)} places"
        hours = sum(one.minutes for one in some) / 60 + (entering if who == CREW else 0.0)
        done.append(made.site(
            f"{group.key}/open by {who}", OPENING, f"open {places}, {group.name}", hours, before,
            who=who, room=group.room, places=tuple(one.words for one in some),
        ))  # fmt: skip
    return tuple(done)


def _cleaned(made: Making, group: Group, opened: Keys) -> Keys:
    """Wet, let it soak, take out, wet again, let it soak: in stretches that fit into a day."""
    surfaces = surfaces_of(made.given.scope.graph, group.voids)
    last: Keys = (*opened, *made.wet_first)
    rate, day = made.book.labour.clean.value, made.book.business.day.value
    soak = 2 * contact(made) / 60
    batches: list[tuple[list[str], float]] = []
    for one in surfaces:
        hours = one.area * rate / made.people
        if batches and batches[-1][1] + hours + soak <= day:
            batches[-1] = ([*batches[-1][0], one.place], batches[-1][1] + hours)
        else:
            batches.append(([one.place], hours))
    for n, (places, hours) in enumerate(batches, 1):
        some = "1 void" if len(places) == 1 else f"{len(places)} voids"
        key = f"{group.key}/clean" + (f" {n}" if len(batches) > 1 else "")
        last = (made.site(
            key, OPENING, f"wet, soak, take out, wet again: {some}, {group.name}",
            (hours + soak) * made.people, last, room=group.room, whole=True, places=tuple(places),
            parts=_parts(hours * 60, contact(made)),
        ),)  # fmt: skip
    return last if batches else opened


def contact(made: Making) -> float:
    """Return how long it soaks each time: the label, else a judgement. [min]

    Parameters
    ----------
    made : Making
        For the label.
    """
    work = made.given.work
    label = work.cleaning.label.contact if work is not None and work.cleaning else CONTACT.value
    return max(SOAK, label)


def _parts(minutes: float, soak: float) -> tuple[Part, ...]:
    wet = WETTING.value * minutes
    return (
        Part("wet everything", wet, True), Part("it soaks", soak, False),
        Part("take out, bag, wipe", minutes - 2 * wet, True), Part("wet again", wet, True),
        Part("it soaks", soak, False),
    )  # fmt: skip


def _taken_down(made: Making, group: Group, cleaned: Keys) -> Keys:
    if group.contained is None:
        return cleaned
    purged = made.wait(f"{group.key}/purge", OPENING, f"exhaust runs on empty, {group.name}",
                       group.contained.purge_minutes / 60, cleaned, group.room)  # fmt: skip
    hang = group.contained.sheets.sheet * made.book.labour.hang.value
    return (made.site(
        f"{group.key}/down", OPENING, f"sheets down and out, {group.name}",
        hang * (1 - HANGING.value), (purged,), room=group.room,
    ),)  # fmt: skip


def _cables(made: Making, group: Group, down: Keys) -> Keys:
    """A gnawed cable must not be closed in."""
    if not any(one.repair > 0 for one in group.ways):
        return down
    return (made.hold(
        f"{group.key}/cables", OPENING, f"look at every cable laid open, {group.name}", ELECTRICIAN,
        down, hours=CABLES.value, evidence="each cable seen whole or made good, photo",
    ),)  # fmt: skip


def _dried(made: Making, group: Group, cleaned: Keys) -> Keys:
    if not group.voids:
        return cleaned
    likely = made.book.team.drying.value * 24
    waited = made.wait(f"{group.key}/dry", OPENING, f"it dries, {group.name}",
                       Range(DRYING[0] * likely, likely, DRYING[1] * likely), cleaned)  # fmt: skip
    return (made.hold(
        f"{group.key}/dry enough", OPENING, f"moisture read, dry enough to close, {group.name}",
        LEAD, (waited,), hours=METER.value,
        evidence="readings at or under the limit",
    ),)  # fmt: skip


def _sealed(made: Making, group: Group, ready: Keys) -> Keys:
    """Seals that are laid while something lies open for them."""
    seals = made.given.scope.seals
    words = {one.words for one in group.ways}
    some = [one for one in (seals.seals if seals is not None else ())
            if one.reach in words and one.key not in made.sealed]  # fmt: skip
    if not some:
        return ready
    made.sealed |= {one.key for one in some}
    return (made.site(
        f"{group.key}/seal", "seal", f"close what lies open, {group.name}",
        sum(one.hours for one in some), ready, places=tuple(one.words for one in some),
    ),)  # fmt: skip


def _made_good(made: Making, group: Group, ready: Keys) -> None:
    hours = sum(one.repair for one in group.ways) / 60
    finish = {one.key: one.hours for way in group.ways for one in way.charges
              if one.kind == "finish" and one.key not in made.paid}  # fmt: skip
    made.paid |= set(finish)
    if hours <= 0:
        return
    last = made.site(
        f"{group.key}/close", OPENING, f"close up, {group.name}", hours, ready, who=FINISHER,
        room=group.room, places=tuple(one.words for one in group.ways if one.repair > 0),
    )  # fmt: skip
    if not finish:
        return
    coats = int(max(COATS.get(one.finish, ONE_COAT).value for one in group.ways if one.repair > 0))
    for n in range(1, coats + 1):
        dry = made.wait(f"{group.key}/coat {n} wait", OPENING, f"it sets, {group.name}",
                        made.book.team.coat.value, (last,))  # fmt: skip
        words = f"coat {n} of {coats}, {group.name}" if coats > 1 else f"touch up, {group.name}"
        last = made.site(f"{group.key}/coat {n}", OPENING, words, sum(finish.values()) / coats,
                         (dry,), who=FINISHER, room=group.room)  # fmt: skip
