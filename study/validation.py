"""The pictures of the page docs/validation.md, from the results of its studies."""

from __future__ import annotations

from typing import Any

from study import bars

STUDIES = ("hard", "decisions", "rates")
MOST_RATES = 20
VERDICTS = ("right", "can't tell", "wrong")


def pictures(name: str, found: dict[str, Any]) -> dict[str, str]:
    """Return the pictures of one study by file name.

    Parameters
    ----------
    name : str
        The study.
    found : dict
        Its results.
    """
    return {"hard": _hard, "decisions": _decisions, "rates": _rates}[name](found)


def _hard(found: dict[str, Any]) -> dict[str, str]:
    rows = [(f"{name} ({one['houses']})", [one[each] for each in VERDICTS])
            for name, one in found["sets"].items()]  # fmt: skip
    title = "Houses of each set, by their confident answers; the last three are not chosen by truth"
    parts = ("right", "can't tell", "confidently wrong")
    return {"validation-hard.svg": bars.stacked(rows, parts, title)}


def _decisions(found: dict[str, Any]) -> dict[str, str]:
    rows = [
        (f"{rule}, {words}", one["hours"]["mean"])
        for arm, words in (("model_holds", "model holds"), ("model_broken", "model broken"))
        for rule, one in found[arm]["rules"].items()
    ]
    counts = [found[arm]["houses"] for arm in ("model_holds", "model_broken")]
    title = f"Hours a house in all: looks, openings, callbacks ({counts[0]} and {counts[1]} houses)"
    note = "95 % intervals of each mean; houses differ much, so compare rules by the paired table"
    return {"validation-decisions.svg": bars.intervals(rows, title, note)}


def _rates(found: dict[str, Any]) -> dict[str, str]:
    kept = found["rates"][:MOST_RATES]
    kept += [one for one in found["rates"][MOST_RATES:] if one["rate"] == "another seed"]
    rows = [(one["rate"], one["hours"]) for one in kept]
    title = f"Hours a house lost if a judged rate is off by two ({found['houses']} houses)"
    note = "the worse of half and double, 95 % interval over houses; scale of the square root"
    return {"validation-rates.svg": bars.intervals(rows, title, note, root=True)}
