"""Codes that let a phone join, in the memory of the server.

>>> joins = Joins()
>>> code = joins.make("acc_1", 0.0)
>>> [joins.take(spelled(code).lower(), 60.0), joins.take(code, 61.0)]
['acc_1', '']

Limits: they are forgotten when the server stops.
"""

from __future__ import annotations

import secrets
import threading

LASTS = 600.0
"""How long a code is good (judgement: time to fetch a phone and to trust the certificate). [s]"""

LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Signs of a code; none that reads like another."""

LENGTH = 10
"""Signs of a code: 49 bits, against 30 tries a quarter of an hour and address."""


class Joins:
    """The codes that are good now."""

    def __init__(self) -> None:
        self._held: dict[str, tuple[str, float]] = {}
        self._lock = threading.Lock()

    def make(self, account: str, now: float) -> str:
        """Return a new code; the account's code before ends.

        Parameters
        ----------
        account : str
            Id of the account whose device the phone becomes.
        now : float
            Any steady clock. [s]
        """
        code = "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
        with self._lock:
            self._held = {
                held: (whose, until) for held, (whose, until) in self._held.items()
                if whose != account and until > now
            }  # fmt: skip
            self._held[code] = account, now + LASTS
        return code

    def take(self, typed: str, now: float) -> str:
        """Return whose device a code makes, and spend it; empty where it is not good.

        Parameters
        ----------
        typed : str
            As typed or scanned: case, spaces and hyphens mean nothing.
        now : float
            The same clock. [s]
        """
        code = "".join(one for one in typed.upper() if one in LETTERS)
        with self._lock:
            whose, until = self._held.pop(code, ("", 0.0))
        return whose if until > now else ""


def spelled(code: str) -> str:
    """Return a code as a person reads it out: in two halves.

    Parameters
    ----------
    code : str
        Of :meth:`Joins.make`.
    """
    return f"{code[: LENGTH // 2]}-{code[LENGTH // 2 :]}"
