"""The commands of proof: give out a head of the record, and verify a record or a file of it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli.frame import FAILED, Frame, guarded, print_json
from wainscot.cli.options import with_json
from wainscot.cli.record import opened_record, right_now, say_findings, with_record

if TYPE_CHECKING:
    from wainscot.record import Head
    from wainscot.store import Finding

_IN = click.Path(exists=True, dir_okay=False, readable=True, path_type=Path)
_OUT = click.Path(dir_okay=False, path_type=Path)


@click.command(
    short_help="Give out a signed head of the record.",
    epilog="Example: wainscot head --qr",
)
@click.option("--qr", is_flag=True, help="The code on the terminal too.")
@click.option("--svg", type=_OUT, help="The code as a picture.")
@click.option("--stamp", type=_OUT, metavar="FILE.tsq",
              help="A request for a stamp (RFC 3161); the head's text goes beside it.")  # fmt: skip
@click.option("--list", "as_list", is_flag=True, help="Those that were given out before.")
@with_json
@with_record
@guarded
def head(
    qr: bool, svg: Path | None, stamp: Path | None, as_list: bool, as_json: bool,
    record: Path | None,
) -> None:  # fmt: skip
    """Give out a signed head: what had arrived by now can never be changed unseen again.

    Print it, send it, photograph it: whoever holds the record cannot take a head back that left
    the house.
    """
    from wainscot.store import give_head, heads

    with opened_record(record) as store:
        found = list(heads(store)) if as_list else [give_head(store, now=right_now())]
    if stamp and found:
        _request(found[-1], stamp)
    if as_json:
        print_json(found)
        return
    out = Frame.of_stdout()
    for one in found:
        _say(one, out)
    if not found:
        out.line("no head was given out yet; give one: wainscot head")
    for one in found[-1:]:
        _draw(one, qr, svg)


def _say(one: Head, out: Frame) -> None:
    from wainscot.record import paper_lines, text_of

    for line in (*paper_lines(one), text_of(one)):
        out.line(line)


def _request(one: Head, path: Path) -> None:
    """Write what is sent to an authority, and the text that it is about; say how to go on."""
    from wainscot.cli.files import write_bytes
    from wainscot.record import text_of
    from wainscot.store import stamp_request

    text, answer = path.with_suffix(".txt"), path.with_suffix(".tsr")
    write_bytes(str(path), stamp_request(one))
    write_bytes(str(text), text_of(one).encode())
    out = Frame.of_stderr()
    out.line(f"wrote {path} and {text}; nothing was sent. To have it stamped:")
    out.line(f"  curl --data-binary @{path} -H 'Content-Type: application/timestamp-query' "
             f"--output {answer} ADDRESS")  # fmt: skip
    out.line("To check the answer against the certificate of the authority, with either:")
    out.line(f"  wainscot verify --head {text} --stamp {answer} --authority CERTIFICATE.pem")
    out.line(f"  openssl ts -verify -data {text} -in {answer} -CAfile CERTIFICATE.pem")


def _draw(one: Head, qr: bool, svg: Path | None) -> None:
    from wainscot.record import text_of

    if not (qr or svg):
        return
    try:
        import segno
    except ImportError:
        from wainscot.errors import WainscotError

        raise WainscotError("drawing the code needs: pip install 'wainscot[proof]'") from None
    code = segno.make(text_of(one), error="m", micro=False)
    if qr:
        code.terminal(compact=True)
    if svg:
        import io

        from wainscot.cli.files import write_bytes

        drawn = io.BytesIO()
        code.save(drawn, kind="svg", scale=4, title=f"Head of {one.size} events")
        write_bytes(str(svg), drawn.getvalue())
        Frame.of_stderr().line(f"wrote {svg}")


@click.command(
    short_help="Say whether a record, or a file of it, is whole.",
    epilog="Example: wainscot verify --head head.txt",
)
@click.argument("file", type=_IN, required=False)
@click.option("--head", "given", multiple=True,
              help="A head from outside: its text, events and root, or a file that holds such "
                   "lines. May stand several times.")  # fmt: skip
@click.option("--stamp", type=_IN, help="A stamp (RFC 3161) of the one head from outside.")
@click.option("--authority", type=_IN, help="Certificates of who stamped it, PEM.")
@click.option("--no-photos", is_flag=True, help="Leave photos of a record unread.")
@with_json
@with_record
@guarded
def verify(
    file: Path | None, given: tuple[str, ...], stamp: Path | None, authority: Path | None,
    no_photos: bool, as_json: bool, record: Path | None,
) -> None:  # fmt: skip
    """Check every event, chain and photo, and order and arrival under heads that were given out.

    FILE is everything as one .zip, or events as .jsonl; without it the record itself is read.
    Exit code 1 where something is not whole. What cannot be shown is said too.
    """
    from wainscot.store import check_file, check_store

    outside = [one for text in given for one in _heads_of(text)]
    stamped = _stamped(outside, stamp, authority)
    if file is not None:
        found = check_file(file, outside)
    else:
        with opened_record(record) as store:
            found = check_store(store, outside, photos=not no_photos)
    found = [*stamped, *found]
    bad = [one for one in found if one.state == "bad"]
    if as_json:
        print_json(found)
    else:
        say_findings(found)
        held = [one for one in found if one.what == "given head" and one.state == "good"]
        Frame.of_stdout().line(_verdict(len(bad), len(held)))
    if bad:
        raise SystemExit(FAILED)


def _stamped(outside: list[Head], stamp: Path | None, authority: Path | None) -> list[Finding]:
    """Say whether the one head from outside was stamped, and when."""
    from wainscot.store import Finding, StampError, stamp_of

    if stamp is None and authority is None:
        return []
    if stamp is None or authority is None or len(outside) != 1:
        raise click.UsageError("--stamp needs --authority, and one --head: the one it stamps")
    try:
        when = stamp_of(outside[0], stamp.read_bytes(), authority.read_bytes())
    except StampError as error:
        return [Finding("stamp", "bad", str(error))]
    told = f"the given head was there at {when}, says who holds a certificate of {authority.name}"
    return [Finding("stamp", "good", told)]


def _verdict(bad: int, held: int) -> str:
    if bad:
        return f"NOT WHOLE: {bad} faults"
    if held:
        return "WHOLE up to the last head that was given; see above what cannot be shown"
    return "no fault found; without a head from outside that shows little"


def _heads_of(text: str) -> list[Head]:
    """Return the heads that an argument holds, or that the file holds that it names."""
    from wainscot.record import head_of

    path = Path(text)
    named = len(text) < 250 and path.is_file()
    lines = path.read_text("utf-8", "replace").splitlines() if named else [text]
    signed = [line for line in lines if "WAINSCOT-HEAD" in line.upper()]
    return [head_of(line) for line in (signed or [one for one in lines if one.strip()])]


COMMANDS = (head, verify)
