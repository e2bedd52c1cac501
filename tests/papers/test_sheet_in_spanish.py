"""The opening sheet in Spanish: its sentences are said, its figures stay, and it is a paper."""

from __future__ import annotations

import msgspec
import pytest
from tests.papers import sheets

from wainscot import languages
from wainscot.languages import names_in
from wainscot.openings.choosing import Left
from wainscot.papers.opening_sheet import SheetView, as_pdf, sheet_view, spoken
from wainscot.papers.opening_sheet.render import alone, words
from wainscot.papers.said import quoted_in, told


@pytest.fixture(scope="module")
def english() -> SheetView:
    return sheets.sheet_of("ranch")


@pytest.fixture(scope="module")
def spanish(english: SheetView) -> SheetView:
    return spoken(english, "es", names_in(sheets.house("ranch").entities))


def test_words_of_the_page_are_the_same_in_both_languages() -> None:
    assert words("en").keys() == words("es").keys()
    assert not [key for key, text in words("es").items() if text == words("en")[key]]


def test_every_title_hold_point_and_mark_is_said(english: SheetView, spanish: SheetView) -> None:
    for one, other in zip(english.pages, spanish.pages, strict=True):
        assert other.title != one.title
        assert other.stamp_words == "SIN AUTORIZAR: no corte" or not one.marks
        for hold, said in zip(one.holds, other.holds, strict=True):
            assert said.first != hold.first
            assert said.who != hold.who
        for mark, made in zip(one.marks, other.marks, strict=True):
            assert languages.tell(mark.what, "es").whole, mark.what
            assert (made.first, made.second) == (mark.first, mark.second)


def test_figures_keys_and_what_was_typed_stay(english: SheetView, spanish: SheetView) -> None:
    assert spanish.title == english.title
    assert [one.chance for one in spanish.pages] == [one.chance for one in english.pages]
    assert [one.stamp for one in spanish.pages] == [one.stamp for one in english.pages]
    assert [one.key for one in spanish.drawings()] == [one.key for one in english.drawings()]
    assert [one.ids for one in spanish.pages] == [one.ids for one in english.pages]


def test_it_is_a_paper_and_english_is_given_back_as_it_was(
    english: SheetView, spanish: SheetView
) -> None:
    assert spoken(english, "en") is english
    made = as_pdf(spanish, language="es")
    assert made.startswith(b"%PDF")
    assert made == as_pdf(spanish, language="es")
    with pytest.raises(KeyError):
        spoken(english, "xx")


def test_who_signed_and_what_was_declined_is_said_with_names_as_typed() -> None:
    job, by, reason = sheets.house("ranch"), "R. Alder", "new tiles"
    typed = {"no": {"by": by, "reason": reason}, **job.entities}
    choice = sheets.choice_of(job)
    first = msgspec.structs.replace(choice.openings[0], status="authorised", signed_by=by)
    left = Left("no", choice.openings[1].words, f"{by}, {reason}", (), 0.5, 2.0)
    choice = msgspec.structs.replace(
        choice, openings=(first, *choice.openings[1:]), declined=(left,)
    )
    plan, graph, ways = sheets.parts(job)
    view = sheet_view(job, choice, plan, graph, ways, which="all")
    made = spoken(view, "es", names_in(typed), quoted_in(typed))
    assert made.declined[0].startswith("D1: ")
    assert f"rechazada ({by}, {reason})" in made.declined[0]
    assert made.declined[0].endswith("No la abra.")
    (page,) = (one for one in made.pages if one.stamp == "authorised")
    assert (page.said, page.stamp_words) == (
        f"por {by}", "AUTORIZADO: antes, los puntos de parada",
    )  # fmt: skip
    assert all(
        languages.tell(one.labels, "es").whole for page in view.pages for one in page.reached
    )


def test_a_drawing_that_goes_alone_says_so_in_the_language_of_the_sheet(
    spanish: SheetView,
) -> None:
    notes = [one.note for one in alone(spanish, "es")]
    assert notes[0].endswith("Nada de esto queda autorizado por estar dibujado.")
    assert notes[-1].startswith(f"Abertura {len(spanish.pages)}: SIN AUTORIZAR")
    undated = msgspec.structs.replace(spanish, date="")
    assert next(alone(undated, "es")).note.startswith(f"{spanish.title}, trabajo {spanish.version}")


def test_a_sum_in_the_firms_currency_keeps_no_sentence_english() -> None:
    told = languages.tell("16 openings, 35 voids laid open, 4,912 EUR", "es")
    assert (told.text, told.whole) == ("16 aberturas, 35 huecos a la vista, 4,912 EUR", True)


def test_who_goes_by_a_word_of_the_sentences_takes_it_out_of_none() -> None:
    said = told("the owner authorises 19 openings", "es", (), ("owner", "R. Alder"))
    assert said.whole
    assert "owner" not in said.text
    assert told("by R. Alder", "es", (), ("owner", "R. Alder")).text == "por R. Alder"
