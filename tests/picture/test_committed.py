"""The pictures that the pages show are those that the program makes."""

from pathlib import Path

from wainscot import demos, job
from wainscot.picture import compose, draw
from wainscot.picture.sealed import seal_map
from wainscot.sealing import seal_lists
from wainscot.walk import survey, walk

PICTURES = Path(__file__).parents[2] / "docs" / "pictures"


def test_the_committed_pictures_are_fresh() -> None:
    walked = walk(job.read(demos.text()), seed=1)
    surveyed = walked.survey
    sheet = compose(surveyed.job, surveyed.plan, surveyed.graph, surveyed.evidence,
                    walked.diagnosis, checks=walked.checks,
                    date=demos.date(demos.FIRST))  # fmt: skip
    again = "make demo && cp out/picture.svg docs/pictures/demo.svg"
    assert (PICTURES / "demo.svg").read_text(encoding="utf-8") == draw(sheet), again


def test_the_committed_seal_map_is_fresh() -> None:
    surveyed = survey(job.read(demos.text()))
    found = seal_lists(surveyed.job, guess=surveyed.guess)
    sheet = seal_map(surveyed.job, surveyed.plan, surveyed.graph, found,
                     date=demos.date(demos.FIRST))  # fmt: skip
    again = "make demo && cp out/seal-map.svg docs/pictures/seal-map.svg"
    assert (PICTURES / "seal-map.svg").read_text(encoding="utf-8") == draw(sheet), again
