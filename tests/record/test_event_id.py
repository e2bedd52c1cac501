"""An event's id is the SHA-256 of its canonical JSON."""

from __future__ import annotations

import hashlib
import json

import msgspec
import pytest

from wainscot.record import (
    NewerFormError,
    RecordError,
    canonical,
    check,
    event,
    event_id,
    event_of,
    line_of,
)

# RFC 8785, section 3.2.2 (input) and 3.2.4 (the canonical bytes as printed there).
RFC_INPUT = {
    "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
    "string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/",
    "literals": [None, True, False],
}
RFC_BYTES = bytes.fromhex(
    "7b226c69746572616c73223a5b6e756c6c2c747275652c66616c73655d2c226e756d62657273223a5b3333333333"
    "333333332e333333333333332c31652b33302c342e352c302e3030322c31652d32375d2c22737472696e67223a22"
    "e282ac245c75303030665c6e4127425c225c5c5c5c5c222f227d"
)


def test_the_canonical_form_is_the_one_printed_in_rfc_8785() -> None:
    assert canonical(RFC_INPUT) == RFC_BYTES


def test_the_id_is_the_hash_of_the_printed_bytes_and_skips_the_id_itself() -> None:
    wanted = hashlib.sha256(RFC_BYTES).hexdigest()
    assert event_id(RFC_INPUT) == wanted
    assert event_id({**RFC_INPUT, "id": "anything"}) == wanted


def _title(**changed: object) -> msgspec.Struct:
    parts = {
        "job": "job_a", "device": "van", "seq": 1, "prev": "", "at": "2025-03-14T09:30:00+00:00",
        "field": "title", "value": "m",
    }  # fmt: skip
    return event("set", **{**parts, **changed})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("job", "job_b"), ("device", "phone"), ("seq", 2), ("prev", "00"), ("value", "Mill 2"),
        ("at", "2025-03-14T09:31:00+00:00"), ("field", "units"), ("supersedes", ("aa",)),
        ("elapsed", 5),
    ],
)  # fmt: skip
def test_every_part_of_an_event_is_in_its_id(name: str, value: object) -> None:
    assert _title(**{name: value}).id != _title().id  # type: ignore[attr-defined]


def test_an_altered_event_is_refused() -> None:
    forged = msgspec.structs.replace(_title(), value="Not the Mill")
    with pytest.raises(RecordError, match="altered"):
        check(forged)  # type: ignore[arg-type]


def test_an_event_survives_json() -> None:
    made = _title(value=[["10 ft 6 in", 0.25], {"deep": None}], entity="r", field="polygon")
    again = msgspec.json.decode(msgspec.json.encode(made), type=type(made))
    assert again == made
    check(again)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "changed",
    [
        {"at": "2025-03-14T09:30:00"},
        {"at": "yesterday"},
        {"job": ""},
        {"device": ""},
        {"seq": 0},
        {"field": "units", "value": "rods"},
        {"field": "title", "value": 3},
        {"field": ""},
        {"field": "colour"},
        {"value": float("nan")},
        {"value": 2**60},
        {"value": "\ud800"},
    ],
)
def test_what_cannot_be_recorded_is_refused(changed: dict[str, object]) -> None:
    with pytest.raises(RecordError):
        _title(**changed)


def test_a_line_gives_the_event_back_and_the_event_the_line() -> None:
    made = _title(elapsed=81_000)
    assert line_of(event_of(json.loads(line_of(made)))) == line_of(made)  # type: ignore[arg-type]


def test_fields_that_nobody_knows_are_kept_and_are_part_of_the_id() -> None:
    body = json.loads(line_of(_title()))  # type: ignore[arg-type]
    body |= {"weather": {"rain": "a little"}, "more": 1}
    body["id"] = event_id(body)
    read = event_of(body)
    assert read.more == {"weather": {"rain": "a little"}, "more": 1}
    assert line_of(read) == canonical(body)
    del body["weather"]
    with pytest.raises(RecordError, match="altered"):
        event_of(body)


def test_a_newer_form_is_refused_as_such_whatever_its_shape() -> None:
    with pytest.raises(NewerFormError, match="form 7 is newer"):
        event_of({"schema": 7, "kind": "merge"})
    with pytest.raises(NewerFormError):
        check(msgspec.structs.replace(_title(), schema=7))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "content",
    [[], None, {}, {"schema": True}, {"schema": 0}, {**json.loads(line_of(_title())), "schema": 0}],  # type: ignore[arg-type]
)
def test_what_is_no_event_is_refused(content: object) -> None:
    with pytest.raises(RecordError):
        event_of(content)


def test_a_field_cannot_stand_twice() -> None:
    doubled = msgspec.structs.replace(_title(), more={"seq": 3})
    with pytest.raises(RecordError, match="twice"):
        check(doubled)  # type: ignore[arg-type]


def test_an_entity_that_is_a_covered_text_itself_is_refused() -> None:
    # Put back it would be a text, and whoever reads the job would look for fields in it.
    with pytest.raises(RecordError, match="no job can take this add of 'r'"):
        event(
            "add", job="job_mill", entity="r", value={"personal": "ab" * 32}, device="van",
            seq=1, prev="", at="2025-03-14T09:30:00+00:00",
        )  # fmt: skip
