"""What happens when: activities laid on days, who comes, which rooms are out of use, how sure.

    found = programme(Given(job, scope, work, sealing, all_clear), "2026-12-01")
    print("\\n".join(lines(found)))
    calendar(found, job.id, title=job.title)

Activities come from the plans: sheets, openings, cleaning, drying, seals, traps, making good; waits
run through nights, hold points need a named person.  They are laid on days by list scheduling and
held against a bound; the end is told as two dates over drawn lengths.

Limits: all that is planned is done; nobody has been asked whether they can come.
"""

from wainscot.programme.hours import Hours, working_hours
from wainscot.programme.ical import calendar, site_zone
from wainscot.programme.model import Activity, Crew, Day, Given, Part, Programme, RoomOut
from wainscot.programme.planning import first_day, programme
from wainscot.programme.scheduling import Schedule, Task, best_of, bound
from wainscot.programme.words import MOST_DAYS, brief, day_words, lines, room_words

__all__ = [
    "MOST_DAYS",
    "Activity",
    "Crew",
    "Day",
    "Given",
    "Hours",
    "Part",
    "Programme",
    "RoomOut",
    "Schedule",
    "Task",
    "best_of",
    "bound",
    "brief",
    "calendar",
    "day_words",
    "first_day",
    "lines",
    "programme",
    "room_words",
    "site_zone",
    "working_hours",
]
