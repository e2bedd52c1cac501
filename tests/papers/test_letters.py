"""What reaches a page stays JSON, whatever was typed: RFC 8259, section 7, on backslashes."""

from __future__ import annotations

import json

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from wainscot.papers.letters import UNBROKEN, all_fitting, fitting, visible
from wainscot.papers.opening_sheet.example import example
from wainscot.papers.opening_sheet.render import _packed

PIECES = (
    "\\",
    "\\u0012",
    "u001f",
    '"',
    "n",
    "a",
    "\x00",
    "\x0b",
    "\x1f",
    "\u202e",
    "\u2066",
    "\u05d0",
)
TYPED = st.lists(st.sampled_from(PIECES), max_size=8).map("".join)
"""What spells an escape, by hand or in truth, among signs that are taken out."""


@given(TYPED)
def test_a_text_that_spells_an_escape_stands_as_it_was_typed(typed: str) -> None:
    told = json.loads(visible(msgspec.json.encode(typed).decode()))
    plain = str.maketrans(dict.fromkeys("\x00\x0b\x1f\u202e\u2066", " "))
    # Words from right to left are set apart by two signs of their own.
    assert told.translate(plain | {0x2068: None, 0x2069: None}) == typed.translate(plain)


def test_no_unbroken_name_runs_off_the_opening_sheet_or_a_papers_head() -> None:
    long = "W" * 300
    told = msgspec.structs.replace(example(), title=long, summary=long, notes=(long, long))
    page = json.loads(_packed(told, "en"))
    for text in (page["title"], page["summary"], *page["notes"]):
        assert max(map(len, text.split("\u200b"))) == UNBROKEN
    assert all_fitting({long: (long, 1.0)}) == {long: [fitting(long), 1.0]}
