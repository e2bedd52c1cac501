"""The firm's own score on paper: its figures are those of the score, in both languages."""

from __future__ import annotations

import io
import re
from functools import cache

import msgspec
import pypdf
import pytest

from wainscot.papers.kinds import Paper, papers
from wainscot.papers.of_firm.score import score_sheet
from wainscot.papers.printing import as_json, as_pdf
from wainscot.papers.said import LANGUAGES
from wainscot.score import Row, Score, score_of, shared

SCORE = Score(
    jobs=14,
    rows=(
        Row("open", shared(31, 38), 0.784, 9),
        Row("check first", shared(7, 19), 0.41, 8),
        Row("leave", shared(12, 13), 0.953, 4),
        Row("can't tell yet", shared(0, 0), None, 0),
    ),
    callbacks=shared(2, 14),
    not_drawn=3,
    left_out=5,
)


@cache
def _pdf(language: str) -> pypdf.PdfReader:
    made = score_sheet(SCORE, date="2026-05-12", language=language)
    assert made is not None
    return pypdf.PdfReader(io.BytesIO(as_pdf(made)))


def _text(language: str) -> str:
    return " ".join(" ".join(page.extract_text() for page in _pdf(language).pages).split())


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_row_has_the_figures_of_the_score_and_of_wilson(language: str) -> None:
    """Intervals by hand from the closed form of Wilson 1927 (from memory), z = 1.96."""
    to = {"en": "to", "es": "a"}[language]
    text = _text(language)
    # 31 of 38: middle (0.8158 + 0.0505) / 1.1011 = 0.787, half 0.121; and so on.
    for wanted in (f"82 67 {to} 91 78 9", f"37 19 {to} 59 41 8", f"92 67 {to} 99 95 4",
                   f"14 4 {to} 40"):  # fmt: skip
        assert wanted in text
    of = {"en": "of", "es": "de"}[language]
    for wanted in (f"31 {of} 38", f"7 {of} 19", f"12 {of} 13", f"2 {of} 14"):
        assert wanted in text


@pytest.mark.parametrize("language", LANGUAGES)
def test_it_tells_what_is_judged_what_is_not_shown_and_nothing_else_in_figures(
    language: str,
) -> None:
    made = score_sheet(SCORE, date="2026-05-12", language=language)
    assert made is not None
    text = _text(language)
    for key in ("judged", "calculated", "judged_section", "limits_head"):
        assert made.words[key] in text
    for one in (*made.words["limits"], *made.words["judgements"], *made.view.left_out):
        assert one in text
    known = set(re.findall(r"\d+", as_json(made).decode() + str(made.words))) | {"1"}
    assert set(re.findall(r"\d+", text)) <= known
    assert str(_pdf(language).root_object["/Lang"]) == language


def test_words_of_both_languages_have_the_same_keys_and_places() -> None:
    first, other = (Paper("score", "wainscot.papers.of_firm").words(one) for one in LANGUAGES)
    assert first.keys() == other.keys()
    for key, word in first.items():
        assert re.findall(r"{\w+}", str(word)) == re.findall(r"{\w+}", str(other[key]))
        assert not isinstance(word, list) or len(word) == len(other[key])


def test_without_a_closed_job_there_is_no_paper_and_it_is_none_of_a_job() -> None:
    assert score_sheet(score_of([])) is None
    assert "score" not in papers()
    bare = msgspec.structs.replace(SCORE, not_drawn=0, left_out=0)
    made = score_sheet(bare)
    assert made is not None
    assert made.view.left_out == ()
