"""Every refusal as problem+json (RFC 9457), told in the words of the one catalogue.

>>> told(RefusedError("not-on-job"))[0]
403
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import msgspec
from litestar.exceptions import HTTPException, ValidationException

from wainscot.errors import SERVER, Fault, InputError, WainscotError
from wainscot.store import (
    DamagedError,
    DiskFullError,
    NoRecordError,
    PartError,
    PasswordError,
    StoreError,
)

MEDIA = "application/problem+json"

STATUS: dict[str, int] = {
    "no-login": 401, "wrong-login": 401, "wrong-code": 401, "not-allowed": 403,
    "wrong-password": 422, "password-length": 422, "own-password": 422, "common-password": 422,
    "not-on-job": 403, "no-device": 403, "other-site": 403, "other-host": 421,
    "not-found": 404, "no-link": 404, "wrong-method": 405,
    "bad-request": 422, "too-large": 413, "wrong-media": 415, "no-photo": 422,
    "too-many-pixels": 413, "other-bytes": 422, "wrong-range": 416, "too-often": 429,
    "disk-full": 507, "record-refused": 409, "not-ready": 503, "not-calculated": 404,
    "server-error": 500,
}  # fmt: skip
"""Status by code (RFC 9110; 507 RFC 4918; 429 RFC 6585)."""

_BY_STATUS = {
    401: "no-login", 403: "not-allowed", 404: "not-found", 405: "wrong-method", 413: "too-large",
    415: "wrong-media", 416: "wrong-range", 429: "too-often",
}  # fmt: skip


class Problem(msgspec.Struct, frozen=True):
    """What was refused, why, and what to do next."""

    type: str
    title: str
    status: int
    detail: str
    code: str
    request: str
    faults: tuple[Fault, ...] = ()


class RefusedError(WainscotError):
    """A request that is refused; ``code`` stands in the catalogue.

    Parameters
    ----------
    code : str
        Code of the catalogue.
    more : str
        What else there is to say, instead of the catalogue's cure.
    headers : mapping
        What the answer carries besides.
    """

    def __init__(self, code: str, more: str = "", headers: Mapping[str, str] | None = None) -> None:
        self.code = code
        self.more = more
        self.headers = dict(headers or {})
        super().__init__(SERVER[code].what)


def hold_back(wait: float) -> None:
    """Refuse who asks too often, and say how long to wait.

    Parameters
    ----------
    wait : float
        As a bucket says; 0 lets the request through. [s]

    Raises
    ------
    RefusedError
        If there is anything to wait for.
    """
    if wait:
        seconds = str(int(wait) + 1)
        more = f"try again in {seconds} seconds"
        raise RefusedError("too-often", more, headers={"retry-after": seconds})


def told(error: Exception, request: str = "") -> tuple[int, dict[str, str], bytes]:
    """Return status, headers and body for an error; of one that nobody foresaw, nothing but that.

    Parameters
    ----------
    error : Exception
        What was raised.
    request : str
        Number of the request.
    """
    refused, faults = _refused(error)
    fault = SERVER[refused.code]
    status = STATUS[refused.code]
    body = Problem(
        type=f"urn:wainscot:problem:{refused.code}", title=fault.what, status=status,
        detail=refused.more or fault.cure, code=refused.code, request=request, faults=tuple(faults),
    )  # fmt: skip
    return status, {"content-type": MEDIA, **refused.headers}, msgspec.json.encode(body)


def _refused(error: Exception) -> tuple[RefusedError, Sequence[Fault]]:
    if isinstance(error, RefusedError):
        return error, ()
    if isinstance(error, InputError):
        return RefusedError("bad-request"), error.faults
    if isinstance(error, StoreError):
        return _of_store(error), ()
    if isinstance(error, ValidationException):
        return RefusedError("bad-request"), _shapes(error)
    if isinstance(error, HTTPException) and error.status_code < 500:
        code = _BY_STATUS.get(error.status_code, "bad-request")
        allow = dict(error.headers or {})
        return RefusedError(code, headers=allow), ()
    return RefusedError("server-error"), ()


def _of_store(error: StoreError) -> RefusedError:
    if isinstance(error, DiskFullError):
        return RefusedError("disk-full")
    if isinstance(error, PartError):
        return RefusedError("wrong-range", headers={"upload-offset": str(error.held)})
    if isinstance(error, PasswordError):
        return RefusedError(error.code)
    if isinstance(error, NoRecordError):
        return RefusedError("not-ready")
    if isinstance(error, DamagedError):
        return RefusedError("record-refused", str(error))
    return RefusedError("record-refused", str(error))


def _shapes(error: ValidationException) -> list[Fault]:
    """Return what does not fit, without what was sent: an answer may be kept by a proxy."""
    extra: Any = error.extra
    found = extra if isinstance(extra, list) else []
    return [
        Fault("bad-request", str(one.get("key") or one.get("source") or ""),
              str(one.get("message", "")), SERVER["bad-request"].cure)
        for one in found if isinstance(one, dict)
    ]  # fmt: skip
