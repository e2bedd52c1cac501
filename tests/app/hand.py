"""A hand on the screen: taps and drags by touch, counted; and the server that gives the page.

The page is served with the server's own content security policy: what that forbids fails here.
"""

from __future__ import annotations

import itertools
import json
import os
import shutil
import socket
import ssl
import subprocess
import sys
import threading
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from weakref import WeakKeyDictionary

from playwright.sync_api import (
    Browser,
    BrowserType,
    FilePayload,
    Locator,
    Page,
    expect,
    sync_playwright,
)

from wainscot.api.frame import POLICY

ROOT = Path(__file__).resolve().parents[2]
STATIC = ROOT / "src" / "wainscot" / "static"
PHONE = {"width": 390, "height": 844}
TABLET = {"width": 820, "height": 1180}
PATIENCE = 60_000
"""How long a test waits for what must come; long, for machines that do much else. [ms]"""
CALCULATED = 180_000
"""How long it waits for what the office machine calculates. [ms]"""
expect.set_options(timeout=PATIENCE)
SECONDS_A_GESTURE = 2.0
"""How long one gesture takes in the count (the issue's own figure)."""


class _Handler(SimpleHTTPRequestHandler):
    def end_headers(self) -> None:
        self.send_header("content-security-policy", POLICY)
        super().end_headers()

    def log_message(self, *_: Any) -> None:
        pass


@contextmanager
def served(folder: Path = STATIC) -> Iterator[str]:
    """Serve the built app on a free port of this machine."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Handler, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


COTTAGE = ROOT / "src" / "wainscot" / "demos" / "terraced_cottage.json"


def cottage() -> FilePayload:
    """Return the demo house as a file to open, as a job that no other test has."""
    document = json.loads(COTTAGE.read_text(encoding="utf-8"))
    document["id"] = f"job_cottage_{next(_COPIES)}"
    return {"name": COTTAGE.name, "mimeType": "application/json",
            "buffer": json.dumps(document).encode()}  # fmt: skip


_COPIES = itertools.count(1)


def job_id(page: Page) -> str:
    """Return the id of the job that a page shows."""
    return page.url.split("#/job/")[1].split("/")[0]


PROGRAM = [sys.executable, "-m", "wainscot"]
PASSWORD = "seven mice in a wall"


def free_port() -> int:
    """Return a port at which nothing listens; the next one is free too."""
    while True:
        with socket.socket() as one, socket.socket() as next_one:
            one.bind(("127.0.0.1", 0))
            port = int(one.getsockname()[1])
            with suppress(OSError, OverflowError):
                next_one.bind(("127.0.0.1", port + 1))
                return port


@contextmanager
def office_machine(record: Path, *more: str, port: int = 0) -> Iterator[str]:
    """Run the program's own server, on a record in a folder; with ``--lan`` over TLS."""
    port = port or free_port()
    where = ["--port", str(port), "--record", str(record)]
    command = [*PROGRAM, "serve", *where, *more]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    address = f"{'https' if '--lan' in more else 'http'}://127.0.0.1:{port}/"
    try:
        _answers(server, address)
        yield address
    finally:
        server.terminate()
        server.wait(60)


def _answers(server: subprocess.Popen[bytes], address: str) -> None:
    """Wait until a server that was started answers."""
    anybody = ssl._create_unverified_context()  # the certificate was made a moment ago
    until = time.monotonic() + PATIENCE / 1000
    while True:
        assert server.poll() is None, f"the server ended with {server.returncode}"
        try:
            urllib.request.urlopen(address + "api/health", timeout=1, context=anybody).close()
            return
        except OSError:
            assert time.monotonic() < until, f"no answer at {address}"
            time.sleep(0.1)


def hired(record: Path, **people: str) -> None:
    """Give people of a firm their accounts: name and role, all with one password."""
    for name, role in people.items():
        command = ["user", "add", name, "--role", role, "--stdin", "--record", str(record)]
        subprocess.run([*PROGRAM, *command], input=PASSWORD, text=True, check=True,
                       stdout=subprocess.DEVNULL)  # fmt: skip


@contextmanager
def browser() -> Iterator[Browser]:
    """Start the browser: the one of CHROMIUM, else of the PATH, else Playwright's own."""
    with sync_playwright() as play:
        made = launched(play.chromium)
        try:
            yield made
        finally:
            made.close()


DRAWS_FLAT = ("--disable-gpu",)
"""The page is painted by the processor: half the work of painting it by a graphics card that the
machine of the tests must imitate."""
DRAWS_DEEP = ("--use-angle=swiftshader", "--enable-unsafe-swiftshader")
"""With an imitated graphics card, which the cutaway needs."""


def launched(kind: BrowserType, *more: str, drawing: tuple[str, ...] = DRAWS_FLAT) -> Browser:
    """Start one more browser, with more said to it.

    The one without windows comes first where both are there: it does not load a window's own bars
    and buttons with every page.
    """
    names = ("chromium-headless-shell", "chromium", "google-chrome")
    found = os.environ.get("CHROMIUM") or next(filter(None, map(shutil.which, names)), None)
    return kind.launch(executable_path=found, args=["--no-sandbox", *drawing, *more])


class Hand:
    """Works a page as a person does, and counts."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.taps = 0
        self.touch = page.context.new_cdp_session(page)

    def tap(self, what: str | Locator) -> None:
        """Tap a button by its words, or what was located."""
        place = what if isinstance(what, Locator) else self.button(what)
        place.tap()
        self.taps += 1

    def button(self, words: str) -> Locator:
        """Return the button that is seen with exactly these words."""
        return self.page.get_by_role("button", name=words, exact=True).locator("visible=true").first

    def step(self, name: str) -> None:
        """Go to a step of the job: on a phone by the list of steps, else by the rail."""
        self.page.locator("main.work").wait_for()
        if self.page.locator("nav.bar").is_visible():
            self.tap(self.page.locator("nav.bar .step"))
            self.tap(self.page.locator(".steps").get_by_role("button", name=name))
        else:
            self.tap(self.page.locator(".rail").get_by_role("button", name=name))

    def tap_at(self, x: float, y: float) -> None:
        """Tap a point of the plan, from its upper left corner. [px]"""
        left, top = self._plan()
        self.page.touchscreen.tap(left + x, top + y)
        self.taps += 1

    def touch_for(self, x: float, y: float, seconds: float) -> None:
        """Touch a point of the plan for a time, by the clock of the touch itself. [px, s]"""
        left, top = self._plan()
        began = time.time()
        for kind, points, at in (
            ("touchStart", [{"x": left + x, "y": top + y}], began),
            ("touchEnd", [], began + seconds),
        ):
            event = {"type": kind, "touchPoints": points, "timestamp": at}
            self.touch.send("Input.dispatchTouchEvent", event)
        self.taps += 1

    def drag(self, start: tuple[float, float], stop: tuple[float, float]) -> None:
        """Drag one finger over the plan. [px]"""
        left, top = self._plan()
        x0, y0, x1, y1 = left + start[0], top + start[1], left + stop[0], top + stop[1]
        self._touch("touchStart", [(x0, y0)])
        for n in range(1, 9):
            self._touch("touchMove", [(x0 + (x1 - x0) * n / 8, y0 + (y1 - y0) * n / 8)])
        self.page.wait_for_timeout(150)  # it holds still before it lifts, so that nothing is flung
        self._touch("touchMove", [(x1, y1)])
        self._touch("touchEnd", [])
        self.page.wait_for_timeout(350)  # the hand comes back; a browser swallows a tap at once
        self.taps += 1

    def shape(self, what: str, n: int = 0) -> tuple[float, float, float, float]:
        """Return where a shape of the plan lies: left, top, right, bottom. [px]"""
        self._plan()  # scrolled to, where the page scrolls
        place, box = self.page.locator(what).nth(n), None
        for _ in range(40):  # until it lies still: the plan is fitted anew where the tray changed
            before, box = box, place.bounding_box()
            if box is not None and box == before:
                break
            self.page.wait_for_timeout(150)
        left, top = self._plan()
        assert box is not None
        x, y = box["x"] - left, box["y"] - top
        return x, y, x + box["width"], y + box["height"]

    def keys(self, *words: str) -> None:
        """Tap keys of the length pad, one after the other."""
        for one in words:
            self.tap(self.page.locator(".keys").get_by_role("button", name=one, exact=True))

    def _plan(self) -> tuple[float, float]:
        self.page.locator(".plan").scroll_into_view_if_needed()
        box = self.page.locator(".plan").bounding_box()
        assert box is not None
        return box["x"], box["y"]

    def _touch(self, kind: str, points: list[tuple[float, float]]) -> None:
        self.touch.send(
            "Input.dispatchTouchEvent",
            {"type": kind, "touchPoints": [{"x": x, "y": y} for x, y in points]},
        )


_WRONG: WeakKeyDictionary[Page, list[str]] = WeakKeyDictionary()


def wrong(page: Page) -> list[str]:
    """Return what went wrong on a page of `fresh`: errors nobody caught, and of the console."""
    return _WRONG[page]


def fresh(
    made: Browser,
    url: str,
    size: dict[str, int] = PHONE,
    theme: str = "light",
    state: Any = None,
) -> Page:
    """Open the app on an empty device, or on a copy of another one's store."""
    context = made.new_context(
        viewport=size, has_touch=True, is_mobile=True, color_scheme=theme, locale="en-GB",
        timezone_id="Europe/London", service_workers="block", ignore_https_errors=True,
        storage_state=state,
    )  # fmt: skip
    context.set_default_timeout(PATIENCE)
    page = context.new_page()
    told_wrong = _WRONG.setdefault(page, [])
    page.on("pageerror", lambda error: told_wrong.append(str(error)))
    page.on(
        "console",
        lambda told: (
            told_wrong.append(told.text)
            if told.type == "error" and "Failed to load resource" not in told.text
            else None
        ),
    )
    page.goto(url)
    return page


def written(page: Page) -> None:
    """Wait until every change is written on the device."""
    page.locator("main.work[aria-busy=false]").wait_for()


def job_of(page: Page) -> dict[str, Any]:
    """Return the job as its file holds it, by the app's own way of saving it."""
    written(page)
    page.locator("header .job").tap()
    with page.expect_download() as got:
        page.get_by_role("button", name="Save the job to a file").tap()
    page.locator("section.tray").get_by_role("button", name="Close", exact=True).first.tap()
    return json.loads(Path(got.value.path()).read_text(encoding="utf-8"))  # type: ignore[no-any-return]
