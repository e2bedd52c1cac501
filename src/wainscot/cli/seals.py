"""``wainscot seals``: what to close so that no drawn path leads in, mouse and rat side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wainscot.cli.frame import Frame, guarded
from wainscot.cli.reading import content_of, sound_job

if TYPE_CHECKING:
    from wainscot.sealing import Seal, Sealing, SealList

_FILE = click.Path(exists=True, dir_okay=False, allow_dash=True)
_LINES = 12


@click.command(
    short_help="Say what to close so that no drawn path leads in.",
    epilog='Example: wainscot seals mill.json --give-up "crawl space" --second kitchen',
)
@click.argument("file", type=_FILE)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of words.")
@click.option("--give-up", "given_up", multiple=True, metavar="VOID",
              help="Leave this void to the animals: id, label or kind.")  # fmt: skip
@click.option("--second", "places", multiple=True, metavar="VOID",
              help="Want a second layer round this void.")  # fmt: skip
@click.option("--not", "declined", multiple=True, metavar="WAY",
              help="The owner does not want this one closed, by its key.")  # fmt: skip
@click.option("--rates", type=_FILE, help="The firm's rates (TOML).")
@click.option("--all", "everything", is_flag=True, help="Every line, not the first few.")
@guarded
def seals(
    file: str, as_json: bool, given_up: tuple[str, ...], places: tuple[str, ...],
    declined: tuple[str, ...], rates: str | None, everything: bool,
) -> None:  # fmt: skip
    """List the cheapest seals that leave no drawn path from outside to what is protected.

    A seal that was made counts once somebody signed for it with a photo (kind "seal").
    """
    import msgspec

    from wainscot.book import DEFAULT, read_book
    from wainscot.sealing import seal_lists

    job = sound_job(content_of(file))
    book = read_book(content_of(rates).decode("utf-8", "replace")) if rates else DEFAULT
    found = seal_lists(job, given_up=given_up, places=places, declined=declined, book=book)
    if as_json:
        packed = msgspec.json.encode(found, order="deterministic")
        click.echo(msgspec.json.format(packed, indent=2).decode())
        return
    _in_words(found, Frame.of_stdout(), 10**6 if everything else _LINES)


def _in_words(found: Sealing, out: Frame, most: int) -> None:
    out.line(f"{'':24}{'as built':>14}{'if they gnaw':>16}")
    for species in dict.fromkeys(one.species for one in found.lists):
        built, gnawed = (one for one in found.lists if one.species == species)
        out.line(f"{species:24}{_size(built):>14}{_size(gnawed):>16}")
    for n, one in enumerate(found.lists):
        out.line()
        out.line(out.strong(f"{one.species}, {one.grade}: {one.hours:.1f} h"))
        _seals(one.seals, out, most)
        out.paragraph(f"{one.statement}.", "  ")
        for left in one.remaining:
            others = left.count - len(left.voids)
            more = f" and {others} more" if others > 0 else ""
            out.paragraph(f"{left.words} ({left.why}), into {', '.join(left.voids)}{more}", "  ! ")
        if found.second:
            layer = found.second[n]
            out.paragraph(f"second layer, {layer.hours:.1f} h: {layer.statement}", "  ")
            _seals(layer.seals, out, most)
    out.line()
    _order(found.lists[0], out)
    for limit in found.limits:
        out.paragraph(limit, "not covered: ")
    for caution in found.cautions:
        out.paragraph(caution, "caution: ")
    out.paragraph("hours are judged; foam alone never counts; never shut animals in: "
                  "close the way in use last (docs/sealing.md)", "note: ")  # fmt: skip


def _order(one: SealList, out: Frame) -> None:
    """Print the order as if animals were inside and nobody knew which way they use."""
    from wainscot.sealing import order_of

    for n, step in enumerate(order_of(one, in_use=1.0), 1):
        count = f" ({len(step.seals)} of the list)" if step.seals else ""
        out.paragraph(f"{step.words}{count}", f"order {n}: ")


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
        out.paragraph(f"{words}{times}: {material}, {hours * count:.1f} h", "  - ")
        if first.note:
            out.paragraph(first.note, "      ")
        if first.reach:
            out.paragraph(f"first: {first.reach}", "      ")
    if len(lines) > most:
        out.line(f"  and {len(lines) - most} more lines: --all")
