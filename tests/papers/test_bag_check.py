"""Whether a package is whole: said in plain words, one changed byte found, no name leads out."""

from __future__ import annotations

import io
import random
import zipfile
from pathlib import Path

import pytest
from tests.command import run

from wainscot.job import Job
from wainscot.papers.bag_check import faults, good_name, head_faults
from wainscot.papers.package import bag
from wainscot.record import diff, line_of

EVENTS = diff(Job(id="job_mill"), Job(id="job_mill", title="Mill", entities={
    "ground": {"kind": "storey", "name": "Ground floor"},
}), device="tablet-1", seq=1, prev="", at="2026-05-04T10:00:00+01:00")  # fmt: skip
LINES = b"".join(line_of(one) + b"\n" for one in EVENTS)


def _packed(info: dict[str, str] | None = None, lines: bytes = b"") -> bytes:
    files = {"job.json": b"{ an example }", "papers/quote.pdf": b"%PDF-1.7 an example"}
    return bag("package", files | ({"record/events.jsonl": lines} if lines else {}), info or {})


def test_no_changed_byte_of_the_archive_changes_a_file_unfound() -> None:
    packed = _packed()
    files = _members(packed)
    draws = random.Random(1)
    for at in draws.sample(range(len(packed)), 400):
        changed = bytearray(packed)
        changed[at] ^= 1 << draws.randrange(8)
        if not faults(io.BytesIO(bytes(changed))):
            assert _members(bytes(changed)) == files, at  # it stood in a date or the like


def _members(packed: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def _again(members: dict[str, bytes], **more: bytes) -> tuple[str, ...]:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in (members | more).items():
            archive.writestr(name, content)
    return faults(out)


def test_a_package_that_another_tool_packed_anew_still_holds() -> None:
    assert _again(_members(_packed())) == ()


def test_what_is_missing_added_or_changed_is_named() -> None:
    members = _members(_packed())
    less = {name: one for name, one in members.items() if not name.endswith("quote.pdf")}
    assert "data/papers/quote.pdf is listed and is not there" in _again(less)
    (late, *_) = _again(members | {"package/data/late.txt": b"late"})
    assert late == "data/late.txt is there and is not listed: somebody put it in later"
    assert _again(members | {"package/data/job.json": b"{}"})[0] == (
        "data/job.json is not as it was packed: it was changed or damaged"
    )
    bare = {name: one for name, one in members.items() if "tagmanifest" not in name}
    assert _again(bare) == ("tagmanifest-sha256.txt is missing, so it cannot be checked",)
    assert _again({"a.txt": b""})[0].startswith("a package has one folder")
    for no_zip in (b"", b"no zip", _packed()[:-40]):
        assert "no package" in faults(io.BytesIO(no_zip))[0]


@pytest.mark.parametrize("name", [
    "../out.txt", "package/../../out.txt", "/etc/passwd", "package/data/..", "C:/out.txt",
    "package/data/con.txt", "package\\..\\out", "package/data/\u202etxt", "package//data/x",
    "package/data/x\n0.txt", "package/.hidden", "package/data/x.", "package/" + "x/" * 40 + "y",
])  # fmt: skip
def test_a_name_that_leads_out_is_refused(name: str) -> None:
    assert not good_name(name)
    (told, *_) = _again(_members(_packed()), **{name: b"x"})
    assert "lead out of its folder" in told


def test_links_twins_and_riddles_in_an_archive_are_refused() -> None:
    out = io.BytesIO(_packed())
    with zipfile.ZipFile(out, "a") as archive:
        link = zipfile.ZipInfo("package/data/link")
        link.create_system, link.external_attr = 3, 0o120777 << 16
        archive.writestr(link, "/etc/passwd")
    assert "lead out of its folder" in faults(out)[0]
    out = io.BytesIO(_packed())
    with zipfile.ZipFile(out, "a") as archive:
        archive.writestr("package/data/JOB.json", b"{}")
    assert faults(out) == ("a file is in it twice; nobody can say which counts",)


def test_events_and_head_fit_together() -> None:
    import hashlib

    # Worked anew: the SHA-256 over the sorted ids, one a line (as the store says of its head).
    ids = sorted(one.id for one in EVENTS)
    head = hashlib.sha256("".join(f"{one}\n" for one in ids).encode()).hexdigest()
    told = {"Record-Head": head}
    assert head_faults(io.BytesIO(_packed(told, LINES))) == ()
    fewer = b"".join(LINES.splitlines(keepends=True)[1:])
    assert "head of the record" in head_faults(io.BytesIO(_packed(told, fewer)))[0]
    other = LINES.replace(b"tablet-1", b"tablet-2", 1)
    assert "is no event" in head_faults(io.BytesIO(_packed(told, other)))[0]


def test_the_command_says_it_in_words(tmp_path: Path) -> None:
    whole = _packed()
    (tmp_path / "good.zip").write_bytes(whole)
    good = run("package-check", str(tmp_path / "good.zip"))
    assert (good.exit_code, good.stdout.splitlines()[0]) == (
        0, "whole: every file in it is as it was packed",
    )  # fmt: skip
    (tmp_path / "bad.zip").write_bytes(whole[:-40])
    bad = run("package-check", str(tmp_path / "bad.zip"))
    assert bad.exit_code == 1
    assert bad.stdout.startswith("not whole: this is no package")
