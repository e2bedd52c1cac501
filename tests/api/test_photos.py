"""Photos over HTTP: resumed where they broke off, looked at before they count, kept as sent."""

from __future__ import annotations

import hashlib
import io
import json
import struct
import subprocess
import sys
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from firm import Firm, limited, open_firm
from PIL import Image

from wainscot.api import image_worker
from wainscot.api.images import Images
from wainscot.api.problems import RefusedError


def picture(kind: str = "JPEG", size: tuple[int, int] = (64, 48), **more: Any) -> bytes:
    """Return a small photo."""
    out = io.BytesIO()
    Image.effect_noise(size, 90).convert("RGB").save(out, kind, **more)
    return out.getvalue()


def png(width: int, height: int, data: bytes, before: bytes = b"") -> bytes:
    """Return a PNG whose head says what it likes (ISO/IEC 15948: signature, IHDR, IDAT, IEND)."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    parts = _chunk(b"IHDR", head) + before + _chunk(b"IDAT", data) + _chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + parts


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def _path(data: bytes) -> str:
    return f"/api/jobs/job_a/photos/{hashlib.sha256(data).hexdigest()}"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photo_comes_back_byte_for_byte(firm: Firm, kind: str) -> None:
    data = picture(kind)
    put = firm.ask("Ann", "PUT", _path(data), content=data)
    assert (put.status_code, put.json()["complete"]) == (201, True)
    assert firm.ask("Ann", "PUT", _path(data), content=data).status_code == 200
    got = firm.ask("Lea", "GET", _path(data))
    assert got.content == data
    assert got.headers["content-type"] == f"image/{kind.lower()}"


def test_an_upload_goes_on_where_it_broke_off(firm: Firm) -> None:
    data = picture(size=(900, 700))
    path, total, half = _path(data), len(data), len(data) // 2
    assert firm.ask("Ann", "HEAD", path).headers["upload-offset"] == "0"
    first = firm.ask("Ann", "PUT", path, content=data[:half],
                     headers={"content-range": f"bytes 0-{half - 1}/{total}"})  # fmt: skip
    assert (first.status_code, first.headers["upload-offset"]) == (202, str(half))
    assert firm.store.counts().blobs == 0
    told = firm.ask("Ann", "HEAD", path)
    assert (told.status_code, told.headers["upload-offset"]) == (200, str(half))
    assert told.headers["upload-complete"] == "?0"
    gap = firm.ask("Ann", "PUT", path, content=data[half + 9 :],
                   headers={"content-range": f"bytes {half + 9}-{total - 1}/{total}"})  # fmt: skip
    assert (gap.status_code, gap.headers["upload-offset"]) == (416, str(half))
    rest = firm.ask("Ann", "PUT", path, content=data[half:],
                    headers={"content-range": f"bytes {half}-{total - 1}/{total}"})  # fmt: skip
    assert rest.status_code == 201
    assert firm.ask("Ann", "HEAD", path).headers["upload-complete"] == "?1"
    assert firm.ask("Lea", "GET", path).content == data


def test_a_large_photo_is_written_as_it_arrives(firm: Firm) -> None:
    data = picture("PNG", (1100, 900))
    assert len(data) > 2 << 20

    def in_parts() -> Iterator[bytes]:
        yield from (data[n : n + 300_000] for n in range(0, len(data), 300_000))

    put = firm.ask("Ann", "PUT", _path(data), content=in_parts(),
                   headers={"content-range": f"bytes 0-{len(data) - 1}/{len(data)}"})  # fmt: skip
    assert put.status_code == 201
    assert firm.ask("Lea", "GET", _path(data)).content == data


def test_bytes_of_another_hash_do_not_count_and_can_be_sent_anew(firm: Firm) -> None:
    data = picture()
    wrong = firm.ask("Ann", "PUT", _path(data), content=picture(size=(32, 32)))
    assert (wrong.status_code, wrong.json()["code"]) == (422, "other-bytes")
    assert firm.ask("Ann", "HEAD", _path(data)).status_code == 404
    assert firm.ask("Ann", "PUT", _path(data), content=data).status_code == 201


def test_a_part_that_another_left_too_long_is_thrown_away(firm: Firm) -> None:
    data = picture()
    digest = hashlib.sha256(data).hexdigest()
    firm.store.blobs.add(digest, 0, data + b"more")
    got = firm.ask("Ann", "PUT", _path(data), content=data)
    assert (got.status_code, got.json()["code"]) == (422, "other-bytes")
    assert firm.ask("Ann", "PUT", _path(data), content=data).status_code == 201


@pytest.mark.parametrize(
    ("headers", "code"),
    [({"content-range": "bytes 0-9/999999999"}, "too-large"),
     ({"content-range": "bytes 5-2/10"}, "bad-request"),
     ({"content-range": "bytes 0-20/10"}, "bad-request"),
     ({"content-range": "apples"}, "bad-request"),
     ({"content-range": "bytes 0-2/10"}, "bad-request")],
)  # fmt: skip
def test_ranges_that_make_no_sense_are_refused(
    firm: Firm, headers: dict[str, str], code: str
) -> None:
    data = picture()
    got = firm.ask("Ann", "PUT", _path(data), content=data[:10], headers=headers)
    assert got.json()["code"] == code
    assert firm.ask("Ann", "HEAD", _path(data)).headers["upload-offset"] == "0"


BOMB = _chunk(b"zTXt", b"a\0\0" + zlib.compress(bytes(50_000_000)))


@pytest.mark.parametrize(
    ("name", "data", "code"),
    [
        ("says 50,000 x 50,000", png(50_000, 50_000, zlib.compress(bytes(99))), "too-many-pixels"),
        ("fifty megabytes of text", png(1, 1, zlib.compress(bytes(4)), BOMB), "no-photo"),
        ("fewer lines than said", png(90, 90, zlib.compress(bytes(99))), "no-photo"),
        ("cut JPEG", picture(size=(400, 300))[:5000], "no-photo"),
        ("cut PNG", picture("PNG")[:900], "no-photo"),
        ("cut WebP", picture("WEBP")[:300], "no-photo"),
        ("a head alone", picture()[:30], "no-photo"),
        ("text", b"<script>alert(1)</script>", "wrong-media"),
        ("another kind", picture("GIF"), "wrong-media"),
    ],
)
def test_what_is_no_whole_photo_is_refused_and_not_kept(
    firm: Firm, name: str, data: bytes, code: str
) -> None:
    got = firm.ask("Ann", "PUT", _path(data), content=data)
    assert got.json()["code"] == code, name
    assert got.status_code < 500
    assert firm.store.counts().blobs == 0
    assert firm.ask("Ann", "HEAD", _path(data)).headers["upload-offset"] == "0"


def test_a_photo_that_takes_too_long_is_refused(tmp_path: Path) -> None:
    data = tmp_path / "photo"
    data.write_bytes(picture())
    with pytest.raises(RefusedError, match="no whole photo"):
        Images(limited(image=0.001)).check(data)


def test_a_small_copy_is_upright_and_says_nothing_about_place_and_device(firm: Firm) -> None:
    """EXIF 2.3: tag 0x0112 is the orientation (6: turn clockwise), 0x0110 the model, 0x8825 GPS."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x0110] = "CANARY-MODEL"
    exif.get_ifd(0x8825)[1] = "N"
    data = picture(size=(400, 200), exif=exif)
    assert b"CANARY-MODEL" in data
    firm.ask("Ann", "PUT", _path(data), content=data)
    got = firm.ask("Lea", "GET", f"{_path(data)}/small", params={"edge": 160})
    with Image.open(io.BytesIO(got.content)) as small:
        assert small.size == (80, 160)
        assert not small.getexif()
    assert b"CANARY-MODEL" not in got.content
    assert firm.ask("Lea", "GET", f"{_path(data)}/small", params={"edge": 160}).content == (
        got.content
    )
    assert firm.ask("Lea", "GET", f"{_path(data)}/small", params={"edge": 7}).status_code == 422


def test_crew_sees_the_photos_that_its_jobs_name_and_no_others(firm: Firm) -> None:
    data = picture()
    firm.ask("Ann", "PUT", _path(data), content=data)
    assert firm.ask("Ann", "GET", _path(data)).status_code == 404
    digest = hashlib.sha256(data).hexdigest()
    find = {"kind": "droppings", "photos": ["00" * 32, digest]}
    firm.send(
        "Ann", "job_a", firm.phones["Ann"].add("job_a", "i1", kind="inspection", finds=[find])
    )
    assert firm.ask("Ann", "GET", _path(data)).content == data


def test_photos_that_a_backup_holds_may_go(firm: Firm) -> None:
    data = picture()
    digest = hashlib.sha256(data).hexdigest()
    firm.ask("Ann", "PUT", _path(data), content=data)
    asked = {"photos": [digest, "00" * 32]}
    told = firm.ask("Ann", "POST", "/api/jobs/job_a/held", json=asked).json()
    assert (told["photos"], told["photos_backed_up"]) == ([digest], [])
    firm.ask("Lea", "POST", "/api/backup")
    told = firm.ask("Ann", "POST", "/api/jobs/job_a/held", json=asked).json()
    assert told["photos_backed_up"] == [digest]


@pytest.mark.skipif(sys.platform == "win32", reason="the bounds are those of POSIX")
def test_the_process_that_looks_can_open_nothing_and_start_nobody() -> None:
    tries = {
        "open": "open('/etc/hostname')",
        "socket": "socket.socket()",
        "fork": "os.fork()",
        "memory": "bytearray(2 << 30)",
    }
    for name, attempt in tries.items():
        program = (
            "import os, socket, runpy\n"
            f"worker = runpy.run_path({str(image_worker.__file__)!r})\n"
            "worker['give_up'](5)\n"
            f"try:\n    {attempt}\n"
            "except (OSError, MemoryError):\n    os.write(1, b'held')\n"
        )
        done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)
        assert done.stdout == b"held", (name, done.stderr)


def test_a_file_with_everything_that_unpacks_to_too_much_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A list that is honest about a thousand times its size, and one that lies."""
    with open_firm(tmp_path, login=False) as firm:
        firm.append()
        packed = firm.client.get("/api/everything").content
        monkeypatch.setattr("wainscot.store.whole.LARGEST_TEXT", 1 << 20)
        for said, told in ((10 << 20, "too much"), (10, "is damaged|longer than listed|too much")):
            body = firm.client.post("/api/everything", content=_bombed(packed, 10 << 20, said))
            assert body.status_code == 409
            assert any(word in body.json()["detail"] for word in told.split("|"))
        assert firm.client.post("/api/everything", content=b"PK" + bytes(99)).status_code == 409
    small = tmp_path / "small"
    small.mkdir()
    with open_firm(small, login=False, limits=limited(whole=100)) as firm:
        assert firm.client.post("/api/everything", content=bytes(101)).status_code == 413


def _bombed(packed: bytes, size: int, said: int) -> bytes:
    """Return the file with events that unpack to so many zeros, and a list that may lie."""
    zeros = bytes(size)
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(packed)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "events.jsonl":
                data = zeros
            elif name == "manifest.json":
                listed = json.loads(data)
                listed["members"]["events.jsonl"] = {
                    "size": said, "sha256": hashlib.sha256(zeros).hexdigest()
                }  # fmt: skip
                data = json.dumps(listed).encode()
            new.writestr(name, data, zipfile.ZIP_DEFLATED)
    assert len(out.getvalue()) < size / 100
    return out.getvalue()


def test_a_packed_request_is_not_unpacked(firm: Firm) -> None:
    bomb = zlib.compress(bytes(10_000_000))
    got = firm.ask("Ann", "POST", "/api/jobs/job_a/held", content=bomb,
                   headers={"content-encoding": "deflate"})  # fmt: skip
    assert (got.status_code, got.json()["code"]) == (415, "wrong-media")
