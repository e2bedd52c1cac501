"""The picture that the pages show is the one that the program makes."""

from pathlib import Path

from wainscot import demos, job
from wainscot.picture import compose, draw
from wainscot.walk import walk

PICTURE = Path(__file__).parents[2] / "docs" / "pictures" / "demo.svg"


def test_the_committed_picture_is_fresh() -> None:
    walked = walk(job.read(demos.text()), seed=1)
    surveyed = walked.survey
    sheet = compose(surveyed.job, surveyed.plan, surveyed.graph, surveyed.evidence,
                    walked.diagnosis, checks=walked.checks,
                    date=demos.date(demos.FIRST))  # fmt: skip
    again = "make demo && cp out/picture.svg docs/pictures/demo.svg"
    assert PICTURE.read_text(encoding="utf-8") == draw(sheet), again
