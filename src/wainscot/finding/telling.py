"""What is told of each void beyond its chances: reasons, assumptions to confirm, rates, questions.

Limits: which assumption touches which void goes by what the void belongs to (its wall, fixture,
room or storey) and by its neighbours; an assumption further off may matter too.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

import msgspec

from wainscot.diagnosis.answer import Run
from wainscot.diagnosis.draws import Draws
from wainscot.diagnosis.sensitivity import Range
from wainscot.diagnosis.why import Weighs, Why
from wainscot.finding.assumed import Assumed, all_assumed, touching
from wainscot.finding.laying import Laid, laid
from wainscot.finding.questions import Question, questions
from wainscot.finding.shapes import Shapes, shapes
from wainscot.job import Job
from wainscot.signs import DEFAULT, Rates
from wainscot.walk import Walk

MOST_ASSUMED = 6


class Sign(msgspec.Struct, frozen=True):
    """One inspection."""

    id: str
    words: str
    found: bool


class Rate(msgspec.Struct, frozen=True):
    """A table of rates and where it stands."""

    name: str
    standing: str
    source: str


class Told(msgspec.Struct, frozen=True):
    """What is told of one void."""

    weighs: tuple[Weighs, ...]
    """What each inspection does to it, the greatest first."""
    way: Run | None
    """The likeliest way there."""
    assumed: tuple[int, ...]
    """Places in the list of assumptions, the nearest first."""
    rates: tuple[int, ...]
    """Places in the list of rates."""
    range: Range | None = None
    """Where its chance goes if one judged rate is off by two; None until it was asked for."""


class Finding(msgspec.Struct, frozen=True):
    """What Find shows beside diagnosis and checks."""

    shapes: Shapes
    signs: tuple[Sign, ...]
    voids: dict[str, Told]
    assumed: tuple[Assumed, ...]
    rates: tuple[Rate, ...]
    questions: tuple[Question, ...]
    openings: tuple[Laid, ...] = ()
    """Where the openings lie, in the order of the choice."""


def finding(
    job: Job, walked: Walk, *, ranges: Mapping[str, Range] | None = None, rates: Rates = DEFAULT
) -> Finding:
    """Return what Find shows.

    Parameters
    ----------
    job : Job
        The job that was walked.
    walked : Walk
        A walk with reasons (``why=True``).
    ranges : mapping, optional
        The range of each void by its id.
    rates : Rates, optional
        The tables that were used.
    """
    graph, plan, drawn = walked.survey.graph, walked.survey.plan, walked.drawn
    said = drawn.why if isinstance(drawn, Draws) and drawn.why else None
    outlines = shapes(walked.survey, walked.diagnosis)
    assumed = all_assumed(job, plan, graph)
    touches = touching(plan, outlines, assumed)
    tables, used = _rates(walked, rates)
    voids = {
        key: Told(
            why.weighs,
            why.way,
            touches.get(key, ())[:MOST_ASSUMED],
            _rates_of(why, used, len(tables)),
            (ranges or {}).get(key),
        )
        for key, why in (said.voids if said else {}).items()
    }
    kept = drawn if isinstance(drawn, Draws) else None
    return Finding(
        shapes=outlines,
        signs=tuple(Sign(key, words, said.found[key]) for key, words in said.words.items())
        if said
        else (),
        voids=voids,
        assumed=assumed,
        rates=tables,
        questions=questions(job, walked.diagnosis.hypotheses, kept, graph),
        openings=laid(walked.openings, walked.offered, plan, graph),
    )


_ALWAYS = (
    Rate("methods", "judgement", ""),
    Rate("soiling", "judgement", ""),
    Rate("passages and ways in", "judgement", ""),
)
"""Tables that every chance rests on; nearly all of their rows are judged."""


def _rates(walked: Walk, rates: Rates) -> tuple[tuple[Rate, ...], dict[str, set[int]]]:
    """The tables in use, and those that each inspection speaks by."""
    recipe: Any = walked.survey.evidence.recipe
    kinds: dict[str, list[str]] = {
        one.key: [find.kind for find in one.inspection.finds] for one in recipe.placed
    }
    count = Counter(kind for some in kinds.values() for kind in some if kind in rates.sections)
    names = sorted(count)
    tables = (
        *_ALWAYS,
        *(Rate(name, rates.kind(name).standing, rates.kind(name).source) for name in names),
    )
    at = {name: n + len(_ALWAYS) for n, name in enumerate(names)}
    return tables, {key: {at[kind] for kind in some if kind in at} for key, some in kinds.items()}


def _rates_of(why: Why, used: Mapping[str, set[int]], count: int) -> tuple[int, ...]:
    spoken = set(range(len(_ALWAYS)))
    for one in why.weighs:
        spoken |= used.get(one.inspection, set())
    return tuple(sorted(n for n in spoken if n < count))
