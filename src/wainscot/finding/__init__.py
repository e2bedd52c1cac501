"""What a screen lays on the plan and tells of a place: outlines, ways, reasons, questions.

    given = shapes(survey(job))                       # outlines alone, nothing calculated
    told = finding(walk(job, why=True))               # with likely runs, reasons, questions

Everything is put together from what the steps found; nothing is weighed here.

Limits: flat outlines; the answers offered to a question are those that a job file may hold.
"""

from wainscot.finding.shapes import Shapes, shapes
from wainscot.finding.telling import Finding, finding

__all__ = ["Finding", "Shapes", "finding", "shapes"]
