"""From what was chosen to what stands on paper: one overview, one page for each opening.

    view = sheet_view(job, choice, plan, graph, ways, date="2026-05-12")
    view.pages[0].stamp

Pure: no disk, no clock; the date is given.  Openings of one kind in one room at which nothing is
sawn share a page, for they differ in nothing that a hand needs to know.

Limits: what was drawn is where it was drawn; pilot hole and two found edges come before the saw.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from typing import Literal

import msgspec

from wainscot import chance
from wainscot.access import Access, site_of
from wainscot.access.scene import Scene
from wainscot.drawing import Drawing
from wainscot.drawing.layout import on_paper
from wainscot.job import Job
from wainscot.openings import Choice, Opening, Point, signed
from wainscot.openings.words import money
from wainscot.papers.answers import version_of
from wainscot.papers.opening_sheet.model import Line, OpeningPage, SheetView, VoidSaid
from wainscot.papers.opening_sheet.one import Page
from wainscot.papers.opening_sheet.settled import Settled
from wainscot.papers.opening_sheet.telling import short
from wainscot.papers.opening_sheet.where import Placed, placed_of, storey_plan
from wainscot.plan.model import Plan
from wainscot.voids.graph import Graph

Which = Literal["least", "balanced", "all"]


def sheet_view(
    job: Job,
    choice: Choice,
    plan: Plan,
    graph: Graph,
    ways: Sequence[Access],
    *,
    which: Which = "balanced",
    date: str = "",
    said: Mapping[str, VoidSaid] | None = None,
) -> SheetView:
    """Return the opening sheet of a job.

    Parameters
    ----------
    job : Job
        The job.
    choice : Choice
        What to open, as :func:`wainscot.openings.plan_openings` gives it.
    plan : Plan
        What was drawn.
    graph : Graph
        Its voids.
    ways : sequence of Access
        Every opening, as :func:`wainscot.access.ways_to_open` gives them for plan and graph.
    which : {"least", "balanced", "all"}
        Which set; what is authorised comes on top.
    date : str
        Day that stands on it, ``2026-05-12``; never read from a clock.
    said : mapping of str to VoidSaid, optional
        What the diagnosis says of voids, by their ids.

    Returns
    -------
    SheetView
        Lengths of its drawings in metres, sizes of its letters in millimetres. [m]
    """
    scene = Scene(plan, graph, site_of(job))
    point = _point(choice, which)
    known, by_id = said or {}, {one.id: one for one in ways}
    also = _also_signed(job, choice, by_id, graph, known)
    groups = _groups((*choice.openings, *also), point, by_id)
    settled = Settled(job, [way for some in groups for _, way in some])
    pages = [
        Page(scene, str(n), some, known, choice.currency, settled)
        for n, some in enumerate(groups, 1)
    ]
    told = tuple(page.told() for page in pages)
    refused = _refused(choice, by_id, scene)
    return SheetView(
        title=short(job.title, 90),
        job=job.id,
        version=version_of(job),
        date=date,
        day=day_of(date),
        paper="us-letter" if plan.country in ("US", "CA") else "a4",
        which=point.name,
        summary=_summary(point, choice),
        plans=_plans(scene, [*(page.placed for page in pages), *refused]),
        lines=tuple(_line(page) for page in told),
        declined=_declined(choice),
        notes=NOTES,
        pages=told,
    )


def day_of(at: str) -> str:
    """Return the day of a time as typed, ``2026-05-12``; empty where it holds none.

    Parameters
    ----------
    at : str
        A time of the job.
    """
    try:
        return datetime.date.fromisoformat(at[:10]).isoformat()
    except ValueError:
        return ""


NOTES = (
    "Calculated: which openings, what they reach, where each cut lies on the plan that was drawn. "
    "Judged: hours, reach of hand and tool, what soil there is.",
    "No opening without the owner's recorded authorisation. No cut before its hold points are "
    "signed.",
    "Find two edges of each member and drill the pilot hole before the blade goes in; if what is "
    "found is not what is drawn, stop and correct the plan.",
    "This sheet replaces no licensed trade. Follow local code, the label and your licensed trade; "
    "structure, gas, electricity, lead and asbestos are theirs to release.",
)


def _point(choice: Choice, which: Which) -> Point:
    return {"least": choice.least, "balanced": choice.balanced, "all": choice.all_of_it}[which]


def _also_signed(
    job: Job,
    choice: Choice,
    ways: Mapping[str, Access],
    graph: Graph,
    said: Mapping[str, VoidSaid],
) -> tuple[Opening, ...]:
    """Return what is authorised and in none of the three sets; what lies open already left out."""
    told = {one.id for one in choice.openings}
    open_now = {*choice.open_already, *choice.known_clean}
    word = signed(job)
    found = []
    for key, by in sorted(word.authorised.items()):
        way = ways.get(key)
        if key in told or key in word.declined or way is None:
            continue
        labels = tuple(graph.labels[reach.void] for reach in way.reaches)
        if not open_now.issuperset(labels):
            found.append(_opening(way, labels, by, graph, said))
    return tuple(found)


def _opening(
    way: Access, labels: tuple[str, ...], by: str, graph: Graph, said: Mapping[str, VoidSaid]
) -> Opening:
    known = [said[graph.keys[r.void]] for r in way.reaches if graph.keys[r.void] in said]
    return Opening(
        id=way.id, act=way.act, words=way.words, room=way.room, voids=labels, partly=(),
        chance=max((one.chance for one in known), default=0.0), cost=0.0,
        hours=(way.minutes + way.repair) / 60.0, status="authorised", signed_by=by,
        charges=way.charges, holds=way.holds, limits=way.limits, kept=(),
    )  # fmt: skip


def _refused(choice: Choice, ways: Mapping[str, Access], scene: Scene) -> list[Placed]:
    """Return where declined openings lie: they stay on the plan, broken outlines and all."""
    found = []
    for n, one in enumerate(choice.declined, 1):
        way = ways.get(one.id)
        if way is not None:
            drawn = placed_of(scene, f"D{n}", [way])
            found.append(msgspec.structs.replace(drawn, faint=True))
    return found


def _groups(
    openings: Sequence[Opening], point: Point, ways: Mapping[str, Access]
) -> list[list[tuple[Opening, Access]]]:
    """Return the openings of a set and what is authorised, in the order of the choice."""
    wanted = set(point.openings)
    groups: dict[tuple[str, ...], list[tuple[Opening, Access]]] = {}
    for one in openings:
        way = ways.get(one.id)
        if way is None or not (one.id in wanted or one.status == "authorised"):
            continue
        alone = (one.id,) if way.cuts else ()
        holds = tuple(hold.key for hold in one.holds)
        key = (one.act, one.room, one.status, one.signed_by, *holds, *one.kept, *alone)
        groups.setdefault(key, []).append((one, way))
    return list(groups.values())


def _summary(point: Point, choice: Choice) -> str:
    count = len(point.openings)
    authorised = sum(
        one.status == "authorised" for one in choice.openings if one.id in point.openings
    )
    if not count:
        return "Nothing is worth opening on what is known."
    return (
        f"{count} opening{'' if count == 1 else 's'}, {point.voids} voids laid open, "
        f"{money(point.cost, choice.currency)}; {authorised} authorised. "
        f"{chance.percent(point.missed)} in 100 that a soiled void is missed all the same."
    )


def _plans(scene: Scene, placed: Sequence[Placed]) -> tuple[Drawing, ...]:
    storeys = [
        storey
        for storey in sorted(scene.plan.storeys, key=lambda one: one.level)
        if any(room.storey == storey.id for room in scene.plan.rooms)
    ]
    count = max(len(storeys), 1)
    boxes = ((124.0, max(168.0 / count - 10.0, 40.0)), (124.0 / min(count, 3) - 2.0, 160.0))

    def drawn(box: tuple[float, float]) -> tuple[Drawing, ...]:
        return tuple(
            storey_plan(
                scene, storey.id, [one for one in placed if one.storey == storey.id],
                f"overview-{n}", box,
            )
            for n, storey in enumerate(storeys, 1)
        )  # fmt: skip

    # Over each other or side by side, as they come out larger.
    return min(
        map(drawn, boxes), key=lambda some: max((on_paper(one).scale for one in some), default=0.0)
    )


def _line(page: OpeningPage) -> Line:
    return Line(
        number=page.number, title=page.title, place=page.place, stamp=page.stamp,
        chance=page.chance, hours=page.hours, signs=len(page.holds),
        released=len({one.hazard for one in page.released}),
    )  # fmt: skip


def _declined(choice: Choice) -> tuple[str, ...]:
    return tuple(
        f"D{n}: {one.words}: declined ({one.said}); {chance.percent(one.chance)} in 100 that it "
        f"leaves soil, {money(one.loss, choice.currency)} of callbacks. Do not open."
        for n, one in enumerate(choice.declined, 1)
    )
