"""Canonical JSON (RFC 8785), and the errors of a record."""

from __future__ import annotations

from typing import Any

import rfc8785

from wainscot.errors import WainscotError


class RecordError(WainscotError):
    """An event that cannot belong to a record: a wrong id, form or time."""


class NewerFormError(RecordError):
    """An event in a form that this program does not know yet."""


def canonical(value: Any) -> bytes:
    """Return the canonical JSON of a plain value (RFC 8785).

    Raises
    ------
    RecordError
        If the value holds a number or text that JSON cannot carry.
    """
    try:
        return rfc8785.dumps(value)
    except (rfc8785.CanonicalizationError, UnicodeEncodeError, RecursionError) as error:
        raise RecordError(f"a value cannot be recorded: {error}") from None
