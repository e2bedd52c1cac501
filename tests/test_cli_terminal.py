"""The command line on a terminal: colour, and a progress bar that comes late and goes."""

import io
import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from command import run
from wainscot import demos
from wainscot.cli import frame


def on_a_terminal(*arguments: str, **environment: str) -> str:
    """Run a command with a terminal as stdout and return what it showed."""
    outer, inner = pty.openpty()
    settings = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TERM")}
    done = subprocess.run(
        [sys.executable, "-m", "wainscot", *arguments], stdin=subprocess.DEVNULL, stdout=inner,
        stderr=subprocess.DEVNULL, check=False, env={**settings, "TERM": "xterm", **environment},
    )  # fmt: skip
    os.close(inner)
    assert done.returncode == 0
    shown = b""
    while True:
        try:
            piece = os.read(outer, 65536)
        except OSError:  # Linux says so when the other end is closed and all is read
            break
        if not piece:
            break
        shown += piece
    os.close(outer)
    return shown.decode()


def test_colour_only_on_a_terminal_and_never_with_no_color(tmp_path: Path) -> None:
    # no-color.org: any value but the empty one switches colour off.
    path = tmp_path / "small.json"
    house = json.loads(demos.text())
    keep = {"ground", "utility", "facts"}
    house["entities"] = {k: v for k, v in house["entities"].items() if k in keep}
    path.write_text(json.dumps(house))
    assert "\x1b[" in on_a_terminal("voids", str(path))
    assert "\x1b[" not in on_a_terminal("voids", str(path), NO_COLOR="1")
    assert "\x1b[" in on_a_terminal("voids", str(path), NO_COLOR="")
    assert "\x1b[" not in run("voids", str(path)).stdout


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_progress_bar_shows_on_a_terminal_after_a_second_and_is_wiped(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    screen, clock = _Terminal(), iter([0.0, 0.5, 1.5])
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setattr(frame.time, "monotonic", lambda: next(clock))
    with frame.progress_bar("thinking") as draw:
        assert draw is not None
        draw(0.1)
        assert screen.getvalue() == ""
        draw(0.5)
        shown = screen.getvalue()
    assert shown == "\rthinking [" + "#" * 15 + "." * 15 + "]  50 %"
    wiped = screen.getvalue()[len(shown) :]
    assert wiped == "\r" + " " * (len(shown) - 1) + "\r"


def test_no_progress_bar_where_stderr_is_no_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    with frame.progress_bar("thinking") as draw:
        assert draw is None
