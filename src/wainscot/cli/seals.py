"""``wainscot seals``: what to close so that no drawn path leads in, mouse and rat side by side."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from wainscot.cli import targets
from wainscot.cli.files import write_text
from wainscot.cli.frame import Frame, guarded, print_json, printable
from wainscot.cli.options import (
    READ,
    WRITE,
    with_all,
    with_json,
    with_picture_date,
    with_rates,
    with_theme,
)
from wainscot.cli.reading import content_of, sound_job
from wainscot.cli.whole import book_of

if TYPE_CHECKING:
    from wainscot.picture.tokens import ThemeName
    from wainscot.sealing import Isolation, Left, Row, Sealing, SealList
    from wainscot.walk import Survey

_LINES, _NAMED = 12, 4
_COLUMN = 7
_SORTS = {
    "entry point": "holes that were found or drawn",
    "edge to go along": "go along the edge and close what is open",
    "passage": "between voids",
}


@click.command(
    short_help="Say what to close so that no drawn path leads in.",
    epilog="Example: wainscot seals mill.json --cannot-wait nursery --nest W7 --second kitchen",
)
@click.argument("file", type=READ)
@with_json
@click.option("--give-up", "given_up", multiple=True, metavar="VOID",
              help="Leave this void to the animals: id, label or kind.")  # fmt: skip
@click.option("--second", "places", multiple=True, metavar="VOID",
              help="Want a second layer round this void.")  # fmt: skip
@click.option("--not", "declined", multiple=True, metavar="WAY",
              help="The owner does not want this one closed, by its key.")  # fmt: skip
@click.option("--cannot-wait", "cannot_wait", multiple=True, metavar="VOID",
              help="No nest may stay near this void: part it at once.")  # fmt: skip
@click.option("--nest", "nests", multiple=True, metavar="VOID", help="A nest is in this void.")
@with_rates()
@with_all()
@click.option("--svg", type=WRITE, help="Draw the plan with the numbers of the list on it.")
@targets.force_option
@with_theme
@with_picture_date
@guarded
def seals(
    file: str, as_json: bool, given_up: tuple[str, ...], places: tuple[str, ...],
    declined: tuple[str, ...], cannot_wait: tuple[str, ...], nests: tuple[str, ...],
    rates: str | None, everything: bool, svg: str | None, force: bool, theme: ThemeName,
    date: str,
) -> None:  # fmt: skip
    """List the cheapest seals that leave no drawn path from outside to what is protected.

    A seal that was made counts once somebody signed for it with a photo (kind "seal").  What the
    job's closing terms say (kind "closing_terms") counts beside the options.
    """

    from wainscot.sealing import Terms, seal_lists
    from wainscot.walk import survey

    targets.one_stdout(svg, as_json)
    targets.ask([svg], inputs=[file, rates], force=force)
    job = sound_job(content_of(file))
    asked = Terms(given_up, places, cannot_wait, nests, declined)
    surveyed = survey(job)
    found = seal_lists(job, asked, book=book_of(rates), guess=surveyed.guess)
    if svg:
        write_text(svg, picture(surveyed, found, theme, date))
        if svg == "-":
            return
    if as_json:
        print_json(found)
        return
    in_full(found, Frame.of_stdout(), 10**6 if everything else _LINES)


def picture(surveyed: Survey, found: Sealing, theme: ThemeName, date: str) -> str:
    """Return the seal map as SVG text.

    Parameters
    ----------
    surveyed : Survey
        The plan and its voids.
    found : Sealing
        The lists.
    theme : str
        ``day`` or ``night``.
    date : str
        What stands as the date, in words.
    """
    from wainscot.picture import draw
    from wainscot.picture.sealed import seal_map

    sheet = seal_map(surveyed.job, surveyed.plan, surveyed.graph, found, date=date)
    return draw(sheet, theme)


def in_full(found: Sealing, out: Frame, most: int = _LINES) -> None:
    """Write the lists as one, what stays open, the order and what is not covered.

    Parameters
    ----------
    found : Sealing
        The lists.
    out : Frame
        Where it goes.
    most : int
        Lines of a table that are told.
    """
    from wainscot.sealing import rows_of

    rows = rows_of([one.seals for one in found.lists])
    if rows:
        table(rows, _heads(found), out, most)
    if amounts := _amounts(rows):
        out.paragraph(f"material of the holes and collars, a range where not measured: {amounts}",
                      "  ", "    ")  # fmt: skip
    if found.given_up:
        out.paragraph(f"left to the animals: {', '.join(found.given_up)}", "  ", "    ")
    _stays_open(found, out)
    if found.second:
        _second(found, out, most)
    parted: Sequence[Row] = ()
    if found.isolation is not None:
        out.line()
        parted = _isolation(found.isolation, out, most)
    out.line()
    out.line(out.strong("In which order, so that nobody is shut in"))
    order(found, rows, parted, out)
    out.line()
    out.paragraph("; ".join(found.limits), "not covered: ", "  ")
    out.paragraph("; ".join(found.cautions), "caution: ", "  ")
    out.paragraph(
        "built is for holes that they pass today, gnaw also for what teeth open; hours are judged; "
        "a list costs less where seals share an opening; a seal counts once it is signed for, with "
        "a photo (docs/sealing.md)", "note: ", "  ",
    )  # fmt: skip


def brief(found: Sealing, out: Frame) -> None:
    """Write hours and seals side by side, and what stays open whatever is closed.

    Parameters
    ----------
    found : Sealing
        The lists.
    out : Frame
        Where it goes.
    """
    _side_by_side(found, out, "  ")
    open_ways: dict[str, dict[str, None]] = {}
    for left in (left for one in found.lists for left in one.remaining):
        words = left.words.removeprefix("edge: ").removeprefix(f"{left.why}, ")
        open_ways.setdefault(left.why, {})[words] = None
    for why, ways in open_ways.items():
        named = list(ways)
        more = f"; and {len(named) - _NAMED} more" if len(named) > _NAMED else ""
        told = f"stays open ({why}): {'; '.join(named[:_NAMED])}{more}"
        out.paragraph(told, "  ! ", "    ")
    if not open_ways:
        for said in dict.fromkeys(one.statement for one in found.lists):
            out.paragraph(f"{said}.", "  ", "  ")


def _side_by_side(found: Sealing, out: Frame, indent: str = "") -> None:
    out.line(f"{indent}{'':24}{'as built':>14}{'if they gnaw':>16}")
    for species in dict.fromkeys(one.species for one in found.lists):
        built, gnawed = (one for one in found.lists if one.species == species)
        out.line(f"{indent}{species:24}{_size(built):>14}{_size(gnawed):>16}")


def _heads(found: Sealing) -> list[tuple[str, str]]:
    """Animal and grade of each list, short enough to stand over a column."""
    return [(one.species.split()[-1], one.grade.split()[-1]) for one in found.lists]


def table(
    rows: Sequence[Row], heads: list[tuple[str, str]], out: Frame, most: int, *, mark: str = ""
) -> None:
    """Write numbered rows with a column of hours a list; lists that are alike share a column.

    Parameters
    ----------
    rows : sequence of Row
        What is closed.
    heads : list of (str, str)
        Animal and grade of each list.
    out : Frame
        Where it goes.
    most : int
        Rows that are told.
    mark : str
        Stands before each number.
    """
    columns, alike = _columns(rows, heads)
    room = out.width - _COLUMN * len(columns)
    for title, line in zip((f"What to close (hours){alike}", ""),
                           zip(*columns.values(), strict=True), strict=True):  # fmt: skip
        head = f"{title:{room}}" + "".join(f"{one:>{_COLUMN}}" for one in line)
        if head.strip():
            out.line(out.strong(head.rstrip()))
    sort, told = "", set[str]()
    for row in rows[:most]:
        if row.sort != sort:
            sort = row.sort
            out.line(f"{_SORTS[sort]}:")
        _row(row, mark, list(columns), room, out)
        for more in (row.note, f"first: {row.reach}" if row.reach else ""):
            if more and more not in told:
                told.add(more)
                out.paragraph(more, " " * 7)
    if len(rows) > most:
        out.line(f"  and {len(rows) - most} more lines: --all")
    whole = "".join(f"{sum(row.hours[n] for row in rows):{_COLUMN}.1f}" for n in columns)
    out.line(f"{'     in all':{room}}{whole}")


def _columns(
    rows: Sequence[Row], heads: list[tuple[str, str]]
) -> tuple[dict[int, tuple[str, str]], str]:
    """Return by list what stands over its column, and in words which lists share one."""

    def alike(one: int, other: int) -> bool:
        return all(row.hours[one] == row.hours[other] for row in rows)

    if len(heads) == 1:
        return {0: ("", "")}, ""
    if all(alike(0, n) for n in range(len(heads))):
        return {0: ("", "")}, ", mouse and rat, built and gnaw alike"
    if all(alike(n, n + 1) for n in range(0, len(heads) - 1, 2)):
        return {n: (heads[n][0], "") for n in range(0, len(heads), 2)}, ", built and gnaw alike"
    return {n: (name if n % 2 == 0 else "", grade) for n, (name, grade) in enumerate(heads)}, ""


def _row(row: Row, mark: str, columns: list[int], room: int, out: Frame) -> None:
    words = row.words.rpartition(": ")[2] if row.sort == "edge to go along" else row.words
    times = f" ({row.places} places)" if row.places > 1 else ""
    faces = " on both faces" if row.faces > 1 else ""
    told = f"{words}{times}: {row.material}{faces}"
    head = f"{mark + str(row.number):>4} "
    lines = textwrap.wrap(printable(told), room - 1, initial_indent=head,
                          subsequent_indent=" " * 5, break_on_hyphens=False)  # fmt: skip
    hours = "".join(f"{row.hours[n]:{_COLUMN}.1f}" if row.hours[n] else f"{'-':>{_COLUMN}}"
                    for n in columns)  # fmt: skip
    out.line(f"{lines[0]:{room}}{hours}")
    for line in lines[1:]:
        out.line(line)


def _amounts(rows: Sequence[Row]) -> str:
    area: dict[str, tuple[float, float]] = {}
    for one in rows:
        if one.area[1]:
            name = "mesh behind mortar" if one.volume[1] else one.material
            low, high = area.get(name, (0.0, 0.0))
            area[name] = (low + one.area[0], high + one.area[1])
    told = [f"{name} {_range(*size, 2)} m2" for name, size in area.items()]
    low, high = (1000 * sum(one.volume[end] for one in rows) for end in (0, 1))
    told += [f"mortar {_range(low, high, 1)} L"] if high else []
    low, high = (sum(one.joint[end] for one in rows) for end in (0, 1))
    return ", ".join(
        [*told, *([f"sealant on the collars {_range(low, high, 1)} m"] if high else [])]
    )


def _range(low: float, high: float, digits: int) -> str:
    one, other = f"{low:.{digits}f}", f"{high:.{digits}f}"
    if float(other) == 0.0:
        return f"under {10**-digits:g}"
    return one if one == other else f"{one} to {other}"


def _stays_open(found: Sealing, out: Frame) -> None:
    from wainscot.sealing import left_of

    out.line()
    out.line(out.strong("What stays open all the same"))
    left = left_of(found.lists)
    if not left:
        for said in dict.fromkeys(one.statement for one in found.lists):
            out.paragraph(f"{said}.", "  ")
    for why in dict.fromkeys(one.why for one in left):
        mine = (_left(one, _heads(found)) for one in left if one.why == why)
        out.paragraph(f"{why}: {'; '.join(mine)}", "  ", "    ")


def _left(one: Left, heads: list[tuple[str, str]]) -> str:
    """A way with its letter, what it enters, and for whom it stays open where not for all."""
    into = one.voids[0] if one.count == 1 else f"{one.count} voids"
    names = [" ".join(name) for name, here in zip(heads, one.lists, strict=True) if here]
    only = "" if all(one.lists) else f", {', '.join(names)}"
    return f"{one.letter} {one.words} ({into}{only})"


def _second(found: Sealing, out: Frame, most: int) -> None:
    from wainscot.sealing import rows_of

    out.line()
    out.line(out.strong(f"Second layer round {', '.join(found.second[0].places)}"))
    for said in dict.fromkeys(one.statement for one in found.second):
        out.paragraph(f"{said}.", "  ")
    rows = rows_of([one.seals for one in found.second])
    if rows:
        table(rows, _heads(found), out, most, mark="S")


def _isolation(one: Isolation, out: Frame, most: int) -> Sequence[Row]:
    from wainscot.sealing import rows_of

    out.line(out.strong(f"Part the nest from {', '.join(one.places)}"))
    out.paragraph(f"{one.statement}.", "  ")
    rows = rows_of([one.seals])
    if rows:
        table(rows, [("", "")], out, most, mark="P")
    return rows


def order(found: Sealing, rows: Sequence[Row], parted: Sequence[Row], out: Frame) -> None:
    """Write the order; each step by the numbers of its rows.

    Parameters
    ----------
    found : Sealing
        The lists.
    rows, parted : sequence of Row
        The numbered rows of the lists, and of what parts a nest.
    out : Frame
        Where it goes.
    """
    from wainscot.sealing import ranges

    for n, step in enumerate(found.order, 1):
        mark, mine = ("P", parted) if step.phase == "now" else ("", rows)
        numbers = [row.number for row in mine if {*row.keys} & {*step.seals}]
        which = f": {mark}{ranges(numbers)}" if numbers else ""
        out.paragraph(f"{step.words}{which}", f"  {n}. ", "     ")
    ordered = {key for step in found.order for key in step.seals}
    if others := [row.number for row in rows if not {*row.keys} & ordered]:
        out.paragraph(f"beside it, for the other animal or what they may gnaw: {ranges(others)}",
                      "     ")  # fmt: skip


def _size(one: SealList) -> str:
    return f"{one.hours:.1f} h, {len(one.seals)}"
