"""A diagnosis in words for a terminal, eighty columns: one screen first, then the rest.

The screen holds what a crew asks for on the doorstep: the verdict, the next check, the openings,
the ways in, the likely runs.  The rest says which voids stand high and why, what was seen, what
does not fit, what nobody looked at, what was assumed, and cautions.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from wainscot import chance, estimate, programme
from wainscot.cli import all_clear, checks_text, openings_text, seals
from wainscot.cli.frame import Frame, printable
from wainscot.cli.groups import by_likeness, in_words
from wainscot.diagnosis.answer import Band, Diagnosis, EntryAnswer, VoidAnswer
from wainscot.diagnosis.verdict import claimed
from wainscot.job import FramingGuess, Inspection, Job, Room, Trap, typed
from wainscot.picture.wording import alike, entry_labels, in_ten, named, paying
from wainscot.walk import Walk

_OPEN, _LINES, _WAYS, _ASSUMED = 6, 6, 4, 8
_TELL = 0.05  # a way in less likely than this is counted, not listed [1]
_CHANCES = "(chances in 100: ever soiled, in use now)"


def show(job: Job, walked: Walk, out: Frame, *, everything: bool = False) -> None:
    """Write the answer.

    Parameters
    ----------
    job : Job
        For the title and the rooms that are not drawn.
    walked : Walk
        The answer.
    out : Frame
        Where it goes.
    everything : bool
        Every void, way in and assumption, instead of those that matter most.
    """
    answer = walked.diagnosis
    storeys = {storey.id: storey.name for storey in walked.survey.plan.storeys}
    out.line(out.strong(printable(job.title or job.id)))
    out.line()
    out.paragraph(answer.verdict, "")
    if walked.checks is not None:
        _head(out, "NEXT CHECK")
        checks_text.brief(walked.checks, out)
    if walked.openings is not None:
        _head(out, "OPENINGS  (chances in 100 that some is left which an opening reaches)")
        openings_text.brief(
            walked.openings, paying(walked.checks, checks_text.BRIEF),
            {room.id: room.name.lower() for room in walked.survey.plan.rooms}, out,
            everything=everything,
        )  # fmt: skip
    _ways_in(out, answer.entries, everything)
    _runs(out, answer)
    _open(out, answer, everything)
    _work(out, walked)
    _closing(job, walked, out)
    _price(walked, out)
    _bands(out, answer, storeys, everything)
    _misfits(out, answer)
    _list(out, "NOT LOOKED AT", _not_looked(job, walked))
    assumed = _assumed(answer.assumptions)
    most = len(assumed) if everything else _ASSUMED
    _list(out, "ASSUMED, because nobody measured it", _first(assumed, most))
    _list(out, "TAKE CARE", answer.cautions)
    _small_print(out, walked)


def _head(out: Frame, text: str) -> None:
    out.line()
    out.line(out.strong(text))


def _first(lines: list[str], most: int) -> list[str]:
    """The first lines, and how many are left out."""
    left = len(lines) - most
    return [*lines[:most], f"and {left} more (--all)"] if left > 0 else lines


def _of_band(answer: Diagnosis, band: Band) -> list[VoidAnswer]:
    return [each for each in answer.voids if each.band == band]


def _open(out: Frame, answer: Diagnosis, everything: bool) -> None:
    here = _of_band(answer, "open")
    if not here:
        return
    _head(out, f"OPEN  {_CHANCES}")
    groups = [[each] for each in here] if everything else alike(here)
    most = len(groups) if everything else _OPEN
    ways_in = _words_of_ways_in(answer)
    for group in groups[:most]:
        each = group[0]
        first = _row(out, each.label if each.hidden else "", each.soiled, each.now)
        out.paragraph(named(group), first)
        reason = each.reason
        for words, label in ways_in:
            reason = reason.replace(words, label)
        if reason:
            out.paragraph(reason, " " * len(first))
    _left(out, groups[most:])


def _work(out: Frame, walked: Walk) -> None:
    """What is held and wetted, in brief; the page has it all."""
    work = walked.work
    if work is None or not work.voids:
        return
    _head(out, "CONTAIN AND CLEAN  (the whole page: --page, or work.txt of --out)")
    if work.holds:
        stops = [one.hazard for one in work.holds if one.standing != "care"]
        out.paragraph(f"STOP, sign first: {', '.join(stops)}.", "  ")
    for one in work.containments:
        drawn = one.exhaust
        units = "1 unit" if drawn.units == 1 else f"{drawn.units} units"
        out.paragraph(
            f"{', '.join(one.work.names)}: exhaust {drawn.flow * 3600:.0f} m3/h, {units}; purge "
            f"{one.purge_minutes:.0f} min at the end", "  ",
        )  # fmt: skip
    if work.cleaning is not None:
        label = work.cleaning.label
        out.paragraph(
            f"Clean: {work.cleaning.solution:.0f} L of {label.product} ({label.registration}), "
            f"wet {label.contact:.0f} min; {work.cleaning.bags} bags", "  ",
        )  # fmt: skip
    for fault in work.waits[:3]:
        out.paragraph(f"Cleaning waits: {fault.what}; {fault.cure}.", "  ")


def _closing(job: Job, walked: Walk, out: Frame) -> None:
    """What to close and, where traps were set, whether it is over, both in brief."""
    if walked.sealing is not None:
        _head(out, "CLOSE UP  (hours, seals; the whole list: wainscot seals)")
        seals.brief(walked.sealing, out)
    if walked.all_clear is not None and any(isinstance(one, Trap) for one in typed(job).values()):
        _head(out, "IS IT OVER  (what it rests on: wainscot all-clear)")
        all_clear.brief(walked.all_clear, out)
        out.paragraph("What stands above is thought of the signs as logged; this counts the nights "
                      "since the last seal as well.", "  ")  # fmt: skip


def _price(walked: Walk, out: Frame) -> None:
    """What it will cost, in brief."""
    if walked.estimate is None:
        return
    _head(out, "PRICE RANGE  (no offer; every line: wainscot estimate)")
    for told in estimate.brief(walked.estimate):
        out.paragraph(told, "  ", "    ")
    if walked.programme is not None:
        _head(out, "WHAT HAPPENS WHEN  (day by day: wainscot programme)")
        for told in programme.brief(walked.programme):
            out.paragraph(told, "  ", "    ")


def _words_of_ways_in(answer: Diagnosis) -> list[tuple[str, str]]:
    """Words and label of the drawn ways in, long ones first: reasons name them by label."""
    labels = entry_labels(answer.entries)
    said = [(each.words, labels[each.id]) for each in answer.entries
            if each.id in labels and each.words]  # fmt: skip
    return sorted(said, key=lambda pair: -len(pair[0]))


def _left(out: Frame, groups: Sequence[Sequence[VoidAnswer]]) -> None:
    left = sum(len(group) for group in groups)
    if left:
        out.line(f"  and {left} more (--all)")


def _bands(out: Frame, answer: Diagnosis, storeys: dict[str, str], everything: bool) -> None:
    """What is neither to be opened nor to be left, many alike in one line; then what is."""
    bands: tuple[Band, ...] = ("check first", "can't tell yet")
    for band in bands:
        here = _of_band(answer, band)
        if not here:
            continue
        _head(out, f"{band.upper()}  {_CHANCES}")
        groups = [[each] for each in here] if everything else by_likeness(here)
        most = len(groups) if everything else _LINES
        for group in groups[:most]:
            each = group[0]
            first = _row(out, each.label if each.hidden else "", each.soiled, each.now)
            out.paragraph(in_words(group, storeys), first)
        _left(out, groups[most:])
    _seen(out, _of_band(answer, "seen"))
    rest = [each for each in _of_band(answer, "leave") if each.hidden]
    if rest:
        out.line()
        out.paragraph(_leave(rest), "")


def _leave(rest: list[VoidAnswer]) -> str:
    highest = chance.percent(max(each.soiled for each in rest))
    left = "other hidden void" if len(rest) == 1 else f"other {len(rest)} hidden voids"
    bound = "under 5" if highest == "<5" else f"at most {highest}"
    blind = sum(each.looked == 0.0 for each in rest)
    told = f"Leave the {left}: {bound} in 100."
    return f"{told} Nobody looked into {blind} of them: not known to be clean." if blind else told


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


def _ways_in(out: Frame, entries: Iterable[EntryAnswer], everything: bool) -> None:
    ranked = sorted(entries, key=lambda each: (-each.used, each.id))
    labels = entry_labels(ranked)
    shown = [each for each in ranked if each.sort == "entry point" or each.used >= _TELL]
    if not shown:
        return
    _head(out, "WAYS IN  (chances in 100: ever used, in use now)")
    most = len(shown) if everything else _WAYS
    for each in shown[:most]:
        first = _row(out, labels.get(each.id, ""), each.used, each.now)
        near = f"; look near {each.near[0]}" if each.sort != "entry point" and each.near else ""
        out.paragraph(f"{each.words}{near}", first)
    if len(shown) > most:
        out.line(f"  and {len(shown) - most} more (--all)")


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
        lines.append(f"{blind} of {len(hidden)} hidden voids")
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
    if answer.settled is None:
        out.paragraph("Nothing to calculate yet: draw a room, and give each find its place.", "")
        return
    animals: dict[str, float] = {}
    framing: dict[str, float] = {}
    for each in answer.hypotheses:
        animals[each.species] = animals.get(each.species, 0.0) + each.weight
        guess = _guess(walked.survey.job, each.guess)
        framing[guess] = framing.get(guess, 0.0) + each.weight
    alone = ", one kind at a time" * claimed(answer.hypotheses).at_least
    out.paragraph(f"Animal, chances in 100{alone}: {_shares(animals)}.", "")
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
