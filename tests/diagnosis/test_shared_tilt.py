"""The tilt that the first population tells the others: first word, none, called off."""

from __future__ import annotations

import threading

from wainscot.diagnosis.shared_tilt import SharedTilt


def test_the_first_word_counts() -> None:
    tilt = SharedTilt()
    tilt.tell(4)
    tilt.tell(-1)
    assert tilt.wait(threading.Event()) == 4


def test_who_waits_goes_on_once_it_is_told() -> None:
    tilt, found = SharedTilt(), []
    waiting = threading.Thread(target=lambda: found.append(tilt.wait(threading.Event())))
    waiting.start()
    tilt.tell(0)
    waiting.join()
    assert found == [0]


def test_where_all_is_called_off_nobody_waits() -> None:
    stop = threading.Event()
    stop.set()
    assert SharedTilt().wait(stop) is None
