"""The package of a job: read by the library of those who made the format (bagit, Library of
Congress), which finds one changed byte; papers carry the head of the record."""

from __future__ import annotations

import io
import json
import zipfile
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
from wainscot.papers.package import bag


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
    (folder / "head").write_text(store.head("job_example"))
    store.close()
    told = run("package", str(folder / "mine.json"), "--out", str(folder / "mine.zip"),
               "--record", str(record), "--draws", "256")  # fmt: skip
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
               for line in (data / "events.jsonl").read_text().splitlines())  # fmt: skip
    (photo,) = (data / "photos").iterdir()
    with Image.open(photo) as seen:
        assert not seen.getexif()
    assert b"Exif" not in photo.read_bytes()


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
