"""Heads that were given out, and what verify says of a record that was tampered with."""

from __future__ import annotations

import contextlib
import io
import random
import shutil
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from devices import LATER, NOW, Device, day, lines
from tampering import ATTACKS, proofs_refused

from wainscot.cli import main
from wainscot.record import Head, head_of, paper_lines, text_of
from wainscot.store import (
    Layout,
    Store,
    StoreError,
    alone,
    check_file,
    check_store,
    export_everything,
    give_head,
    heads,
    import_everything,
)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Head]:
    """A record of two phones with a photo and two heads, and the second head as given out."""
    folder = tmp_path_factory.mktemp("proof") / "record"
    store = Store.create(folder, device="office")
    van, shed = (day(Device(name), 12) for name in ("van", "shed"))
    store.append(lines(*van), received=NOW, skew=0.25)
    store.blobs.put(b"a photo", received=NOW)
    give_head(store, now=NOW)
    store.append(lines(*shed), received=LATER)
    given = give_head(store, now=LATER)
    store.job("job_a")
    store.close()
    return folder, given


@pytest.fixture
def copy(kept: tuple[Path, Head], tmp_path: Path) -> Iterator[Store]:
    shutil.copytree(kept[0], tmp_path / "record")
    store = Store.open(tmp_path / "record", now=LATER)
    yield store
    store.close()


def _bad(store: Store, *given: Head) -> list[str]:
    return [one.what for one in check_store(store, given) if one.state == "bad"]


def test_a_record_that_nobody_touched_is_whole(copy: Store, kept: tuple[Path, Head]) -> None:
    assert _bad(copy, kept[1]) == []
    assert [one.size for one in heads(copy)] == [12, 24]
    assert give_head(copy, now="2025-03-14T12:00:00+00:00") == kept[1]  # nothing arrived since


@pytest.mark.parametrize("attack", ATTACKS)
def test_tampering_before_a_head_that_was_given_out_is_found(
    attack: str, kept: tuple[Path, Head], tmp_path: Path
) -> None:
    folder = tmp_path / "record"
    shutil.copytree(kept[0], folder)
    with contextlib.closing(sqlite3.connect(Layout(folder).database)) as connection:
        ATTACKS[attack](connection, Layout(folder).key, random.Random(attack))
        connection.commit()
    store = Store.open(folder, now=LATER)
    assert _bad(store, kept[1])
    store.close()


def test_a_tail_that_is_cut_after_the_last_head_is_not_seen_and_that_is_said(
    copy: Store, kept: tuple[Path, Head]
) -> None:
    copy.append(lines(*day(Device("late"), 3)), received=LATER)
    with copy.database.writing() as connection:
        connection.exec_driver_sql("DELETE FROM event WHERE n > 25")
        connection.exec_driver_sql("DELETE FROM folded")
    told = check_store(copy, [kept[1]])
    assert not [one for one in told if one.state == "bad"]
    notes = [one.told for one in told if one.what == "cannot show"]
    assert any("events 25 to 25" in one and "cut off" in one for one in notes)


def test_mutated_proofs_are_refused() -> None:
    tried, accepted = proofs_refused(300, random.Random(1))
    assert (tried, accepted) == (300, 0)


def test_the_file_with_everything_is_verified_by_both_verifiers(
    copy: Store, kept: tuple[Path, Head], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "all.zip"
    export_everything(copy, file, now=LATER)
    assert not [one for one in check_file(file, [kept[1]]) if one.state == "bad"]
    arguments = [str(file), str(kept[1].size), kept[1].root]
    assert alone.main(arguments) == 0
    assert capsys.readouterr().out.count("holds; signed by key") == 2
    assert alone.main([*arguments[:2], "0" * 64]) == 1
    assert "not the events" in capsys.readouterr().out
    again = Store.create(tmp_path / "again", device="office-2")
    import_everything(again, file, received=LATER)
    assert heads(again) == heads(copy)
    assert _bad(again, kept[1]) == []
    again.close()


def test_a_changed_file_is_refused_by_the_verifier_that_stands_alone(
    copy: Store, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import zipfile

    file = tmp_path / "all.zip"
    export_everything(copy, file, now=LATER)
    for old, new in ((b'"van 1"', b'"van 2"'), (b'"received":"2025', b'"received":"2024'),
                     (b'"size":12', b'"size":11'), (b"a photo", b"a ph0to")):  # fmt: skip
        changed = io.BytesIO()
        with zipfile.ZipFile(file) as read, zipfile.ZipFile(changed, "w") as write:
            contents = {name: read.read(name) for name in read.namelist()}
            assert any(old in one for one in contents.values())
            for name, content in contents.items():
                write.writestr(name, content.replace(old, new, 1))
        assert alone.main([changed]) == 1
        assert "BAD" in capsys.readouterr().out


# RFC 8032, section 7.1, tests 1 and 2 (from memory; cryptography gives the same signatures below).
RFC_8032 = [
    ("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
     "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a", "",
     "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46b"
     "d25bf5f0595bbe24655141438e7a100b"),
    ("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
     "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c", "72",
     "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c"
     "387b2eaeb4302aeeb00d291612bb0c00"),
]  # fmt: skip


@pytest.mark.parametrize(("secret", "public", "message", "signature"), RFC_8032)
def test_signatures_are_those_of_the_standard(
    secret: str, public: str, message: str, signature: str
) -> None:
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    assert key.sign(bytes.fromhex(message)).hex() == signature
    parts = [bytes.fromhex(one) for one in (public, message, signature)]
    assert alone.signature_holds(*parts)
    for k, part in enumerate(parts):
        for bit in (0, 5, 8 * len(part) - 1) if part else ():
            other = bytearray(part)
            other[bit // 8] ^= 1 << bit % 8
            assert not alone.signature_holds(*parts[:k], bytes(other), *parts[k + 1 :])
    larger = (int.from_bytes(parts[2][32:], "little") + alone.Q).to_bytes(32, "little")
    assert not alone.signature_holds(*parts[:2], parts[2][:32] + larger)  # RFC 8032, 5.1.7, step 1


def test_the_verifier_that_stands_alone_is_short_and_needs_nothing() -> None:
    text = Path(alone.__file__).read_text()
    assert len(text.splitlines()) <= 200
    assert "import wainscot" not in text
    assert "from wainscot" not in text


def test_a_head_goes_through_paper_and_back(kept: tuple[Path, Head]) -> None:
    given = kept[1]
    assert head_of(text_of(given)) == given
    size, root, key = paper_lines(given)
    assert size == f"Record: 24 events, head of {LATER}"
    assert head_of(f"24 {root.removeprefix('root ')}") == Head(24, given.root)
    assert len(key) == len("key ") + 19


def test_a_record_without_events_has_no_head(tmp_path: Path) -> None:
    store = Store.create(tmp_path / "record", device="office")
    with pytest.raises(StoreError, match="no event yet"):
        give_head(store, now=NOW)
    store.close()


def test_the_commands_give_a_head_and_verify_it(copy: Store, tmp_path: Path) -> None:
    def type_(*arguments: str) -> tuple[int, str]:
        made = CliRunner().invoke(
            main, arguments, env={"WAINSCOT_RECORD": str(tmp_path / "record")}
        )
        return made.exit_code, made.stdout

    code, told = type_("head", "--svg", str(tmp_path / "head.svg"))
    assert (code, "<svg" in (tmp_path / "head.svg").read_text()) == (0, True)
    (tmp_path / "head.txt").write_text(told)
    assert type_("head", "--list")[1].count("WAINSCOT-HEAD-1") == 2
    code, told = type_("verify", "--head", str(tmp_path / "head.txt"))
    assert (code, "WHOLE up to" in told) == (0, True)
    code, told = type_("verify")
    assert (code, "shows little" in told) == (0, True)
    code, told = type_("verify", "--head", "24 " + "ab" * 32)
    assert (code, "NOT WHOLE: 1 faults" in told) == (1, True)
    assert type_("verify", "--head", "24 oaks")[0] == 1
