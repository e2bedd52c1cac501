"""A diagnosis in words for a terminal, eighty columns, most important first."""

from __future__ import annotations

from collections.abc import Iterable

from wainscot import chance
from wainscot.cli.frame import Frame, printable
from wainscot.diagnosis.answer import Diagnosis, EntryAnswer, VoidAnswer
from wainscot.job import FramingGuess, Inspection, Job, Room, typed
from wainscot.picture.wording import alike, entry_labels, in_ten, named
from wainscot.walk import Walk

_MOST = {"open": 8, "check first": 6, "can't tell yet": 5}
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
    out.paragraph(answer.verdict, "")
    _bands(out, answer)
    _ways_in(out, answer.entries)
    _runs(out, answer)
    _misfits(out, answer)
    _list(out, "NOT LOOKED AT", _not_looked(job, walked))
    _list(out, "ASSUMED, because nobody measured it", _assumed(answer.assumptions))
    _list(out, "TAKE CARE", answer.cautions)
    _small_print(out, walked)


def _head(out: Frame, text: str) -> None:
    out.line()
    out.line(out.strong(text))


def _bands(out: Frame, answer: Diagnosis) -> None:
    for band, most in _MOST.items():
        here = [each for each in answer.voids if each.band == band]
        if not here:
            continue
        groups = alike(here)
        _head(out, f"{band.upper()}  (chances in 100: ever soiled, in use now)")
        for group in groups[:most]:
            _void(out, group)
        left = sum(len(group) for group in groups[most:])
        if left:
            out.line(f"  and {left} more with less to be gained")
    _seen(out, [each for each in answer.voids if each.band == "seen"])
    rest = [each for each in answer.voids if each.band == "leave" and each.hidden]
    highest = max((each.soiled for each in rest), default=0.0)
    if rest:
        out.line()
        said = f"Leave the other {len(rest)} hidden spaces"
        out.paragraph(f"{said}: none above {chance.percent(highest)} in 100.", "")


def _void(out: Frame, group: list[VoidAnswer]) -> None:
    each = group[0]
    first = _row(out, each.label if each.hidden else "", each.soiled, each.now)
    out.paragraph(named(group), first)
    if each.reason:
        out.paragraph(each.reason, " " * len(first))


def _row(out: Frame, label: str, ever: float, now: float) -> str:
    """Label, two numbers and a bar for the first; words follow."""
    figures = f"{chance.percent(ever):>3} {chance.percent(now):>4}"
    return f"  {label:<5}{figures}  {out.bar(ever)}  "


def _seen(out: Frame, voids: list[VoidAnswer]) -> None:
    if not voids:
        return
    _head(out, "OPENED AND SEEN")
    by_sight: dict[str, list[str]] = {}
    for each in sorted(voids, key=lambda each: (each.seen, each.id)):
        name = each.words if not each.hidden else f"{each.label} {named([each])}"
        by_sight.setdefault(each.seen or "seen", []).append(name)
    for sight, names in by_sight.items():
        out.paragraph(f"{sight}: {'; '.join(names)}", "  - ", "    ")


def _ways_in(out: Frame, entries: Iterable[EntryAnswer]) -> None:
    ranked = sorted(entries, key=lambda each: (-each.used, each.id))
    labels = entry_labels(ranked)
    shown = [each for each in ranked if each.sort == "entry point" or each.used >= _TELL]
    if not shown:
        return
    _head(out, "WAYS IN  (chances in 100: ever used, in use now)")
    for each in shown[:_WAYS]:
        first = _row(out, labels.get(each.id, ""), each.used, each.now)
        out.paragraph(each.words, first)
        if each.sort != "entry point" and each.near:
            out.paragraph(f"look near {'; '.join(each.near[:2])}", " " * len(first))


def _runs(out: Frame, answer: Diagnosis) -> None:
    if not answer.runs:
        return
    _head(out, "LIKELY RUNS")
    for letter, run in zip("ABC", answer.runs, strict=False):
        out.paragraph(run.words, f"  {letter}  {in_ten(run.share)}  ")


def _misfits(out: Frame, answer: Diagnosis) -> None:
    if not answer.misfits:
        return
    _head(out, "NOT EXPLAINED by any way in that is drawn")
    for each in answer.misfits:
        near = f"; look for a way in near {each.near}" if each.near else ""
        out.paragraph(f"{each.words}{near}", "  - ", "    ")


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
    lines += [f"no place given for: {_looked(job, key)}" for key in answer.unplaced]
    return lines


def _looked(job: Job, key: str) -> str:
    """An inspection in words; what is no id of one is in words already."""
    look = typed(job).get(key)
    if not isinstance(look, Inspection):
        return key
    finds = [", ".join(part for part in (find.kind, find.amount) if part) for find in look.finds]
    what = "; ".join(finds) or "a look"
    return f"{what} ({look.note})" if look.note else what


def _assumed(lines: Iterable[str]) -> list[str]:
    """Assumptions about one thing in one line."""
    groups: dict[str, list[str]] = {}
    for line in lines:
        thing, _, fact = line.partition(": ")
        groups.setdefault(thing, []).append(fact)
    return [f"{thing}: {'; '.join(facts)}" if facts[0] else thing
            for thing, facts in groups.items()]  # fmt: skip


def _list(out: Frame, head: str, lines: Iterable[str]) -> None:
    lines = list(lines)
    if lines:
        _head(out, head)
        for line in lines:
            out.paragraph(line, "  - ", "    ")


def _small_print(out: Frame, walked: Walk) -> None:
    answer = walked.diagnosis
    out.line()
    animals: dict[str, float] = {}
    framing: dict[str, float] = {}
    for each in answer.hypotheses:
        animals[each.species] = animals.get(each.species, 0.0) + each.weight
        guess = _guess(walked.survey.job, each.guess)
        framing[guess] = framing.get(guess, 0.0) + each.weight
    out.paragraph(f"Animal, chances in 100: {_shares(animals)}.", "")
    if len(framing) > 1:
        out.paragraph(f"Hidden framing, chances in 100: {_shares(framing)}.", "")
    settled = "settled" if answer.settled else "NOT SETTLED: run it with more --draws"
    judged = f"{len(answer.judged)} of the rates behind them are judged, not published"
    out.paragraph(f"{answer.draws} draws, seed {answer.seed}, {settled}; {judged}.", "")


def _guess(job: Job, key: str) -> str:
    """A framing guess, or several joined, by what they say."""
    entities = typed(job)
    said = []
    for part in key.split(" + "):
        guess = entities.get(part)
        if isinstance(guess, FramingGuess):
            values = " and ".join(str(value) for value in guess.choices.values())
            said.append(f"{guess.question} {values}")
        else:
            said.append(part)
    return " with ".join(said)


def _shares(weights: dict[str, float]) -> str:
    ranked = sorted(weights.items(), key=lambda item: (-item[1], item[0]))
    return ", ".join(f"{name} {chance.percent(min(1.0, weight))}" for name, weight in ranked)
