"""``wainscot seals``: what to close so that no drawn path leads in, mouse and rat side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wainscot.cli.frame import Frame, guarded
from wainscot.cli.reading import content_of, sound_job

if TYPE_CHECKING:
    from wainscot.sealing import Isolation, Seal, Sealing, SealList

_FILE = click.Path(exists=True, dir_okay=False, allow_dash=True)
_LINES, _NAMED = 12, 4


@click.command(
    short_help="Say what to close so that no drawn path leads in.",
    epilog="Example: wainscot seals mill.json --cannot-wait nursery --nest W7 --second kitchen",
)
@click.argument("file", type=_FILE)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of words.")
@click.option("--give-up", "given_up", multiple=True, metavar="VOID",
              help="Leave this void to the animals: id, label or kind.")  # fmt: skip
@click.option("--second", "places", multiple=True, metavar="VOID",
              help="Want a second layer round this void.")  # fmt: skip
@click.option("--not", "declined", multiple=True, metavar="WAY",
              help="The owner does not want this one closed, by its key.")  # fmt: skip
@click.option("--cannot-wait", "cannot_wait", multiple=True, metavar="VOID",
              help="No nest may stay near this void: part it at once.")  # fmt: skip
@click.option("--nest", "nests", multiple=True, metavar="VOID", help="A nest is in this void.")
@click.option("--rates", type=_FILE, help="The firm's rates (TOML).")
@click.option("--all", "everything", is_flag=True, help="Every line, not the first few.")
@guarded
def seals(
    file: str, as_json: bool, given_up: tuple[str, ...], places: tuple[str, ...],
    declined: tuple[str, ...], cannot_wait: tuple[str, ...], nests: tuple[str, ...],
    rates: str | None, everything: bool,
) -> None:  # fmt: skip
    """List the cheapest seals that leave no drawn path from outside to what is protected.

    A seal that was made counts once somebody signed for it with a photo (kind "seal").  What the
    job's closing terms say (kind "closing_terms") counts beside the options.
    """
    import msgspec

    from wainscot.book import DEFAULT, read_book
    from wainscot.sealing import Terms, seal_lists

    job = sound_job(content_of(file))
    book = read_book(content_of(rates).decode("utf-8", "replace")) if rates else DEFAULT
    asked = Terms(given_up, places, cannot_wait, nests, declined)
    found = seal_lists(job, asked, book=book)
    if as_json:
        packed = msgspec.json.encode(found, order="deterministic")
        click.echo(msgspec.json.format(packed, indent=2).decode())
        return
    in_full(found, Frame.of_stdout(), 10**6 if everything else _LINES)


def in_full(found: Sealing, out: Frame, most: int = _LINES) -> None:
    """Write every list, what stays open, the order and what is not covered.

    Parameters
    ----------
    found : Sealing
        The lists.
    out : Frame
        Where it goes.
    most : int
        Lines of a list that are told.
    """
    _side_by_side(found, out)
    if found.given_up:
        out.paragraph(f"left to the animals: {', '.join(found.given_up)}")
    told: dict[tuple[object, ...], str] = {}
    for n, one in enumerate(found.lists):
        out.line()
        name = f"{one.species}, {one.grade}"
        out.line(out.strong(f"{name}: {one.hours:.1f} h"))
        layer = found.second[n] if found.second else None
        same = told.setdefault((one.seals, one.remaining, layer), name)
        if same != name:
            out.line(f"  the same as for {same}")
            continue
        _list(one, out, most)
        if layer is not None:
            out.paragraph(f"second layer, {layer.hours:.1f} h: {layer.statement}", "  ", "    ")
            _seals(layer.seals, out, most)
    if found.isolation is not None:
        out.line()
        _isolation(found.isolation, out, most)
    out.line()
    out.line(out.strong("In which order, so that nobody is shut in"))
    order(found, out)
    out.line()
    for limit in found.limits:
        out.paragraph(limit, "not covered: ", "  ")
    for caution in found.cautions:
        out.paragraph(caution, "caution: ", "  ")
    out.paragraph(
        "hours are judged; a list costs less where seals share an opening; a seal counts once it "
        "is signed for, with a photo (docs/sealing.md)", "note: ", "  ",
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


def _list(one: SealList, out: Frame, most: int) -> None:
    _seals(one.seals, out, most)
    if amounts := _amounts(one.seals):
        out.paragraph(f"material of the holes with a known size: {amounts}", "  ", "    ")
    out.paragraph(f"{one.statement}.", "  ", "    ")
    for left in one.remaining:
        others = left.count - len(left.voids)
        more = f" and {others} more" if others > 0 else ""
        into = f"into {', '.join(left.voids)}{more}"
        out.paragraph(f"{left.words} ({left.why}), {into}", "  ! ", "    ")


def _amounts(seals: tuple[Seal, ...]) -> str:
    area: dict[str, float] = {}
    for one in seals:
        if one.area:
            name = "mesh behind mortar" if one.volume else one.material
            area[name] = area.get(name, 0.0) + one.area
    told = [f"{name} {size:.2f} m2" for name, size in area.items()]
    litres = 1000 * sum(one.volume for one in seals)
    return ", ".join([*told, *([f"mortar {litres:.1f} L"] if litres else [])])


def _isolation(one: Isolation, out: Frame, most: int) -> None:
    out.line(out.strong(f"Part the nest from {', '.join(one.places)}: {one.hours:.1f} h"))
    out.paragraph(f"{one.statement}.", "  ", "    ")
    _seals(one.seals, out, most)


def order(found: Sealing, out: Frame) -> None:
    """Write the order, with the first few seals of each step by name.

    Parameters
    ----------
    found : Sealing
        The lists.
    out : Frame
        Where it goes.
    """
    parted = found.isolation.seals if found.isolation else ()
    named = {seal.key: seal.words for one in found.lists for seal in one.seals}
    named |= {seal.key: seal.words for seal in parted}
    for n, step in enumerate(found.order, 1):
        words = list(dict.fromkeys(named.get(key, key) for key in step.seals))
        more = f"; and {len(words) - _NAMED} more" if len(words) > _NAMED else ""
        which = f": {'; '.join(words[:_NAMED])}{more}" if words else ""
        out.paragraph(f"{step.words}{which}", f"  {n}. ", "     ")


def _size(one: SealList) -> str:
    return f"{one.hours:.1f} h, {len(one.seals)}"


def _seals(seals: tuple[Seal, ...], out: Frame, most: int) -> None:
    """Print one line a seal; passages that read alike and cost alike are told together."""
    groups: dict[tuple[str, str, float], list[Seal]] = {}
    for one in seals:
        told = one.words.partition(", between ")[0]
        groups.setdefault((told, one.material, round(one.hours, 2)), []).append(one)
    lines = list(groups.items())
    for (words, material, hours), members in lines[:most]:
        first, count = members[0], len(members)
        if count == 1:
            words = first.words
        whole = first.places if first.places > 1 else count
        times = f" ({whole} places)" if whole > 1 else ""
        faces = " on both faces" if first.faces > 1 else ""
        out.paragraph(f"{words}{times}: {material}{faces}, {hours * count:.1f} h", "  - ", "    ")
        if first.note:
            out.paragraph(first.note, "      ", "      ")
        if first.reach:
            out.paragraph(f"first: {first.reach}", "      ", "      ")
    if len(lines) > most:
        out.line(f"  and {len(lines) - most} more lines: --all")
