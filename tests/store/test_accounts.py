"""Accounts: who may come in, and who may not any more."""

from __future__ import annotations

import hashlib
import importlib
import sys
from typing import Literal

import pytest
from argon2 import PasswordHasher, extract_parameters
from argon2.low_level import Type
from devices import LATER, NOW

from wainscot.store import (
    Accounts,
    PasswordError,
    Store,
    StoreError,
    keys_in,
    restore,
    set_key,
    take,
)
from wainscot.store import accounts as module
from wainscot.store.tables import account, device, session

GOOD = "seven mice in a wall"
CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
NEXT_DAY = "2025-03-15T10:00:00+00:00"


@pytest.fixture
def accounts(store: Store) -> Accounts:
    return Accounts(store.database, CHEAP)


def test_a_name_and_its_password_open_and_nothing_else_does(accounts: Accounts) -> None:
    made = accounts.add(" Ann ", "crew", GOOD, at=NOW)
    assert made.name == "Ann"
    assert accounts.check("ann", GOOD) == made
    assert accounts.check("Ann", f"{GOOD}!") is None
    assert accounts.check("Bob", GOOD) is None
    assert accounts.check("Bob", "no account has this password") is None
    assert accounts.all() == (made,)


@pytest.mark.parametrize(
    ("name", "role", "password", "told"),
    [("ANN", "crew", GOOD, "has that name"), ("", "crew", GOOD, "a name has"),
     ("a\x1bb", "crew", GOOD, "a name has"), ("x" * 65, "crew", GOOD, "a name has"),
     ("Bob", "king", GOOD, "no role is called"), ("Bob", "crew", "short", "12 to 200"),
     ("Bob", "crew", "x" * 201, "12 to 200"), ("Bob", "crew", "1qaz2wsx3edc", "tried first"),
     ("Bob", "crew", "bob-BOB 12 34 56 7", "beside names")],
)  # fmt: skip
def test_what_makes_no_account_is_told(
    accounts: Accounts, name: str, role: str, password: str, told: str
) -> None:
    accounts.add("Ann", "crew", GOOD, at=NOW)
    with pytest.raises(StoreError, match=told):
        accounts.add(name, role, password, at=NOW)  # type: ignore[arg-type]
    assert len(accounts.all()) == 1


def test_passwords_are_kept_as_argon2id_with_the_cost_of_rfc_9106(store: Store) -> None:
    """RFC 9106, section 4: second recommended option: t=3, p=4, m=2^16 KiB, 128-bit salt."""
    Accounts(store.database).add("Ann", "crew", GOOD, at=NOW)
    with store.database.reading() as connection:
        kept = connection.execute(account.select()).one().password
    told = extract_parameters(kept)
    assert (told.type, told.time_cost, told.parallelism) == (Type.ID, 3, 4)
    assert (told.memory_cost, told.salt_len) == (2**16, 16)
    assert GOOD not in kept


def test_a_password_kept_at_another_cost_is_kept_anew_when_it_is_typed(store: Store) -> None:
    Accounts(store.database, CHEAP).add("Ann", "crew", GOOD, at=NOW)
    dearer = Accounts(store.database, PasswordHasher(time_cost=2, memory_cost=8, parallelism=1))
    assert dearer.check("Ann", GOOD)
    with store.database.reading() as connection:
        kept = connection.execute(account.select()).one().password
    assert extract_parameters(kept).time_cost == 2
    assert dearer.check("Ann", GOOD)


def test_tokens_are_kept_as_their_sha256_alone(store: Store, accounts: Accounts) -> None:
    ann = accounts.add("Ann", "crew", GOOD, at=NOW)
    first = accounts.open_session(ann.id, at=NOW)
    _, second = accounts.add_device(ann.id, "phone", at=NOW)
    with store.database.reading() as connection:
        kept = [connection.execute(one.select()).one().token for one in (session, device)]
    assert kept == [hashlib.sha256(one.encode()).hexdigest() for one in (first, second)]
    store.database.copy(store.layout.folder / "record.copy")
    everything = b"".join(path.read_bytes() for path in store.layout.folder.glob("record*"))
    assert ann.name.encode() in everything
    assert first.encode() not in everything
    assert second.encode() not in everything


def test_a_session_names_its_account_until_it_ends(accounts: Accounts) -> None:
    ann = accounts.add("Ann", "lead", GOOD, at=NOW)
    token = accounts.open_session(ann.id, at=NOW)
    found = accounts.who(token, at=LATER)
    assert found is not None
    assert (found.account, found.device) == (ann, "")
    assert accounts.who(token, at=NEXT_DAY) is None
    assert accounts.who("s_nothing", at=NOW) is None
    accounts.close_session(token)
    assert accounts.who(token, at=NOW) is None


def test_sessions_that_ended_are_swept_and_the_oldest_gives_way(
    store: Store, accounts: Accounts
) -> None:
    ann = accounts.add("Ann", "lead", GOOD, at=NOW)
    tokens = [accounts.open_session(ann.id, at=NOW) for _ in range(module.MOST_SESSIONS + 1)]
    assert accounts.who(tokens[0], at=NOW) is None
    assert all(accounts.who(token, at=NOW) for token in tokens[1:])
    accounts.open_session(ann.id, at=NEXT_DAY)
    with store.database.reading() as connection:
        assert len(connection.execute(session.select()).all()) == 1


def test_a_device_names_its_account_until_it_is_revoked(accounts: Accounts) -> None:
    ann = accounts.add("Ann", "crew", GOOD, at=NOW)
    phone, token = accounts.add_device(ann.id, "phone", at=NOW)
    other, _ = accounts.add_device(ann.id, "tablet", at=NOW)
    found = accounts.who(token, at=NEXT_DAY)
    assert found is not None
    assert found.device == phone.id
    assert accounts.revoke(phone.id, at=LATER).revoked == LATER
    assert accounts.revoke(phone.id, at=NEXT_DAY).revoked == LATER
    assert accounts.who(token, at=LATER) is None
    assert [one.revoked for one in accounts.devices(ann.id)] == [LATER, ""]
    assert accounts.devices()[1] == other
    with pytest.raises(StoreError, match="no device"):
        accounts.revoke("dev_none", at=NOW)


def test_an_account_has_so_many_devices_and_no_more(accounts: Accounts) -> None:
    ann = accounts.add("Ann", "crew", GOOD, at=NOW)
    made = [accounts.add_device(ann.id, "phone", at=NOW)[0] for _ in range(module.MOST_DEVICES)]
    with pytest.raises(StoreError, match="revoke one"):
        accounts.add_device(ann.id, "phone", at=NOW)
    accounts.revoke(made[0].id, at=NOW)
    accounts.add_device(ann.id, "phone", at=NOW)


def test_an_account_that_is_shut_out_is_out_everywhere_at_once(accounts: Accounts) -> None:
    ann = accounts.add("Ann", "crew", GOOD, at=NOW)
    by_session = accounts.open_session(ann.id, at=NOW)
    _, by_device = accounts.add_device(ann.id, "phone", at=NOW)
    accounts.set_disabled("Ann", True)
    assert accounts.check("Ann", GOOD) is None
    assert accounts.who(by_session, at=NOW) is None
    assert accounts.who(by_device, at=NOW) is None
    accounts.set_disabled("Ann", False)
    assert accounts.check("Ann", GOOD)
    assert accounts.who(by_device, at=NOW)
    assert accounts.who(by_session, at=NOW) is None


def test_another_password_ends_the_sessions_and_another_role_holds_at_once(
    accounts: Accounts,
) -> None:
    ann = accounts.add("Ann", "crew", GOOD, at=NOW)
    token = accounts.open_session(ann.id, at=NOW)
    accounts.set_role(ann.id, "office")
    found = accounts.who(token, at=NOW)
    assert found is not None
    assert found.account.role == "office"
    accounts.set_password("Ann", f"{GOOD} more")
    assert accounts.who(token, at=NOW) is None
    assert accounts.check("Ann", GOOD) is None
    assert accounts.check("Ann", f"{GOOD} more")
    with pytest.raises(StoreError, match="no account"):
        accounts.set_role("Bob", "crew")


def test_who_changes_their_own_password_types_the_present_one_and_goes_on(
    accounts: Accounts,
) -> None:
    ann = accounts.add("Ann", "crew", GOOD, at=NOW)
    here, there = (accounts.open_session(ann.id, at=NOW) for _ in range(2))
    _, phone = accounts.add_device(ann.id, "phone", at=NOW)
    for present, new, told in (
        (f"{GOOD}?", f"{GOOD} more", "present password is not right"),
        (GOOD, "1qaz2wsx3edc", "tried first"),
        (GOOD, "short", "12 to 200"),
    ):
        with pytest.raises(PasswordError, match=told):
            accounts.change_password(ann.id, present, new, token=here)
    assert accounts.who(there, at=NOW)
    assert accounts.check("Ann", GOOD)
    assert accounts.change_password(ann.id, GOOD, f"{GOOD} more", token=here) == 1
    assert accounts.check("Ann", f"{GOOD} more")
    assert accounts.check("Ann", GOOD) is None
    assert [bool(accounts.who(one, at=NOW)) for one in (here, there, phone)] == [True, False, True]


def test_after_a_restore_everybody_logs_in_anew(store: Store, accounts: Accounts) -> None:
    """What was ended after the backup was taken must not come to life with it."""
    ann = accounts.add("Ann", "crew", GOOD, at=NOW)
    by_session = accounts.open_session(ann.id, at=NOW)
    phone, by_device = accounts.add_device(ann.id, "phone", at=NOW)
    taken = take(store.database, store.blobs, store.disk, store.layout.backups, now=NOW)
    again = restore(taken.path, store.layout.folder.parent / "again", device="office-2", now=LATER)
    there = Accounts(again.database, CHEAP)
    assert there.who(by_session, at=NOW) is None
    assert there.who(by_device, at=NOW) is None
    assert there.check("Ann", GOOD) == ann
    assert [(one.id, one.revoked) for one in there.devices()] == [(phone.id, LATER)]
    again.close()


def test_without_the_library_one_sentence_says_what_to_install(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "argon2", None)
    with pytest.raises(StoreError, match=r"pip install 'wainscot\[server\]'"):
        Accounts(store.database).add("Ann", "crew", GOOD, at=NOW)
    monkeypatch.delitem(sys.modules, "argon2")
    importlib.import_module("argon2")


def test_a_password_that_is_changed_while_the_old_one_is_checked_stays_changed(
    store: Store, accounts: Accounts
) -> None:
    other = "nine rats under a floor"
    accounts.add("Ann", "crew", GOOD, at=NOW)

    class Slow(PasswordHasher):
        def verify(self, hash: str | bytes, password: str | bytes) -> Literal[True]:
            fits = super().verify(hash, password)
            accounts.set_password("Ann", other)
            return fits

    dearer = Accounts(store.database, Slow(time_cost=2, memory_cost=8, parallelism=1))
    assert dearer.check("Ann", GOOD) is not None  # it was right when it was typed
    assert accounts.check("Ann", GOOD) is None
    assert accounts.check("Ann", other) is not None


def test_the_key_of_a_device_ends_when_the_device_is_shut_out(
    store: Store, accounts: Accounts
) -> None:
    ann = accounts.add("Ann", "crew", GOOD, at=NOW)
    made, _ = accounts.add_device(ann.id, "phone", at=NOW)
    with store.database.writing() as connection:
        set_key(connection, made.id, "ab" * 32, at=NOW)
    accounts.revoke(made.id, at=LATER)
    with store.database.reading() as connection:
        assert [one.until for one in keys_in(connection, made.id)] == [LATER]
