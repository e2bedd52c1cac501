"""The programme on paper: who comes which day, which rooms are out of use and until when.

Limits: a job that nothing is dated with has no days on its papers: they would be those of the day
on which the paper is made.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from wainscot.papers.answers import Answers
from wainscot.papers.said import Said, Say
from wainscot.programme import Activity, Day

MOST = 14
"""Days that stand on a paper. [1]"""


class OnDay(msgspec.Struct, frozen=True):
    """One day on which somebody comes."""

    day: str
    work: tuple[Said, ...]
    """Who, and what they do."""
    out: str
    """Names of the rooms that are out of use."""


class Shut(msgspec.Struct, frozen=True):
    """A room that is out of use, as planned."""

    name: str
    start: str
    end: str
    back: Said
    """What has to be so before anybody returns."""


def on_days(known: Answers, say: Say) -> tuple[OnDay, ...]:
    """Return the days of the programme, the first of them where there are many.

    Parameters
    ----------
    known : Answers
        What the steps said.
    say : Say
        In which language.
    """
    found = known.programme
    if found is None:
        return ()
    acts = {one.key: one for one in found.activities}
    return tuple(
        OnDay(say.day(one.date), tuple(_work(one, acts, say)), ", ".join(one.out))
        for one in found.days[:MOST]
    )


def _work(day: Day, acts: dict[str, Activity], say: Say) -> Iterator[Said]:
    for who in day.who:
        doing = dict.fromkeys(acts[key].words for key in day.doing if acts[key].who == who)
        told = [say(who), *(say(words) for words in doing)]
        lang = say.language if all(one.lang == say.language for one in told) else "en"
        yield Said(f"{told[0].text}: {'; '.join(one.text for one in told[1:])}", lang)


def shut_rooms(known: Answers, say: Say) -> tuple[Shut, ...]:
    """Return the stretches for which rooms are out of use, by when they begin.

    Parameters
    ----------
    known : Answers
        What the steps said.
    say : Say
        In which language.
    """
    rooms = known.programme.rooms if known.programme else ()
    return tuple(
        Shut(one.name, say.moment(one.start), say.moment(one.end), say(one.back)) for one in rooms
    )
