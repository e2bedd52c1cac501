"""The tilt of a run, found once: it is the same in every population, and long to find.

    tilt = SharedTilt()
    tilt.tell(4)                  # the first population, once it knows
    tilt.wait(stop)               # 4, for all others

Limits: the others wait for the first, so one of two cores stands idle for that time.
"""

from __future__ import annotations

import threading

_PATIENCE = 0.05
"""How often a waiting population looks whether all is called off. [s]"""


class SharedTilt:
    """What the first population tells the others."""

    def __init__(self) -> None:
        self._number = -1
        self._known = threading.Event()

    def tell(self, number: int) -> None:
        """Let the others go on; the first word counts.

        Parameters
        ----------
        number : int
            The tilt in half units of the log-odds; below zero each must find it by itself.
        """
        if not self._known.is_set():
            self._number = number
            self._known.set()

    def wait(self, stop: threading.Event) -> int | None:
        """Return the tilt once it is known; None where all is called off.

        Parameters
        ----------
        stop : threading.Event
            Set when nobody wants the result any more.
        """
        while not self._known.wait(_PATIENCE):
            if stop.is_set():
                return None
        return self._number
