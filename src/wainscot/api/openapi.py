"""The description of the interface (OpenAPI 3.1), served and written to a file.

    python -m wainscot.api.openapi openapi.json

The app's types are made from it.  Answers of a walk are described by the shipped JSON Schemas of
the command line, whose parts stand among the components.
"""

from __future__ import annotations

import json
import sys
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import msgspec
from litestar.handlers import HTTPRouteHandler
from litestar.openapi.config import OpenAPIConfig
from litestar.openapi.spec import Server

from wainscot import __version__
from wainscot.api.problems import MEDIA, STATUS, Problem
from wainscot.errors import SERVER
from wainscot.papers.making import CanBe

_PARTS = "#/components/schemas/"


@cache
def described() -> bytes:
    """Return the description as JSON."""
    from wainscot.api.app import routes_alone  # which has a route that gives this

    about = OpenAPIConfig(
        title="wainscot", version=__version__, servers=[Server(url="/")], render_plugins=[],
        use_handler_docstrings=True, create_examples=False, operation_id_creator=operation_id,
    )  # fmt: skip
    told: dict[str, Any] = routes_alone(about_them=about).openapi_schema.to_schema()
    schemas: dict[str, Any] = told.setdefault("components", {}).setdefault("schemas", {})
    job_file = _shipped("job", schemas)
    checks = _shipped("checks", schemas)
    openings = _shipped("openings", schemas)
    diagnosis = _shipped("answer", schemas)
    find = _shipped("find", schemas)
    closing = {name: {"anyOf": [_shipped(shipped, schemas), {"type": "null"}]}
               for name, shipped in (("work", "work"), ("sealing", "seals"),
                                     ("all_clear", "all-clear"), ("estimate", "estimate"),
                                     ("programme", "programme"))}  # fmt: skip
    drying = _shipped("drying", schemas)
    schemas["WalkAnswer"] = {
        "type": "object",
        "required": ["diagnosis", "checks", "openings", "find", *closing, "drying",
                     "closing_waits", "papers"],
        "properties": {
            "diagnosis": diagnosis,
            "checks": {"anyOf": [checks, {"type": "null"}]},
            "openings": {"anyOf": [openings, {"type": "null"}]},
            "find": find,
            **closing,
            "drying": drying,
            "closing_waits": {"type": "array", "items": {"type": "string"}},
            "papers": {"type": "array", "items": {"$ref": f"{_PARTS}CanBe"}},
        },
    }  # fmt: skip
    schemas["OwnCutsTold"] = {"type": "array", "items": {"$ref": f"{_PARTS}OwnCutTold"}}
    for path, shape in (
        ("/api/jobs/{job}", job_file),
        ("/api/jobs/{job}/walks/{walk}/answer", {"$ref": f"{_PARTS}WalkAnswer"}),
        ("/api/jobs/{job}/outlines", {"$ref": f"{_PARTS}Shapes"}),
        ("/api/jobs/{job}/cuts", {"$ref": f"{_PARTS}OwnCutsTold"}),
    ):
        way = "post" if path.endswith("/cuts") else "get"
        good = told["paths"][path][way]["responses"]["200"]
        good["content"] = {"application/json": {"schema": shape}}
    _, parts = msgspec.json.schema_components([Problem, CanBe], ref_template=f"{_PARTS}{{name}}")
    schemas.update(parts)
    for operations in told["paths"].values():
        for one in operations.values():
            one["responses"].pop("400", None)  # what does not fit is told with 422 here
            one["responses"] = {**one["responses"], **_refusals()}
    return json.dumps(told, indent=1).encode() + b"\n"


def operation_id(handler: HTTPRouteHandler, method: Any, parts: list[Any]) -> str:
    """Return the name of an operation: ``get /api/jobs/{job}/events`` is ``getJobsOneEvents``.

    Parameters
    ----------
    handler : handler
        The route's.
    method : Method
        Of HTTP.
    parts : list
        Of its path, text or parameters.
    """
    words = [one if isinstance(one, str) else "one" for one in parts]
    named = "".join(word.title().replace("-", "") for word in words if word != "api")
    return f"{str(getattr(method, 'value', method)).lower()}{named}"


def _refusals() -> dict[str, Any]:
    """Return, by status, how every route may refuse."""
    codes: dict[int, list[str]] = {}
    for code, status in STATUS.items():
        codes.setdefault(status, []).append(f"{code}: {SERVER[code].what}")
    shape = {MEDIA: {"schema": {"$ref": f"{_PARTS}Problem"}}}
    return {
        str(status): {"description": "; ".join(said), "content": shape}
        for status, said in sorted(codes.items())
    }


def _shipped(name: str, schemas: dict[str, Any]) -> dict[str, Any]:
    """Put the parts of a shipped schema among the components, and return its root."""
    text = (resources.files("wainscot") / "schema" / f"{name}.schema.json").read_text("utf-8")
    found = json.loads(text)
    parts = found.pop("$defs", {})
    owner = name.title().replace("-", "")
    renamed = {
        part: f"{owner}{part}" if schemas.get(part, shape) != shape else part
        for part, shape in _pointed(parts, dict.fromkeys(parts, "")).items()
    }
    schemas.update({renamed[part]: shape for part, shape in _pointed(parts, renamed).items()})
    root: dict[str, Any] = _pointed({"": found}, renamed)[""]
    root.pop("$schema", None)
    root.pop("title", None)
    return root


def _pointed(parts: dict[str, Any], names: dict[str, str]) -> dict[str, Any]:
    """Return parts with their references pointing to the components."""
    text = json.dumps(parts)
    for part in sorted(parts | dict.fromkeys(names), key=len, reverse=True):
        text = text.replace(f'"#/$defs/{part}"', f'"{_PARTS}{names.get(part) or part}"')
    found: dict[str, Any] = json.loads(text)
    return found


def main() -> None:
    """Write the description to the file that is named, or to standard output."""
    text = described()
    if len(sys.argv) > 1:
        Path(sys.argv[1]).write_bytes(text)
    else:
        sys.stdout.buffer.write(text)


if __name__ == "__main__":
    main()
