"""What is measured on any screen: words that are cut, width, size of targets, axe-core."""

from __future__ import annotations

from hand import ROOT
from playwright.sync_api import Page

NARROW = {"width": 320, "height": 640}
LARGE, SMALL = 72, 48
"""Least height of a button for gloves, and of any other. [px]"""
LARGE_ONES = "nav.bar button, .rail button, .tiles button, .amounts button, .ask button.act"
_AXE = ROOT / "web" / "node_modules" / "axe-core" / "axe.min.js"


def cut_words(page: Page) -> list[str]:
    """Return the buttons and lines whose words are wider than they are; titles may end in dots."""
    found: list[str] = page.evaluate(
        """() => [...document.querySelectorAll("button, a, summary, label, p, h1, h2, h3, th, td")]
          .filter((one) => one.checkVisibility() && one.clientWidth > 0)
          .filter((one) => !one.closest(".hidden, header .job"))
          .filter((one) => one.scrollWidth > one.clientWidth + 1)
          .map((one) => `${one.tagName} ${one.textContent.trim().slice(0, 40)}`)"""
    )
    return found


def sideways(page: Page) -> int:
    """Return by how much the page is wider than the screen. [px]"""
    # Not innerWidth: a phone's browser zooms out until what is too wide fits into it.
    wide: int = page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    return max(wide, 0)


def violations(page: Page) -> list[tuple[str, str]]:
    """Return what axe-core finds: rule and element."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(_AXE.read_text(encoding="utf-8"))
    found = page.evaluate("axe.run({ resultTypes: ['violations'] })")["violations"]
    return [(one["id"], one["nodes"][0]["html"][:120]) for one in found]


def by_day_and_night(page: Page) -> list[tuple[str, str]]:
    """Return what axe-core finds by day, and of contrast by night: the rest has no colour."""
    found = violations(page)
    page.emulate_media(color_scheme="dark")
    page.locator("html[data-theme=night]").wait_for(state="attached")
    night = page.evaluate("axe.run({ runOnly: ['color-contrast'], resultTypes: ['violations'] })")[
        "violations"
    ]
    page.emulate_media(color_scheme="light")
    page.locator("html[data-theme=day]").wait_for(state="attached")
    return found + [(f"night: {one['id']}", one["nodes"][0]["html"][:120]) for one in night]


def misfits(page: Page) -> list[str | int]:
    """Return what is too small or too wide, here and on the narrowest screen."""
    here = page.viewport_size
    assert here is not None
    found: list[str | int] = []
    for size in (here, NARROW):
        page.set_viewport_size({"width": size["width"], "height": size["height"]})
        page.wait_for_function(
            "(wide) => document.documentElement.clientWidth <= wide", arg=size["width"]
        )
        found += small_targets(page) + ([sideways(page)] if sideways(page) else [])
    page.set_viewport_size(here)
    return found


def small_targets(page: Page) -> list[str]:
    """Return what is too small to hit, with its size. [px]"""
    found: list[str] = page.evaluate(
        """([large, small, ones]) => {
          const seen = [...document.querySelectorAll("button, a, input:not([hidden]), select")];
          return seen.filter((one) => one.checkVisibility()).flatMap((one) => {
            const { width, height } = one.getBoundingClientRect();
            const least = one.matches(ones) ? large : small;
            const good = height >= least - 0.5 && width >= Math.min(least, small) - 0.5;
            return good ? [] : [`${one.textContent.trim() || one.tagName} ${width}x${height}`];
          });
        }""",
        [LARGE, SMALL, LARGE_ONES],
    )
    return found
