"""One task in a process of its own, followed until it has ended; and what its end means.

Used by a server that calculates itself and by a worker of several hosts alike.
"""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Callable
from multiprocessing.process import BaseProcess
from typing import Any, Literal

import msgspec

from wainscot.api import walking
from wainscot.api.shapes import Trouble
from wainscot.store import StoreError

State = Literal["waiting", "running", "done", "failed", "superseded"]
TICK = 0.1
"""How often somebody may say that the task is not wanted any more. [s]"""


class Worker:
    """A process of :mod:`wainscot.api.walking` and the pipe to it."""

    def __init__(self) -> None:
        context = multiprocessing.get_context("spawn")
        self.pipe, there = context.Pipe()
        self.process: BaseProcess = context.Process(
            target=walking.main, args=(there,), daemon=True, name="wainscot-walk"
        )
        self.process.start()
        there.close()

    def alive(self) -> bool:
        return self.process.is_alive()

    def stop(self) -> None:
        self.process.kill()
        self.process.join(5.0)
        self.pipe.close()


class Ended(msgspec.Struct, frozen=True):
    """How a task ended.

    ``state`` is empty where it was not wanted any more; ``reusable`` says whether the process can
    take another.
    """

    state: State | Literal[""]
    answer: bytes = b""
    pocket: bytes = b""
    reason: str = ""
    faults: tuple[Trouble, ...] = ()
    reusable: bool = True


def run(
    worker: Worker, task: tuple[Any, ...], most: float, wanted: Callable[[float], bool]
) -> Ended:
    """Run one task and return how it ended.

    Parameters
    ----------
    worker : Worker
        The process; stop it where it cannot take another.
    task : tuple
        Name and what it takes, as :data:`wainscot.api.walking.TASKS` has it.
    most : float
        How long it may take. [s]
    wanted : callable
        Called several times a second with the share that is done; says whether to go on. [1]
    """
    until = time.monotonic() + most
    share = 0.0
    try:
        worker.pipe.send(task)
        while wanted(share):
            if time.monotonic() > until:
                return Ended("failed", reason="it took too long", reusable=False)
            if not worker.pipe.poll(TICK):
                continue
            kind, value = worker.pipe.recv()
            if kind != "share":
                return _answered(kind, value)
            # A second stage begins anew; what was told never goes back.
            share = max(share, min(1.0, float(value)))
    except (EOFError, OSError):
        return Ended("failed", reason="the process that calculated ended", reusable=False)
    return Ended("", reusable=False)


def _answered(kind: str, value: Any) -> Ended:
    if kind == "done":
        answer, pocket = value if isinstance(value, tuple) else (value, b"")
        return Ended("done", answer, pocket)
    if kind == "faults":
        faults = tuple(Trouble(*one) for one in value)
        return Ended("failed", reason="the job has faults", faults=faults)
    return Ended("failed", reason=f"the calculation failed ({value})")


def kept(ended: Ended, keep: Callable[[bytes], bytes] | None) -> Ended:
    """Return an end whose answer was put where it is kept; what that gives is the answer.

    Parameters
    ----------
    ended : Ended
        As :func:`run` returned it.
    keep : callable, optional
        Keeps what was made.
    """
    if keep is None or ended.state != "done":
        return ended
    try:
        return msgspec.structs.replace(ended, answer=keep(ended.answer))
    except StoreError as error:
        return Ended("failed", reason=str(error), reusable=ended.reusable)
