"""The openings that reach the soiled voids at least cost and damage.

    choice = plan_openings(job, draws, book=book)
    print("\\n".join(lines(choice)))

Three sets to choose between (least, balanced, open it all), each with its cost, the chance that a
soiled void is missed, and the callbacks that it leaves.  Nothing that is not authorised is more
than planned work.

Limits: rates and reach are judged; a cut is where the plan has it, so find two edges and drill a
pilot hole first.
"""

from wainscot.openings.choosing import Choice, Known, Left, Opening, Wanted, choose
from wainscot.openings.job_openings import known_of, plan_openings
from wainscot.openings.plans import Asked, Judge, Point
from wainscot.openings.problem import Problem, problem_of
from wainscot.openings.results import SIGHTS, logged
from wainscot.openings.signed import Signed, signed
from wainscot.openings.signing import authorised, declined
from wainscot.openings.solving import GAP, Solution, solve
from wainscot.openings.words import lines

__all__ = [
    "GAP",
    "SIGHTS",
    "Asked",
    "Choice",
    "Judge",
    "Known",
    "Left",
    "Opening",
    "Point",
    "Problem",
    "Signed",
    "Solution",
    "Wanted",
    "authorised",
    "choose",
    "declined",
    "known_of",
    "lines",
    "logged",
    "plan_openings",
    "problem_of",
    "signed",
    "solve",
]
