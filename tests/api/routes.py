"""Every route of the server with a path and a body that fit it; shared by the tests of rights."""

from __future__ import annotations

from typing import Any

import httpx
from firm import PASSWORD, Firm

from wainscot.api.app import routes_alone

DIGEST = "ab" * 32

BODIES: dict[str, Any] = {
    "POST /api/login": {"name": "Nobody", "password": "not the one"},
    "PUT /api/me/password": {"present": PASSWORD, "password": "another good one"},
    "POST /api/join": {"code": "AAAAA-AAAAA", "name": "phone"},
    "POST /api/devices": {"name": "tablet"},
    "POST /api/accounts": {"name": "Zoe", "role": "crew", "password": "another good one"},
    "PATCH /api/accounts/{account}": {"disabled": False},
    "POST /api/jobs/{job}/events": {"lines": []},
    "POST /api/jobs/{job}/held": {},
    "POST /api/jobs/{job}/erase": {"person": "Nobody Here"},
    "PUT /api/device-key": {"key": DIGEST},
    "POST /api/jobs/{job}/walks": {"draws": 256},
    "POST /api/jobs/{job}/papers": {"kind": "quote"},
    "POST /api/jobs/{job}/links": {"paper": DIGEST, "reader": "owner", "days": 7},
    "POST /api/office/rates/try": {"rates": {}},
    "PUT /api/office/rates": {"rates": {}},
    **{f"POST /api/link{part}": {"token": "none"} for part in ("", "/pages", "/paper")},
}


def routes() -> dict[str, Any]:
    """Return every route of the app as ``METHOD path``, parameters without their types."""
    found = {}
    for route in routes_alone().routes:
        for method, handler in getattr(route, "route_handler_map", {}).items():
            if method != "OPTIONS":  # answered by the framework with the list of methods
                path = route.path_format
                found[f"{getattr(method, 'value', method)} {path}"] = handler
    return found


def ask_route(firm: Firm, name: str, route: str, job: str = "job_a", **more: Any) -> httpx.Response:
    """Ask a route as somebody, with a path and a body that fit it."""
    method, path = route.split(" ")
    for key, value in (
        ("job", job), ("digest", DIGEST), ("walk", "walk_none"), ("device", "dev_none"),
        ("account", firm.ids.get("Ben", "acc_none")), ("page", ""),
        ("link", "lnk_none"), ("path", "none.js"),
    ):  # fmt: skip
        path = path.replace(f"{{{key}}}", value)
    body = {"json": BODIES[route]} if route in BODIES else {}
    return firm.ask(name, method, path, **{**body, **more})
