"""Small SVG charts: histograms with a band, reliability curves.  Plain strings, no library."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

INK, QUIET, BAND, BAR, FAULT = "#1b1f24", "#5b6570", "#dfe5ea", "#4a7a96", "#b4532a"
COLOURS = ("#1f4e66", "#8a8f94", "#b4532a", "#6b7f2a")
FONT = "font-family='sans-serif'"


def text(
    x: float, y: float, words: str, size: int = 11, colour: str = INK, at: str = "start"
) -> str:
    """Return a line of text."""
    return (
        f"<text x='{x:.1f}' y='{y:.1f}' font-size='{size}' {FONT} fill='{colour}'"
        f" text-anchor='{at}'>{escape(words)}</text>"
    )


def sheet(width: float, height: float, parts: Sequence[str], title: str) -> str:
    """Return a whole picture of its parts."""
    head = (
        f"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {width:.0f} {height:.0f}'"
        f" role='img'><title>{escape(title)}</title>"
        f"<rect width='{width:.0f}' height='{height:.0f}' fill='#ffffff'/>"
    )
    return head + "\n".join(["", *parts, "</svg>"]) + "\n"


def rank_histograms(results: dict[str, Any], title: str, *, fault: bool = False) -> str:
    """Return a sheet of rank histograms, each with its 99 % band.

    Parameters
    ----------
    results : dict
        By statistic, from :func:`study.ranks.uniformity`.
    title : str
        Above the sheet.
    fault : bool
        Whether the engine had a fault planted: bars in another colour.
    """
    across, wide, high, gap = 4, 200.0, 90.0, 46.0
    parts = [text(16, 24, title, 14)]
    for k, (name, one) in enumerate(results.items()):
        x = 16 + (k % across) * (wide + 20)
        y = 48 + (k // across) * (high + gap)
        parts += _histogram(x, y, wide, high, name, one, FAULT if fault else BAR)
    rows = -(-len(results) // across)
    width = 16 + across * (wide + 20)
    return sheet(width, 48 + rows * (high + gap), parts, title)


def _histogram(
    x: float, y: float, wide: float, high: float, name: str, one: dict[str, Any], colour: str
) -> list[str]:
    bars, (low, top) = one["bars"], one["band_99"]
    scale = high / max(*bars, top * 1.35)
    step = wide / len(bars)
    parts = [
        f"<rect x='{x:.1f}' y='{y + high - top * scale:.1f}' width='{wide:.1f}'"
        f" height='{(top - low) * scale:.1f}' fill='{BAND}'/>"
    ]
    parts += [
        f"<rect x='{x + n * step + 1:.1f}' y='{y + high - bar * scale:.1f}'"
        f" width='{step - 2:.1f}' height='{bar * scale:.1f}' fill='{colour}'/>"
        for n, bar in enumerate(bars)
    ]
    parts.append(f"<path d='M{x:.1f} {y + high:.1f}h{wide:.1f}' stroke='{INK}'/>")
    parts.append(text(x, y + high + 14, name))
    shown = f"p {one['p']:.3f}" if one["p"] >= 0.001 else "p < 0.001"
    parts.append(text(x + wide, y + high + 14, shown, 10, QUIET, "end"))
    return parts


def reliability(results: dict[str, Any], title: str) -> str:
    """Return the reliability curves of every rule, side by side.

    Parameters
    ----------
    results : dict
        By rule, from :func:`study.scores.scores`.
    title : str
        Above the sheet.
    """
    size, gap = 190.0, 40.0
    parts = [text(16, 24, title, 14)]
    for k, (name, one) in enumerate(results.items()):
        x, y = 40 + k * (size + gap), 50.0
        parts.append(
            f"<rect x='{x:.1f}' y='{y:.1f}' width='{size}' height='{size}' fill='none'"
            f" stroke='{QUIET}' stroke-width='0.7'/>"
            f"<path d='M{x:.1f} {y + size:.1f}L{x + size:.1f} {y:.1f}' stroke='{QUIET}'"
            f" stroke-dasharray='3 3'/>"
        )
        for row in one["reliability"]:
            px = x + size * row["claimed"]
            py = y + size * (1 - row["true"])
            low = y + size * (1 - min(row["true"] + 2 * row["error"], 1.0))
            high = y + size * (1 - max(row["true"] - 2 * row["error"], 0.0))
            parts.append(
                f"<path d='M{px:.1f} {low:.1f}V{high:.1f}' stroke='{COLOURS[k]}'/>"
                f"<circle cx='{px:.1f}' cy='{py:.1f}' r='3.2' fill='{COLOURS[k]}'/>"
            )
        parts.append(text(x, y - 8, name, 12))
        parts.append(
            text(x, y + size + 30, f"Brier {one['brier']:.3f}, log loss {one['log_loss']:.3f}", 11)
        )
        for share in (0.0, 0.5, 1.0):
            parts.append(text(x + size * share, y + size + 14, f"{share:g}", 9, QUIET, "middle"))
            parts.append(text(x - 4, y + size * (1 - share) + 3, f"{share:g}", 9, QUIET, "end"))
    note = "across: chance claimed of a void being soiled; up: share that was; bars: two errors"
    parts.append(text(40, 50 + size + 52, note, 11, QUIET))
    return sheet(40 + len(results) * (size + gap), 50 + size + 68, parts, title)
