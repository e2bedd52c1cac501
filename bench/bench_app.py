"""The app in a browser slowed down four times: size, cold start without signal, tap to paint.

The browser is Chromium's on this machine, its processor throttled through its own developer
protocol; a real phone was not at hand.  Tap to paint is the browser's own figure (Event Timing):
from the finger to the next frame, in steps of 8 ms.
"""

from __future__ import annotations

import gzip
import re
import statistics
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from bench.table import Row

ROOT = Path(__file__).resolve().parents[1]
SLOWER = 4
STARTS = 5
WATCH = """() => {
  window.paints = [];
  new PerformanceObserver((list) => {
    for (const one of list.getEntries()) if (one.interactionId) window.paints.push(one.duration);
  }).observe({ type: "event", durationThreshold: 16, buffered: true });
}"""


def rows() -> list[Row]:
    """Measure a build of this checkout."""
    sys.path.insert(0, str(ROOT / "tests" / "app"))
    from hand import STATIC, browser, served

    subprocess.run([sys.executable, str(ROOT / "scripts" / "build_web.py")], check=True)
    with browser() as made, served() as url:
        first = f"{_first_script(STATIC) / 1000:.1f} kB packed to run first, 60 to reach"
        paints = _paints(made, url)
        return [
            Row(
                f"cold start without signal, median of {STARTS}", _cold_start(made, url), 2.0, first
            ),
            Row("tap to paint, median", statistics.median(paints), 0.1, f"{len(paints)} taps"),
            Row("tap to paint, longest", max(paints), 0.1, f"{len(paints)} taps"),
        ]


def _first_script(static: Path) -> int:
    """Return how large the first script is with the parts that the page names beside it. [B]"""
    named = set(re.findall(r"assets/[^\"]+\.js", (static / "index.html").read_text("utf-8")))
    assert named
    return sum(len(gzip.compress((static / one).read_bytes())) for one in named)


def _slowed(page: Any) -> None:
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})


def _cold_start(made: Any, url: str) -> float:
    """Return how long a page takes that nothing in memory helps, the network being off. [s]"""
    context = made.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    page = context.new_page()
    page.goto(url)
    page.evaluate("navigator.serviceWorker.ready")
    page.reload()
    page.get_by_role("button", name="Draw a building").tap()
    page.locator(".plan").wait_for()
    page.wait_for_timeout(1000)
    context.set_offline(True)
    took = []
    for _ in range(STARTS):
        page.close()
        page = context.new_page()
        _slowed(page)
        began = time.perf_counter()
        page.goto(url)
        page.get_by_role("link", name="New job").wait_for()
        took.append(time.perf_counter() - began)
    context.close()
    return statistics.median(took)


def _paints(made: Any, url: str) -> list[float]:
    """Return what each tap of a small job took to be seen. [s]"""
    from hand import Hand, fresh, written

    page = fresh(made, url)
    _slowed(page)
    page.evaluate(WATCH)
    hand = Hand(page)
    hand.tap("Draw a building")
    page.locator(".plan").wait_for()
    hand.drag((60, 70), (260, 260))
    hand.tap("Skip")
    hand.tap("Skip")
    hand.step("Find")
    for _ in range(3):
        left, top, _, bottom = hand.shape("path.room")
        hand.tap_at(left - 2, (top + bottom) / 2)
        hand.tap("droppings")
        hand.tap("many")
        written(page)
        hand.tap(page.locator(".tray").get_by_role("button", name="Close", exact=True))
    page.wait_for_timeout(500)
    found: list[float] = page.evaluate("window.paints")
    page.context.close()
    return [one / 1000 for one in found]
