"""The commands of the server: serve, user, device."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wainscot.cli.frame import Frame, guarded, print_json
from wainscot.cli.options import with_json
from wainscot.cli.record import opened_record, right_now, with_record

if TYPE_CHECKING:
    from wainscot.store import Role

_IN = click.Path(exists=True, dir_okay=False, readable=True, path_type=Path)
_ROLES = ["crew", "lead", "office"]  # as in store.accounts, which is not loaded for --help

_stdin = click.option("--stdin", "from_stdin", is_flag=True,
                      help="Read the password from standard input, one line.")  # fmt: skip
_role = click.option("--role", type=click.Choice(_ROLES), required=True,
                     help="crew: their jobs; lead: all jobs; office: everything.")  # fmt: skip


@click.command(
    short_help="Serve the record to phones and browsers.",
    epilog="Example: wainscot serve --lan",
)
@click.option("--host", default="", help="Address to listen at; this machine only by default.")
@click.option("--port", type=click.IntRange(1, 65_535), help="8420, or 8443 with TLS.")
@click.option(
    "--lan",
    is_flag=True,
    help="For the office's network: own certificate, login, codes for phones.",
)
@click.option("--name", default="", help="Host name on the certificate; fixed by the first start.")
@click.option("--cert", type=_IN, help="A certificate of your own (PEM, whole chain).")
@click.option("--key", type=_IN, help="Its key (PEM).")
@click.option(
    "--record", "--data", "record", type=click.Path(file_okay=False, path_type=Path),
    envvar="WAINSCOT_RECORD",
    help="Folder of the record; else WAINSCOT_RECORD, else the user's own data folder.",
)  # fmt: skip
@guarded
def serve(
    host: str, port: int | None, lan: bool, name: str, cert: Path | None, key: Path | None,
    record: Path | None,
) -> None:  # fmt: skip
    """Serve the record until Ctrl-C.

    For one person on this machine there is no login. Anything else goes over TLS with login.
    """
    from wainscot.errors import WainscotError

    if lan and cert is not None:
        raise click.UsageError("--lan makes its own certificate; leave --cert out, or --lan")
    try:
        from wainscot.api.serve import Wish
        from wainscot.api.serve import serve as run
    except ModuleNotFoundError as error:
        if str(error.name).startswith("wainscot"):
            raise
        raise WainscotError(
            f"the server needs {error.name}, which is not installed: pip install 'wainscot[server]'"
        ) from None
    wish = Wish(host=host, port=port or 0, lan=lan, name=name, cert=cert, key=key)
    with opened_record(record, make=True) as store:
        run(wish, store)


@click.group(
    short_help="Who may log in to the server.",
    epilog="Example: wainscot user add Ann --role crew",
)
def user() -> None:
    """Accounts of the server.

    A password is typed twice, or read with --stdin; it is never an argument.
    """


@user.command("add", epilog="Example: wainscot user add Ann --role crew")
@click.argument("name")
@_role
@_stdin
@with_record
@guarded
def user_add(name: str, role: Role, from_stdin: bool, record: Path | None) -> None:
    """Make an account."""
    from wainscot.store import Accounts

    with opened_record(record, make=True) as store:
        made = Accounts(store.database).add(name, role, _password(from_stdin), at=right_now())
    Frame.of_stdout().line(f"{made.id}  {made.name}, {made.role}")


@user.command("list", epilog="Example: wainscot user list")
@with_json
@with_record
@guarded
def user_list(as_json: bool, record: Path | None) -> None:
    """List all accounts."""
    from wainscot.store import Accounts

    with opened_record(record) as store:
        found = Accounts(store.database).all()
    if as_json:
        print_json(found)
        return
    for one in found:
        shut = ", shut out" if one.disabled else ""
        Frame.of_stdout().line(f"{one.id}  {one.name}, {one.role}{shut}")


@user.command("role", epilog="Example: wainscot user role Ann --role lead")
@click.argument("name")
@_role
@with_record
@guarded
def user_role(name: str, role: Role, record: Path | None) -> None:
    """Give an account another role."""
    from wainscot.store import Accounts

    with opened_record(record) as store:
        Accounts(store.database).set_role(name, role)


@user.command("disable", epilog="Example: wainscot user disable Ann")
@click.argument("name")
@click.option("--undo", is_flag=True, help="Let it in again.")
@with_record
@guarded
def user_disable(name: str, undo: bool, record: Path | None) -> None:
    """Shut an account out, its sessions and devices too; what it wrote stays."""
    from wainscot.store import Accounts

    with opened_record(record) as store:
        Accounts(store.database).set_disabled(name, not undo)


@user.command("password", epilog="Example: wainscot user password Ann")
@click.argument("name")
@_stdin
@with_record
@guarded
def user_password(name: str, from_stdin: bool, record: Path | None) -> None:
    """Give an account another password; its sessions end, its devices stay."""
    from wainscot.store import Accounts

    with opened_record(record) as store:
        ended = Accounts(store.database).set_password(name, _password(from_stdin))
    Frame.of_stdout().line(
        f"password changed; logins of browsers that ended: {ended}; devices stay"
    )


@click.group(
    short_help="Devices that may come in.",
    epilog="Example: wainscot device list",
)
def device() -> None:
    """Phones, tablets and browsers that are registered."""


@device.command("list", epilog="Example: wainscot device list")
@with_json
@with_record
@guarded
def device_list(as_json: bool, record: Path | None) -> None:
    """List all devices, revoked ones too."""
    from wainscot.store import Accounts

    with opened_record(record) as store:
        accounts = Accounts(store.database)
        found, names = accounts.devices(), {one.id: one.name for one in accounts.all()}
    if as_json:
        print_json(found)
        return
    for one in found:
        since = f", revoked {one.revoked}" if one.revoked else ""
        Frame.of_stdout().line(f"{one.id}  {names.get(one.account, '')}: {one.name}{since}")


@device.command("revoke", epilog="Example: wainscot device revoke dev_0123456789abcdef")
@click.argument("device_id", metavar="ID")
@with_record
@guarded
def device_revoke(device_id: str, record: Path | None) -> None:
    """Shut a device out for good, as when a phone is lost; what it wrote stays."""
    from wainscot.store import Accounts

    with opened_record(record) as store:
        Accounts(store.database).revoke(device_id, at=right_now())


def _password(from_stdin: bool) -> str:
    if from_stdin:
        return sys.stdin.readline().rstrip("\r\n")
    typed: str = click.prompt("Password", hide_input=True, confirmation_prompt=True, err=True)
    return typed


@click.command(
    short_help="Calculate what servers on any host ask for.",
    epilog="Example: wainscot worker --processes 2",
)
@click.option("--processes", type=click.IntRange(1, 64), default=1, show_default=True,
              help="How many walks at once; each takes a core.")  # fmt: skip
@click.option("--silence", type=click.IntRange(1, 3600), default=20, show_default=True,
              help="Seconds after which a worker that says nothing counts as gone.")  # fmt: skip
@with_record
@guarded
def worker(processes: int, silence: int, record: Path | None) -> None:
    """Work until Ctrl-C; the record lies in the PostgreSQL that WAINSCOT_DATABASE names.

    Any number of workers may run, on any host. What one that was killed had begun, another does.
    """
    from wainscot.api.working import Pace, work

    with opened_record(record) as store:
        work(store, processes=processes, pace=Pace(silence / 4, silence))


COMMANDS = (serve, worker, user, device)
