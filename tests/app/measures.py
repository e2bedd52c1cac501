"""What is measured on any screen: words that are cut, the page's width, axe-core."""

from __future__ import annotations

from playwright.sync_api import Page
from test_app_screens import AXE


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
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("axe.run()")["violations"]
    return [(one["id"], one["nodes"][0]["html"][:120]) for one in found]
