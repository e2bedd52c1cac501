"""Logs as lines of JSON that name nobody: no names, notes, tokens, addresses, ids or contents.

A line holds the time, the number of the request, its method, the pattern of its address (never the
address itself), the status and the time it took.  Of an error: its class and where it was raised,
never its message, which may quote what was sent.

Limits: what a library prints by itself to standard error is not held back; uvicorn's own lines go
through here.
"""

from __future__ import annotations

import logging
import sys
from typing import Any, TextIO

import structlog


def logger(stream: TextIO | None = None) -> Any:
    """Return a logger of JSON lines.

    Parameters
    ----------
    stream : text stream, optional
        Where they go; standard error by default.
    """
    return structlog.wrap_logger(
        structlog.PrintLogger(stream or sys.stderr),
        processors=[
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.add_log_level,
            structlog.processors.JSONRenderer(),
        ],
        wrapper_class=structlog.BoundLogger,
    )


def about(error: BaseException) -> dict[str, str]:
    """Return an error's class and the place in the code where it was raised."""
    trace, last = error.__traceback__, None
    while trace is not None:
        trace, last = trace.tb_next, trace
    where = ""
    if last is not None:
        code = last.tb_frame.f_code
        where = f"{code.co_filename.rsplit('/', 1)[-1]}:{last.tb_lineno} {code.co_name}"
    return {"error": type(error).__name__, "where": where}


class Passed(logging.Handler):
    """Passes on what libraries log: by whom and how grave, with the class of an error alone."""

    def __init__(self, log: Any) -> None:
        super().__init__(logging.WARNING)
        self._log = log

    def emit(self, record: logging.LogRecord) -> None:
        """Write one line."""
        error = record.exc_info[1] if record.exc_info else None
        more = about(error) if error is not None else {}
        self._log.warning("library", library=record.name, level_there=record.levelname, **more)


def take_over(log: Any) -> None:
    """Send the lines of every library to the log, in place of where they went."""
    root = logging.getLogger()
    root.handlers = [Passed(log)]
    for name in list(logging.root.manager.loggerDict):
        logging.getLogger(name).handlers = []
        logging.getLogger(name).propagate = True
