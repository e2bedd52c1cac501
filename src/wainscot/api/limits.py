"""How often somebody may ask: a bucket that fills at a steady rate and empties by one each time.

>>> bucket = Buckets(per=60.0, most=2)
>>> [bucket.wait("ann", now) for now in (0.0, 0.0, 0.0, 30.0)]
[0.0, 0.0, 30.0, 0.0]

Limits: the memory is of one process and starts anew with it.
"""

from __future__ import annotations

import threading
from collections import OrderedDict

_KEPT = 20_000


class Buckets:
    """One bucket a key, ``most`` in each, filled anew within ``per`` seconds.

    Parameters
    ----------
    per : float
        Time in which an empty bucket fills. [s]
    most : int
        How many at once.
    """

    def __init__(self, per: float, most: int) -> None:
        self._rate = most / per
        self._most = float(most)
        self._held: OrderedDict[str, tuple[float, float]] = OrderedDict()
        self._lock = threading.Lock()

    def wait(self, key: str, now: float) -> float:
        """Take one and return 0, or return how long to wait where there is none.

        Parameters
        ----------
        key : str
            Whose bucket.
        now : float
            Any steady clock. [s]

        Returns
        -------
        float
            Time until there is one again. [s]
        """
        with self._lock:
            left, since = self._held.pop(key, (self._most, now))
            left = min(self._most, left + max(0.0, now - since) * self._rate)
            short = max(0.0, 1.0 - left)
            self._held[key] = (left if short else left - 1.0, now)
            while len(self._held) > _KEPT:
                self._held.popitem(last=False)
        return short / self._rate
