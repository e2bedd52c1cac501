"""All ways to see into or reach a void that a plan offers, each with its time, its repair and what
must be settled first.

``ways`` gives the looks, ``ways_to_open`` the openings.

Acts and hazards are files found by walking ``acts`` and ``hazards``; nothing here knows any of them
by name.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Sequence
from functools import cache
from typing import Any

from wainscot.access.cutting import Override
from wainscot.access.model import Access, Act, Hazard, HoldPoint, Site, Target
from wainscot.access.own_cuts import OwnCutTold, own_cut
from wainscot.access.pricing import charges, own_minutes
from wainscot.access.scene import Scene
from wainscot.book import DEFAULT, Book
from wainscot.job import Fact, Job, LimitOverride, Release, Settings, typed
from wainscot.plan.guesses import guesses_of
from wainscot.plan.model import Plan
from wainscot.voids.graph import Graph


def ways(
    plan: Plan,
    graph: Graph,
    site: Site | None = None,
    questions: tuple[tuple[str, str], ...] = (),
) -> tuple[Access, ...]:
    """Return every way to get at a void of this plan, sorted by id.

    Parameters
    ----------
    plan : Plan
        What was drawn.
    graph : Graph
        Its voids; ``reaches`` of the result are indices into it.
    site : Site, optional
        Year built, country and released hold points; without it nothing is known of the year.
    questions : tuple of (str, str), optional
        Open questions about the framing, as :func:`questions_of` gives them.

    Returns
    -------
    tuple of Access
        Times in minutes; hold points that the site has released are left out.
    """
    scene = Scene(plan, graph, site or Site(country=plan.country), questions)
    return _offered(scene, "look", DEFAULT)


def ways_to_open(
    plan: Plan, graph: Graph, site: Site | None = None, book: Book = DEFAULT
) -> tuple[Access, ...]:
    """Return every opening that a plan offers, sorted by id.

    No cut crosses a drawn stud, joist or service; what a structural limit refuses is left out.

    Parameters
    ----------
    plan : Plan
        What was drawn.
    graph : Graph
        Its voids; ``reaches`` of the result are indices into it.
    site : Site, optional
        Year built, country and released hold points.
    book : Book, optional
        The firm's rates.

    Returns
    -------
    tuple of Access
        ``minutes`` to open and ``repair`` to make good are this opening's own; ``charges`` are paid
        once by all that share them.
    """
    scene = Scene(plan, graph, site or Site(country=plan.country))
    found = _offered(scene, "open", book)
    return tuple(one for one in found if all(verdict.allowed for verdict in one.limits))


def _offered(scene: Scene, purpose: str, book: Book) -> tuple[Access, ...]:
    found: dict[str, Access] = {}
    for act in all_acts().values():
        if act.purpose == purpose:
            for target in act.find(scene):
                access = _access(scene, act, target, book)
                found[access.id] = access
    return tuple(found[key] for key in sorted(found))


def own_cuts(plan: Plan, graph: Graph, site: Site | None = None) -> tuple[OwnCutTold, ...]:
    """Return what is said to each cut that somebody drew, by id.

    Parameters
    ----------
    plan : Plan
        What was drawn.
    graph : Graph
        Its voids.
    site : Site, optional
        Released hold points, rules set aside.
    """
    scene = Scene(plan, graph, site or Site(country=plan.country))
    return tuple(own_cut(scene, cut) for cut in plan.own_cuts)


def holds_together(chosen: Sequence[Access], site: Site) -> dict[str, tuple[HoldPoint, ...]]:
    """Return by room the hold points that arise only from several ways taken together.

    Parameters
    ----------
    chosen : sequence of Access
        Everything that is to be done.
    site : Site
        Facts of the building.
    """
    found: dict[str, tuple[HoldPoint, ...]] = {}
    for hazard in all_hazards().values():
        by_room = hazard.together(chosen, site) if hazard.together else {}
        for room, hold in by_room.items():
            if hold.key not in site.released:
                found[room] = (*found.get(room, ()), hold)
    return found


def site_of(job: Job, released: frozenset[str] = frozenset()) -> Site:
    """Return the facts of the site that a job states.

    Parameters
    ----------
    job : Job
        A job without faults.
    released : frozenset of str
        Keys of hold points that a named person has released, beside those that the job says.
    """
    entities = typed(job).values()
    said = {one.hold for one in entities if isinstance(one, Release) and one.by and one.evidence}
    released = released | said
    aside = tuple(
        Override(one.rule, one.reason, one.by) for one in entities if isinstance(one, LimitOverride)
    )
    for entity in entities:
        if isinstance(entity, Settings):
            year = entity.year_built
            built = year.value if isinstance(year, Fact) else year
            return Site(built, entity.country, released, aside)
    return Site(released=released, overrides=aside)


def questions_of(job: Job) -> tuple[tuple[str, str], ...]:
    """Return the open questions about the framing: (question, entity that the choices change).

    Those that nobody wrote down (which way the joists run) are among them.
    """
    out: dict[str, str] = {}
    for guess in guesses_of(job).values():
        out.setdefault(guess.question, min(guess.choices, default="").partition(".")[0])
    return tuple(sorted(out.items()))


@cache
def all_acts() -> dict[str, Act]:
    """Return every act by name, found by walking ``access/acts``."""
    return _walk("wainscot.access.acts", "ACT")


@cache
def all_hazards() -> dict[str, Hazard]:
    """Return every hazard by name, found by walking ``access/hazards``."""
    return _walk("wainscot.access.hazards", "HAZARD")


def _walk(package: str, constant: str) -> dict[str, Any]:
    folder = importlib.import_module(package)
    found: dict[str, Any] = {}
    for module in sorted(pkgutil.iter_modules(folder.__path__), key=lambda one: one.name):
        item = getattr(importlib.import_module(f"{package}.{module.name}"), constant)
        found[item.name] = item
    return found


def _access(scene: Scene, act: Act, target: Target, book: Book) -> Access:
    holds, released = _holds(scene, act, target)
    if act.purpose == "open":
        minutes, repair = own_minutes(act, target, book)
        shared = charges(act, target, holds, book)
    else:
        mended = act.repair.get(target.finish) or act.repair.get("")
        minutes, repair = act.minutes.value, mended.value if mended else 0.0
        shared = ()
    return Access(
        id=f"{act.name}/{target.key}",
        act=act.name,
        words=act.sentence.format(where=target.where),
        reaches=target.reaches,
        room=target.room,
        minutes=minutes,
        repair=repair,
        finish=target.finish,
        area=target.area,
        disturbance=act.disturbance,
        method=act.method,
        nights=act.nights,
        at=target.at,
        holds=holds,
        released=released,
        sources=target.sources,
        shows=act.shows,
        answers=target.answers,
        right=act.right,
        limits=target.limits,
        cuts=target.cuts,
        surface=target.surface.key if target.surface else "",
        charges=shared,
        water_off=act.water_off,
        given=target.given,
    )


def _holds(
    scene: Scene, act: Act, target: Target
) -> tuple[tuple[HoldPoint, ...], tuple[HoldPoint, ...]]:
    """Return what holds here, and what held until it was released."""
    asked = (hazard.find(scene, act, target) for hazard in all_hazards().values())
    found = [one for one in asked if one is not None]
    # A caution goes with the work for ever: nobody signs it away.
    done = {one.key for one in found if one.standing != "care" and one.key in scene.site.released}
    return (
        tuple(one for one in found if one.standing == "care" or one.key not in done),
        tuple(one for one in found if one.standing != "care" and one.key in done),
    )
