"""What may hurt people in the work that an answer leads to; always beside the answer.

Each line is general caution and defers to local code, the product's label and licensed people.  It
gives no doses and replaces nobody's training.

Source: wetting before removal, no sweeping or vacuuming of dry droppings: public-health advice on
cleaning up after rodents (an archived page of the US Centers for Disease Control, read).  The other
lines are common practice, no source.
"""

from __future__ import annotations

from wainscot.job import Job, Service, Settings, typed, value_of

DISEASE = (
    "Droppings, urine and nests can carry disease, also when old and dry: air the room, wet them "
    "before removal, never sweep or vacuum them dry, wear gloves and breathing protection; follow "
    "the product label and local health advice."
)
POWER = (
    "Gnawed cables can be live or start a fire: before opening or wetting, have the circuits off "
    "and proved dead by a licensed electrician."
)
GAS = (
    "A gas pipe runs in the plan: do not cut or pry near it; if you smell gas, stop, get out and "
    "call the gas emergency service."
)
STRUCTURE = (
    "Do not cut joists, studs of bearing walls, trusses or fire stops: follow local code, ask an "
    "engineer where it bears."
)
OLD_PAINT = (
    "A building of this age, or of unknown age, may hold lead paint or asbestos: have suspect "
    "material tested before cutting or sanding; licensed people only where the law asks for them."
)
CONFINED = (
    "A crawl space or loft can lack air, footing and a way out: follow the rules on confined "
    "spaces and never go in alone."
)
POISON = (
    "Poison inside walls leaves carcasses and is for licensed people under its label; find and "
    "shut the way in first, and never shut animals in."
)

GOES_IN = 2.0
"""Volume from which a person might go into a void (judgement). [m3]"""
OLD_BEFORE = 2000
"""Year before which a building may hold lead paint or asbestos; the last of the national bans on
asbestos that we know of is of 1999 (from memory).  Local law decides."""


def cautions(job: Job, largest: float = 0.0) -> tuple[str, ...]:
    """Return the cautions that go with any answer about this job.

    Parameters
    ----------
    job : Job
        The job.
    largest : float
        Volume of the largest hidden void. [m3]
    """
    entities = typed(job).values()
    gas = any(isinstance(one, Service) and one.type == "gas" for one in entities)
    built = next((one.year_built for one in entities if isinstance(one, Settings)), None)
    year = None if built is None else value_of(built, 0)[0]
    lines = [DISEASE, POWER]
    lines += [GAS] if gas else []
    lines += [STRUCTURE]
    lines += [OLD_PAINT] if year is None or year < OLD_BEFORE else []
    lines += [CONFINED] if largest >= GOES_IN else []
    return (*lines, POISON)
