"""The application: every route with its need, inside the frame.

    app = make_app(desk)

A route that names no need, or one that the table does not know, is an error at the start.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from litestar import Litestar, Request, Response
from litestar.datastructures import State
from litestar.di import Provide
from litestar.handlers.base import BaseRouteHandler
from litestar.openapi.config import OpenAPIConfig
from litestar.routes import HTTPRoute

from wainscot.api import (
    erasing,
    head_routes,
    jobs,
    joining,
    link_routes,
    office_routes,
    pages,
    paper_routes,
    people,
    photos,
    sync,
    walk_routes,
)
from wainscot.api.desk import Desk
from wainscot.api.frame import Frame
from wainscot.api.gate import NEED, gate, give_caller, give_desk
from wainscot.api.logs import about
from wainscot.api.problems import STATUS, told
from wainscot.api.rights import NEEDS
from wainscot.api.settings import Limits
from wainscot.errors import WainscotError

ROUTES: tuple[BaseRouteHandler, ...] = (
    *people.ROUTES, *joining.ROUTES, *jobs.ROUTES, *sync.ROUTES, *photos.ROUTES,
    *erasing.ROUTES, *walk_routes.ROUTES, *paper_routes.ROUTES, *link_routes.ROUTES,
    *head_routes.ROUTES,
    *office_routes.ROUTES, *pages.ROUTES,
)  # fmt: skip


def make_app(desk: Desk, routes: Sequence[BaseRouteHandler] = ROUTES) -> Frame:
    """Return the application.

    Parameters
    ----------
    desk : Desk
        What it works with; whoever made it closes it.
    routes : sequence of handlers
        All routes by default.

    Raises
    ------
    WainscotError
        If a route names no need of the table.
    """
    inner = routes_alone(routes, most=desk.settings.limits.body)
    inner.state.desk = desk
    return Frame(inner, desk)


def routes_alone(
    routes: Sequence[BaseRouteHandler] = ROUTES, about_them: OpenAPIConfig | None = None,
    most: int = Limits().body,
) -> Litestar:  # fmt: skip
    """Return the routes without what they work with.

    Parameters
    ----------
    routes : sequence of handlers
        All routes by default.
    about_them : OpenAPIConfig, optional
        For describing them; such an application also has a page of its own and is not for serving.
    most : int
        Bytes of a request.

    Raises
    ------
    WainscotError
        If a route names no need of the table.
    """
    made = Litestar(
        route_handlers=list(routes),
        guards=[gate],
        dependencies={
            "desk": Provide(give_desk),
            "caller": Provide(give_caller),
            "client": Provide(_client, sync_to_thread=False),
        },
        exception_handlers={Exception: _answer},
        request_max_body_size=most,
        openapi_config=about_them,
        state=State(),
        debug=False,
        logging_config=None,
    )  # fmt: skip
    for path, handler in _handlers(made):
        if handler.opt.get(NEED) not in NEEDS and about_them is None:
            raise WainscotError(f"route {path} declares no need of the table of rights")
    return made


def _handlers(app: Litestar) -> Iterator[tuple[str, BaseRouteHandler]]:
    """Give every handler that answers, by its path; OPTIONS only tells the methods."""
    for route in app.routes:
        if not isinstance(route, HTTPRoute):
            raise WainscotError(f"route {route.path} is not of HTTP")
        for handler in route.route_handlers:
            if handler.http_methods != {"OPTIONS"}:
                yield route.path, handler


def _client(request: Request[Any, Any, Any]) -> str:
    return request.client.host if request.client else ""


def _answer(request: Request[Any, Any, Any], error: Exception) -> Response[bytes]:
    number = str(request.scope.get("state", {}).get("number", ""))
    status, headers, body = told(error, number)
    if status >= STATUS["server-error"]:
        desk: Desk = request.app.state.desk
        desk.log.error("failed", request=number, **about(error))
    media = headers.pop("content-type")
    return Response(body, status_code=status, headers=headers, media_type=media)
