"""Stamps of heads by a local authority: openssl's own `ts`, which knows nothing of wainscot."""

from __future__ import annotations

import subprocess
from pathlib import Path

import msgspec
import pytest
from tests.command import run

from wainscot.record import Head, text_of
from wainscot.store import StampError, stamp_of, stamp_request

HEAD = Head(340, "5f3a" * 16, "2026-05-12T17:31:02+00:00", "ab" * 32, "cd" * 64)
SETTINGS = """
[tsa]
default_tsa = here
[here]
serial = {0}/serial
signer_cert = {0}/{1}.pem
signer_key = {0}/{1}.key
signer_digest = sha256
default_policy = 1.2.3.4.1
digests = sha256
ess_cert_id_alg = sha256
[stamping]
extendedKeyUsage = critical,timeStamping
[root]
basicConstraints = critical,CA:TRUE
"""


def _openssl(*arguments: str | Path, folder: Path) -> None:
    command = ["openssl", *map(str, arguments)]
    subprocess.run(command, cwd=folder, check=True, capture_output=True)


def _certified(folder: Path, name: str, kind: str) -> None:
    """Make a key and a certificate; the first of a folder is the authority and signs the others."""
    request = ["req", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes",
               "-keyout", f"{name}.key", "-out", f"{name}.csr", "-subj", f"/CN={name}"]  # fmt: skip
    _openssl(*request, folder=folder)
    by = ["-CA", "authority.pem", "-CAkey", "authority.key", "-CAcreateserial"]
    if name == "authority":
        by = ["-signkey", "authority.key"]
    _openssl("x509", "-req", "-in", f"{name}.csr", "-out", f"{name}.pem", "-days", "30",
             "-extfile", f"{name}.cnf", "-extensions", kind, *by, folder=folder)  # fmt: skip


@pytest.fixture(scope="module")
def authority(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with two authorities that know nothing of each other, and their stampers."""
    folder = tmp_path_factory.mktemp("authority")
    for part in (folder, folder / "other"):
        part.mkdir(exist_ok=True)
        (part / "serial").write_text("01")
        for name, kind in (("authority", "root"), ("stamper", "stamping")):
            (part / f"{name}.cnf").write_text(SETTINGS.format(part, name))
            _certified(part, name, kind)
    return folder


def _answer(folder: Path, request: bytes) -> bytes:
    (folder / "asked.tsq").write_bytes(request)
    _openssl("ts", "-reply", "-config", "stamper.cnf", "-queryfile", "asked.tsq",
             "-out", "said.tsr", folder=folder)  # fmt: skip
    return (folder / "said.tsr").read_bytes()


def test_a_stamp_of_a_local_authority_holds(authority: Path) -> None:
    roots = (authority / "authority.pem").read_bytes()
    answer = _answer(authority, stamp_request(HEAD))
    assert stamp_of(HEAD, answer, roots).endswith("+00:00")
    # And openssl, which made it, says the same of the text that is stamped.
    (authority / "head.txt").write_text(text_of(HEAD))
    _openssl("ts", "-verify", "-data", "head.txt", "-in", "said.tsr", "-CAfile", "authority.pem",
             folder=authority)  # fmt: skip


def test_what_is_no_stamp_of_this_head_under_this_authority_is_refused(authority: Path) -> None:
    roots = (authority / "authority.pem").read_bytes()
    others = (authority / "other/authority.pem").read_bytes()
    answer = _answer(authority, stamp_request(HEAD))
    moved = msgspec.structs.replace(HEAD, time="2026-05-12T17:31:03+00:00")
    altered = bytearray(answer)
    altered[-1] ^= 1  # in the signature, which stands last
    for head, said, by in (
        (moved, answer, roots), (HEAD, answer, others), (HEAD, bytes(altered), roots),
        (HEAD, answer[:-20], roots), (HEAD, b"", roots),
    ):  # fmt: skip
        with pytest.raises(StampError, match="no stamp of this head"):
            stamp_of(head, said, by)
    with pytest.raises(StampError, match="no certificate"):
        stamp_of(HEAD, answer, b"none")
    with pytest.raises(StampError, match="only a whole head"):
        stamp_request(Head(HEAD.size, HEAD.root))


def test_the_commands_ask_for_a_stamp_and_tell_of_it(authority: Path, tmp_path: Path) -> None:
    record, asked = tmp_path / "record", tmp_path / "head.tsq"
    made = run("new", str(tmp_path / "a.json"), "--title", "Mill")
    assert made.exit_code == 0, made.output
    assert run("import", str(tmp_path / "a.json"), "--record", str(record)).exit_code == 0
    told = run("head", "--stamp", str(asked), "--record", str(record))
    assert told.exit_code == 0, told.output
    assert "nothing was sent" in told.output
    (tmp_path / "head.tsr").write_bytes(_answer(authority, asked.read_bytes()))
    given = ["verify", "--record", str(record), "--head", str(tmp_path / "head.txt"),
             "--stamp", str(tmp_path / "head.tsr")]  # fmt: skip
    good = run(*given, "--authority", str(authority / "authority.pem"))
    assert good.exit_code == 0, good.output
    assert "good  stamp" in good.output
    bad = run(*given, "--authority", str(authority / "other/authority.pem"))
    assert bad.exit_code == 1
    assert "bad   stamp" in bad.output
    assert run(*given).exit_code == 2
