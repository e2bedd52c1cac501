"""Write docs/fixtures.md and docs/passages.md from the fixture types and the passage table.

python scripts/build_pages.py           # write both
python scripts/build_pages.py --check   # exit 1 if either is out of date
"""

from __future__ import annotations

import sys
from pathlib import Path

from wainscot.plan.kind import Kind, kinds
from wainscot.plan.model import FixtureAt, Side
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


def main() -> int:
    """Write or check both pages."""
    pages = {"fixtures.md": fixtures_page(), "passages.md": passages_page()}
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
