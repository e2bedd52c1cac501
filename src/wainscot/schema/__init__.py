"""JSON Schemas of the job file and of what each step gives, made from the structs and shipped.

>>> job_schema()["title"]
'wainscot job file'

``python -m wainscot.schema`` writes them anew after a change of the structs; a test compares.

Limits: a schema knows shapes.  References between entities, outlines and ranges are checked by
``wainscot validate``.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from importlib import resources
from typing import Any, Literal

import msgspec

from wainscot.all_clear import AllClear
from wainscot.checks import Result
from wainscot.cleaning import Cleaning, Closing, Work
from wainscot.cleaning.crew import CleaningLog
from wainscot.containment import Containment
from wainscot.diagnosis.answer import Diagnosis
from wainscot.diagnosis.sensitivity import Sensitivity
from wainscot.estimate import Estimate
from wainscot.finding import Finding
from wainscot.job import AnyEntity, Conflict
from wainscot.openings import Choice
from wainscot.programme import Programme
from wainscot.sealing import Sealing
from wainscot.void_list import VoidList

_BASE = "https://json-schema.org/draft/2020-12/schema"


class JobFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A job file: one building's case as it stands."""

    wainscot: Literal[1]
    id: str
    entities: dict[str, AnyEntity]
    title: str = ""
    units: Literal["ft-in", "m"] = "m"
    conflicts: list[Conflict] = []


def job_schema() -> dict[str, Any]:
    """Return the JSON Schema of the job file."""
    return _schema(JobFile, "wainscot job file")


def answer_schema() -> dict[str, Any]:
    """Return the JSON Schema of a diagnosis as ``wainscot diagnose --json`` prints it."""
    return _schema(Diagnosis, "wainscot diagnosis")


def voids_schema() -> dict[str, Any]:
    """Return the JSON Schema of a list of voids as ``wainscot voids --json`` prints it."""
    return _schema(VoidList, "wainscot voids")


def checks_schema() -> dict[str, Any]:
    """Return the JSON Schema of ranked checks as ``wainscot checks --json`` prints them."""
    return _schema(Result, "wainscot checks")


def sensitivity_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``wainscot diagnose --sensitivity --json`` prints."""
    return _schema(Sensitivity, "wainscot sensitivity")


def openings_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``wainscot openings --json`` prints."""
    return _schema(Choice, "wainscot openings")


def work_schema() -> dict[str, Any]:
    """Return the JSON Schema of ``work.json``, which ``wainscot walk --out`` writes."""
    return _schema(Work, "wainscot work")


def containment_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``wainscot contain --json`` prints."""
    return _schema(Containment, "wainscot containment")


def cleaning_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``wainscot clean --json`` prints."""
    return _schema(Cleaning, "wainscot cleaning")


def drying_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``wainscot dry --json`` prints."""
    return _schema(tuple[Closing, ...], "wainscot drying")


def applied_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``wainscot applied --json`` prints."""
    return _schema(CleaningLog, "wainscot applied")


def seals_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``wainscot seals --json`` prints, and of ``seals.json``."""
    return _schema(Sealing, "wainscot seals")


def all_clear_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``wainscot all-clear --json`` prints, and of its file."""
    return _schema(AllClear, "wainscot all-clear")


def estimate_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``wainscot estimate --json`` prints, and of its file."""
    return _schema(Estimate, "wainscot estimate")


def programme_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``wainscot programme --json`` prints, and of its file."""
    return _schema(Programme, "wainscot programme")


def find_schema() -> dict[str, Any]:
    """Return the JSON Schema of what the server gives beside diagnosis and checks: ``find``."""
    return _schema(Finding, "wainscot find")


SCHEMAS: dict[str, Callable[[], dict[str, Any]]] = {
    "job": job_schema,
    "answer": answer_schema,
    "voids": voids_schema,
    "checks": checks_schema,
    "openings": openings_schema,
    "sensitivity": sensitivity_schema,
    "work": work_schema,
    "containment": containment_schema,
    "cleaning": cleaning_schema,
    "drying": drying_schema,
    "applied": applied_schema,
    "seals": seals_schema,
    "all-clear": all_clear_schema,
    "estimate": estimate_schema,
    "programme": programme_schema,
    "find": find_schema,
}
"""Every schema by its name; it is shipped as ``<name>.schema.json``."""


def text_of(name: str) -> str:
    """Return a shipped schema as text.

    Parameters
    ----------
    name : str
        One of :data:`SCHEMAS`.
    """
    return resources.files(__name__).joinpath(f"{name}.schema.json").read_text(encoding="utf-8")


def rendered(schema: dict[str, Any]) -> str:
    """Return a schema as the text of its file."""
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


def _schema(kind: Any, title: str) -> dict[str, Any]:
    return {"$schema": _BASE, "title": title, **msgspec.json.schema(kind)}
