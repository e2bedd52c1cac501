"""The phrasebook: what it understands, what it leaves alone, and that the demos are understood."""

from __future__ import annotations

import doctest
import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import msgspec
import pytest

from wainscot import job as jobs
from wainscot import languages
from wainscot.access.offer import all_acts
from wainscot.finding import finding, shapes
from wainscot.job import ERASED
from wainscot.languages import Phrasebook, Told, names_in, phrases_of, say, tell
from wainscot.sealing import Terms
from wainscot.walk import survey, walk

DEMOS = Path(str(files("wainscot") / "demos"))
SPANISH = phrases_of("es")
UNSAID = {"key", "id", "source", "access", "others", "openings", "first_stud", "sets", "guesses",
          "seals"}  # fmt: skip
"""Fields that hold keys, not sentences; titles of sources stay as they were published."""


def sentences(told: object, field: str = "") -> Iterator[str]:
    """Yield every text of a result with a blank in it, but keys."""
    if isinstance(told, str):
        if " " in told and "|" not in told and "/" not in told.split(" ")[-1]:
            yield told
    elif isinstance(told, dict):
        for key, value in told.items():
            if key not in UNSAID:
                yield from sentences(value, key)
    elif isinstance(told, list):
        for one in told:
            yield from sentences(one, field)


def plain(result: object) -> Any:
    return msgspec.json.decode(msgspec.json.encode(result))


def not_understood(result: object, known: tuple[str, ...]) -> set[str]:
    return {text for text in sentences(plain(result)) if not tell(text, "es", known).whole}


def test_a_sentence_is_said_with_what_stands_in_its_places() -> None:
    assert say("stud bay W3, wall between Bath and Hall", "es", ("Bath", "Hall")) == (
        "hueco entre montantes W3, muro entre Bath y Hall"
    )


def test_what_was_erased_is_said_though_it_stands_where_a_name_stood() -> None:
    names = (ERASED, "Hall")
    assert say(ERASED, "es", names) == "(borrado)"
    assert say(f"stud bay W3, wall between {ERASED} and Hall", "es", names) == (
        "hueco entre montantes W3, muro entre (borrado) y Hall"
    )
    assert say(ERASED, "en", names) == ERASED


def test_what_people_typed_is_never_translated() -> None:
    assert say("3 steps from gap behind the stove and the sink", "es",
               ("gap behind the stove and the sink",)) == (
        "a 3 pasos de gap behind the stove and the sink"
    )  # fmt: skip


def test_what_is_not_understood_is_given_back_as_it_was() -> None:
    text = "the moon is made of cheese, and nobody knows why"
    assert tell(text, "es") == Told(text, whole=False)


def test_no_part_is_half_in_one_language() -> None:
    assert say("nobody looked; go in and polish it", "es") == "nadie ha mirado; go in and polish it"


def test_english_is_given_back_as_it_was() -> None:
    assert tell("nobody looked", "en") == Told("nobody looked", whole=True)


def test_a_language_without_a_phrasebook_is_refused() -> None:
    with pytest.raises(KeyError):
        tell("nobody looked", "xx")


def test_a_great_letter_stays_great() -> None:
    assert say("Nobody looked", "es") == "Nadie ha mirado"


@pytest.mark.parametrize(
    "text",
    ["in " * 3000, "a in b, c and d; " * 500, "under under in over " * 20, ", " * 4000, "(" * 9000,
     "\ue000 in \ue001", "{what} in {room}", "\\1 (?P<x>", "", " "],
)  # fmt: skip
def test_a_hostile_text_is_given_back(text: str) -> None:
    told = tell(text, "es", ("in", "a"))
    assert told.whole or len(told.text) > 0 or text == ""


def test_what_looks_like_a_place_stays_text() -> None:
    assert say("at {what}", "es") == "at {what}"


def test_every_phrase_has_the_same_places_in_both_languages() -> None:
    for english, said in SPANISH.items():
        places = re.findall(r"\{(\w+)\}", english)
        assert len(places) == len(set(places)), english
        assert sorted(places) == sorted(re.findall(r"\{(\w+)\}", said)), english
        assert said.strip() == said, english


def test_no_two_files_hold_one_phrase() -> None:
    folder = files(languages) / "es"
    found = [
        line.split('" = "')[0]
        for file in folder.iterdir() if file.name.endswith(".toml")
        for line in file.read_text("utf-8").splitlines() if line.startswith('"')
    ]  # fmt: skip
    assert len(found) == len(SPANISH) > 500
    assert len(set(found)) == len(found)


def test_the_first_of_two_phrases_that_fit_is_the_one_with_more_words_of_its_own() -> None:
    book = Phrasebook({"{a} now": "ahora {a}", "{a} here now": "{a} aquí ya", "mice": "ratones"})
    assert book.tell("mice here now").text == "ratones aquí ya"


def test_every_act_is_said_in_spanish() -> None:
    for act in all_acts().values():
        assert tell(act.name, "es").whole, act.name
        assert tell(act.sentence.format(where="loft L1"), "es").whole, act.sentence


def test_every_sentence_of_a_demo_from_signs_to_statement_is_said_in_spanish() -> None:
    job = jobs.read((DEMOS / "terraced_cottage.json").read_text("utf-8"))
    walked = walk(job, why=True, draws=256, closing=Terms(), priced=True)
    told = {
        "diagnosis": walked.diagnosis, "checks": walked.checks, "openings": walked.openings,
        "find": finding(job, walked), "work": walked.work, "sealing": walked.sealing,
        "over": walked.all_clear, "price": walked.estimate,
    }  # fmt: skip
    assert len(list(sentences(plain(told)))) > 300
    assert not_understood(told, names_in(job.entities)) == set()


@pytest.mark.parametrize("demo", ["corner_cafe", "semi_1930s"])
def test_every_outline_of_a_demo_is_said_in_spanish(demo: str) -> None:
    job = jobs.read((DEMOS / f"{demo}.json").read_text("utf-8"))
    assert not_understood(shapes(survey(job)), names_in(job.entities)) == set()


def test_the_examples_of_page_and_package_run() -> None:
    page = Path(__file__).parents[2] / "docs" / "languages.md"
    assert doctest.testfile(str(page), module_relative=False) == (0, 3)
    assert doctest.testmod(languages).failed == 0
