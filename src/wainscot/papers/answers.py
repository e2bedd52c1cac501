"""What papers are made from: the job and what each step said of it, as frozen data.

    known = Answers(job=job, plan=plan, graph=graph, diagnosis=diagnosis, date="2026-05-12")

Pure: no disk, no clock; date, record head and photos are given.
"""

from __future__ import annotations

import hashlib

import msgspec

from wainscot.access import Access
from wainscot.all_clear import AllClear
from wainscot.cleaning import Work
from wainscot.diagnosis.answer import Diagnosis
from wainscot.estimate import Estimate
from wainscot.job import Job
from wainscot.job.handed import OF_PAPERS
from wainscot.openings import Choice
from wainscot.plan.model import Plan
from wainscot.programme import Programme
from wainscot.sealing import Sealing
from wainscot.voids.graph import Graph


class Photo(msgspec.Struct, frozen=True):
    """A photo as it leaves the house: upright, scaled, without place and device."""

    digest: str
    """SHA-256 of the photo as it was taken."""
    jpeg: bytes
    width: int
    """[px]"""
    height: int
    """[px]"""


class Answers(msgspec.Struct, frozen=True):
    """A job and what each step said; what was not calculated is None."""

    job: Job
    plan: Plan
    graph: Graph
    diagnosis: Diagnosis
    species: str = ""
    choice: Choice | None = None
    """What to open."""
    offered: tuple[Access, ...] = ()
    """Every opening that was weighed."""
    work: Work | None = None
    """Containment and cleaning."""
    sealing: Sealing | None = None
    all_clear: AllClear | None = None
    estimate: Estimate | None = None
    photos: dict[str, Photo] = {}
    """Those at hand, by the SHA-256 of the photo as it was taken."""
    date: str = ""
    """Day that stands on the papers, ``2026-05-12``; never read from a clock."""
    head: str = ""
    """Head of the record that the job was folded from; empty for a job file."""
    given: str = ""
    """Text of the signed head that is given out with the papers; empty for a job file."""
    programme: Programme | None = None
    """What happens when; None too where the job is not dated."""

    @property
    def version(self) -> str:
        """First figures of the job's own digest."""
        return version_of(self.job)


def version_of(job: Job) -> str:
    """Return the first figures of a job's own digest, which stand on every paper.

    Signatures on papers are left out: a paper that was signed is still the paper of this job.

    Parameters
    ----------
    job : Job
        Any job.
    """
    said = {key: one for key, one in job.entities.items() if one.get("kind") not in OF_PAPERS}
    bare = msgspec.structs.replace(job, entities=said)
    packed = msgspec.json.encode(bare, order="deterministic")
    return hashlib.sha256(packed).hexdigest()[:10]
