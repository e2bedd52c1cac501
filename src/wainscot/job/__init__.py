"""The job: one building's case as frozen data, and its file.

A job is what the record folds to: a title, the units that people read, and a map of entities.  In
the file an entity is an object whose ``kind`` says what it is::

    {"wainscot": 1, "id": "job_mill", "title": "Mill Cottage", "units": "ft-in",
     "entities": {"ground": {"kind": "storey", "name": "Ground floor", "level": 0},
                  "kitchen": {"kind": "room", "storey": "ground", "name": "Kitchen",
                              "polygon": [[0, 0], ["10 ft 6 in", 0], ["10 ft 6 in", "12 ft"],
                                          [0, "12 ft"]]}}}

>>> job = read('{"wainscot": 1, "id": "job_a", "entities": {"r": {"kind": "room", "nmae": "A"}}}')
>>> for fault in faults(job):
...     print(fault)
entities.r.name: a room has no 'name'; add "name": "Kitchen" [missing-field]
entities.r.nmae: no field of a room is called 'nmae'; write 'name' [unknown-field]

Lengths are text with a unit (kept as typed) or a number in metres.  A dimension or
a build-up may say where it comes from by standing as ``{"value": ..., "basis": "measured",
"source": "tape"}``; a bare value counts as ``seen``, a missing one takes a stated default and is
listed as assumed.

Plan axes: x grows to the east (right on the sheet), y to the north (up), z upwards from the
finished floor of storey level 0.  Room polygons are clear, face to face, as the tape reads.

Limits: this package knows shapes and references, not meaning.  Whether rooms overlap or a fixture
type exists is for ``plan`` to say, whether a sign kind exists is for ``signs``.
"""

from wainscot.job.agreed import Authorisation, Declined, LimitOverride, OwnCut, Release
from wainscot.job.call import Call
from wainscot.job.cleaned import Application, ContactMoment, CrewEntry, ProductLabel, Ticked
from wainscot.job.closing import AirReading, BaitLeft, ClosingTerms, SealMade, Trap, TrapCheck
from wainscot.job.ended import Standing, how_it_stands
from wainscot.job.entities import (
    KINDS,
    AnyEntity,
    Conflict,
    Crew,
    Edge,
    EntryPoint,
    Fixture,
    FloorBuild,
    FramingGuess,
    Gap,
    Inspection,
    Job,
    Kept,
    Labels,
    Room,
    Service,
    Settings,
    Storey,
    Suspect,
    Visit,
    Wall,
    free_id,
    typed,
)
from wainscot.job.faults import faults, sound
from wainscot.job.file import new, read, write
from wainscot.job.fix import fix
from wainscot.job.handed import Callback, Closed, Signature
from wainscot.job.paper import PaperPlan
from wainscot.job.parts import Basis, Fact, Find, Grade, Length, Place, value_of
from wainscot.job.personal import ERASED, PERSONAL, Erased
from wainscot.job.photo import PhotoTaken
from wainscot.job.times import date_of, dates_to_come, day_of, far_dates

__all__ = [
    "ERASED",
    "KINDS",
    "PERSONAL",
    "AirReading",
    "AnyEntity",
    "Application",
    "Authorisation",
    "BaitLeft",
    "Basis",
    "Call",
    "Callback",
    "Closed",
    "ClosingTerms",
    "Conflict",
    "ContactMoment",
    "Crew",
    "CrewEntry",
    "Declined",
    "Edge",
    "EntryPoint",
    "Erased",
    "Fact",
    "Find",
    "Fixture",
    "FloorBuild",
    "FramingGuess",
    "Gap",
    "Grade",
    "Inspection",
    "Job",
    "Kept",
    "Labels",
    "Length",
    "LimitOverride",
    "OwnCut",
    "PaperPlan",
    "PhotoTaken",
    "Place",
    "ProductLabel",
    "Release",
    "Room",
    "SealMade",
    "Service",
    "Settings",
    "Signature",
    "Standing",
    "Storey",
    "Suspect",
    "Ticked",
    "Trap",
    "TrapCheck",
    "Visit",
    "Wall",
    "date_of",
    "dates_to_come",
    "day_of",
    "far_dates",
    "faults",
    "fix",
    "free_id",
    "how_it_stands",
    "new",
    "read",
    "sound",
    "typed",
    "value_of",
    "write",
]
