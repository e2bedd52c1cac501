"""Write what the app takes over from the Python kinds: palette, tiles, methods, usual sizes.

Run ``python web/from_python.py`` after a kind was added or changed; a test tells when it was not.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from wainscot.plan import defaults, kinds
from wainscot.plan.kind import Kind, Option
from wainscot.signs.kind import KINDS
from wainscot.signs.rates import DEFAULT

TARGET = Path(__file__).parent / "src" / "made" / "kinds.json"


def made() -> str:
    """Return the text of the file."""
    content = {
        "fixtures": [_fixture(kind) for kind in kinds().values()],
        "signs": [
            {
                "name": kind.name, "letter": kind.letter, "amounts": list(kind.amounts),
                "form": kind.form, "ages": kind.ages, "told": kind.told, "shares": kind.shares,
                "methods": [
                    name for name, one in DEFAULT.methods.items() if kind.name in one.shows
                ],
            }
            for kind in KINDS.values()
        ],
        "methods": [
            {"name": name, "looks": one.looks, "since_laid": one.since_laid}
            for name, one in DEFAULT.methods.items()
        ],
        "defaults": {
            name: [defaults.value(name, country).value for country in ("UK", "US")]
            for name in defaults.names()
        },
        "diameters": {name: one.value for name, one in defaults.DIAMETERS.items()},
    }  # fmt: skip
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def _fixture(kind: Kind) -> dict[str, Any]:
    return {
        "name": kind.name,
        "words": kind.words,
        "letter": kind.letter,
        "sizes": {
            name: [kind.size(name, country).value for country in ("UK", "US")]
            for name in kind.sizes
        },
        "wholeRoom": kind.whole_room,
        "options": [_option(one) for one in kind.options],
    }


def _option(one: Option) -> dict[str, Any]:
    default: Any = one.default
    if isinstance(default, tuple):
        default = [cited.value for cited in default]
    return {
        "name": one.name, "words": one.words, "type": one.type, "default": default,
        "choices": list(one.choices),
    }  # fmt: skip


if __name__ == "__main__":
    TARGET.write_text(made(), encoding="utf-8")
