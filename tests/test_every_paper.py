"""What holds for every paper there is, in every language and size; see docs/papers.md."""

from __future__ import annotations

import io
import re
from functools import cache
from typing import Any, get_type_hints

import msgspec
import pypdf
import pytest
from PIL import Image

from wainscot.drawing import Drawing
from wainscot.papers.answers import Answers, Photo
from wainscot.papers.example import LABEL, PHOTO, RATES
from wainscot.papers.kinds import papers
from wainscot.papers.printing import Sheet, as_json, as_pdf, sheet
from wainscot.papers.said import LANGUAGES, Said

EVERY = sorted(papers())
HOSTILE = (
    "#panic(\"run\") $x^2$ *b* `c` @l <l> \\ // /* ]] }} = -- ",
    "=cmd|' /C calc'!A0 <script>alert(1)</script> &amp; </svg> {n} {{ %s",
    "\u202eright to left\u202c "
    "\u05e9\u05dc\u05d5\u05dd \u0627\u0644\u0645\u0637\u0628\u062e \x00\x1b[31m\n\t\u2066",
    "W" * 10_000,
    "long " * 2_000,
)  # fmt: skip


@cache
def _walked() -> Answers:
    """The house of all papers, calculated once."""
    from wainscot.book import read_book
    from wainscot.cleaning import read_label
    from wainscot.papers.example import house
    from wainscot.papers.opening_sheet import last_day
    from wainscot.sealing import Terms
    from wainscot.walk import answers, walk

    job = house()
    for name in EVERY:
        assert papers()[name].example() == job, "a house of its own makes the tests slow"
    walked = walk(job, draws=256, book=read_book(RATES), label=read_label(LABEL),
                  closing=Terms(), priced=True)  # fmt: skip
    out = io.BytesIO()
    Image.new("RGB", (64, 48), "grey").save(out, "JPEG")
    photo = Photo(PHOTO, out.getvalue(), 64, 48)
    return answers(walked, job, date=last_day(job), head="ab" * 32, photos={PHOTO: photo})


@cache
def _made(name: str, language: str) -> Sheet:
    size = "a4" if language == "en" else "us-letter"
    made = sheet(name, _walked(), language=language, size=size)
    assert made is not None, f"the example of {name} has nothing to say"
    return made


@cache
def _pdf(name: str, language: str) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(as_pdf(_made(name, language))))


@cache
def _text(name: str, language: str) -> str:
    return "\n".join(page.extract_text() for page in _pdf(name, language).pages)


@pytest.mark.parametrize("name", EVERY)
def test_words_of_every_language_have_the_same_keys_and_the_same_places(name: str) -> None:
    first = papers()[name].words("en")
    for language in LANGUAGES:
        words = papers()[name].words(language)
        assert words.keys() == first.keys()
        for key, word in words.items():
            assert type(word) is type(first[key]), key
            if isinstance(word, list):
                assert len(word) == len(first[key]), key
            assert set(re.findall(r"{\w+}", str(word))) == set(
                re.findall(r"{\w+}", str(first[key]))
            ), key


@pytest.mark.parametrize("name", EVERY)
def test_it_states_what_it_rests_on_and_says_why_where_it_has_nothing_to_say(name: str) -> None:
    for language in LANGUAGES:
        words = papers()[name].words(language)
        assert all(words[key] for key in ("title", "calculated", "judged", "nothing"))


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("language", LANGUAGES)
def test_date_job_version_and_tool_stand_on_every_page(name: str, language: str) -> None:
    head = _made(name, language).head
    for page in _pdf(name, language).pages:
        text = page.extract_text()
        for wanted in (head.date, head.version, head.record, head.tool):
            assert wanted
            assert wanted in text


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("language", LANGUAGES)
def test_a_reader_by_ear_is_told_title_language_and_order(name: str, language: str) -> None:
    """ISO 14289-1 (PDF/UA-1): marked, tagged, title shown, natural language set (from memory)."""
    root = _pdf(name, language).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/StructTreeRoot"]["/K"]
    assert root["/Lang"] == language
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert "pdfuaid" in root["/Metadata"].get_data().decode()
    assert _made(name, language).head.paper in (_pdf(name, language).metadata.title or "")


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("language", LANGUAGES)
def test_size_is_that_which_was_asked_for(name: str, language: str) -> None:
    """ISO 216 A4: 210 mm x 297 mm; ANSI A (letter): 8.5 in x 11 in."""
    box = _pdf(name, language).pages[0].mediabox
    wanted = (210 / 25.4 * 72, 297 / 25.4 * 72) if language == "en" else (8.5 * 72, 11 * 72)
    assert sorted((float(box.width), float(box.height))) == pytest.approx(wanted, abs=0.1)


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_figure_on_paper_is_in_the_view_or_in_the_words(name: str, language: str) -> None:
    made = _made(name, language)
    known = _figures(as_json(made).decode()) | _figures(str(made.words))
    for n, page in enumerate(_pdf(name, language).pages, 1):
        allowed = known | {str(n), str(len(_pdf(name, language).pages))}
        # A box of an enumeration is drawn by the page; it counts from one.
        numbered = {str(k) for k in range(1, 30)} if "enum" in papers()[name].page() or (
            "numbered(" in papers()[name].page()) else set()  # fmt: skip
        assert _figures(page.extract_text()) <= allowed | numbered


def _figures(text: str) -> set[str]:
    return set(re.findall(r"\d+(?:[.,:]\d+)*", text.replace("\u200b", "")))


@pytest.mark.parametrize("name", EVERY)
def test_the_same_input_gives_the_same_bytes_and_nothing_points_out_of_it(name: str) -> None:
    first = as_pdf(_made(name, "es"))
    assert as_pdf(_made(name, "es")) == first
    reader = _pdf(name, "es")
    for page in reader.pages:
        assert "/Annots" not in page
    for one in reader.xref[0]:
        held = reader.get_object(one)
        if isinstance(held, dict):
            assert not {"/URI", "/JS", "/Launch", "/GoToR", "/EmbeddedFiles"} & held.keys()


@pytest.mark.parametrize("name", EVERY)
def test_a_paper_in_spanish_says_no_sentence_in_english_but_what_was_typed(name: str) -> None:
    english: list[str] = []

    def look(text: str, lang: str = "es") -> str:
        english.extend([text] if lang != "es" and text else [])
        return text

    _with(_made(name, "es").view, look)
    warranty = "We come back once without charge."
    assert [one for one in english if not one.startswith(warranty)] == []


@pytest.mark.parametrize("name", EVERY)
def test_hostile_text_in_every_field_breaks_nothing_and_runs_nothing(name: str) -> None:
    made = _made(name, "en")
    turned = iter(range(10**9))

    def hostile(text: str, _lang: str = "") -> str:
        # What a step or a view formats is as hostile as what people type.
        return HOSTILE[next(turned) % len(HOSTILE)] if text else text

    head = msgspec.structs.replace(made.head, job=HOSTILE[0] + HOSTILE[2] + HOSTILE[3])
    bad = msgspec.structs.replace(made, view=_with(made.view, hostile), head=head)
    text = pypdf.PdfReader(io.BytesIO(as_pdf(bad))).pages[0].extract_text()
    assert "#panic(" in text


def _with(value: Any, change: Any) -> Any:
    """Return a view whose every text is changed; drawings and the choice of a language stay."""
    if isinstance(value, Drawing):
        letters = tuple(_with(one, change) for one in value.letters)
        title, about = change(value.title), change(value.about)
        return msgspec.structs.replace(value, title=title, about=about, letters=letters)
    if isinstance(value, Said):
        return Said(change(value.text, value.lang), value.lang)
    if isinstance(value, msgspec.Struct):
        fields = {
            name: _with(getattr(value, name), change)
            for name, kind in get_type_hints(type(value)).items()
            if name not in ("digest", "anchor") and kind is not float
        }
        return msgspec.structs.replace(value, **fields)
    if isinstance(value, tuple):
        return tuple(_with(one, change) for one in value)
    return change(value) if isinstance(value, str) else value
