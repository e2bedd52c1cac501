"""Who may come in: accounts with a role, their devices, and sessions.

A password is kept as Argon2id writes it (RFC 9106), a token as its SHA-256: whoever reads the
record can come in with neither.  A session ends by itself; a device keeps its token until it is
revoked.

Names of people stand here and not in events, so that a person can be taken out and the events still
add up; an event names a device.

Limits: one factor.  A password is as good as its owner keeps it.
"""

from __future__ import annotations

import hashlib
import secrets
import threading
import unicodedata
from typing import TYPE_CHECKING, Any, Literal, cast, get_args

import msgspec
from sqlalchemy import Connection, delete, func, select, update

from wainscot.record import instant
from wainscot.store.database import Database
from wainscot.store.faults import StoreError
from wainscot.store.keys import set_key
from wainscot.store.passwords import LONGEST, PasswordError, refuse
from wainscot.store.tables import account, device, session

if TYPE_CHECKING:
    from argon2 import PasswordHasher

Role = Literal["crew", "lead", "office"]
ROLES: tuple[Role, ...] = get_args(Role)

SESSION = 12 * 3600.0
"""How long a session lasts: a working day (judgement). [s]"""

MOST_SESSIONS = 20
"""Sessions that an account may have at once; then the oldest ends."""

MOST_DEVICES = 50
"""Devices that an account may have at once."""

_AT_ONCE = threading.Semaphore(2)  # each takes 64 MiB while it runs


class Account(msgspec.Struct, frozen=True):
    """Somebody who may come in."""

    id: str
    name: str
    role: Role
    disabled: bool
    made: str


class Device(msgspec.Struct, frozen=True):
    """A phone, tablet or browser of an account; its id stands in the events that it writes.

    ``revoked`` says since when it may not come in any more; empty while it may.
    """

    id: str
    account: str
    name: str
    made: str
    revoked: str = ""


class Who(msgspec.Struct, frozen=True):
    """Whom a token names; ``device`` is empty for a session."""

    account: Account
    device: str = ""


class Accounts:
    """The accounts of a record.

    Parameters
    ----------
    database : Database
        The record's file.
    hasher : argon2.PasswordHasher, optional
        RFC 9106's choice for little memory by default.

    Attributes
    ----------
    words : tuple of str
        Words that no password may consist of, beside the program's own; the server adds its name.
    """

    def __init__(self, database: Database, hasher: PasswordHasher | None = None) -> None:
        self.words: tuple[str, ...] = ()
        self._database = database
        self._made = hasher
        self._decoy = ""

    @property
    def _hasher(self) -> PasswordHasher:
        if self._made is None:
            try:
                from argon2 import PasswordHasher
            except ImportError:
                raise StoreError(
                    "accounts need argon2-cffi: pip install 'wainscot[server]'"
                ) from None
            self._made = PasswordHasher()
        return self._made

    def add(self, name: str, role: Role, password: str, *, at: str) -> Account:
        """Make an account.

        Parameters
        ----------
        name : str
            What its owner types to come in.
        role : {"crew", "lead", "office"}
            What it may do.
        password : str
            At least 12 characters, not common and not made of names.
        at : str
            Now, ISO 8601 with offset.

        Raises
        ------
        StoreError
            If the name is taken or none, or the password is not taken.
        """
        name = _name(name)
        refuse(password, name, self.words)
        row = {
            "id": f"acc_{secrets.token_hex(6)}", "name": name, "role": _role(role),
            "password": self._hash(password), "disabled": 0, "made": at,
        }  # fmt: skip
        with self._database.writing() as connection:
            if _found(connection, name) is not None:
                raise StoreError("an account has that name already")
            connection.execute(account.insert(), [row])
        return Account(str(row["id"]), name, role, disabled=False, made=at)

    def all(self) -> tuple[Account, ...]:
        """Return every account, the oldest first."""
        with self._database.reading() as connection:
            return tuple(map(_account, connection.execute(select(account).order_by(account.c.n))))

    def set_role(self, name: str, role: Role) -> None:
        """Give an account another role."""
        self._change(name, role=_role(role))

    def set_password(self, name: str, password: str, *, keep: str = "") -> int:
        """Give an account another password; its sessions end, its devices stay.

        Parameters
        ----------
        name : str
            Of the account, or its id.
        password : str
            At least 12 characters, not common and not made of names.
        keep : str, optional
            Token of the session that goes on.

        Returns
        -------
        int
            How many sessions ended.

        Raises
        ------
        StoreError
            If there is no such account or the password is not taken.
        """
        with self._database.reading() as connection:
            found = _wanted(connection, name)
        refuse(password, found.name, self.words)
        return self._change(found.id, ends_sessions=True, keep=keep, password=self._hash(password))

    def change_password(self, account_id: str, present: str, password: str, *, token: str) -> int:
        """Let somebody change their own password, who types the present one for it.

        Parameters
        ----------
        account_id : str
            Whose.
        present : str
            The password until now.
        password : str
            The one from now on.
        token : str
            Of who asks; a session of it goes on.

        Returns
        -------
        int
            How many other sessions ended.

        Raises
        ------
        PasswordError
            If the present one is wrong or the new one is not taken; nothing was changed.
        """
        if self.check(account_id, present) is None:
            raise PasswordError("wrong-password")
        return self.set_password(account_id, password, keep=token)

    def set_disabled(self, name: str, disabled: bool) -> None:
        """Shut an account out, its sessions and devices too, or let it in again."""
        self._change(name, ends_sessions=disabled, disabled=int(disabled))

    def _change(
        self, name: str, *, ends_sessions: bool = False, keep: str = "", **values: object
    ) -> int:
        """Change an account and return how many of its sessions ended by that."""
        with self._database.writing() as connection:
            found = _wanted(connection, name)
            connection.execute(update(account).where(account.c.id == found.id).values(values))
            if not ends_sessions:
                return 0
            others = session.c.account == found.id, session.c.token != digest(keep)
            return connection.execute(delete(session).where(*others)).rowcount

    def check(self, name: str, password: str) -> Account | None:
        """Return the account of a name and its password; None where they do not belong together.

        An unknown name takes as long as a wrong password.
        """
        from argon2.exceptions import InvalidHashError, VerificationError

        with self._database.reading() as connection:
            row = _found(connection, name)
        self._decoy = self._decoy or self._hash("no account has this password")
        kept = self._decoy if row is None else str(row.password)
        try:
            with _AT_ONCE:
                self._hasher.verify(kept, password[: LONGEST + 1])
        except (VerificationError, InvalidHashError):
            return None
        if row is None or row.disabled:
            return None
        if self._hasher.check_needs_rehash(kept):
            self._hash_anew(row.id, kept, password)
        return _account(row)

    def _hash_anew(self, account_id: str, kept: str, password: str) -> None:
        """Keep a password at today's cost, unless another was set since it was looked at."""
        values = {"password": self._hash(password)}
        same = account.c.id == account_id, account.c.password == kept
        with self._database.writing() as connection:
            connection.execute(update(account).where(*same).values(values))

    def _hash(self, password: str) -> str:
        with _AT_ONCE:
            return self._hasher.hash(password)

    def open_session(self, account_id: str, *, at: str) -> str:
        """Return the token of a new session; it is not kept and cannot be told again.

        Parameters
        ----------
        account_id : str
            Whose.
        at : str
            Now, ISO 8601 with offset.
        """
        token, now = f"s_{secrets.token_urlsafe(32)}", _seconds(at)
        row = {"token": digest(token), "account": account_id, "made": at, "until": now + SESSION}
        mine = session.c.account == account_id
        keep = select(session.c.n).where(mine).order_by(session.c.n.desc()).limit(MOST_SESSIONS)
        with self._database.writing() as connection:
            connection.execute(session.insert(), [row])
            connection.execute(delete(session).where(session.c.until <= now))
            connection.execute(delete(session).where(mine, session.c.n.not_in(keep)))
        return token

    def close_session(self, token: str) -> None:
        """End a session."""
        with self._database.writing() as connection:
            connection.execute(delete(session).where(session.c.token == digest(token)))

    def add_device(
        self, account_id: str, name: str, *, at: str, device_id: str = ""
    ) -> tuple[Device, str]:
        """Register a device and return it with its token, which cannot be told again.

        Parameters
        ----------
        account_id : str
            Whose.
        name : str
            What its owner calls it.
        at : str
            Now, ISO 8601 with offset.
        device_id : str, optional
            The id that it wrote under so far; a new one by default, and where another has it.

        Raises
        ------
        StoreError
            If the account has too many.
        """
        new = f"dev_{secrets.token_hex(8)}"
        token = f"d_{secrets.token_urlsafe(32)}"
        held = device.c.account == account_id, device.c.revoked == ""
        with self._database.writing() as connection:
            taken = connection.execute(select(device.c.id).where(device.c.id == device_id)).first()
            own = new if taken or not device_id else device_id
            made = Device(own, account_id, _name(name), at)
            row = {**msgspec.structs.asdict(made), "token": digest(token)}
            count = select(func.count()).select_from(device).where(*held)
            if connection.execute(count).scalar_one() >= MOST_DEVICES:
                raise StoreError(f"an account has at most {MOST_DEVICES} devices; revoke one")
            connection.execute(device.insert(), [row])
        return made, token

    def revoke(self, device_id: str, *, at: str) -> Device:
        """Shut a device out for good, and end the key that it signs with; what it wrote stays.

        Parameters
        ----------
        device_id : str
            Which.
        at : str
            Now, ISO 8601 with offset.

        Raises
        ------
        StoreError
            If there is no such device.
        """
        with self._database.writing() as connection:
            row = connection.execute(select(device).where(device.c.id == device_id)).first()
            if row is None:
                raise StoreError("no device has that id; wainscot device list names them")
            revoked = str(row.revoked) or at
            change = update(device).where(device.c.id == device_id)
            connection.execute(change.values(token=None, revoked=revoked))
            set_key(connection, device_id, "", at=at)
        return msgspec.structs.replace(_device(row), revoked=revoked)

    def devices(self, account_id: str = "") -> tuple[Device, ...]:
        """Return the devices of an account, or all, revoked ones too."""
        chosen = select(device).order_by(device.c.n)
        if account_id:
            chosen = chosen.where(device.c.account == account_id)
        with self._database.reading() as connection:
            return tuple(map(_device, connection.execute(chosen)))

    def who(self, token: str, *, at: str) -> Who | None:
        """Return whom a token names; None if it is unknown, ended, revoked, or the account is shut.

        Parameters
        ----------
        token : str
            Of a session or a device.
        at : str
            Now, ISO 8601 with offset.
        """
        told = digest(token)
        live = account.c.disabled == 0
        by_device = (
            select(account, device.c.id.label("device_id"))
            .join(device, device.c.account == account.c.id)
            .where(device.c.token == told, live)
        )
        by_session = (
            select(account)
            .join(session, session.c.account == account.c.id)
            .where(session.c.token == told, session.c.until > _seconds(at), live)
        )
        with self._database.reading() as connection:
            if row := connection.execute(by_device).first():
                return Who(_account(row), str(row.device_id))
            if row := connection.execute(by_session).first():
                return Who(_account(row))
        return None


def forget_logins(connection: Connection, *, at: str) -> None:
    """End every session and revoke every device: what was ended after a backup stays ended.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`.
    at : str
        Now, ISO 8601 with offset.
    """
    connection.execute(delete(session))
    change = update(device).where(device.c.revoked == "")
    connection.execute(change.values(token=None, revoked=at))


def digest(token: str) -> str:
    """Return what is kept of a token."""
    return hashlib.sha256(token.encode()).hexdigest()


def _seconds(at: str) -> float:
    return instant(at).timestamp()


def _role(role: str) -> str:
    if role not in ROLES:
        raise StoreError(f"no role is called {role[:40]!r}; there are {', '.join(ROLES)}")
    return role


def _name(typed: str) -> str:
    name = unicodedata.normalize("NFC", typed).strip()
    if not (1 <= len(name) <= 64 and name.isprintable()):
        raise StoreError("a name has 1 to 64 characters that can be shown")
    return name


def _found(connection: Connection, name: str) -> Any:
    """Return the row of an account by its name, in whatever case, or by its id."""
    wanted = unicodedata.normalize("NFC", name).strip().casefold()
    for row in connection.execute(select(account)):
        if wanted in (row.name.casefold(), row.id):
            return row
    return None


def _wanted(connection: Connection, name: str) -> Any:
    if (row := _found(connection, name)) is None:
        raise StoreError("no account has that name; wainscot user list names them")
    return row


def _account(row: Any) -> Account:
    role = cast(Role, row.role)
    return Account(row.id, row.name, role, bool(row.disabled), row.made)


def _device(row: Any) -> Device:
    return Device(row.id, row.account, row.name, row.made, row.revoked)
