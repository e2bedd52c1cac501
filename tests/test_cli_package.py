"""The package of a job: read by the library of those who made the format (bagit, Library of
Congress), which finds one changed byte; papers carry the head of the record."""

from __future__ import annotations

import io
import json
import subprocess
import sys
import zipfile
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import bagit
import pypdf
import pytest
from PIL import Image
from tests.command import run

from wainscot import job as jobs
from wainscot.job import Job
from wainscot.papers.originals import beside_picture
from wainscot.papers.package import bag
from wainscot.papers.package_text import read_me
from wainscot.record import event, head_of, line_of


def _taken() -> bytes:
    """A photo that says where and with what it was taken."""
    exif = Image.Exif()
    exif[0x010F] = "Maker"
    exif[0x8825] = {1: "N", 2: (51.0, 30.0, 0.0)}
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "red").save(out, "JPEG", exif=exif)
    return out.getvalue()


def _room(photo: str) -> dict[str, dict[str, Any]]:
    """One room of solid walls, so that the walk is quick."""
    walls = {
        side: {"kind": "wall", "room": "room", "side": side, "build": "solid"}
        for side in ("n1", "e1", "s1", "w1")
    }
    return walls | {
        "ground": {"kind": "storey", "name": "Ground floor", "floor": {"build": "slab"}},
        "room": {"kind": "room", "name": "Store", "storey": "ground",
                 "polygon": [[0, 0], [3, 0], [3, 3], [0, 3]]},
        "look": {"kind": "inspection", "place": {"of": "room"}, "at": "2026-05-12",
                 "finds": [{"kind": "droppings", "photos": [photo]}]},
    }  # fmt: skip


@pytest.fixture(scope="module")
def packed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A package made from a record that holds a photo, and the bag that is in it."""
    from wainscot.store import Store

    folder = tmp_path_factory.mktemp("package")
    photo = _taken()
    small = Job(id="job_example", title="One room", entities=_room(sha256(photo).hexdigest()))
    (folder / "mine.json").write_text(jobs.write(small), encoding="utf-8")
    record = folder / "record"
    assert run("import", str(folder / "mine.json"), "--record", str(record)).exit_code == 0
    store = Store.open(record, now="2026-05-12T10:00:00+00:00")
    store.blobs.put(photo, received="2026-05-12T10:00:00+00:00")
    elsewhere = event("set", job="job_other", device="phone_other", seq=1, prev="",
                      at="2026-05-11T08:15:00+00:00", field="title", value="Barn")  # fmt: skip
    store.append([line_of(elsewhere)], received="2026-05-12T10:00:00+00:00")
    (folder / "head").write_text(store.head("job_example"))
    store.close()
    told = run("package", str(folder / "mine.json"), "--out", str(folder / "mine.zip"),
               "--record", str(record), "--draws", "256", "--originals")  # fmt: skip
    assert told.exit_code == 0, told.output
    with zipfile.ZipFile(folder / "mine.zip") as zipped:
        zipped.extractall(folder)
    return folder


def test_the_public_library_finds_nothing_wrong(packed: Path) -> None:
    found = bagit.Bag(str(packed / "job_example"))
    found.validate()
    assert found.version_info == (1, 0)
    assert found.info["External-Identifier"] == "job_example"
    assert found.info["Bagging-Date"] == "2026-05-12"


def test_head_of_the_record_stands_in_the_bag_and_on_the_papers(packed: Path) -> None:
    head = (packed / "head").read_text()
    assert bagit.Bag(str(packed / "job_example")).info["Record-Head"] == head
    paper = pypdf.PdfReader(packed / "job_example/data/papers/closing-report.pdf")
    assert head[:10] in paper.pages[0].extract_text()


def test_the_signed_head_that_a_paper_carries_holds_against_the_record(packed: Path) -> None:
    told = json.loads((packed / "job_example/data/papers/closing-report.json").read_text())
    text = told["head"]["given"]["text"]
    paper = pypdf.PdfReader(packed / "job_example/data/papers/closing-report.pdf")
    printed = paper.pages[-1].extract_text()
    assert all(line in printed for line in told["head"]["given"]["lines"])
    found = run("verify", "--record", str(packed / "record"), "--head", text)
    assert found.exit_code == 0, found.output
    assert "WHOLE up to the last head that was given" in found.output


def test_events_and_job_lie_in_it_and_photos_without_place_and_device(packed: Path) -> None:
    data = packed / "job_example/data"
    assert jobs.read((data / "job.json").read_text()).id == "job_example"
    assert all(json.loads(line)["job"] == "job_example"
               for line in (data / "record/events.jsonl").read_text().splitlines())  # fmt: skip
    (photo,) = (data / "photos").iterdir()
    with Image.open(photo) as seen:
        assert not seen.getexif()
    assert b"Exif" not in photo.read_bytes()


def _checked(folder: Path, file: Path) -> tuple[int, str]:
    """Run the verifier out of the package as its reader would: Python alone, the head typed off."""
    paper = pypdf.PdfReader(folder / "job_example/data/papers/closing-report.pdf")
    lines = paper.pages[-1].extract_text().splitlines()
    size = next(one for one in lines if one.startswith("Record: ")).split()[1]
    root = next(one for one in lines if one.startswith("root ")).removeprefix("root ")
    verifier = folder / "job_example/data/record/verify.py"
    command = [sys.executable, "-I", "-S", str(verifier), str(file), size, *root.split()]
    told = subprocess.run(command, capture_output=True, text=True, check=False)
    return told.returncode, told.stdout + told.stderr


def test_the_verifier_in_it_checks_it_against_a_head_typed_off_a_paper(packed: Path) -> None:
    code, told = _checked(packed, packed / "mine.zip")
    assert code == 0, told
    assert "it was given without a signature" in told  # size and root alone were typed
    assert "1 events are a hash alone: of other jobs, or left out" in told
    assert "1 photos read" in told


def _changed(file: Path, name: str, change: Callable[[bytes], bytes], out: Path) -> Path:
    with zipfile.ZipFile(file) as before, zipfile.ZipFile(out, "w") as after:
        for one in before.namelist():
            content = before.read(one)
            after.writestr(one, change(content) if one.endswith(f"record/{name}") else content)
    return out


def _without_last(content: bytes) -> bytes:
    return b"".join(content.splitlines(keepends=True)[:-1])


def _id_beside_a_leaf(content: bytes) -> bytes:
    """Receipts that put another id beside the leaf of an event that the head covers."""
    lines = [json.loads(line) for line in content.splitlines()]
    own = next(one for one in lines if one["id"])
    hidden = next(one for one in lines if not one["id"])
    own["leaf"] = hidden["leaf"]
    return b"".join(json.dumps(one).encode() + b"\n" for one in lines)


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("events.jsonl", lambda content: content.replace(b"One room", b"Two room")),
        ("events.jsonl", _without_last),
        ("receipts.jsonl", _without_last),
        ("receipts.jsonl", lambda content: content.replace(b"2026-", b"2025-", 1)),
        ("receipts.jsonl", _id_beside_a_leaf),
        ("heads.jsonl", lambda content: content.replace(b'"size":', b'"size":1')),
    ],
)
def test_what_was_changed_in_its_record_is_found(
    packed: Path, tmp_path: Path, name: str, change: Callable[[bytes], bytes]
) -> None:
    bad = _changed(packed / "mine.zip", name, change, tmp_path / "bad.zip")
    code, told = _checked(packed, bad)
    assert (code, "NOT WHOLE" in told) == (1, True), told


def test_two_records_in_one_file_are_not_taken(packed: Path, tmp_path: Path) -> None:
    twice = tmp_path / "twice.zip"
    twice.write_bytes((packed / "mine.zip").read_bytes())
    with zipfile.ZipFile(twice, "a") as file:
        file.writestr("events.jsonl", b"")
    assert _checked(packed, twice)[0] == 2


def test_of_other_jobs_nothing_but_how_many_events_is_told(packed: Path) -> None:
    record = packed / "job_example/data/record"
    told = b"".join(one.read_bytes() for one in record.glob("*.*") if one.suffix != ".py")
    for word in (b"job_other", b"Barn", b"phone_other", b"2026-05-11T08:15"):
        assert word not in told
    receipts = [json.loads(line) for line in (record / "receipts.jsonl").read_text().splitlines()]
    assert [one for one in receipts if "leaf" in one] == [
        {"id": "", "leaf": receipts[-1]["leaf"], "received": "", "skew": None}
    ]


def test_originals_go_along_only_when_asked_for_and_the_list_says_which_tell_where(
    packed: Path,
) -> None:
    record = packed / "job_example/data/record"
    (kept,) = (record / "blobs").iterdir()
    assert kept.read_bytes() == _taken()
    assert sha256(kept.read_bytes()).hexdigest() == kept.name
    assert (
        f"{kept.name}  says where it was taken, says with what"
        in (record / "photos.txt").read_text()
    )
    small = run("package", str(packed / "mine.json"), "--out", str(packed / "small.zip"),
                "--record", str(packed / "record"), "--draws", "256")  # fmt: skip
    assert small.exit_code == 0
    with zipfile.ZipFile(packed / "small.zip") as file:
        assert not [one for one in file.namelist() if "/blobs/" in one]
        assert not any(file.read(one) == _taken() for one in file.namelist())
        text = file.read("job_example/data/README.txt").decode()
    assert "were left out, because most tell where" in text
    refused = run("package", str(packed / "mine.json"), "--out", str(packed / "x.zip"),
                  "--originals")  # fmt: skip
    assert refused.exit_code == 2
    assert "--originals needs --record" in refused.output


def test_what_stands_beside_a_picture_is_found() -> None:
    plain = io.BytesIO()
    Image.new("RGB", (4, 3)).save(plain, "JPEG")
    told = [beside_picture(one) for one in (_taken(), plain.getvalue(), b"none")]
    assert [(one.place, one.device) for one in told] == [
        (True, True), (False, False), (False, False),
    ]  # fmt: skip
    # XMP names a place as "exif:GPSLatitude" (its specification, part 2, EXIF properties).
    marked = plain.getvalue() + b'<x exif:GPSLatitude="51,30.0N"/>'
    assert beside_picture(marked).place


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_text_in_it_says_how_to_check_and_what_that_cannot_show(
    packed: Path, language: str
) -> None:
    given = (packed / "job_example/data/record/head.txt").read_text().strip()
    text = read_me("mine.zip", given, language, originals=True).decode()
    head = head_of(given)
    assert f"python verify.py mine.zip {head.size} {head.root}" in text
    assert given in text
    assert text.count("\n- ") == 4
    spaced = read_me("mill cottage.zip", given, language, originals=True).decode()
    assert 'verify.py "mill cottage.zip" ' in spaced
    bare = read_me("mine.zip", "", language, originals=False).decode()
    assert "verify.py" not in bare
    assert len(bare) > 200


def test_one_changed_byte_is_found(packed: Path, tmp_path: Path) -> None:
    made = bag("a b/c", {"one.txt": b"abc", "two.txt": b""}, {"Note": "two\nlines"})
    assert made == bag("a b/c", {"two.txt": b"", "one.txt": b"abc"}, {"Note": "two\nlines"})
    with zipfile.ZipFile(io.BytesIO(made)) as zipped:
        zipped.extractall(tmp_path)
    kept = tmp_path / "a-b-c"
    bagit.Bag(str(kept)).validate()
    (kept / "data/one.txt").write_bytes(b"abd")
    with pytest.raises(bagit.BagValidationError, match=r"one\.txt"):
        bagit.Bag(str(kept)).validate()
