"""What was learnt, in lines for people, and as a table that the walk reads with the firm's rates.

Limits: multiples are written with four figures.
"""

from __future__ import annotations

from wainscot.learning.fitting import Learning, Learnt

TABLE = "[signs]"
LEAST_TOLD = 0.01
"""Rates whose doubt shrank by less are not written. [1]"""


def lines(found: Learning) -> list[str]:
    """Return prior and posterior side by side, the most told first.

    Parameters
    ----------
    found : Learning
        What was learnt.
    """
    if not found.jobs:
        return ["No closed job may be learnt from: none has both an opened bay and the owner's "
                "word (may_learn in its closing terms)."]  # fmt: skip
    many = "s" if found.jobs > 1 else ""
    head = f"Learnt from {found.jobs} job{many}; in brackets 95 % intervals, chances in 100."
    rows: list[tuple[str, ...]] = [("rate", "judged", "learnt", "doubt gone", "jobs")]
    rows += [_row(one) for one in found.rates]
    wide = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    return [
        head,
        *("  ".join(cell.ljust(width) for cell, width in zip(row, wide, strict=True)).rstrip()
          for row in rows),
    ]  # fmt: skip


def _row(one: Learnt) -> tuple[str, ...]:
    return (one.rate, _with(one.judged, one.before), _with(one.learnt, one.after),
            f"{100 * one.told:.0f} %", str(one.jobs))  # fmt: skip


def _with(value: float, interval: tuple[float, float]) -> str:
    low, high = interval
    return f"{100 * value:.1f} ({100 * low:.1f} to {100 * high:.1f})"


def overlay(found: Learning, own: str = "") -> str:
    """Return the firm's rates with what was learnt as a table of multiples (TOML).

    Parameters
    ----------
    found : Learning
        What was learnt.
    own : str
        The firm's own rates as they are written; an older table of multiples in it is replaced.
    """
    told = [one for one in found.rates if one.told >= LEAST_TOLD]
    made = [f'"{one.rate}" = {one.factor:.4g}' for one in told]
    head = f"# Multiples of the judged rates, learnt from {found.jobs} jobs by wainscot learn."
    kept = _without_table(own)
    return "\n".join([*kept, *([""] if kept else []), TABLE, head, *made, ""])


def _without_table(own: str) -> list[str]:
    """Return the lines of a file but for its table of multiples."""
    kept, inside = [], False
    for line in own.rstrip().splitlines():
        if line.strip().startswith("["):
            inside = line.strip() == TABLE
        if not inside:
            kept.append(line)
    while kept and not kept[-1].strip():
        kept.pop()
    return kept
