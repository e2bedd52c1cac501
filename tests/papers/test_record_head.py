"""The signed head of the record on a paper: the lines that `wainscot head` prints, and its code."""

from __future__ import annotations

import pytest
import segno

from wainscot.papers.kinds import shared_words
from wainscot.papers.proof import code_of, given
from wainscot.papers.said import Say
from wainscot.record import Head, grouped, head_of, paper_lines, text_of

HEAD = Head(340, "5f3a" * 16, "2026-05-12T17:31:02+00:00", "ab" * 32, "cd" * 64)


def _say(language: str) -> Say:
    return Say(language, words=shared_words(language))


def test_the_paper_says_what_the_command_prints() -> None:
    told = given(text_of(HEAD), _say("en"), recorded=True)
    assert told.lines == paper_lines(HEAD)
    assert head_of(told.text) == HEAD


@pytest.mark.parametrize("language", ["en", "es"])
def test_what_is_typed_off_the_paper_is_the_head(language: str) -> None:
    told = given(text_of(HEAD), _say(language), recorded=True)
    size = next(word for word in told.lines[0].split() if word.isdigit())
    figures = told.lines[1].partition(" ")[2]
    assert head_of(f"{size} {figures}") == Head(HEAD.size, HEAD.root)
    assert figures == grouped(HEAD.root)


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_paper_without_a_head_says_why(language: str) -> None:
    words = shared_words(language)
    bare = given("", _say(language), recorded=False)
    unsigned = given("", _say(language), recorded=True)
    assert (bare.lines, bare.text) == ((words["head_none"],), "")
    assert unsigned.lines == (words["head_unsigned"],)
    assert bare.lines != unsigned.lines
    assert code_of(bare.text) == ""


def test_the_code_is_small_enough_to_be_read_off_paper() -> None:
    # 0.33 mm a module is what the maker's guide asks of a printer with 300 dots to an inch (four
    # dots; from memory).  The code stands 27 mm wide, with two modules free on each side.
    modules = segno.make(text_of(HEAD), error="m", micro=False).symbol_size(border=2)[0]
    assert 27 / modules >= 0.33
    assert 'width="' in code_of(text_of(HEAD))
