"""Where lines go: width, colour and characters that the terminal can show; errors; progress."""

from __future__ import annotations

import errno
import functools
import os
import shutil
import sys
import textwrap
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, NoReturn, TextIO, TypeVar, cast

import click

from wainscot.errors import InputError, WainscotError

F = TypeVar("F", bound=Callable[..., Any])

FAILED, UNUSABLE = 1, 2
WIDTH = 80
_BAR = 10
_PATIENCE = 1.0  # seconds before a progress bar shows


class Frame:
    """A stream with what it can show."""

    def __init__(self, stream: TextIO, *, colour: bool, blocks: bool, width: int = WIDTH) -> None:
        self._stream = stream
        self._colour = colour
        self.blocks = blocks
        self.width = width

    @classmethod
    def of_stdout(cls) -> Frame:
        """Return the frame of the data stream."""
        return cls._of(sys.stdout)

    @classmethod
    def of_stderr(cls) -> Frame:
        """Return the frame of the message stream."""
        return cls._of(sys.stderr)

    @classmethod
    def _of(cls, stream: TextIO) -> Frame:
        terminal = stream.isatty()
        plain = bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"
        width = min(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns) if terminal else WIDTH
        return cls(stream, colour=terminal and not plain, blocks=_shows_blocks(stream),
                   width=max(40, width))  # fmt: skip

    def line(self, text: str = "") -> None:
        """Write one line; what the stream's character set lacks becomes a question mark."""
        encoding = getattr(self._stream, "encoding", None) or "utf-8"
        safe = (text + "\n").encode(encoding, "replace").decode(encoding)
        self._stream.write(safe)

    def paragraph(self, text: str, first: str = "", rest: str | None = None) -> None:
        """Write text over as many lines as it needs, the later ones under the first's words."""
        for line in textwrap.wrap(
            printable(text),
            self.width,
            initial_indent=first,
            subsequent_indent=" " * len(first) if rest is None else rest,
            break_on_hyphens=False,
        ):
            self.line(line)

    def strong(self, text: str) -> str:
        """Return text in the heavier weight where the terminal has one."""
        return f"\x1b[1m{text}\x1b[0m" if self._colour else text

    def bar(self, chance: float) -> str:
        """Return a bar of ten characters.

        Parameters
        ----------
        chance : float
            A probability. [1]
        """
        halves = round(2 * _BAR * chance)
        full, half = ("\u2588", "\u258c") if self.blocks else ("#", "-")
        return (full * (halves // 2) + half * (halves % 2)).ljust(_BAR)


def _shows_blocks(stream: TextIO) -> bool:
    try:
        "\u2588\u258c".encode(getattr(stream, "encoding", None) or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def printable(text: str) -> str:
    """Return text without control characters, which a name in a job file may hold."""
    return "".join(c if c.isprintable() else " " for c in text)


def json_text(value: object) -> str:
    """Return a result as JSON, the same bytes for the same result.

    Parameters
    ----------
    value : object
        Frozen data; a path stands as its text.
    """
    import msgspec

    packed = msgspec.json.encode(value, order="deterministic", enc_hook=str)
    return msgspec.json.format(packed, indent=2).decode() + "\n"


def print_json(value: object) -> None:
    """Write a result as JSON to standard output; see :func:`json_text`."""
    click.echo(json_text(value), nl=False)


_CURES = {
    errno.ENOENT: "; make its folder first, or name another",
    errno.ENOTDIR: "; a file stands where its folder would be: name another",
    errno.EEXIST: "; a file stands where its folder would be: name another",
    errno.EISDIR: "; name a file, not a folder",
    errno.EACCES: "; ask for the right to write there, or name another place",
    errno.EPERM: "; ask for the right to write there, or name another place",
    errno.EROFS: "; that disk cannot be written: name another place",
    errno.ENOSPC: "; make room on that disk, or name another place",
    errno.ENAMETOOLONG: "; give it a shorter name",
}


def guarded(command: F) -> F:
    """Turn the errors that a user can cause into plain lines on stderr and an exit code."""

    @functools.wraps(command)
    def run(*arguments: Any, **options: Any) -> Any:
        try:
            return command(*arguments, **options)
        except InputError as error:
            _refuse([str(fault) for fault in error.faults], UNUSABLE)
        except WainscotError as error:
            _refuse([str(error)], FAILED)
        except BrokenPipeError:
            # Whoever read the output has gone: no message, and none from the interpreter either.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            sys.exit(FAILED)
        except MemoryError:
            _refuse(["there is not enough memory for this; close what else runs, or raise the "
                     "limit that was set for it"], FAILED)  # fmt: skip
        except OSError as error:
            reason = error.strerror or str(error)
            cure = _CURES.get(error.errno or 0, "")
            _refuse([f"{error.filename}: {reason}{cure}" if error.filename else reason], FAILED)

    return cast(F, run)


def _refuse(lines: list[str], code: int) -> NoReturn:
    messages = Frame.of_stderr()
    for line in lines:
        messages.line(printable(line))
    if len(lines) > 1:
        messages.line(f"{len(lines)} faults; nothing was written")
    sys.exit(code)


@contextmanager
def progress_bar(doing: str) -> Iterator[Callable[[float], None] | None]:
    """Give a callable that draws a bar on a stderr that is a terminal, once a second has gone."""
    if not sys.stderr.isatty():
        yield None
        return
    start = time.monotonic()
    shown = False

    def draw(share: float) -> None:
        nonlocal shown
        if time.monotonic() - start < _PATIENCE:
            return
        shown = True
        full = round(30 * min(1.0, max(0.0, share)))
        sys.stderr.write(f"\r{doing} [{'#' * full}{'.' * (30 - full)}] {100 * share:3.0f} %")
        sys.stderr.flush()

    try:
        yield draw
    finally:
        if shown:
            sys.stderr.write("\r" + " " * (len(doing) + 39) + "\r")
            sys.stderr.flush()
