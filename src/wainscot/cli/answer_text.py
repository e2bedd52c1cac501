"""A diagnosis in words for a terminal, eighty columns, most important first."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from wainscot import chance
from wainscot.cli.frame import Frame, printable
from wainscot.diagnosis.answer import Diagnosis, EntryAnswer, VoidAnswer
from wainscot.job import Job, Room, typed
from wainscot.walk import Walk

_MOST = {"open": 8, "check first": 8, "can't tell yet": 5, "seen": 8}
_HEADS = {
    "open": "OPEN",
    "check first": "CHECK FIRST",
    "can't tell yet": "CAN'T TELL YET",
    "seen": "OPENED AND SEEN",
}
_WAYS = 6
_TELL = 0.05  # a way in less likely than this is counted, not listed [1]


def show(job: Job, walked: Walk, out: Frame) -> None:
    """Write the answer.

    Parameters
    ----------
    job : Job
        For the title and the rooms that are not drawn.
    walked : Walk
        The answer.
    out : Frame
        Where it goes.
    """
    answer = walked.diagnosis
    out.line(out.strong(printable(job.title or job.id)))
    out.line()
    _paragraph(out, answer.verdict, "")
    _bands(out, answer)
    _ways_in(out, answer.entries)
    _runs(out, answer)
    _misfits(out, answer)
    _list(out, "NOT LOOKED AT", _not_looked(job, walked))
    _list(out, "ASSUMED, because nobody measured it", answer.assumptions)
    _list(out, "TAKE CARE", answer.cautions)
    _small_print(out, walked)


def _head(out: Frame, text: str) -> None:
    out.line()
    out.line(out.strong(text))


def _paragraph(out: Frame, text: str, first: str, rest: str | None = None) -> None:
    rest = " " * len(first) if rest is None else rest
    for line in textwrap.wrap(
        printable(text), out.width, initial_indent=first, subsequent_indent=rest,
        break_on_hyphens=False,
    ):  # fmt: skip
        out.line(line)


def _bands(out: Frame, answer: Diagnosis) -> None:
    left = 0
    rooms = 0
    for band, most in _MOST.items():
        here = [each for each in answer.voids if each.band == band]
        here.sort(key=lambda each: (-each.soiled, each.id))
        if here:
            _head(out, f"{_HEADS[band]}  (chance in 100 that it was ever soiled)"
                  if band in ("open", "check first") else _HEADS[band])  # fmt: skip
        for each in here[:most]:
            _void(out, each)
        left += max(0, len(here) - most)
        if len(here) > most:
            out.line(f"  and {len(here) - most} more")
    rest = [each for each in answer.voids if each.band == "leave"]
    left = sum(each.hidden for each in rest)
    rooms = len(rest) - left
    highest = max((each.soiled for each in rest if each.hidden), default=0.0)
    out.line()
    line = f"Leave the other {left} hidden spaces (none above {chance.percent(highest)} in 100)"
    _paragraph(out, line + (f" and {rooms} rooms." if rooms else "."), "")


def _void(out: Frame, each: VoidAnswer) -> None:
    number = "seen" if each.band == "seen" else chance.percent(each.soiled)
    bar = out.bar(0.0 if each.band == "seen" else each.soiled)
    first = f"  {each.label:<5}{number:>4}  {bar}  "
    _paragraph(out, each.words.removeprefix(f"{each.label}, "), first)
    reason = each.seen if each.band == "seen" and each.seen else each.reason
    use = "" if each.now < 0.10 else f"in use now: {chance.word(each.now)}"
    detail = "; ".join(part for part in (reason, use) if part)
    if detail:
        _paragraph(out, detail, " " * len(first))


def _ways_in(out: Frame, entries: Iterable[EntryAnswer]) -> None:
    ranked = sorted(entries, key=lambda each: (-each.used, each.id))
    shown = [each for each in ranked if each.sort == "entry point" or each.used >= _TELL]
    if not shown:
        return
    _head(out, "WAYS IN  (chance in 100 that it is or was used)")
    for each in shown[:_WAYS]:
        first = f"  {chance.percent(each.used):>9}  {out.bar(each.used)}  "
        words = each.words
        if each.used >= 0.10:
            words += f"; in use now: {chance.word(each.now)}"
        _paragraph(out, words, first)
        if each.sort != "entry point" and each.near:
            _paragraph(out, f"look near {'; '.join(each.near[:2])}", " " * len(first))


def _runs(out: Frame, answer: Diagnosis) -> None:
    if not answer.runs:
        return
    _head(out, "LIKELY RUNS")
    for letter, run in zip("ABC", answer.runs, strict=False):
        share = f"{max(1, min(9, round(10 * run.share)))} in 10"
        _paragraph(out, run.words, f"  {letter}  {share}  ")


def _misfits(out: Frame, answer: Diagnosis) -> None:
    if not answer.misfits:
        return
    _head(out, "NOT EXPLAINED by any way in that is drawn")
    for each in answer.misfits:
        near = f"; look for a way in near {each.near}" if each.near else ""
        _paragraph(out, f"{each.words}{near}", "  - ", "    ")


def _not_looked(job: Job, walked: Walk) -> list[str]:
    answer = walked.diagnosis
    lines = []
    rooms = {key: each for key, each in typed(job).items() if isinstance(each, Room)}
    drawn = {room.id for room in walked.survey.plan.rooms}
    missing = [room.name for key, room in rooms.items() if key not in drawn]
    if missing:
        lines.append(f"not drawn yet: {', '.join(missing)}")
    hidden = [each for each in answer.voids if each.hidden]
    blind = sum(each.looked == 0 for each in hidden)
    if blind:
        lines.append(f"{blind} of {len(hidden)} hidden spaces")
    lines += [f"no place given for: {words}" for words in answer.unplaced]
    return lines


def _list(out: Frame, head: str, lines: Iterable[str]) -> None:
    lines = list(lines)
    if lines:
        _head(out, head)
        for line in lines:
            _paragraph(out, line, "  - ", "    ")


def _small_print(out: Frame, walked: Walk) -> None:
    answer = walked.diagnosis
    out.line()
    ranked = sorted(answer.hypotheses, key=lambda each: -each.weight)
    weighed = "; ".join(
        f"{each.species} {chance.percent(each.weight)}" + (f" ({each.guess})" if each.guess else "")
        for each in ranked
        if each.weight >= 0.01
    )
    _paragraph(out, f"Weighed: {weighed}.", "")
    settled = "settled" if answer.settled else "NOT SETTLED: run it with more --draws"
    judged = f"{len(answer.judged)} of the rates behind them are judged, not published"
    _paragraph(out, f"{answer.draws} draws, seed {answer.seed}, {settled}; {judged}.", "")
