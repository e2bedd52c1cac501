"""Photos on paper: upright, nothing of place and device, one number in the list and on the plan."""

from __future__ import annotations

import hashlib
import io
import sys
from functools import cache

import msgspec
import numpy as np
import pytest
from PIL import Image, PngImagePlugin

from wainscot.api import image_worker
from wainscot.drawing.dxf import MissingPackageError
from wainscot.job import Job
from wainscot.papers import photos as making
from wainscot.papers.answers import Answers
from wainscot.papers.example import house
from wainscot.papers.photo_list import (
    PhotoError,
    hashes_of,
    photo_of,
    photo_plans,
    photos_of,
    pictured,
    taken,
)
from wainscot.papers.said import Say
from wainscot.walk import survey

# Where row 0 and column 0 of the stored picture lie as one sees it: Exif 2.32 (CIPA DC-008-2019),
# tag 274 Orientation.
LIES = {
    1: ("top", "left"), 2: ("top", "right"), 3: ("bottom", "right"), 4: ("bottom", "left"),
    5: ("left", "top"), 6: ("right", "top"), 7: ("right", "bottom"), 8: ("left", "bottom"),
}  # fmt: skip
# As laid down by Exif 2.32 (GPS IFD, Make, Model, MakerNote, BodySerialNumber), XMP part 3 (APP1),
# IPTC in APP13, and a plain comment.
SECRETS = (b"MAKER-OF-IT", b"MODEL-OF-IT", b"SERIAL-77", b"NOTES-OF-MAKER", b"XMP-PLACE",
           b"IPTC-CITY", b"COMMENT-HERE", b"AFTER-THE-END")  # fmt: skip


def _upright(width: int = 48, height: int = 32) -> np.ndarray:
    """Red, green, blue and white quarters."""
    pixels = np.zeros((height, width, 3), np.uint8)
    pixels[: height // 2, : width // 2] = (220, 20, 20)
    pixels[: height // 2, width // 2 :] = (20, 200, 20)
    pixels[height // 2 :, : width // 2] = (20, 20, 220)
    pixels[height // 2 :, width // 2 :] = 245
    return pixels


def _stored(orientation: int) -> np.ndarray:
    row, column = LIES[orientation]
    pixels = _upright()
    if row in ("left", "right"):
        pixels = pixels.transpose(1, 0, 2)
    if row in ("bottom", "right"):
        pixels = pixels[::-1]
    return pixels[:, ::-1] if column in ("bottom", "right") else pixels


def _taken(orientation: int, n: int) -> bytes:
    """One photo with everything that a camera writes beside the pixels."""
    picture = Image.fromarray(np.ascontiguousarray(_stored(orientation)))
    exif = Image.Exif()
    exif[274], exif[271], exif[272] = orientation, "MAKER-OF-IT", "MODEL-OF-IT"
    details = exif.get_ifd(0x8769)
    details[0x927C], details[0xA431] = b"NOTES-OF-MAKER", "SERIAL-77"
    gps = exif.get_ifd(0x8825)
    gps[1], gps[2], gps[3], gps[4] = "N", (51.0, 30.0, float(n % 60)), "W", (0.0, 7.0, 5.0)
    xmp = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>XMP-PLACE</x:xmpmeta>"
    out = io.BytesIO()
    form = ("JPEG", "JPEG", "JPEG", "PNG", "WEBP")[n % 5]
    if form == "JPEG":
        picture.save(out, form, exif=exif, comment=b"COMMENT-HERE", quality=95)
        iptc = b"Photoshop 3.0\x008BIM\x04\x04" + bytes(5) + b"\x0e\x1c\x02\x5aIPTC-CITY\x00"
        small = b"http://ns.adobe.com/xap/1.0/\x00" + xmp
        whole = out.getvalue()
        more = b"".join(
            bytes((0xFF, mark)) + (len(body) + 2).to_bytes(2, "big") + body
            for mark, body in ((0xED, iptc), (0xE1, small))
        )
        return whole[:2] + more + whole[2:] + b"AFTER-THE-END"
    if form == "PNG":
        notes = PngImagePlugin.PngInfo()
        notes.add_text("Comment", "COMMENT-HERE")
        notes.add_itxt("XML:com.adobe.xmp", xmp.decode())
        picture.save(out, form, exif=exif, pnginfo=notes)
    else:
        picture.save(out, form, exif=exif, xmp=xmp, lossless=True)
    return out.getvalue()


def _markers(jpeg: bytes) -> set[int]:
    """Markers before the picture's data, as ITU-T T.81 Annex B lays a JPEG out."""
    found, at = set(), 2
    while jpeg[at + 1] != 0xDA:
        assert jpeg[at] == 0xFF
        found.add(jpeg[at + 1])
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    return found


def test_two_hundred_photos_in_eight_orientations_come_out_upright_and_bare() -> None:
    tags = 0
    for n in range(200):
        original = _taken(1 + n % 8, n)
        assert Image.open(io.BytesIO(original)).getexif().get_ifd(0x8825), "made without a place"
        made = photo_of(original)
        assert made.digest == hashlib.sha256(original).hexdigest()
        assert (made.width, made.height) == (48, 32)
        picture = Image.open(io.BytesIO(made.jpeg))
        tags += len(picture.getexif().get_ifd(0x8825)) + len(picture.getexif())
        # JFIF head, tables, frame, Huffman: nothing else can stand in it (no APP1, APP13, comment).
        assert _markers(made.jpeg) <= {0xE0, 0xDB, 0xC0, 0xC4}
        assert made.jpeg.endswith(b"\xff\xd9")
        assert not [one for one in SECRETS if one in made.jpeg]
        for y, x in ((8, 12), (8, 36), (24, 12), (24, 36)):
            seen = np.array(picture.getpixel((x, y)), int)
            assert np.abs(seen - _upright()[y, x]).max() < 30, (n, y, x)
    assert tags == 0


def test_a_photo_with_a_broken_note_beside_it_is_still_shown_upright() -> None:
    """EXIF 2.32, 4.6.4 A: tag 0x0110 is the model, a text; 0x0100 the width, a number."""
    exif = _turned(6)
    exif[0x0110] = "Model"
    out = io.BytesIO()
    Image.fromarray(_upright(48, 32)).save(out, "JPEG", exif=exif)
    broken = out.getvalue().replace(b"\x01\x10\x00\x02", b"\x01\x00\x00\x02")
    assert broken != out.getvalue()
    small = image_worker.looked(broken, 1 << 20, 48)[1]
    for jpeg in (photo_of(broken).jpeg, small):
        assert Image.open(io.BytesIO(jpeg)).size == (32, 48)


def test_a_photo_is_scaled_to_what_paper_needs_and_never_made_larger() -> None:
    large = io.BytesIO()
    Image.fromarray(_upright(1600, 1200)).save(large, "JPEG", exif=_turned(6))
    made = photo_of(large.getvalue())
    assert (made.width, made.height) == (750, 1000)
    assert photo_of(_taken(1, 0)).width == 48


def _turned(orientation: int) -> Image.Exif:
    exif = Image.Exif()
    exif[274] = orientation
    return exif


def test_bytes_that_are_no_photo_are_refused_in_a_line(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = _taken(1, 0)
    for bad in (b"", b"no photo", whole[: len(whole) // 2], b"GIF89a" + bytes(40)):
        with pytest.raises(PhotoError, match="no whole photo"):
            photo_of(bad)
    monkeypatch.setattr(making, "MOST", 100)
    with pytest.raises(PhotoError, match="too many pixels"):
        photo_of(whole)
    monkeypatch.setitem(sys.modules, "PIL", None)
    with pytest.raises(MissingPackageError, match="a photo on a paper needs the package pillow"):
        photo_of(whole)


ORIGINALS = [_taken(1 + n, n) for n in range(5)]
HASHES = [hashlib.sha256(one).hexdigest() for one in ORIGINALS]


def _job() -> Job:
    job = house()
    units = job.entities["look_units"]
    drawn = ("settings", "species", "storey", "room", "fixture", "service", "entry_point")
    entities = {key: one for key, one in job.entities.items() if one["kind"] in drawn}
    entities["look_units"] = units | {
        "finds": [{"kind": "droppings", "amount": "many", "freshness": "fresh",
                   "photos": HASHES[:2]}],
    }  # fmt: skip
    entities["look_lost"] = {
        "kind": "inspection", "at": "2026-05-04T11:00:00+01:00",
        "finds": [{"kind": "gnawing", "photo": HASHES[2]}],
    }  # fmt: skip
    entities["shut"] = {
        "kind": "seal", "closes": "broken_drain", "material": "steel plate", "by": "A. Weaver",
        "at": "2026-05-06T09:30:00+01:00", "photo": HASHES[3],
    }  # fmt: skip
    entities["drum"] = {"kind": "product_label", "product": "disinfectant", "photo": "c" * 64}
    return msgspec.structs.replace(job, entities=entities)


@cache
def _known() -> Answers:
    job = _job()
    seen = survey(job)
    held, _ = photos_of(job, dict(zip(HASHES, ORIGINALS, strict=True)).get)
    return Answers(job, seen.plan, seen.graph, None, photos=held)


def test_a_photo_that_is_not_here_or_was_changed_is_told_and_the_others_stay() -> None:
    told = dict(zip(HASHES, ORIGINALS, strict=True)) | {HASHES[3]: ORIGINALS[3] + b" "}
    held, lost = photos_of(_job(), told.get)
    assert set(held) == set(HASHES[:3])
    assert [one.split(" (")[0] for one in lost] == ["photo 4", "photo 5"]
    assert "is not as it was taken" in lost[0]
    assert "is not here" in lost[1]
    assert hashes_of(_job()) == tuple(sorted([*HASHES[:4], "c" * 64]))


def test_photos_that_two_phones_added_follow_those_of_the_find_by_time() -> None:
    first, second, lost = "d" * 64, "e" * 64, "f" * 64
    added = {
        "one": {"kind": "photo", "of": "look_units", "photo": second, "at": "2026-05-04T12:00:00Z"},
        "two": {"kind": "photo", "of": "look_units", "photo": first, "at": "2026-05-04T11:00:00Z"},
        "same": {"kind": "photo", "of": "look_units", "photo": HASHES[0]},
        "lost": {"kind": "photo", "of": "taken_out", "photo": lost},
    }
    job = _job()
    job = msgspec.structs.replace(job, entities=added | job.entities)
    mine = [one.digest for one in taken(job) if one.entity == "look_units"]
    assert mine == [*HASHES[:2], first, second]
    assert lost not in [one.digest for one in taken(job)]
    assert {first, second, lost} <= set(hashes_of(job))


def test_numbers_are_the_same_in_the_list_and_on_the_plan() -> None:
    known, say = _known(), Say("en")
    assert [one.number for one in taken(known.job)] == [1, 2, 3, 4, 5]
    shown = pictured(known, say)
    assert [(one.number, one.digest) for one in shown] == [
        (str(n + 1), HASHES[n]) for n in range(4)
    ]
    (plan,) = photo_plans(known, say)
    marks = {one.text for one in plan.signs}
    placed = {one.number for one in shown if "place not noted" not in one.caption}
    assert marks == placed == {"1", "2", "4"}
    assert [one.number for one in pictured(known, say, ("seal",))] == ["4"]
    assert [one.number for one in pictured(known, say, entity="look_units")] == ["1", "2"]
    west, south, east, north = plan.window
    assert all(west < one.at[0] < east and south < one.at[1] < north for one in plan.signs)


def test_a_caption_says_what_where_when_and_by_whom_in_both_languages() -> None:
    english = [one.caption for one in pictured(_known(), Say("en"))]
    spanish = [one.caption for one in pictured(_known(), Say("es"))]
    assert english[0].startswith("droppings, many, fresh; ")
    assert "under the base cabinets" in english[0]
    assert english[0].endswith("4 May 2026, 10:00; by M. Tanner")
    assert english[2].startswith("gnawing; place not noted; ")
    assert english[2].endswith("nobody named")
    assert english[3].startswith("closed with steel plate; Broken drain under the sink units; ")
    assert spanish[0].startswith("excrementos")
    assert spanish[0].endswith("4 de mayo de 2026, 10:00; por M. Tanner")
    assert photo_plans(_known(), Say("es"))[0].title == "Fotos, Ground floor"


def test_numbers_do_not_hang_on_the_order_in_which_a_job_is_kept() -> None:
    job = _job()
    turned = msgspec.structs.replace(job, entities=dict(reversed(job.entities.items())))
    assert taken(turned) == taken(job)
