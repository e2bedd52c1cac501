"""The writer of SVG text: what a name may hold must never become markup."""

import xml.etree.ElementTree as ElementTree

from hypothesis import given
from hypothesis import strategies as st

from wainscot.picture.svg import element, escape, number, text_width, wrap


@given(st.text())
def test_any_text_survives_as_text_and_adds_no_element(text: str) -> None:
    root = ElementTree.fromstring(element("text", {"id": text}, escape(text)))
    # XML 1.0, section 2.2: control characters other than tab and line ends may not stand at all;
    # section 2.11: a parser turns carriage returns into line feeds.
    forbidden = {chr(c) for c in range(32)} - {"\t", "\n", "\r"} | {"\ufffe", "\uffff"}
    kept = "".join(c for c in text if c not in forbidden and not "\ud800" <= c <= "\udfff")
    assert (root.text or "") == kept.replace("\r\n", "\n").replace("\r", "\n")
    assert len(root) == 0


def test_numbers_keep_a_tenth_of_a_pixel_and_no_minus_nought() -> None:
    assert [number(x) for x in (1.0, 2.345, -0.01, -3.25)] == ["1", "2.3", "0", "-3.2"]


@given(st.text(alphabet="abc dMW1", max_size=60), st.floats(40, 400))
def test_wrapped_lines_fit_and_lose_no_word(text: str, width: float) -> None:
    lines = wrap(text, 16, width)
    assert " ".join(lines).split() == text.split()
    assert all(text_width(line, 16) <= width or " " not in line for line in lines)
