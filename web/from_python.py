"""Write what the app takes over from Python: palette, tiles, methods, usual sizes; which fields are
personal; the phrases of other languages; what the office machine answers, as a JSON Schema from
which ``node types.mjs`` makes the types.

Run ``python web/from_python.py`` after a kind was added or changed; a test tells when it was not.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import msgspec

from wainscot.access.hazards.lead import LEAD_YEAR, UK_LEAD_YEAR
from wainscot.access.years import ASBESTOS_UK, ASBESTOS_US
from wainscot.api.openapi import described
from wainscot.cleaning.planning import wetting_holds
from wainscot.cleaning.products import MATERIALS, products
from wainscot.job import ERASED, PERSONAL
from wainscot.languages import languages, phrases_of
from wainscot.papers.kinds import papers
from wainscot.papers.said import LANGUAGES
from wainscot.plan import defaults, kinds
from wainscot.plan.kind import Kind, Option
from wainscot.signs.kind import KINDS
from wainscot.signs.rates import DEFAULT

TARGET = Path(__file__).parent / "src" / "made" / "kinds.json"
PERSONAL_FIELDS = Path(__file__).parent / "src" / "made" / "personal.json"
PHRASES = Path(__file__).parent / "src" / "made"
ANSWERS = Path(__file__).parent / "src" / "made" / "office.schema.json"
CALL_SHEET = PHRASES / "call.json"
CALL = ("address", "ask_", "caller", "more_", "said_", "soon", "stop_", "taken_by", "telephone",
        "today", "usual", "visit", "who_comes")  # fmt: skip
"""First letters of the words of the call sheet that the screen asks by."""
PAPERS = Path(__file__).parent / "src" / "made" / "papers.json"
READ = ("Me", "DeviceAbout", "AccountAbout", "JoinCode", "JobList", "JobPeople", "EventReceipt",
        "EventPage", "HeldAnswer", "PhotoAbout", "WalkState", "WalkAnswer", "PaperAbout",
        "PaperList", "LinkAbout", "LinkMade", "LinkViews", "HeadAbout", "OfficeList",
        "SearchAnswer", "RatesAnswer", "RatesTried", "BackupAnswer", "ScoreAnswer", "EraseAnswer",
        "PasswordChanged", "Problem")  # fmt: skip
"""Components of the server's interface that the app reads."""


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
        "products": [
            {"name": name, "words": one.name, "disinfects": one.disinfects}
            for name, one in products().items()
        ],
        "materials": list(MATERIALS),
        "wetting_hold": msgspec.to_builtins(wetting_holds(frozenset())[0]),
        "diameters": {name: one.value for name, one in defaults.DIAMETERS.items()},
    }  # fmt: skip
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def personal() -> str:
    """Return the text of the file that names the personal fields."""
    content = {"fields": sorted(PERSONAL), "erased": ERASED}
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def paper_kinds() -> str:
    """Return the text of the file of papers: title, and what each says where it cannot be made."""
    said = ("en", *languages())
    content = []
    for name, one in papers().items():
        words = {language: one.words(language) for language in said}
        content.append({
            "kind": name,
            "title": {language: its["title"] for language, its in words.items()},
            "lacks": {language: its["nothing"] for language, its in words.items()},
        })  # fmt: skip
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def answers() -> str:
    """Return the text of the schema: what the app reads, and what that is made of."""
    text = described().decode().replace("#/components/schemas/", "#/$defs/")
    parts: dict[str, Any] = json.loads(text)["components"]["schemas"]
    wanted, seen = list(READ), set[str]()
    while wanted:
        name = wanted.pop()
        if name not in seen:
            seen.add(name)
            wanted += re.findall(r'"#/\$defs/([^"]+)"', json.dumps(parts[name]))
    content = {
        "title": "Answers",
        "type": "object",
        "required": list(READ),
        "properties": {name: {"$ref": f"#/$defs/{name}"} for name in READ},
        "$defs": {name: {**parts[name], "title": name} for name in sorted(seen)},
    }
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def call_words() -> str:
    """Return the text of the words of the first call: those of its paper, by language."""
    content: dict[str, Any] = {
        # The first year that is free of it, by country.
        "years": {
            "lead": {"US": LEAD_YEAR.value, "UK": UK_LEAD_YEAR.value},
            "asbestos": {"US": ASBESTOS_US.value + 1, "UK": ASBESTOS_UK.value},
        }
    }
    for language in LANGUAGES:
        held = papers()["call-sheet"].words(language)
        content[language] = {key: held[key] for key in sorted(held) if key.startswith(CALL)}
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def phrases(language: str) -> str:
    """Return the text of the phrases of a language."""
    return json.dumps(phrases_of(language), indent=1, ensure_ascii=False) + "\n"


def phrases_file(language: str) -> Path:
    """Return where the phrases of a language stand."""
    return PHRASES / f"phrases.{language}.json"


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
    PERSONAL_FIELDS.write_text(personal(), encoding="utf-8")
    ANSWERS.write_text(answers(), encoding="utf-8")
    PAPERS.write_text(paper_kinds(), encoding="utf-8")
    CALL_SHEET.write_text(call_words(), encoding="utf-8")
    for language in languages():
        phrases_file(language).write_text(phrases(language), encoding="utf-8")
