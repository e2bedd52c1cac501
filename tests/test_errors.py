"""Messages: all at once, fit for any screen, with the nearest word that is known."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wainscot.errors import Fault, InputError, nearest, unknown_word


def test_an_input_error_holds_and_prints_every_fault() -> None:
    faults = [Fault("a", "x", "no", "do"), Fault("b", "y", "wrong", "mend")]
    error = InputError(faults)
    assert error.faults == tuple(faults)
    assert str(error) == "x: no; do [a]\ny: wrong; mend [b]"


@given(st.text(st.characters()), st.text(st.characters()))
def test_a_fault_can_be_printed_and_sent_whatever_the_file_held(path: str, what: str) -> None:
    fault = Fault("code", path, what, "mend it")
    assert str(fault).isprintable()
    assert msgspec.json.decode(msgspec.json.encode(fault), type=Fault) == fault


def test_a_terminal_is_sent_no_escape_sequence() -> None:
    assert "\x1b" not in str(Fault("code", "entities.\x1b[2J", "a\x1b[31mb", "c\nd"))


@pytest.mark.parametrize(
    ("word", "found"),
    [("nmae", "name"), ("Joist Spacing", "joist_spacing"), ("storeys", "storey"), ("zzz", "")],
)
def test_the_nearest_known_word_is_suggested_and_none_where_none_is_near(
    word: str, found: str
) -> None:
    assert nearest(word, ["name", "storey", "joist_spacing", "polygon"]) == found


def test_an_unknown_word_gets_a_suggestion_or_the_whole_list() -> None:
    near = unknown_word("c", "p", "method", "borescop", ["borescope", "ear"])
    assert (near.what, near.cure) == ("no method is called 'borescop'", "write 'borescope'")
    assert unknown_word("c", "p", "method", "xyz", ["ear", "borescope"]).cure == (
        "use one of: borescope, ear"
    )
    assert len(unknown_word("c", "p", "method", "x" * 9999, ["ear"]).what) < 100
