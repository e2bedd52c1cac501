"""Everything that may stand in a job, as frozen data.

Each entity is a small struct whose ``kind`` in the file is its tag.  A field that may be left out
has None or an empty value as its default; a length is kept as typed.

Limits: these are shapes.  What is wrong with a job is told by :func:`wainscot.job.faults`.
"""

from __future__ import annotations

from typing import Any, Literal

import msgspec

from wainscot.job.agreed import Authorisation, Declined, LimitOverride, OwnCut, Release
from wainscot.job.call import Call
from wainscot.job.cleaned import Application, ContactMoment, CrewEntry, ProductLabel, Ticked
from wainscot.job.closing import AirReading, BaitLeft, ClosingTerms, SealMade, Trap, TrapCheck
from wainscot.job.handed import Callback, Closed, Signature
from wainscot.job.paper import PaperPlan
from wainscot.job.parts import Basis, Entity, Fact, Find, Grade, Length, Place
from wainscot.job.personal import Erased
from wainscot.job.photo import PhotoTaken


class FloorBuild(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What a storey's floor is made of; every field may be left out."""

    build: Literal["joists", "slab"] | Fact[str] | None = None
    below: Literal["crawl space", "ground", "storey"] | Fact[str] | None = None
    joists_run: Literal["x", "y", "short", "long"] | float | Fact[str | float] | None = None
    """Along x, along y, over the shorter or the longer span of each room, or an angle
    anticlockwise from x. [degrees]"""
    joist_spacing: Length | Fact[Length] | None = None
    joist_depth: Length | Fact[Length] | None = None
    crawl_height: Length | Fact[Length] | None = None
    girders: list[tuple[tuple[Length, Length], tuple[Length, Length]]] = []
    """Lines from point to point that the joists lap over."""
    insulated: bool | Fact[bool] | None = None


class Storey(Entity, tag="storey", frozen=True):
    """One level of the building; ``height`` is the clear height of its rooms."""

    name: str
    level: int = 0
    height: Length | Fact[Length] | None = None
    floor: FloorBuild = FloorBuild()
    ceiling: Literal["storey", "loft", "roof"] | Fact[str] | None = None
    loft_height: Length | Fact[Length] | None = None


class Room(Entity, tag="room", frozen=True):
    """A room by its clear polygon; without one it is a name in a list, and that is no error.

    ``lengths`` are the clear lengths that somebody measured, by side (``s1``): the polygon was
    drawn to them, and they stay when something beside it is moved.
    """

    name: str
    storey: str = ""
    polygon: list[tuple[Length, Length]] | None = None
    lengths: dict[str, Length] = msgspec.field(default_factory=dict)


class Wall(Entity, tag="wall", frozen=True):
    """What is known of the wall on one side of a room.

    ``room`` and ``side`` name it: ``n1`` is the first stretch of the room's polygon that faces
    north, counted from the west; ``e1``, ``s1``, ``w1`` likewise (from the south for e and w).
    """

    room: str
    side: str
    build: Literal["stud", "cavity", "solid"] | Fact[str] | None = None
    thickness: Length | Fact[Length] | None = None
    stud_spacing: Length | Fact[Length] | None = None
    stud_depth: Length | Fact[Length] | None = None
    first_stud: Length | Fact[Length] | None = None
    finish: Literal["plasterboard", "lath and plaster", "panelling", "tile"] | Fact[str] | None = (
        None
    )
    bearing: Literal["yes", "no", "unknown"] | Fact[str] | None = None
    insulated: bool | Fact[bool] | None = None
    blocked: Literal["yes", "no", "unknown"] | Fact[str] | None = None
    framing: Literal["platform", "balloon"] | Fact[str] | None = None
    lined: bool | Fact[bool] | None = None


class Gap(Entity, tag="opening", frozen=True):
    """A door, window or doorway without a door in a wall; ``along`` is from the left corner."""

    room: str
    side: str
    type: Literal["door", "window", "doorway"]
    along: Length | Fact[Length]
    width: Length | Fact[Length] | None = None
    sill: Length | Fact[Length] | None = None
    head: Length | Fact[Length] | None = None
    header: Length | Fact[Length] | None = None
    """Height of the solid header or lintel over it."""


class Fixture(Entity, tag="fixture", frozen=True):
    """Something built in that makes a void; ``type`` is one of the files in ``plan/fixtures``.

    It stands in ``room`` with its back ``against`` a side (``n1``), ``along`` from the left corner
    of that side as seen from inside the room.  ``size`` overrides the type's default dimensions.
    """

    type: str
    room: str
    against: str
    along: Length | Fact[Length] | None = None
    name: str = ""
    width: Length | Fact[Length] | None = None
    depth: Length | Fact[Length] | None = None
    height: Length | Fact[Length] | None = None
    flip: bool = False
    options: dict[str, Any] = msgspec.field(default_factory=dict)


class Service(Entity, tag="service", frozen=True):
    """A pipe, cable or duct run as a line through points (x, y, height above level 0's floor)."""

    type: Literal["drain", "vent", "supply", "gas", "cable", "duct"]
    path: list[tuple[Length, Length, Length]]
    name: str = ""
    diameter: Length | Fact[Length] | None = None
    hole: Length | Fact[Length] | None = None
    disused: bool = False
    open_end: Literal["", "start", "end"] = ""
    owner: str = ""
    chambers: list[tuple[Length, Length, Length]] = msgspec.field(default_factory=list)
    """Inspection chambers on a drain."""
    joins: str = ""
    """Id of the run that this one is a branch of; a drain is drawn as it flows."""
    dead_leg: bool = False
    """A branch that nothing drains into any more; its start is closed."""


class Edge(Entity, tag="edge", frozen=True):
    """What lies beyond one side, the floor, the ceiling or the loft of a room."""

    room: str
    is_: Literal["outside", "ground", "drain", "neighbour", "not drawn yet"] = msgspec.field(
        name="is"
    )
    part: Literal["wall", "floor", "ceiling", "loft"] = "wall"
    """``loft``: beyond the roof space over the room; a neighbour there shares it."""
    side: str = ""
    owner: str = ""
    """Of a neighbour's side, whose it is."""


class EntryPoint(Entity, tag="entry_point", frozen=True):
    """A hole in the edge of the plan that an animal might come in by."""

    name: str
    place: Place
    size: Length | Fact[Length] | None = None
    material: Literal["masonry", "metal", "wood", "plastic", "soft mortar", "unknown"] = "unknown"
    beyond: Literal["outside", "ground", "drain", "neighbour", "not drawn yet"] = "outside"
    sealed: bool | Fact[bool] = False
    owner: str = ""
    """Of a way in from a neighbour, whose side it is."""


class Kept(Entity, tag="kept", frozen=True):
    """Something the owner wants kept as it is."""

    name: str
    place: Place


class FramingGuess(Entity, tag="framing_guess", frozen=True):
    """One way the hidden framing may run: ``choices`` maps "entity.field" to a value.

    Guesses that share a ``question`` exclude each other; their weights are shares of one. [1]
    """

    question: str
    weight: float
    choices: dict[str, Any]


class Inspection(Entity, tag="inspection", frozen=True):
    """One look at one place by one method; what it found, or nothing.

    A finished inspection without a find of some kind says "nothing" for every kind that its method
    shows.  ``finished=False`` (a complaint, a glimpse) speaks for its finds only.
    ``share_seen`` is the share of the space that could be seen. [1]  ``product_days`` says how many
    days before a product was used here that hides or makes a smell; a smell then says nothing.
    """

    place: Place | None = None
    method: str = "eye and lamp"
    share_seen: float = 1.0
    at: str = ""
    by: str = ""
    grade: Grade = "seen"
    finished: bool = True
    finds: list[Find] = msgspec.field(default_factory=list)
    nights: int | None = None
    product_days: float | None = None
    note: str = ""


class Suspect(Entity, tag="species", frozen=True):
    """Which animals are in question; without one, all three are weighed against each other."""

    species: Literal["house mouse", "norway rat", "roof rat"]
    basis: Basis = "seen"


class Visit(Entity, tag="visit", frozen=True):
    """One attendance: when, who, what was done, what is next and when.

    ``who`` holds ids of accounts or, where there is no server, names.
    """

    at: str
    who: list[str] = msgspec.field(default_factory=list)
    done: str = ""
    next: str = ""
    next_at: str = ""


class Crew(Entity, tag="crew", frozen=True):
    """Somebody who is on the job.

    ``who`` is the id of an account, which gives that account its rights to this job on the firm's
    server; where there is no server, a name.
    """

    who: str
    leads: bool = False
    note: str = ""


class Labels(Entity, tag="labels", frozen=True):
    """Labels that were given to voids and are kept: void id to label.

    ``wainscot validate --fix`` writes it, so that W7 in pencil on a wall stays W7 on the plan.
    """

    given: dict[str, str] = msgspec.field(default_factory=dict)


class Settings(Entity, tag="settings", frozen=True):
    """Facts of the whole building."""

    year_built: int | Fact[int] | None = None
    country: Literal["", "US", "UK", "CA"] = ""


AnyEntity = (
    Storey
    | Room
    | Wall
    | Gap
    | Fixture
    | Service
    | Edge
    | EntryPoint
    | Kept
    | FramingGuess
    | Inspection
    | Suspect
    | Authorisation
    | Declined
    | Release
    | LimitOverride
    | OwnCut
    | PaperPlan
    | PhotoTaken
    | SealMade
    | Trap
    | TrapCheck
    | BaitLeft
    | AirReading
    | ProductLabel
    | Application
    | ContactMoment
    | Ticked
    | CrewEntry
    | ClosingTerms
    | Call
    | Signature
    | Closed
    | Callback
    | Erased
    | Visit
    | Crew
    | Labels
    | Settings
)

KINDS: dict[str, type[msgspec.Struct]] = {
    str(kind.__struct_config__.tag): kind
    for kind in (
        Storey, Room, Wall, Gap, Fixture, Service, Edge, EntryPoint, Kept, FramingGuess,
        Inspection, Suspect, Authorisation, Declined, Release, LimitOverride, OwnCut, PaperPlan,
        PhotoTaken, SealMade, Trap, TrapCheck, BaitLeft, AirReading, ProductLabel, Application,
        ContactMoment, Ticked, CrewEntry, ClosingTerms, Call, Signature, Closed, Callback, Erased,
        Visit, Crew, Labels, Settings,
    )
}  # fmt: skip
"""Every entity kind by the word that stands in the file."""


class Conflict(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Two devices changed one field; a winner is folded and both stay visible.

    ``field`` is empty where one device withdrew the whole entity while another changed it.
    ``winner`` and ``others`` are event ids; ``lost`` holds the values of ``others`` as JSON text,
    empty where the field or entity was withdrawn.
    """

    entity: str
    field: str
    winner: str
    others: tuple[str, ...]
    lost: tuple[str, ...] = ()


class Job(msgspec.Struct, frozen=True):
    """A fold of events: one building's case as it stands.

    ``entities`` keeps each entity as typed (plain JSON values, without ``kind``-specific parsing),
    so that nothing a person wrote is lost; :func:`typed` gives the checked form.
    """

    id: str
    title: str = ""
    units: Literal["ft-in", "m"] = "m"
    entities: dict[str, dict[str, Any]] = {}
    conflicts: tuple[Conflict, ...] = ()


def free_id(job: Job, word: str) -> str:
    """Return the first of ``word_1``, ``word_2`` ... that no entity of a job has.

    Parameters
    ----------
    job : Job
        Any job.
    word : str
        What the entity is.
    """
    keys = (f"{word}_{n}" for n in range(1, len(job.entities) + 2))
    return next(key for key in keys if key not in job.entities)


def typed(job: Job) -> dict[str, AnyEntity]:
    """Return every entity in its checked form, in the order of the ids.

    Parameters
    ----------
    job : Job
        A job that :func:`faults` finds nothing wrong with.

    Raises
    ------
    msgspec.ValidationError
        If an entity does not fit its kind; call :func:`faults` first for the full list.
    """
    return {key: msgspec.convert(job.entities[key], type=AnyEntity) for key in sorted(job.entities)}
