"""Write the pages of fixture types, passages and kinds of sign from their files and tables.

python scripts/build_pages.py           # write all of them
python scripts/build_pages.py --check   # exit 1 if one is out of date
"""

from __future__ import annotations

import importlib
import pkgutil
import sys
from pathlib import Path
from typing import Any

import numpy as np

from wainscot.plan.kind import Kind, kinds
from wainscot.plan.model import FixtureAt, Side
from wainscot.signs import DEFAULT, KINDS
from wainscot.signs import kinds as sign_kinds
from wainscot.signs.kind import Kind as SignKind
from wainscot.simulate.outcomes import Circumstances, outcomes
from wainscot.sources import Cited
from wainscot.voids.priors import passage_rows
from wainscot.voids.site import rules

DOCS = Path(__file__).resolve().parent.parent / "docs"

FIXTURES = """# Fixtures

A fixture is something built in that makes a void.  In a job file it stands in a room with its back
against one of the room's sides, `along` from the left corner of that side as seen from inside:

```json
"bath": {"kind": "fixture", "type": "bath", "room": "bathroom", "against": "n1", "along": 0.3}
```

`width` runs along that side, `depth` out into the room; `flip` swaps left and right.  What is not
given takes the default below and is listed as assumed.  Each type is one file in
`src/wainscot/plan/fixtures`; this page is written from those files by `scripts/build_pages.py`.
"""

PASSAGES = """# Passages

A passage is a way between two voids.  Every rule below proposes ways with an aperture between two
bounds, a chance that the way is there at all, and a chance that animals use it if they can.  An
animal passes if the aperture, taken as uniform between its bounds, exceeds its threshold (house
mouse 6 mm, rats 13 mm: protective values of exclusion guides, not measured bodies).  Parallel ways
between the same two voids are joined: open if any is.  A drawn pipe leaves the whole difference of
hole and pipe, because it may rest on one side.

Nobody has published a survey of real hole sizes between voids.  What is marked judgement is ours;
the chances all are.  The one table to change is `src/wainscot/voids/tables/passages.csv`; ways in
are in `sources.csv` beside it.  This page is written by `scripts/build_pages.py`.
"""


def fixtures_page() -> str:
    """Return docs/fixtures.md."""
    return FIXTURES + "".join(_fixture(kind) for kind in kinds().values())


def passages_page() -> str:
    """Return docs/passages.md."""
    lines = [PASSAGES, "## Rules\n"]
    lines += [f"- **{rule.name}**: {rule.words}." for rule in rules()]
    lines += [
        "\n## Table\n",
        "| rule | variant | aperture, mm | there | used | gnawable | standing | source or reason |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for row in passage_rows().values():
        drawn = row.high.value == 0
        aperture = "as drawn" if drawn else f"{_mm(row.low)} to {_mm(row.high)}"
        lines.append(
            f"| {row.rule} | {row.variant} | {aperture} | {row.presence.value:g} "
            f"| {row.run.value:g} | {'yes' if row.gnawable else 'no'} | {row.high.status} "
            f"| {row.high.source} |"
        )
    return "\n".join(lines) + "\n"


def _fixture(kind: Kind) -> str:
    lines = [
        f"\n## {kind.words}\n",
        f"`type`: `{kind.name}`; labels of its voids begin with {kind.letter}.\n",
        "| size | UK | US |",
        "|---|---|---|",
    ]
    for name, (uk, us) in kind.sizes.items():
        full = kind.full_height and name == "height"
        cells = ["to the ceiling"] * 2 if full else [_size(uk), _size(us)]
        lines.append(f"| {name} | {cells[0]} | {cells[1]} |")
    for option in kind.options:
        usual = option.default
        if isinstance(usual, tuple):
            told = f"UK {_size(usual[0])}, US {_size(usual[1])}"
        else:
            told = {True: "true", False: "false"}.get(usual, str(usual))
        choices = f"; one of {', '.join(option.choices)}" if option.choices else ""
        lines.append(f"\nOption `{option.name}` ({option.type}): {option.words}; {told}{choices}.")
    lines += ["\n| from | to | by | aperture, mm | there | used |", "|---|---|---|---|---|---|"]
    for join in kind.joins(_example(kind)):
        lines.append(
            f"| {join.role} | {join.to} | {join.words} | {_mm(join.low)} to {_mm(join.high)} "
            f"({join.high.status}) | {join.presence.value:g} | {join.run.value:g} |"
        )
    return "\n".join(lines) + "\n"


def _example(kind: Kind) -> FixtureAt:
    """Return the type at its UK sizes in an empty corner."""
    width, depth, height = (kind.size(name, "UK").value for name in ("width", "depth", "height"))
    options = {
        option.name: option.default[0].value
        if isinstance(option.default, tuple)
        else option.default
        for option in kind.options
    }
    side = Side("room", "n1", "n", 0.0, 0.0, width)
    return FixtureAt(
        "it", kind.name, "", "room", "storey", side, 0.0, width, depth, height, False, options,
        (0.0, -depth, width, 0.0),
    )  # fmt: skip


def _mm(cited: Cited) -> str:
    return f"{cited.value * 1000:.0f}"


def _size(cited: Cited) -> str:
    return f"{_mm(cited)} mm ({cited.status})"


SIGNS = """# Kinds of sign, one by one

How to log them is on [the page on signs](signs.md).  Each kind is one file in
`src/wainscot/signs/kinds`; its numbers stand in `src/wainscot/signs/tables/rates.toml` and
`methods.toml`.  This page is written from them by `scripts/build_pages.py`.

"Shows it" is the chance that one full look (or the nights said) shows anything of the kind, in a
house of middling load with Norway rats, by what is there.  Almost all rates are judged: nobody
published them.
"""
STATES = {
    "nothing": (1, 0, 0), "used before, clean": (1, 1, 0), "in use, clean": (1, 2, 0),
    "light soil": (1, 2, 2), "heavy soil": (1, 2, 4), "nest": (1, 2, 5),
}  # fmt: skip
"""Load level, reach and cell of each column."""
FORMS = {
    "row": "one void (or one way in)",
    "zone": "a zone of voids: any of them may have made it",
    "linear": "every void around a room at once, by what each sends there",
    "silence": "one void: nothing of any other kind was seen",
}


def signs_page() -> str:
    """Return the page of every kind of sign."""
    said = {}
    for one in pkgutil.iter_modules(sign_kinds.__path__):
        module = importlib.import_module(f"{sign_kinds.__name__}.{one.name}")
        if hasattr(module, "KIND"):
            words = (module.__doc__ or "").strip()
            said[module.KIND.name] = words.replace("``", "`").replace(":mod:`", "`")
    return SIGNS + "".join(_sign(KINDS[name], said[name]) for name in sorted(KINDS))


def _sign(kind: SignKind, words: str) -> str:
    rate = DEFAULT.sections.get(kind.name)
    lines = [f"\n## {kind.name}\n", words.split("Limits:")[0].strip() + "\n"]
    lines.append(f"Amounts: {', '.join(kind.amounts)}.  Speaks of {FORMS[kind.form]}.")
    methods = [one for one in DEFAULT.methods.values() if kind.name in one.shows]
    if kind.form == "row" and kind.shown is not None and methods:
        lines += [f"\n| shows it | {' | '.join(STATES)} |", "|---" * (len(STATES) + 1) + "|"]
        lines += [_chances(kind, one.name, one.looks) for one in methods]
    elif methods:
        lines.append(f"\nShown by: {', '.join(one.name for one in methods)}.")
    if kind.lengths:
        usual = [f"{name} {low * 1000:.0f} to {high * 1000:.0f} mm"
                 for name, (low, high) in kind.lengths.items()]  # fmt: skip
        lines.append(f"\nUsual `length`: {', '.join(usual)}.")
    if rate is not None:
        lines.append(f"\nWhere its numbers stand: {rate.standing}; {rate.source}.")
    return "\n".join(lines) + "\n"


def _chances(kind: SignKind, method: str, looks: bool) -> str:
    """Return one line: the chance that a look shows anything of the kind, by what is there."""
    look = Circumstances(method=method, species="norway rat", nights=1 if looks else 7)
    found = [
        chance for find, chance in outcomes(kind, look, DEFAULT)
        if find is not None and find.amount not in kind.nothing
    ]  # fmt: skip
    chances: Any = np.sum(found, axis=0)
    cells = [f"{float(chances[state]):.2g}" for state in STATES.values()]
    named = method if looks else f"{method}, 7 nights"
    return f"| {named} | {' | '.join(cells)} |"


def main() -> int:
    """Write or check the pages."""
    pages = {
        "fixtures.md": fixtures_page(), "passages.md": passages_page(),
        "sign-kinds.md": signs_page(),
    }  # fmt: skip
    stale = []
    for name, text in pages.items():
        path = DOCS / name
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            stale.append(name)
            if "--check" not in sys.argv[1:]:
                path.write_text(text, encoding="utf-8")
    if stale and "--check" in sys.argv[1:]:
        print(f"out of date: {', '.join(stale)}; run scripts/build_pages.py", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
