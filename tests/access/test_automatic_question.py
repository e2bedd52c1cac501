"""Which way the joists run is asked of the crew too where nobody wrote the question down."""

from __future__ import annotations

from houses import as_job, bungalow
from wainscot import plan, voids
from wainscot.access import questions_of, site_of, ways
from wainscot.checks import answers_of, next_checks
from wainscot.diagnosis import diagnose

QUESTION = "which way the joists run"


def house():
    document = bungalow()
    del document["entities"]["ground"]["floor"]["joists_run"]
    return as_job(document)


def test_the_nail_lines_answer_it() -> None:
    job = house()
    assert questions_of(job) == ((QUESTION, "ground"),)
    framed = voids.framed(job)
    graph = voids.build(framed.plan, "norway rat")
    offered = ways(framed.plan, graph, site_of(job), questions_of(job))
    (one,) = [each for each in offered if each.answers]
    assert one.id == f"nail lines/{QUESTION}"
    assert {each[QUESTION] for each in answers_of(job).values()} == {
        key for key, _, _ in plan.hypotheses(job)
    }


def test_its_worth_is_weighed_beside_the_looks() -> None:
    job = house()
    _, drawn = diagnose(job, seed=1, draws=512)
    found = {check.access: check for check in next_checks(job, drawn).checks}
    nails = found[f"nail lines/{QUESTION}"]
    # More than the noise of the draws.
    assert nails.worth > 4.5 * nails.error
    assert nails.minutes == 8.0


def test_where_somebody_measured_it_nobody_asks() -> None:
    assert questions_of(as_job(bungalow())) == ()
